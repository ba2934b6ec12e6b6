"""``packed-refs``, where ``git gc`` puts the branches, written anew where a byte of it went wrong.

A line holds the end of a branch and its name. The record at that end says itself to which station it belongs, so a name
that went wrong is put right; an end that went wrong is taken from the log of the branch or from a second archive. Where
nobody knows it the branch keeps a file with what stood there, so that it stays damaged and is named by the check.

git looks for a name by halving the file, so a line that is out of order hides its branch, and of two lines of one name
one hides the other. Both ends stay then: the one that the log knows, else the last, and the other set aside.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from asfound.archive import disk, references, whole
from asfound.archive.damaged_folder import set_aside
from asfound.archive.stations import PREFIX

_HEADER = "# pack-refs with: sorted "
_ANY_HEADER = re.compile(r"# pack-refs with:.*")
_LINE = re.compile(r"[0-9a-f]{40} \S.*")
_PEELED = re.compile(r"\^[0-9a-f]{40}")
ASIDE = "refs/aside/"
"""Where branches are that were set aside (:mod:`.setting_aside`)."""
_OURS = f"refs/heads/{PREFIX}"
_ID = re.compile(r"[0-9a-f]{40}")
Belongs = Callable[[str], str]
"""The full name of the branch that the record at a commit belongs to; nothing when it is no sound record."""


@dataclass
class _Sorted:
    """``right`` by name; ``unknown`` are branches whose end nobody knows, with what stood there."""

    right: dict[str, str] = field(default_factory=dict)
    unknown: dict[str, str] = field(default_factory=dict)
    wrong: bool = False


def mend(folder: Path, belongs: Belongs, tips: Mapping[str, str]) -> bool:
    """Write the file anew if a line of it is wrong; whether that was so.

    ``tips`` are what logs or a second archive say of the ends of branches.
    """
    place = folder / "packed-refs"
    data = disk.plain(place, references.LARGEST)
    if data is None:
        return False
    lines = data.decode("utf-8", "surrogateescape").split("\n")
    order = disorder(folder)
    if bad := unread(folder):  # git could not even say what belongs where
        set_aside(folder, place)
        _write(place, [line for line in lines if line not in bad])
    found = _sorted_out(lines, belongs, tips)
    if not found.wrong and not bad and not order:
        return False
    for name, was in found.unknown.items():
        loose = folder / name
        if not loose.exists():
            loose.parent.mkdir(parents=True, exist_ok=True)
            whole.replace(loose, was.encode("utf-8", "surrogateescape") + b"\n")
    if not bad:
        set_aside(folder, place)
    _write(place, [_HEADER, *(f"{tip} {name}" for name, tip in sorted(found.right.items()))])
    return True


def unread(folder: Path) -> list[str]:
    """Lines of the file that git stops at, whatever it is asked."""
    data = disk.plain(folder / "packed-refs", references.LARGEST) or b""
    lines = data.decode("utf-8", "surrogateescape").split("\n")
    whole = lines if data.endswith(b"\n") or not data else lines[:-1]
    rest = [] if whole is lines else [lines[-1]]
    return [line for at, line in enumerate(whole) if line and not _fits(line, at)] + rest


def disorder(folder: Path) -> str:
    """The first branch that git would not find, or not always: its line is out of order, or it has another one."""
    last = b""
    for line in (disk.plain(folder / "packed-refs", references.LARGEST) or b"").split(b"\n"):
        if line and not line.startswith((b"#", b"^")):
            if line[41:] <= last:
                return line[41:].decode("utf-8", "surrogateescape")
            last = line[41:]
    return ""


def _fits(line: str, at: int) -> bool:
    if at == 0 and line.startswith("#"):
        return bool(_ANY_HEADER.fullmatch(line))
    return bool(_LINE.fullmatch(line) or (at and _PEELED.fullmatch(line)))


def _write(place: Path, lines: list[str]) -> None:
    text = "".join(f"{line}\n" for line in lines if line)
    whole.replace(place, text.encode("utf-8", "surrogateescape"))


def _sorted_out(lines: list[str], belongs: Belongs, tips: Mapping[str, str]) -> _Sorted:
    found = _Sorted()
    for at, line in enumerate(lines):
        if line and not line.startswith("^") and not (at == 0 and line.startswith("#")):
            _sort(line[:40], line[41:], belongs, tips, found)
    return found


def _sort(tip: str, name: str, belongs: Belongs, tips: Mapping[str, str], found: _Sorted) -> None:
    branch = belongs(tip) if _ID.fullmatch(tip) else ""
    named = name.startswith("refs/") and references.well_named(name)
    ours = named and name.startswith(_OURS)
    if (name and branch == name) or (named and not ours and not branch and _ID.fullmatch(tip)):
        _enter(name, tip, tips.get(name, ""), found.right)
        return
    found.wrong = True
    known = tips.get(name, "") if ours else ""
    if branch:
        found.right.setdefault(branch, tip)
    elif known and belongs(known) == name:
        found.right[name] = known
    elif ours:
        found.unknown[name] = tip


def _enter(name: str, tip: str, known: str, right: dict[str, str]) -> None:
    """One more end of a branch; of two ends one is set aside."""
    before = right.get(name, tip)
    if before != tip:
        kept, other = (before, tip) if before == known else (tip, before)
        right |= {name: kept, f"{ASIDE}{name.removeprefix('refs/heads/')}/{other[:12]}": other}
    else:
        right[name] = tip
