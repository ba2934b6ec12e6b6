"""The log of a branch, written anew where a byte of it went wrong.

Each move of a branch stands in its log twice: as the end of one line and as the beginning of the next; the last end is
the branch itself. So an id that no commit has is taken from its neighbour. What nothing vouches for stays as
it is, and stays named by the check.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from asfound.archive import disk, references, whole
from asfound.archive.damaged_folder import set_aside

_NONE = "0" * 40
_WHO = re.compile(r"[^\n]* <[^\n<>]*> \d+ [+-]\d{4}(\t[^\n]*)?")
_MENDED = "asfound <> 0 +0000\tmended by asfound check"
Known = Callable[[str], bool]
"""Whether an id is that of a sound commit."""


class _Line(NamedTuple):
    old: str
    new: str
    rest: str


def mend(folder: Path, reference: str, tip: str, known: Known, foreign: Known) -> bool:
    """Write the log of a branch anew if neighbours say what an id in it must be; whether that was so.

    Lines that name ``foreign`` records, those of another station, are none of this log.
    """
    place = folder / "logs" / reference
    data = disk.plain(place, references.LARGEST)
    if not data:
        return False
    text = data.decode("utf-8", "surrogateescape")
    lines = [_Line(line[:40], line[41:81], line[82:]) for line in text.split("\n") if line]
    lines = [line for line in lines if not foreign(line.old) and not foreign(line.new)]
    mended = "".join(f"{line.old} {line.new} {line.rest}\n" for line in _mended(lines, tip, known))
    if mended == text:
        return False
    set_aside(folder, place)
    whole.replace(place, mended.encode("utf-8", "surrogateescape"))
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
