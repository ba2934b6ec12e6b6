"""Files and folders that are written whole: a final name is there with every byte, or not at all.

What is written begins in a hidden folder of ours beside its target (``.asfound-new-`` and 16 hexadecimal digits),
is synced there, and gets its name in one step; then the folder around it is synced. The hidden folder holds ``lock``,
a file that the kernel keeps locked for as long as its writer lives, and ``new0``, ``new1`` ...: what is being written.

Whoever begins to write removes what killed writers left in the same folder, and nothing else: a real folder (never a
link) of exactly such a name and of the same owner, that holds nothing but such names, and whose lock nobody holds.
Between making the hidden folder and locking it a writer looks dead. So it locks, then looks whether the lock still has
its name; if not, somebody took it for a left-over in that moment, and it begins again under another name. Who removes
holds that lock meanwhile, and leaves a folder in which another lock has appeared. Where the file system has no locks
(some network shares) only what is older than a day, by the clock of that file system, counts as left behind.

Rejected: a lock on the written file itself, which on Windows has to be let go before the rename; an age alone, which
either leaves what was just killed or removes what is written slowly.
"""

from __future__ import annotations

import contextlib
import errno
import os
import re
import secrets
import stat
import sys
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from asfound.archive import disk
from asfound.archive.folders import Folder, is_link, opened
from asfound.model.problem import Problem

NAME = re.compile(r"\.asfound-new-[0-9a-f]{16}")
OLD = 86_400.0
"""Seconds after which a left-over counts as one where the file system has no locks."""
MANY = 300
"""Files and folders from which on one sync of everything is faster than one for each."""
_LOCK = "lock"
_INSIDE = re.compile(r"lock|new[0-9]{1,9}")
_NO_LINKS = (errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS, errno.EACCES, errno.EMLINK, errno.EINVAL)
"""What file systems without hard links (FAT, some shares) say when one is asked for."""


class Beside:
    """A hidden folder of ours in ``folder``; nothing in it has its final name yet."""

    def __init__(self, folder: Folder, inner: Folder) -> None:
        self.folder, self.inner, self._count = folder, inner, 0

    def fresh(self) -> Path:
        """Where a program that needs a path may make a file or folder; its last part is what :meth:`put` takes."""
        self._count += 1
        return self.inner.path / f"new{self._count - 1}"

    def write(self, parts: Iterable[bytes], mode: int = 0o666) -> str:
        """A file of these bytes, synced; what :meth:`put` takes. ``mode`` is what the umask leaves of it."""
        name = self.fresh().name
        handle = self.inner.open(name, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
        with os.fdopen(handle, "wb") as file:
            file.writelines(parts)
            file.flush()
            disk.sync_handle(file.fileno())
        return name

    def put(self, inner: str, name: str, *, replace: bool = False, sync: bool = True) -> None:
        """Give a file its final name, and sync its folder. :class:`FileExistsError` unless it may replace one.

        Who puts many into one folder syncs it once, after the last.
        """
        try:
            disk.patiently(lambda: self._replace(inner, name) if replace else self._add(inner, name))
        except FileExistsError:
            raise self._exists(name) from None
        if sync:
            self.folder.sync()

    def put_folder(self, inner: str, name: str) -> None:
        """Sync a folder with all that is in it and give it its name, which nothing but an empty folder may have."""
        made = self.inner.path / inner
        _sync_all(made)
        there = self.folder.stat(name)
        if there is not None:
            if is_link(there) or not stat.S_ISDIR(there.st_mode):
                raise self._exists(name)
            made.chmod(stat.S_IMODE(there.st_mode))  # somebody made it private for what was to come
            os.rmdir(self.folder.at(name), dir_fd=self.folder.handle)
        disk.patiently(lambda: self._rename(inner, name))
        self.folder.sync()

    def _replace(self, inner: str, name: str) -> None:
        there = self.folder.stat(name)
        if there is not None and stat.S_ISREG(there.st_mode) and self.inner.handle is not None:
            os.chmod(inner, stat.S_IMODE(there.st_mode) & 0o777, dir_fd=self.inner.handle)
        os.replace(
            self.inner.at(inner), self.folder.at(name), src_dir_fd=self.inner.handle, dst_dir_fd=self.folder.handle
        )

    def _add(self, inner: str, name: str) -> None:
        """By a hard link, which never replaces anything; a rename on Windows does not either."""
        if sys.platform == "win32":
            self._rename(inner, name)
            return
        handles = {"src_dir_fd": self.inner.handle, "dst_dir_fd": self.folder.handle}
        try:
            os.link(self.inner.at(inner), self.folder.at(name), **handles, follow_symlinks=False)
        except OSError as error:
            if error.errno not in _NO_LINKS:
                raise
            if self.folder.stat(name) is not None:
                raise FileExistsError from None
            self._rename(inner, name)
        else:
            self.inner.remove(inner)

    def _exists(self, name: str) -> FileExistsError:
        return FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(self.folder.path / name))

    def _rename(self, inner: str, name: str) -> None:
        os.rename(
            self.inner.at(inner), self.folder.at(name), src_dir_fd=self.inner.handle, dst_dir_fd=self.folder.handle
        )


