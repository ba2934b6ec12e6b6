"""Where else the records of an archive are: what the last exchange with each other archive left there.

A small file in the archive folder, outside of what is exchanged: each laptop knows its own exchanges only. It says
what was there then; that the other place still exists is not known.
"""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import msgspec

from asfound.archive import disk
from asfound.archive.lines import Entry
from asfound.archive.plumbing import Plumbing
from asfound.archive.remotes import Remote
from asfound.archive.stations import branch
from asfound.model.logic import Node
from asfound.model.record import Record

FILE = "asfound-synced.json"
_SECRET = re.compile(r"(?<=:)//[^/@]*@")
"""User and password in an address."""


class Place(Node, frozen=True):
    """``tips`` are the ends of the branches that the other archive had after the exchange."""

    address: str
    time: str
    tips: dict[str, str]


class Elsewhere(Node, frozen=True):
    """The place that lacks the fewest records of a station, and which ones it lacks."""

    address: str
    time: str
    lacking: tuple[Record, ...]


def remember(git: Plumbing, address: str, time: datetime) -> None:
    """Write down what the other archive has after an exchange; failing to do so only means that it is not known."""
    with Remote(git.folder, address) as remote:
        place = Place(_SECRET.sub("//", address), time.isoformat(timespec="seconds"), remote.tips())
    others = [each for each in places(git.folder) if each.address != place.address]
    data = msgspec.json.format(msgspec.json.encode([*others, place]), indent=2)
    try:
        handle, temporary = tempfile.mkstemp(prefix=".asfound-", dir=git.folder)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        disk.rename(Path(temporary), git.folder / FILE)
    except OSError:
        return


def places(folder: Path) -> tuple[Place, ...]:
    """What is known of other places, in the order of the exchanges; nothing when the file is missing or damaged."""
    try:
        return msgspec.json.decode((folder / FILE).read_bytes(), type=tuple[Place, ...])
    except (OSError, msgspec.DecodeError):
        return ()


def elsewhere(git: Plumbing, station: str, entries: Sequence[Entry]) -> Elsewhere | None:
    """The other place that holds most of a station; None when it was never exchanged."""
    line = branch(station)
    tip = git.tip(line)
    known = (place for place in reversed(places(git.folder)) if line in place.tips)
    found = (Elsewhere(p.address, p.time, _lacking(git, tip, p.tips[line], entries)) for p in known)
    return min(found, key=lambda each: len(each.lacking), default=None)


def _lacking(git: Plumbing, tip: str, there: str, entries: Sequence[Entry]) -> tuple[Record, ...]:
    beyond = {commit for commit, *_ in git.beyond(tip, there)}
    return tuple(entry.record for entry in entries if entry.commit in beyond)
