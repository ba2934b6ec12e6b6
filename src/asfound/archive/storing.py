"""The commit of a record, and the branch of its station moved on to it.

Other processes may do the same at once, and killed ones may have left locks behind. Big things are written before the
lock is taken; under it go only what depends on the tip (record.json, trees, the commit) and the move. The
compare-and-swap of the move still decides, for a plain ``git push`` knows nothing of our lock, and some file systems
have none.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from asfound.archive import configuration, disk
from asfound.archive.content import message_of
from asfound.archive.people import git_date, name_and_address
from asfound.archive.plumbing import Moved, Plumbing, Sign
from asfound.archive.validity import objections
from asfound.model.problem import Problem
from asfound.model.record import Record

T = TypeVar("T")
LOCK = "asfound.lock"
"""The file in the archive that is locked while a branch is moved. It holds nothing and stays."""


def committed(
    git: Plumbing, record: Record, heads: Mapping[str, bytes], blobs: Mapping[str, str], parent: str, sign: Sign | None
) -> str:
    """The id of the commit of a record; ``blobs`` are its bytes, stored already, by path. All of it is synced.

    A :class:`Problem` for a record that could not be read again.
    """
    if wrong := next(objections(record), ""):
        raise Problem(f"{wrong} cannot be stored", where=f"station {record.station}", advice="write it in another way")
    files = {**blobs, **dict(zip(heads, git.blobs(heads.values()), strict=True))}
    trees = git.trees(files)
    name, address = name_and_address(record.person)
    date = git_date(datetime.fromisoformat(record.time))
    commit = git.commit(trees[-1], [parent] if parent else [], message_of(record), name, address, date, sign)
    git.sync([*files.values(), *trees, commit])
    return commit


def move_forward(git: Plumbing, line: str, attempt: Callable[[int | None], T]) -> T:
    """Do the attempt under the lock until the branch ``line`` was where it expected; what it returns.

    A lock of git that a killed process left behind is removed once it is known to be one.
    """
    with disk.hold(git.folder / LOCK) as held:
        configuration.complete(git.folder)
        leftover = disk.Leftover(git.lock(line))
        until = time.monotonic() + disk.PATIENCE
        while True:
            try:
                return attempt(held)
            except Moved as error:
                if time.monotonic() > until:
                    raise _stuck(git, line, str(error)) from None
            if held is not None:
                leftover.remove_if_stale()
            time.sleep(0.02)


def free(folder: Path, line: str) -> None:
    """Remove the lock of a branch in another archive on this computer, once it is known to be left behind."""
    lock = folder / "refs" / "heads" / f"{line}.lock"
    if not lock.exists():
        return
    with disk.hold(folder / LOCK) as held:
        leftover = disk.Leftover(lock)
        until = time.monotonic() + disk.PATIENCE
        while held is not None and lock.exists() and time.monotonic() < until:
            leftover.remove_if_stale()
            time.sleep(0.02)


def _stuck(git: Plumbing, line: str, said: str) -> Problem:
    lock = git.lock(line)
    if lock.exists():
        advice = f"remove {lock} if no other process is storing, and store again"
        return Problem("another process is storing this station, or was killed", where=str(git.folder), advice=advice)
    place = Path("refs") / "heads" / line
    words = " ".join(said.split()).removeprefix("stderr:").strip(" '")
    return Problem(
        f"the branch {place.as_posix()} could not be moved in {disk.PATIENCE:g} seconds ({words})",
        where=str(git.folder),
        advice="close what holds the file open (a virus scanner?) and store again; nothing was changed",
    )