def _sync_all(made: Path) -> None:
    """Make a folder with all that is in it survive a power cut."""
    inside = list(made.rglob("*"))
    if len(inside) > MANY and sys.platform == "linux":  # where sync(2) waits until all is written
        os.sync()
        return
    disk.sync_files(path for path in inside if path.is_file())
    disk.sync_folders([made, *(path for path in inside if path.is_dir())])


@contextlib.contextmanager
def beside(folder: Folder) -> Iterator[Beside]:
    """A hidden folder in an open one, ours until the end, after which it is gone; left-overs are removed first."""
    with _claimed(folder) as (inner, _):
        _sweep(folder, inner)
        yield Beside(folder, inner)


@contextlib.contextmanager
def among(path: Path) -> Iterator[Beside]:
    """The same in a folder named by its path."""
    with opened(path) as folder, beside(folder) as made:
        yield made


def write(to: Path, data: bytes, *, replace: bool, mode: int = 0o666) -> None:
    """Write one file whole; one that is replaced hands on its mode. :class:`OSError` when it cannot be."""
    with among(to.parent) as made:
        made.put(made.write((data,), mode), to.name, replace=replace)


def replace(to: Path, data: bytes) -> None:
    """A file with these bytes in the place of what stands there."""
    write(to, data, replace=True)


@contextlib.contextmanager
def scratch() -> Iterator[Path]:
    """An empty folder of ours for a while, where the system keeps such; what killed ones left there is removed."""
    with among(Path(tempfile.gettempdir())) as made:
        folder = made.fresh()
        folder.mkdir()
        yield folder


def refused(error: OSError, where: Path | str, advice: str) -> Problem:
    """What a person is told when something could not be written."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return Problem("the disk is full", where=str(where), advice="make room on it and try again")
    if error.errno == errno.EROFS:
        return Problem("the disk is read-only", where=str(where), advice=f"unlock it, or {advice}")
    return Problem(f"cannot be written ({error.strerror or error})", where=str(where), advice=advice)


# --- whose it is ------------------------------------------------------------------------------------------------------


class _Lock(NamedTuple):
    """An open lock file; ``sure`` when the kernel knows locks here."""

    handle: int
    sure: bool


@contextlib.contextmanager
def _claimed(folder: Folder) -> Iterator[tuple[Folder, _Lock]]:
    """A new hidden folder of ours, and its lock; at the end it is gone."""
    while True:
        name = f".asfound-new-{secrets.token_hex(8)}"
        folder.make(name, 0o700)
        with contextlib.ExitStack() as stack:
            try:
                inner = stack.enter_context(folder.inner(name))
                lock = _lock(inner)
            except FileNotFoundError:  # removed before it was locked
                continue
            except OSError:
                _remove_folder(folder, name)
                raise
            if lock is None:  # being removed
                continue
            try:
                yield inner, lock
            finally:
                with contextlib.suppress(OSError):
                    _clear(folder, name, inner, lock.handle)
            return


def _lock(inner: Folder) -> _Lock | None:
    """The lock of a hidden folder; None when somebody else has it, or it was removed in this moment."""
    handle = inner.open(_LOCK, os.O_RDWR | os.O_CREAT, 0o600)
    sure = True
    try:
        disk.take(handle)
    except OSError as error:
        sure = error.errno not in disk.NO_LOCKS
        if sure:
            os.close(handle)
            return None
    there = inner.stat(_LOCK)
    if there is None or not os.path.samestat(there, os.fstat(handle)):
        os.close(handle)
        return None
    return _Lock(handle, sure)


def _clear(folder: Folder, name: str, inner: Folder, handle: int) -> None:
    """Remove a hidden folder whose lock we hold; the lock after the rest, so that half of it is still a left-over."""
    with contextlib.ExitStack() as closing:
        closing.callback(os.close, handle)
        for each in inner.names():
            if each != _LOCK:
                inner.remove(each)
        if sys.platform == "win32":  # where nothing open can be removed
            closing.close()
        inner.remove(_LOCK)
    _remove_folder(folder, name)


def _remove_folder(folder: Folder, name: str) -> None:
    """Unless it holds something again: then somebody else has locked it."""
    with contextlib.suppress(OSError):
        os.rmdir(folder.at(name), dir_fd=folder.handle)


def _sweep(folder: Folder, inner: Folder) -> None:
    """Remove what killed writers left in the folder; what cannot be removed is left to the next one."""
    for name in folder.names():
        if NAME.fullmatch(name) and name != inner.path.name:
            with contextlib.suppress(OSError):
                _sweep_one(folder, name, inner)


def _sweep_one(folder: Folder, name: str, ours: Folder) -> None:
    mine, found = ours.stat(_LOCK), folder.stat(name)
    if mine is None or found is None or found.st_uid != mine.st_uid:
        return
    with folder.inner(name) as left:
        if not all(map(_INSIDE.fullmatch, left.names())):
            return
        there = left.stat(_LOCK)
        if there is not None and (not stat.S_ISREG(there.st_mode) or there.st_size):
            return
        lock = _lock(left)
        if lock is None:
            return
        if lock.sure or mine.st_mtime - _latest(left, found) > OLD:
            _clear(folder, name, left, lock.handle)
        else:
            os.close(lock.handle)


def _latest(left: Folder, found: os.stat_result) -> float:
    """When something was last written in a hidden folder."""
    states = (left.stat(name) for name in left.names() if name != _LOCK)
    return max([found.st_mtime, *(state.st_mtime for state in states if state is not None)])
