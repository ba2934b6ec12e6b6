"""Branches of an archive and their logs as they stand on the disk, damaged ones too (git would pass over those)."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

_ID = re.compile(r"[0-9a-f]{40}")
_NONE = "0" * 40


class Step(NamedTuple):
    """A line of the log of a branch: from where to where; ``old`` is empty for its beginning."""

    old: str
    new: str


def references(folder: Path) -> dict[str, str]:
    """``{refs/...: id}`` sorted by name; what does not hold an id is empty."""
    found = {}
    packed = folder / "packed-refs"
    if packed.is_file():
        for line in packed.read_text("utf-8", "surrogateescape").splitlines():
            name, _, rest = line.partition(" ")
            if rest and not line.startswith(("#", "^")):
                found[rest] = name if _ID.fullmatch(name) else ""
    for path in (folder / "refs").rglob("*"):
        if path.is_file() and not path.name.endswith(".lock"):
            text = path.read_bytes().decode("ascii", "replace").strip()
            found[path.relative_to(folder).as_posix()] = text if _ID.fullmatch(text) else ""
    return dict(sorted(found.items()))


def logged(folder: Path, prefix: str) -> list[str]:
    """Names of all branches below ``refs/heads/prefix`` that have a log, sorted."""
    start = folder / "logs" / "refs" / "heads" / prefix
    return sorted(f"refs/{path.relative_to(folder / 'logs' / 'refs').as_posix()}" for path in start.rglob("*"))


def log(folder: Path, reference: str) -> list[Step]:
    """The moves of a branch, the oldest first, without those that were written down but never made.

    git writes the line before it moves the branch. A process killed in between leaves a line that the next move does
    not follow on; that move starts again from the old place.
    """
    path = folder / "logs" / reference
    steps: list[Step] = []
    if not path.is_file():
        return steps
    for line in path.read_bytes().decode("utf-8", "replace").splitlines():
        old, new = line[:40], line[41:81]
        if not _ID.fullmatch(old) or not _ID.fullmatch(new):
            continue
        step = Step("" if old == _NONE else old, new)
        if steps and steps[-1].old == step.old and steps[-1].new != step.old:
            steps.pop()
        steps.append(step)
    return steps
