"""Names of stations, and the branches they live on."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from pathlib import Path

from asfound.archive.safe_names import escape, unescape
from asfound.model.problem import Problem, command, meant

PREFIX = "stations/"
FEW = 8
"""Stations that are named in one sentence; of more than these a command lists them."""
_NEVER = {"/": "a slash", "\\": "a backslash", "@": "an @", ":": "a colon", "~": "a tilde", "^": "a caret"}
_NEVER_FIRST = {"-": "a hyphen", ".": "a dot", " ": "a blank"}


def checked(station: str) -> str:
    """The name itself when it can be one of a station, else a :class:`Problem` naming the first bad character.

    Umlauts and blanks are fine. What separates the parts of a reference (``@ : /``) is not.
    """
    if not station:
        raise Problem("the name of a station is empty", advice="give it one, such as booster-1")
    where = f"station {station!r}"
    advice = "use letters, digits, blanks, - and _"
    for sign in station:
        if sign in _NEVER:
            raise Problem(f"the name holds {_NEVER[sign]} ({sign})", where=where, advice=advice)
        if unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Zl", "Zp"):
            raise Problem(f"the name holds the invisible character U+{ord(sign):04X}", where=where, advice=advice)
    if station[0] in _NEVER_FIRST:
        raise Problem(f"the name starts with {_NEVER_FIRST[station[0]]}", where=where, advice=advice)
    if station[-1] in (" ", "."):
        raise Problem(f"the name ends with {_NEVER_FIRST[station[-1]]}", where=where, advice=advice)
    if len(branch(station).encode("utf-8")) > 200:
        raise Problem("the name is longer than 200 bytes", where=where, advice="shorten it")
    return station


def branches_on_disk(archive: Path) -> list[str]:
    """Names of stations as their branches spell them (lower case), sorted; empty where there is no archive.

    Read from the files of the branches without git, in a few milliseconds: for a person who is typing.
    """
    start = f"refs/heads/{PREFIX}"
    folder, packed = archive / start, archive / "packed-refs"
    found = {path.name for path in folder.iterdir()} if folder.is_dir() else set()
    if packed.is_file():
        lines = packed.read_text("utf-8", "replace").splitlines()
        found |= {line.partition(f" {start}")[2] for line in lines if f" {start}" in line}
    return sorted(unescape(name) for name in found if not name.endswith(".lock"))


def branch(station: str) -> str:
    """The branch of a station. Names that differ only in case (or in how accents are composed) share one.

    >>> branch("Booster 1"), branch("a..b"), branch("x.lock")
    ('stations/booster%201', 'stations/a%2E.b', 'stations/x%2Elock')
    """
    safe = escape(unicodedata.normalize("NFC", unicodedata.normalize("NFC", station).lower()))
    safe = safe.replace(" ", "%20").replace("[", "%5B").replace("..", "%2E.").replace("..", "%2E.")
    if safe.endswith(".lock"):
        safe = safe.removesuffix(".lock") + "%2Elock"
    return PREFIX + safe


def instead(station: str, names: Sequence[str], archive: Path) -> str:
    """What an archive has (``names``) instead of a station that is not in it."""
    if not names:
        return f"the archive is still empty; {command('store', archive, station)} ... makes its first record"
    listing = f"{command('history', archive)} lists all {len(names)}"
    if near := meant(station, names):
        return near + (listing if names[1:] else "it has no other")
    return f"the archive has {', '.join(names)}" if len(names) <= FEW else listing
