"""Where else the records of an archive are: what the last exchange with each other archive left there.

Written down for the person who exchanged, in a folder of theirs outside of the archive: whoever prepares a stick must
not be able to say that its records are safe elsewhere. Each laptop knows its own exchanges only. It says what was there
then; that the other place still exists is not known. A folder that shares its files with the archive (a local clone has
the same files under a second name) is no other place.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from pathlib import Path

import msgspec

from asfound.archive import disk, whole
from asfound.archive.gitprogram import commit_id
from asfound.archive.plumbing import Plumbing
from asfound.archive.record_lines import Entry
from asfound.archive.remotes import Remote
from asfound.archive.stations import branch
from asfound.model.logic import Node
from asfound.model.problem import Problem
from asfound.model.record import Record
from asfound.model.visible import visible, without_password

LARGEST = 64 * 2**20


class Place(Node, frozen=True):
    """``tips`` are the ends of the branches that the other archive had after the exchange."""

    address: str
    time: str
    tips: dict[str, str]


class _Known(Node, frozen=True):
    """The exchanges of one archive, which is named so that no other one is taken for it."""

    archive: str
    places: tuple[Place, ...]


class Elsewhere(Node, frozen=True):
    """The place that lacks the fewest records of a station, and which ones it lacks."""

    address: str
    time: str
    lacking: tuple[Record, ...]


def remember(git: Plumbing, address: str, time: datetime) -> bool:
    """Write down what the other archive has after an exchange; whether it counts as another place.

    Failing to write only means that it is not known.
    """
    with Remote(git.folder, address) as remote:
        tips = remote.tips()
        if remote.is_near and shares(git.folder, remote.place, tips.values()):
            return False
    place = Place(without_password(address), time.isoformat(timespec="seconds"), tips)
    others = [each for each in places(git.folder) if each.address != place.address]
    _write(git.folder, (*others, place))
    return True


def moved(old: Path, new: Path, name: str) -> None:
    """Remember the exchanges of the archive ``name`` in a folder that gets another place, with all in it."""
    found = places(old / name)
    where = [Path(place.address) for place in found]
    again = (new / path.relative_to(old) if path.is_relative_to(old) else path for path in where)
    known = tuple(Place(str(path), place.time, place.tips) for path, place in zip(again, found, strict=True))
    if known:
        _write(new / name, known)
        _file(old / name).unlink(missing_ok=True)


def _write(folder: Path, known: tuple[Place, ...]) -> None:
    file = _file(folder)
    try:
        file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        whole.replace(file, msgspec.json.format(msgspec.json.encode(_Known(str(folder), known)), indent=2))
    except (OSError, Problem):
        return


def shares(folder: Path, other: Path, tips: Iterable[str]) -> bool:
    """Whether two archives have files of objects in common: packs, or the ends of branches."""
    packs = (path.relative_to(folder) for path in (folder / "objects" / "pack").glob("*.pack"))
    loose = (Path("objects", tip[:2], tip[2:]) for tip in tips)
    return any(_is_one(folder / name, other / name) for name in (*packs, *loose))


def _is_one(file: Path, other: Path) -> bool:
    try:
        return file.samefile(other)
    except OSError:
        return False


def _file(folder: Path) -> Path:
    from platformdirs import user_state_path

    name = hashlib.sha256(str(folder).encode("utf-8", "surrogatepass")).hexdigest()[:32]
    return user_state_path("asfound", appauthor=False) / "exchanges" / f"{name}.json"


def places(folder: Path) -> tuple[Place, ...]:
    """What is known of other places, in the order of the exchanges; nothing when the file is missing or damaged."""
    try:
        known = msgspec.json.decode(disk.plain(_file(folder), LARGEST) or b"", type=_Known)
        if known.archive != str(folder):
            return ()
        return tuple(_checked(place) for place in known.places)
    except (msgspec.DecodeError, ValueError, RecursionError, Problem):
        return ()


def _checked(place: Place) -> Place:
    datetime.fromisoformat(place.time)
    return Place(visible(place.address), place.time, {line: commit_id(tip) for line, tip in place.tips.items()})


def elsewhere(git: Plumbing, station: str, entries: Sequence[Entry]) -> Elsewhere | None:
    """The other place that holds most of a station; None when it was never exchanged."""
    return min(_held(git, branch(station), entries), key=lambda each: len(each.lacking), default=None)


def _held(git: Plumbing, line: str, entries: Sequence[Entry]) -> Iterator[Elsewhere]:
    """Each place that holds some of a station; one whose end of it is not known here vouches for nothing."""
    for place in reversed(places(git.folder)):
        if there := place.tips.get(line):
            try:
                lacking = {commit for commit, *_ in git.beyond(git.tip(line), there)}
            except Problem:
                continue
            yield Elsewhere(place.address, place.time, tuple(e.record for e in entries if e.commit in lacking))
