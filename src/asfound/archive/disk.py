"""What an archive asks of the operating system beyond git: folders synced, patient renames, a lock that dies with us.

A lock of :func:`hold` belongs to the kernel: it ends with the process that took it and with the children that got
its handle, however they end. So whoever holds it knows that no other asfound on this computer, and no git started by
one, is moving a branch; a lock file of git that stays unchanged all the same was left behind by a killed process.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import stat
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from asfound.model.problem import Problem

PATIENCE = 30.0
"""Seconds to wait for another process that stores in the same archive, or holds a file of it open."""
STALE = 10.0
"""Seconds for which a lock file of git has to stay unchanged, while we hold our own, to count as left behind."""

_SHARING = (5, 32, 33)
"""Windows: access denied, sharing violation, lock violation; what an open handle of a virus scanner looks like."""
NO_LOCKS = (errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.EINVAL)


def sync_folder(folder: Path) -> None:
    """Make the entries of a folder survive a power cut; Windows does so by itself."""
    if sys.platform != "win32":
        _sync(folder, os.O_RDONLY)


def _sync(path: Path, mode: int) -> None:
    try:
        handle = os.open(path, mode)
    except PermissionError:
        if sys.platform == "win32":  # an object is read-only there and cannot be synced from outside; git has done it
            return
        raise
    try:
        sync_handle(handle)
    finally:
        os.close(handle)


def sync_handle(handle: int) -> None:
    """Make what was written through an open handle survive a power cut, where the file system can."""
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.EOPNOTSUPP):  # some network shares cannot
            raise


def sync_folders(folders: Iterable[Path]) -> None:
    """Sync each of the folders that exists, once, in order."""
    for folder in sorted(set(folders)):
        if folder.is_dir():
            sync_folder(folder)


def sync_files(paths: Iterable[Path]) -> None:
    """Make the bytes of those files that exist survive a power cut."""
    for path in sorted(set(paths)):
        with contextlib.suppress(FileNotFoundError):
            _sync(path, os.O_RDONLY if sys.platform != "win32" else os.O_RDWR)


def digest(path: Path) -> str:
    """The SHA-256 of a file, which may be large, in hexadecimal; a :class:`Problem` when it cannot be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise Problem(
            f"cannot be read ({error.strerror})", where=str(path), advice="ask for the right to read it"
        ) from None


def plain(path: Path, most: int) -> bytes | None:
    """The bytes of a plain file; None when it is none (no link, no pipe), longer than ``most``, or cannot be read."""
    try:
        if not stat.S_ISREG(path.lstat().st_mode):
            return None
        with path.open("rb") as file:
            data = file.read(most + 1)
    except OSError:
        return None
    return data if len(data) <= most else None


def patiently(action: Callable[[], object]) -> None:
    """Do it, again and again while another program holds a file open; the last :class:`OSError` when it does not end.

    >>> patiently(lambda: None)
    """
    until = time.monotonic() + PATIENCE
    pause = 0.01
    while True:
        try:
            action()
            return
        except OSError as error:
            if getattr(error, "winerror", None) not in _SHARING or time.monotonic() > until:
                raise
        time.sleep(pause)
        pause = min(pause * 2, 0.5)


def rename(source: Path, target: Path) -> None:
    """Put ``source`` in the place of ``target`` in one step, waiting for whoever holds either open."""
    patiently(lambda: source.replace(target))


@contextlib.contextmanager
def hold(path: Path) -> Iterator[int | None]:
    """Hold the lock on a file, which is made when needed; its handle, or None where the file system has no locks."""
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o666)
    except OSError as error:
        raise Problem(
            f"cannot be written ({error.strerror})", where=str(path.parent), advice="free or unlock the disk"
        ) from None
    try:
        yield handle if _wait_for(handle, path) else None
    finally:
        os.close(handle)


def _wait_for(handle: int, path: Path, lock: Callable[[int], None] | None = None) -> bool:
    until = time.monotonic() + PATIENCE
    while True:
        try:
            (lock or take)(handle)
            return True
        except OSError as error:
            if error.errno in NO_LOCKS:
                return False
            if time.monotonic() > until:
                raise Problem(
                    "another process is storing in this archive", where=str(path.parent), advice="try again later"
                ) from None
        time.sleep(0.02)


@contextlib.contextmanager
def at_work(path: Path) -> Iterator[None]:
    """Hold a share of the lock on a file: any number may, and none while somebody is :func:`alone`."""
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o666)
    except OSError:  # what cannot be written says so itself, with its own place
        yield
        return
    try:
        _wait_for(handle, path, _share)
        yield
    finally:
        os.close(handle)


@contextlib.contextmanager
def alone(path: Path) -> Iterator[bool | None]:
    """Hold the whole lock, without waiting; None when somebody is at work, False where there are no locks."""
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o666)
    except OSError:
        yield None
        return
    try:
        take(handle)
        known: bool | None = True
    except OSError as error:
        known = False if error.errno in NO_LOCKS else None
    try:
        yield known
    finally:
        os.close(handle)


_SHARES = 1024
"""Bytes of the file that stand for shares on Windows, which knows no shared locks here."""

if sys.platform == "win32":
    import msvcrt

    def take(handle: int) -> None:
        """Lock an open file, or :class:`OSError` at once when somebody else has it or there are no locks here."""
        os.lseek(handle, 0, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_NBLCK, _SHARES)

    def _share(handle: int) -> None:
        os.lseek(handle, int.from_bytes(os.urandom(2), "big") % _SHARES, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def take(handle: int) -> None:
        """Lock an open file, or :class:`OSError` at once when somebody else has it or there are no locks here."""
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)

    def _share(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_SH | fcntl.LOCK_NB)


class Leftover:
    """Watches a lock file of git, to tell one that was left behind from one that is in use."""

    def __init__(self, lock: Path) -> None:
        self._lock = lock
        self._seen, self._since = self._state(), time.monotonic()

    def _state(self) -> tuple[int, int, int] | None:
        try:
            found = self._lock.stat()
        except OSError:
            return None
        return found.st_ino, found.st_mtime_ns, found.st_size

    def remove_if_stale(self) -> None:
        """Remove the lock file when it has been the same for :data:`STALE` seconds."""
        now = self._state()
        if now != self._seen:
            self._seen, self._since = now, time.monotonic()
        elif now is not None and time.monotonic() - self._since >= STALE:
            patiently(lambda: self._lock.unlink(missing_ok=True))
            self._seen, self._since = None, time.monotonic()
