"""Records as nobody of ours would store them, made with plain git: for the tests of what is taken in."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

Change = Callable[[dict[str, Any]], None]


def git(folder: Path, *words: str, given: bytes | None = None) -> str:
    done = subprocess.run(["git", "-C", str(folder), *words], input=given, capture_output=True, check=True)
    return done.stdout.decode("utf-8", "surrogateescape").strip()


def tree(folder: Path, entries: Mapping[str, tuple[str, str]]) -> str:
    """A folder of ``{name: (mode, id)}``, whatever git would say to it."""
    rows = [f"{mode} {name}".encode("utf-8", "surrogateescape") + b"\0" + bytes.fromhex(id)
            for name, (mode, id) in sorted(entries.items())]  # fmt: skip
    return git(folder, "hash-object", "-t", "tree", "-w", "--literally", "--stdin", given=b"".join(rows))


def entries(folder: Path, name: str) -> dict[str, tuple[str, str]]:
    rows = git(folder, "ls-tree", "-z", name).split("\0")
    return {row.split("\t", 1)[1]: (row.split()[0].lstrip("0"), row.split()[2]) for row in rows if row}


def on_top(folder: Path, station: str, top: str, parents: list[str] | None = None) -> str:
    """A commit of this tree on the branch of a station, which moves there; its id."""
    reference = f"refs/heads/stations/{station}"
    old = git(folder, "rev-parse", reference)
    words = [word for parent in (parents if parents is not None else [old]) for word in ("-p", parent)]
    who = ("-c", "user.name=x", "-c", "user.email=x@y")
    message = git(folder, "log", "-1", "--format=%B", reference)
    commit = git(folder, *who, "commit-tree", top, *words, "-m", message)
    git(folder, "update-ref", reference, commit)
    return commit


def blob(folder: Path, data: bytes) -> tuple[str, str]:
    return "100644", git(folder, "hash-object", "-w", "--stdin", given=data)


def record(folder: Path, station: str, change: Change, **more: tuple[str, str] | None) -> str:
    """The last record of a station once more, with other things in ``record.json`` and the tree."""
    reference = f"refs/heads/stations/{station}"
    said = json.loads(git(folder, "show", f"{reference}:record.json"))
    said["number"] += 1
    change(said)
    files = {**entries(folder, reference), "record.json": blob(folder, json.dumps(said, indent=2).encode())}
    files |= {name.replace("__", "."): what for name, what in more.items() if what}
    for name, what in more.items():
        if what is None:
            del files[name.replace("__", ".")]
    return on_top(folder, station, tree(folder, files))
