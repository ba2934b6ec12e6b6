"""A folder to write into, held by its handle: whoever puts a link in its place afterwards changes nothing for us.

Every operation is relative to the handle, and none of them follows a link in the last part of a name (openat(2) and
its like, POSIX.1-2008, with O_NOFOLLOW). Windows has no such handles: there the whole path is used each time, after a
look whether a part below the folder is a link or a junction; between look and use somebody could swap it.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import stat
import sys
from collections.abc import Iterator
from pathlib import Path

from asfound.archive import disk

BY_HANDLE = {os.open, os.mkdir, os.stat, os.unlink, os.rmdir, os.rename, os.link} <= os.supports_dir_fd
"""Whether this system knows names relative to the handle of a folder."""
_FLAGS = os.O_RDONLY | getattr(os, "O_DIRECTORY", 0) | getattr(os, "O_CLOEXEC", 0)
_NOFOLLOW = getattr(os, "O_NOFOLLOW", 0)
_FILE_FLAGS = _NOFOLLOW | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_NONBLOCK", 0)
"""Without O_NONBLOCK a pipe that somebody put there would hold us for ever."""


class Folder:
    """An open folder. All methods take one plain name in it and raise :class:`OSError`."""

    def __init__(self, path: Path, handle: int | None) -> None:
        self.path, self.handle = path, handle

    def at(self, name: str) -> str:
        """How the name is to be said to the system, beside ``dir_fd=handle``."""
        return name if self.handle is not None else str(self.path / name)

    def names(self) -> list[str]:
        """What is in it, sorted."""
        with os.scandir(self.path if self.handle is None else self.handle) as entries:
            return sorted(entry.name for entry in entries)

    def stat(self, name: str) -> os.stat_result | None:
        """What is there, of a link the link itself; None when nothing is."""
        try:
            return os.stat(self.at(name), dir_fd=self.handle, follow_symlinks=False)
        except FileNotFoundError:
            return None

    def open(self, name: str, flags: int, mode: int = 0o666) -> int:
        """A handle of a file, never through a link."""
        return os.open(self.at(name), flags | _FILE_FLAGS, mode, dir_fd=self.handle)

    def make(self, name: str, mode: int = 0o777) -> None:
        """A new folder in it."""
        os.mkdir(self.at(name), mode, dir_fd=self.handle)

    @contextlib.contextmanager
    def inner(self, name: str) -> Iterator[Folder]:
        """A folder in it, open; :class:`NotADirectoryError` when it is a link or a file."""
        found = self.stat(name)
        if found is not None and (is_link(found) or not stat.S_ISDIR(found.st_mode)):
            raise NotADirectoryError(20, os.strerror(20), str(self.path / name))
        with _opened(self.path / name, self.at(name), self.handle, _NOFOLLOW) as folder:
            yield folder

    def remove(self, name: str) -> None:
        """Remove a file, a link, or a folder with all that is in it; links in it are not followed."""
        found = self.stat(name)
        if found is None:
            return
        if stat.S_ISDIR(found.st_mode) and not is_link(found):
            shutil.rmtree(self.at(name), dir_fd=self.handle)
        else:
            os.unlink(self.at(name), dir_fd=self.handle)

    def sync(self) -> None:
        """Make its entries survive a power cut."""
        if self.handle is not None:
            disk.sync_handle(self.handle)


def is_link(found: os.stat_result) -> bool:
    """Whether something leads elsewhere: a link, on Windows also a junction."""
    if sys.platform == "win32":
        return found.st_reparse_tag in (stat.IO_REPARSE_TAG_SYMLINK, stat.IO_REPARSE_TAG_MOUNT_POINT)
    return stat.S_ISLNK(found.st_mode)


@contextlib.contextmanager
def opened(path: Path) -> Iterator[Folder]:
    """A folder by its path, in which links count: it is what a person named. :class:`OSError` when there is none."""
    with _opened(path, str(path), None, 0) as folder:
        yield folder


@contextlib.contextmanager
def _opened(path: Path, name: str, within: int | None, more: int) -> Iterator[Folder]:
    if not BY_HANDLE:
        os.scandir(path).close()
        yield Folder(path, None)
        return
    handle = os.open(name, _FLAGS | more, dir_fd=within)
    try:
        yield Folder(path, handle)
    finally:
        os.close(handle)
