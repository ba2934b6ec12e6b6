"""A folder that exports land in, watched: each look ends in a record, in a reason why there is none, or in nothing.

The bytes are read once the folder has settled (:mod:`.settling`), and count only if nothing moved while they were read.
What the latest record with that copy holds already, byte for byte, is not stored again; digests decide, never times.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from asfound.archive.adding import Held
from asfound.archive.archive import Archive
from asfound.archive.settling import Settling, Trace, look, unreachable
from asfound.archive.stations import branch
from asfound.model.problem import Problem
from asfound.model.record import Record
from asfound.readers.single_files import Files


class Seen(NamedTuple):
    """What a look came to: a new record (``before`` is the latest with that copy until then), or the ``record`` that
    holds these bytes already (``stored`` is false)."""

    record: Record
    before: Record | None
    stored: bool


class Target(NamedTuple):
    """Where what lands goes. The archive is opened for each store: it may be on a share that comes and goes."""

    archive: Callable[[], Archive]
    station: str
    copy: str
    store: Callable[[Archive, Files], Record]


class Watcher:
    """Looks at a folder, one :meth:`step` at a time; whoever calls it waits in between.

    ``read`` gives the files of the folder and ``looked`` its traces; tests put their own in their place.
    """

    def __init__(
        self,
        folder: Path,
        target: Target,
        read: Callable[[Path], Files],
        looked: Callable[[Path], tuple[Trace, ...]] = look,
    ) -> None:
        self._folder, self._target, self._read, self._look = folder, target, read, looked
        self._settling = Settling()
        self._told = ""

    def step(self) -> Seen | None:
        """Look once, and store when it is time. None: wait on.

        Raises :class:`Problem` for what stands in the way. It is no reason to stop: the next steps try again.
        """
        try:
            sight = self._look(self._folder)
        except Problem:
            self._settling.lost()
            raise
        if not self._settling.ripe(sight):
            return None
        try:
            return self._settled(sight)
        except (Problem, OSError) as error:
            if not self._still():  # half a file, or none any more: no fault of what is coming
                return None
            self._settling.failed()
            raise error if isinstance(error, Problem) else unreachable(self._folder, error) from None

    def news(self, problem: Problem) -> bool:
        """Whether a problem has to be told: it is another one than the last, or something went well in between."""
        told, self._told = self._told, str(problem)
        return told != self._told

    def fine(self) -> None:
        """Something went well: a problem that comes after it is told again."""
        self._told = ""

    def _settled(self, sight: tuple[Trace, ...]) -> Seen | None:
        files = self._read(self._folder)
        if not self._still():
            return None
        sizes = {trace.name: trace.size for trace in sight}
        for name, data in files:
            if len(data) != sizes.get(name, len(data)):  # a share may be late with the size of a file being written
                what = f"{name} is {len(data)} bytes long and its folder says {sizes[name]}"
                raise Problem(what, where=str(self._folder), advice="wait until it is written")
        with self._target.archive() as archive:
            before = latest(archive, self._target.station, self._target.copy)
            if before and _digests(before, self._target.copy) == _of(files):
                self._settling.done()
                return Seen(before, before, stored=False)
            try:
                record = self._target.store(archive, files)
            except Held as held:  # another watch was faster
                self._settling.done()
                return Seen(held.record, held.record, stored=False)
        self._settling.done()
        return Seen(record, before, stored=True)

    def _still(self) -> bool:
        """Whether the folder is as it was at the last look."""
        try:
            return self._settling.same(self._look(self._folder))
        except Problem:
            return False


def latest(archive: Archive, station: str, copy: str) -> Record | None:
    """The latest record of a station that holds a copy; None when there is none, or no such station yet."""
    if branch(station) not in map(branch, archive.stations()):
        return None
    held = (record for record in reversed(archive.records(station)) if _digests(record, copy))
    return next(held, None)


def _digests(record: Record, copy: str) -> set[tuple[str, str]]:
    return {(source.name, source.sha256) for each in record.copies if each.name == copy for source in each.sources}


def _of(files: Files) -> set[tuple[str, str]]:
    return {(name, hashlib.sha256(data).hexdigest()) for name, data in files}
