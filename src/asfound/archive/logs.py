"""The log of a branch and ``packed-refs``, written anew where a byte of them went wrong.

Each move of a branch stands in its log twice: as the end of one line and as the beginning of the next; the last end is
the branch itself. So an id that no commit has is taken from its neighbour. ``packed-refs`` names branches whose records
say themselves to which station they belong. What nothing vouches for stays as it is, and stays named by the check.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple

from asfound.archive import disk, references
from asfound.archive.foundations import set_aside
from asfound.archive.stations import PREFIX

_NONE = "0" * 40
_WHO = re.compile(r"[^\n]* <[^\n<>]*> \d+ [+-]\d{4}(\t[^\n]*)?")
_MENDED = "asfound <> 0 +0000\tmended by asfound check"
_HEADER = "# pack-refs with: sorted \n"
_ANY_HEADER = re.compile(r"(# pack-refs with:[ a-z-]*\n)?")
_OURS = f"refs/heads/{PREFIX}"
_PACKED = re.compile(r"([0-9a-f]{40}) (refs/[^\x00-\x20\x7f]+)")
Known = Callable[[str], bool]
"""Whether an id is that of a sound commit."""


class _Line(NamedTuple):
    old: str
    new: str
    rest: str


def mend(folder: Path, reference: str, tip: str, known: Known) -> bool:
    """Write the log of a branch anew if neighbours say what an id in it must be; whether that was so."""
    place = folder / "logs" / reference
    data = disk.plain(place, references.LARGEST)
    if not data:
        return False
    text = data.decode("utf-8", "surrogateescape")
    lines = [_Line(line[:40], line[41:81], line[82:]) for line in text.split("\n") if line]
    mended = "".join(f"{line.old} {line.new} {line.rest}\n" for line in _mended(lines, tip, known))
    if mended == text:
        return False
    set_aside(folder, place)
    disk.replace(place, mended.encode("utf-8", "surrogateescape"))
    return True


def _mended(lines: list[_Line], tip: str, known: Known) -> list[_Line]:
    found: list[_Line] = []
    for at, line in enumerate(lines):
        before = found[-1].new if found else _NONE
        after = lines[at + 1].old if at + 1 < len(lines) else tip
        old = line.old if line.old == _NONE or known(line.old) else _first(line.old, before, known, _NONE)
        new = line.new if known(line.new) else _first(line.new, after, known)
        found.append(_Line(old, new, line.rest if _WHO.fullmatch(line.rest) else _MENDED))
    return found


def _first(own: str, neighbour: str, known: Known, allowed: str = "") -> str:
    """What the neighbour says, if that can be; else what stands there."""
    return neighbour if neighbour and (neighbour == allowed or known(neighbour)) else own


def pack(folder: Path, station_of: Callable[[str], str], tips: Mapping[str, str]) -> bool:
    """Write ``packed-refs`` anew if a line of it is wrong; whether that was so.

    ``station_of`` gives the reference that the record at a commit belongs to (nothing when it is no sound record);
    ``tips`` are what logs or a second archive say of branches. A branch of which nobody knows the end keeps a file with
    what stood there, so that it stays damaged and is named.
    """
    place = folder / "packed-refs"
    data = disk.plain(place, references.LARGEST)
    if data is None:
        return False
    text = data.decode("utf-8", "surrogateescape")
    right, wrong = _sorted_out(text, station_of, {name: tip for name, tip in tips.items() if station_of(tip) == name})
    head = text[: text.find("\n") + 1] if text.startswith("#") or text[1:2] == " " else ""
    if not wrong and _ANY_HEADER.fullmatch(head):
        return False
    written = _HEADER + "".join(f"{tip} {name}\n" for name, tip in sorted(right.items()))
    for name, was in wrong.items():
        loose = folder / name
        if name not in right and references.well_named(name) and not loose.exists():
            loose.parent.mkdir(parents=True, exist_ok=True)
            disk.replace(loose, was.encode("utf-8", "surrogateescape") + b"\n")
    set_aside(folder, place)
    disk.replace(place, written.encode("utf-8", "surrogateescape"))
    return True


def _sorted_out(
    text: str, station_of: Callable[[str], str], tips: Mapping[str, str]
) -> tuple[dict[str, str], dict[str, str]]:
    """``{reference: id}`` of what is right or can be put right, and of what was wrong."""
    right: dict[str, str] = {}
    wrong: dict[str, str] = {}
    for line in text.split("\n"):
        found = _PACKED.fullmatch(line)
        if not found:
            name = line[41:]
            if line and not line.startswith(("#", "^")) and name.startswith("refs/"):
                wrong[name] = line[:40]
            continue
        tip, name = found.groups()
        station = station_of(tip)
        if station == name or (not name.startswith(_OURS) and not station):
            right[name] = tip
        else:
            wrong[name] = tip
            if station:
                right.setdefault(station, tip)
    for name in wrong:
        if name in tips:
            right[name] = tips[name]
    return right, wrong
