"""When an export that somebody else writes is written to its end: nothing below its folder has moved for a while.

Nobody tells a reader that a writer has finished. So a folder is looked at again and again, and what looked the same
:data:`LOOKS` times in a row may be read. Looks are counted instead of seconds: a laptop that slept for an hour between
two of them has seen no hour of stillness.

Looking beats a library that reports file events: network shares, where scheduled exports mostly land, do not deliver
the events of other computers, and events get lost when many come at once; a look is right on every system and disk.

Known weakness: a writer that pauses for longer than the looks last seems to have finished. Most formats show that they
are cut off, and are refused; a list or a set of files does not. The next record then holds the rest.
"""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from asfound.model.problem import Problem
from asfound.readers.reading import below, missing

LOOKS = 3
"""Looks in a row that must see the same. With a second between them they outlast the coarsest time stamps (FAT: two
seconds), so that a file written again within one stamp is not taken for the one before."""
AGAIN = 12
"""Looks after which what failed is tried again although nothing moved: a lock, a full disk, a share without rights."""


class Trace(NamedTuple):
    """What a file shows without being read; times in nanoseconds. ``changed`` is the creation on Windows.

    ``size`` is -1 for a file that vanished while it was looked at.
    """

    name: str
    size: int
    modified: int
    changed: int


def look(folder: Path) -> tuple[Trace, ...]:
    """The files below a folder that a store would take, sorted by name.

    Raises :class:`Problem` when the folder is not there, cannot be read, or holds what a store refuses.
    """
    try:
        if not folder.exists():
            raise missing(folder)
        if not folder.is_dir():
            raise Problem("is no folder", where=str(folder), advice="name the folder that exports are written to")
        return tuple(sorted(_trace(folder, file) for file in below(folder, folder.resolve())))
    except OSError as error:
        raise unreachable(folder, error) from None


def unreachable(folder: Path, error: OSError) -> Problem:
    """The :class:`Problem` of a folder on a share that is away, stale, or lost while it was read."""
    return Problem(
        f"cannot be reached ({error.strerror})", where=str(error.filename or folder), advice="check the disk or share"
    )


def _trace(folder: Path, file: Path) -> Trace:
    name = file.relative_to(folder).as_posix()
    try:
        found = file.stat()
    except OSError:
        return Trace(name, -1, 0, 0)
    return Trace(name, found.st_size, found.st_mtime_ns, found.st_ctime_ns)


class Settling:
    """From what is seen of a folder, look by look, to the moment when it should be read. Neither clock nor disk.

    >>> settling, sight = Settling(), (Trace("main.st", 10, 1, 1),)
    >>> [settling.ripe(sight) for _ in range(4)]
    [False, False, True, True]
    >>> settling.done()
    >>> settling.ripe(sight), settling.ripe(())
    (False, False)
    """

    def __init__(self) -> None:
        self._sight: tuple[Trace, ...] = ()
        self._seen = 0
        self._wait = 0

    def ripe(self, sight: tuple[Trace, ...]) -> bool:
        """Whether what is seen now has been the same long enough, and was not dealt with. An empty folder never is."""
        if sight != self._sight:
            self._sight, self._seen, self._wait = sight, 0, LOOKS
        self._seen += 1
        return bool(sight) and 0 < self._wait <= self._seen

    def same(self, sight: tuple[Trace, ...]) -> bool:
        """Whether nothing moved since the last look, which is no look of its own."""
        return sight == self._sight

    def done(self) -> None:
        """What was seen last is dealt with: not ripe again before it changes."""
        self._wait = 0

    def failed(self) -> None:
        """It could not be dealt with: ripe again when it has changed and settled, or after :data:`AGAIN` looks."""
        self._seen, self._wait = 0, AGAIN

    def lost(self) -> None:
        """Nothing can be seen: whatever comes back has to settle anew."""
        self._sight, self._seen, self._wait = (), 0, 0
