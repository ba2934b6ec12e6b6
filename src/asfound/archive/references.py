"""Branches of an archive and their logs as they stand on the disk, damaged ones too (git would pass over those).

The files may be a stranger's: only plain files of a sensible size are read, and a name counts only when git would take
it too, so that ``refs/heads/stations/../other`` leads nowhere.
"""

from __future__ import annotations

import re
from collections.abc import Container
from pathlib import Path
from typing import NamedTuple

from asfound.archive import disk

LARGEST = 64 * 2**20
"""Bytes of a log or of ``packed-refs``; 400,000 moves of a branch."""
_ID = re.compile(r"[0-9a-f]{40}")
_NONE = "0" * 40


_BAD = re.compile(r"[\x00-\x20\x7f~^:?*\[\\]|\.\.|@\{|//|/\.|^\.|^/|/$|\.$|\.lock(/|$)")


def well_named(reference: str) -> bool:
    """Whether git takes a name for one of a reference (git-check-ref-format(1)).

    >>> well_named("refs/heads/stations/booster-1"), well_named("refs/heads/stations/../stations/s1")
    (True, False)
    """
    return not _BAD.search(reference)


class Step(NamedTuple):
    """A line of the log of a branch: from where to where; ``old`` is empty for its beginning."""

    old: str
    new: str


def references(folder: Path) -> dict[str, str]:
    """``{refs/...: id}`` sorted by name; what does not hold an id is empty."""
    found = {}
    for line in _text(folder / "packed-refs").split("\n"):
        name, _, rest = line.partition(" ")
        if rest and not line.startswith(("#", "^")):
            found[rest] = name if _ID.fullmatch(name) else ""
    for path in (folder / "refs").rglob("*"):
        if not path.is_dir() and not path.name.endswith(".lock"):
            text = (disk.plain(path, 1000) or b"").decode("ascii", "replace").strip()
            found[path.relative_to(folder).as_posix()] = text if _ID.fullmatch(text) else ""
    return dict(sorted(found.items()))


def _text(path: Path) -> str:
    return (disk.plain(path, LARGEST) or b"").decode("utf-8", "surrogateescape")


def lost(folder: Path, prefix: str, present: Container[str]) -> dict[str, str]:
    """``{refs/heads/...: the last commit its log knows, or nothing}`` of branches that are gone or damaged.

    ``present`` are the names, without ``refs/heads/``, of those that git finds.
    """
    start = f"refs/heads/{prefix}"
    steps = {name: log(folder, name) for name in logged(folder, prefix)}
    ended = {name: moves[-1].new for name, moves in steps.items() if moves}
    damaged = [name for name, tip in references(folder).items() if name.startswith(start) and not tip]
    names = sorted({*ended, *damaged})
    return {name: ended.get(name, "") for name in names if name.removeprefix("refs/heads/") not in present}


def logged(folder: Path, prefix: str) -> list[str]:
    """Names of all branches below ``refs/heads/prefix`` that have a log, sorted."""
    start = folder / "logs" / "refs" / "heads" / prefix
    return sorted(f"refs/{path.relative_to(folder / 'logs' / 'refs').as_posix()}" for path in start.rglob("*"))


def log(folder: Path, reference: str) -> list[Step]:
    """The moves of a branch, the oldest first, without those that were written down but never made.

    git writes the line before it moves the branch. A process killed in between leaves a line that the next move does
    not follow on; that move starts again from the old place.
    """
    steps: list[Step] = []
    for line in _text(folder / "logs" / reference).split("\n"):
        old, new = line[:40], line[41:81]
        if not _ID.fullmatch(old) or not _ID.fullmatch(new):
            continue
        step = Step("" if old == _NONE else old, new)
        if steps and steps[-1].old == step.old and steps[-1].new != step.old:
            steps.pop()
        steps.append(step)
    return steps
