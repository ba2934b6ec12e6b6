"""JSON Schemas (draft 2020-12) of every document we write, made from the structs.

``python -m asfound.reports.schemas`` says whether the files of a folder are up to date, ``--write`` brings them up
to date.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from inspect import cleandoc
from pathlib import Path
from typing import Any

import msgspec

from asfound.analysis.crossreference import CrossReference
from asfound.checks.findings import Inspection
from asfound.checks.readiness.readiness import Readiness
from asfound.checks.readiness.station_toml import Station
from asfound.compare.result import Comparison
from asfound.compare.side_by_side import Copies
from asfound.evidence.statement import Statement
from asfound.language.listing import SCHEMA as COPY
from asfound.model.copy import Copy
from asfound.model.logic import Statement as Logic
from asfound.model.panel import EARLIER
from asfound.model.problem import DIFFERS, DONE
from asfound.model.record import Join, Record
from asfound.readers.tables.profile import Profile

DOCUMENTS: dict[str, type[msgspec.Struct]] = {
    "comparison": Comparison,
    "copies": Copies,
    "copy": Copy,
    "cross-reference": CrossReference,
    "inspection": Inspection,
    "profile": Profile,
    "join": Join,
    "readiness": Readiness,
    "record": Record,
    "statement": Statement,
    "station": Station,
}
"""What ``compare`` (``--three``), ``show``, ``where``, ``inspect`` and ``ready`` print with ``--json``, ``record.json``
of the archive, the statement that ``attest`` writes; and, in TOML, the profile of a table and ``station.toml``."""
_DIALECT = "https://json-schema.org/draft/2020-12/schema"


class Entry(msgspec.Struct, forbid_unknown_fields=True, omit_defaults=True):
    """A statement of a network as ``show --json`` lists it (:mod:`asfound.language.listing`); texts are ST."""

    kind: str
    target: str = ""
    expression: str = ""
    type: str = ""
    inputs: dict[str, str] = {}
    outputs: dict[str, str] = {}
    condition: str = ""
    text: str = ""


def schema(name: str) -> dict[str, Any]:
    """Return the schema of a document of :data:`DOCUMENTS`."""
    made = msgspec.json.schema(DOCUMENTS[name])
    definitions = made["$defs"]
    if name == "copy":
        _list_networks(definitions)
    for field in EARLIER if "Panel" in definitions else ():
        del definitions["Panel"]["properties"][field]  # read, never written
    if "Change" in definitions:  # without what is only there to be drawn, see json.py
        for logic in msgspec.json.schema(tuple[Logic, ...])["$defs"]:
            del definitions[logic]
        del definitions["Change"]["properties"]["statements"]
    return {"$schema": _DIALECT, "title": f"asfound {name}", **_undented(made)}


def _undented(made: Any) -> Any:
    """The same with descriptions that begin at the margin, as some versions of msgspec write them and some do not."""
    if isinstance(made, dict):
        return {k: cleandoc(v) if k == "description" and isinstance(v, str) else _undented(v) for k, v in made.items()}
    return list(map(_undented, made)) if isinstance(made, list) else made


def _list_networks(definitions: dict[str, Any]) -> None:
    """Turn the schema of the model into that of the document, in which networks are listed as text."""
    definitions["Entry"] = msgspec.json.schema(Entry)["$defs"]["Entry"]
    network = definitions["Network"]["properties"]
    network["statements"] = {"type": "array", "items": {"$ref": "#/$defs/Entry"}}
    network["doubts"] = {"type": "array", "items": {"type": "string"}}
    definitions.pop("Doubt")
    definitions["Order"]["properties"]["doubts"] = {**network["doubts"], "default": []}
    top = definitions["Copy"]
    top["properties"] = {"schema": {"const": COPY}, **top["properties"]}
    top["required"] = ["schema"]


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
