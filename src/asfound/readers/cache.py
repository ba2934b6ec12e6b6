"""What was read from large files, kept on disk so that the next command need not read them again.

An entry is found by the digest of the bytes, their name and everything that reading depends on: so other bytes or
another version of this program never meet an old entry. It carries its own digest; one that is damaged counts as
absent. What is stored in an archive, signed, or decided before a reset never comes from here: there the bytes
are read. The folder may be deleted at any time. Nothing here raises: where nothing can be kept, nothing is.

Entries decide what a comparison says, and hold programs of clients in plain form. So a folder to which anybody else
can write is not used at all (:func:`refusal`; where the system knows owners), an entry of somebody else is not
believed, and only the owner can open what is made here. Everything lies in a subfolder of its own, and nothing is
ever deleted there but files that are named as entries are: a named folder may hold other things.
"""

from __future__ import annotations

import hashlib
import os
import re
import secrets
import stat
import sys
import time
import zlib
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import lru_cache
from pathlib import Path

import msgspec

from asfound.readers.merging import Part

SUBFOLDER = "asfound-read"
"""Below the folder that is named: all that is written, and all that is ever deleted."""
SMALLEST = 100_000
"""Bytes of a file that is worth keeping: below, reading takes about a tenth of a second."""
ROOM = 500_000_000
"""Bytes of all entries; those not used for longest go first. 100 MB of XML make an entry of 3 MB (measured)."""
LARGEST = 100_000_000
"""Bytes of one entry: a larger one is not ours."""
ABANDONED = 3600
"""Seconds after which a file that was being written is one of a run that was killed."""
_ENTRY = re.compile(r"[0-9a-f]{64}")
_UNFINISHED = re.compile(r"[0-9a-f]{64}\.[0-9a-f]{16}")
_SHELF = re.compile(r"[0-9a-f]{2}")
_OTHERS = stat.S_IWGRP | stat.S_IWOTH
_PACKAGES = ("model", "language", "readers")
"""What reading consists of."""
_LIBRARIES = ("lark", "lxml", "msgspec", "python-calamine")
"""Whose version reading depends on as well."""
_DIGEST = hashlib.sha256().digest_size
# A pipe must not be waited for and a link not followed; Windows has neither of these, and needs bytes asked for.
_READING = os.O_RDONLY | sum(getattr(os, name, 0) for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_CLOEXEC", "O_BINARY"))
_WRITING = os.O_WRONLY | os.O_CREAT | os.O_EXCL | sum(getattr(os, name, 0) for name in ("O_CLOEXEC", "O_BINARY"))


def refusal(folder: Path) -> str:
    """Why a folder is not used (``"others can write to it"``); empty when it is, or can be made."""
    for path in (folder, folder / SUBFOLDER):
        try:
            about = path.lstat()
        except FileNotFoundError:
            return ""
        except (OSError, ValueError) as error:
            return f"it cannot be looked at ({getattr(error, 'strerror', None) or 'no such name can be'})"
        if said := _distrust(about, stat.S_ISDIR, "folder"):
            return said if path == folder else f"its folder {SUBFOLDER} is of no use: {said}"
    return ""


def _distrust(about: os.stat_result, kind: Callable[[int], bool], word: str) -> str:
    """Why what has this status may have been written by somebody else, or nothing."""
    if stat.S_ISLNK(about.st_mode):
        return "it is a link"
    if not kind(about.st_mode):
        return f"it is no {word}"
    if not hasattr(os, "geteuid"):
        return ""
    if about.st_uid != os.geteuid():
        return "it belongs to somebody else"
    return "others can write to it" if about.st_mode & _OTHERS else ""


class Cache:
    """The entries below a folder, which is made when the first one is kept."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder / SUBFOLDER
        self._usable = not refusal(folder)

    def find(self, name: str, data: bytes) -> Part | None:
        """What a file of this name and these bytes holds, if it is known."""
        if not self._usable or len(data) < SMALLEST or not made_by():
            return None
        path = self._path(name, data)
        try:
            kept = _entry(path)
            packed = kept[_DIGEST:]
            if hashlib.sha256(packed).digest() != kept[:_DIGEST]:
                return None
            part = msgspec.msgpack.decode(zlib.decompress(packed), type=Part)
        except (OSError, ValueError, zlib.error, msgspec.MsgspecError, RecursionError):
            return None
        if part.source.sha256 != hashlib.sha256(data).hexdigest():
            return None
        with suppress(OSError):
            os.utime(path)
        return part

    def keep(self, name: str, data: bytes, part: Part) -> None:
        """Remember what a file holds, unless it would come back otherwise."""
        if not self._usable or len(data) < SMALLEST or not made_by():
            return
        with suppress(OSError, ValueError, msgspec.MsgspecError, RecursionError):
            plain = msgspec.msgpack.encode(part)
            if msgspec.msgpack.decode(plain, type=Part) == part:
                packed = zlib.compress(plain, 1)
                self._write(self._path(name, data), hashlib.sha256(packed).digest() + packed)
                self._tidy()

    def _path(self, name: str, data: bytes) -> Path:
        key = hashlib.sha256(
            hashlib.sha256(data).digest() + made_by() + name.encode("utf-8", "surrogatepass")
        ).hexdigest()
        return self.folder / key[:2] / key

    def _write(self, path: Path, entry: bytes) -> None:
        if len(entry) > LARGEST:
            return
        self.folder.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        self.folder.mkdir(exist_ok=True, mode=0o700)
        path.parent.mkdir(exist_ok=True, mode=0o700)
        if refusal(self.folder.parent):  # made by somebody else just now
            return
        unfinished = path.with_suffix(f".{secrets.token_hex(8)}")
        try:
            with os.fdopen(os.open(unfinished, _WRITING, 0o600), "wb") as file:
                file.write(entry)
            unfinished.replace(path)
        except OSError:
            unfinished.unlink(missing_ok=True)
            raise

    def _tidy(self) -> None:
        """Make room, and remove what killed runs left."""
        found, long_ago = [], time.time() - ABANDONED
        for path, about in self._files():
            if _ENTRY.fullmatch(path.name):
                found.append((about.st_mtime_ns, about.st_size, path))
            elif _UNFINISHED.fullmatch(path.name) and about.st_mtime < long_ago:
                path.unlink(missing_ok=True)
        left = sum(size for _, size, _ in found) - ROOM
        for _, size, path in sorted(found):
            if left <= 0:
                return
            path.unlink(missing_ok=True)
            left -= size

    def _files(self) -> Iterator[tuple[Path, os.stat_result]]:
        """Every plain file where entries lie; no link is followed."""
        for shelf in os.scandir(self.folder):
            if _SHELF.fullmatch(shelf.name) and shelf.is_dir(follow_symlinks=False):
                for entry in os.scandir(shelf):
                    with suppress(FileNotFoundError):  # removed by another run meanwhile
                        if entry.is_file(follow_symlinks=False):
                            yield Path(entry.path), entry.stat(follow_symlinks=False)


def _entry(path: Path) -> bytes:
    """The bytes of a plain file of our own; OSError when there is none, and for a pipe, a link, anything of others.

    The file is judged once it is open, so nothing can be put in its place between the two.
    """
    opened = os.open(path, _READING)
    try:
        about = os.fstat(opened)
        if _distrust(about, stat.S_ISREG, "file") or about.st_size > LARGEST:
            raise OSError("no entry of ours")
        with os.fdopen(opened, "rb", closefd=False) as file:
            return file.read(LARGEST)
    finally:
        os.close(opened)


@lru_cache(maxsize=1)
def made_by() -> bytes:
    """A digest of all that reading depends on besides the bytes: this program and its libraries as they are installed.

    Empty where that cannot be told (the program is run from a zip, say): nothing is remembered then.
    """
    from importlib.metadata import PackageNotFoundError, version

    home = Path(__file__).parents[1]
    files = sorted(file for package in _PACKAGES for file in (home / package).rglob("*.*") if file.suffix != ".pyc")
    if not files:
        return b""
    stamps = [
        (file.relative_to(home).as_posix(), about.st_size, about.st_mtime_ns)
        for file in files
        if (about := file.stat())
    ]
    try:
        versions = [sys.version, *map(version, _LIBRARIES)]
    except PackageNotFoundError:
        return b""
    return hashlib.sha256(repr((versions, stamps)).encode()).digest()
