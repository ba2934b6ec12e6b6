"""JSON Schemas (draft 2020-12) of every document we write, made from the structs.

``python -m asfound.reports.schemas`` says whether the files of a folder are up to date, ``--write`` brings them up
to date.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import msgspec

from asfound.compare.result import Comparison
from asfound.model.copy import Copy
from asfound.model.problem import DIFFERS, DONE
from asfound.model.record import Record

DOCUMENTS: dict[str, type[msgspec.Struct]] = {"comparison": Comparison, "copy": Copy, "record": Record}
"""Documents by name: what ``compare --json`` and ``show --json`` print, and ``record.json`` of the archive."""
_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema(name: str) -> dict[str, Any]:
    """Return the schema of a document of :data:`DOCUMENTS`."""
    made = msgspec.json.schema(DOCUMENTS[name])
    return {"$schema": _DIALECT, "title": f"asfound {name}", **made}


def text(name: str) -> str:
    """Return the schema as it stands in its file."""
    return msgspec.json.format(msgspec.json.encode(schema(name)), indent=2).decode() + "\n"


def main(arguments: Sequence[str], folder: Path) -> int:
    """Compare the files in ``folder`` with the structs, write them with ``--write``; return an exit code."""
    stale = [name for name in DOCUMENTS if _read(_file(folder, name)) != text(name)]
    if "--write" not in arguments:
        for name in stale:
            print(f"{_file(folder, name)}: differs from the structs; run this again with --write.", file=sys.stderr)
        return DIFFERS if stale else DONE
    folder.mkdir(exist_ok=True)
    for name in stale:
        _file(folder, name).write_text(text(name), encoding="utf-8", newline="\n")
    return DONE


def _file(folder: Path, name: str) -> Path:
    return folder / f"{name}.json"


def _read(path: Path) -> str:
    return path.read_bytes().decode() if path.exists() else ""


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:], Path("schemas")))
