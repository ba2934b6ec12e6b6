"""What was read from large files, kept on disk so that the next command need not read them again.

An entry is found by the digest of the bytes, their name and everything that reading depends on: so other bytes or
another version of this program never meet an old entry. It carries its own digest; one that is damaged counts as
absent. What is stored in an archive, signed, or decided before a reset never comes from here: there the bytes
are read. The folder may be deleted at any time. Nothing here raises: where nothing can be kept, nothing is.

It holds programs of clients in plain form, so only its owner can open the folder (where the system knows owners).
"""

from __future__ import annotations

import hashlib
import os
import sys
import zlib
from contextlib import suppress
from functools import lru_cache
from pathlib import Path

import msgspec

from asfound.readers.merging import Part

SMALLEST = 100_000
"""Bytes of a file that is worth keeping: below, reading takes about a tenth of a second."""
ROOM = 500_000_000
"""Bytes of all entries; those not used for longest go first. 100 MB of XML make an entry of 3 MB (measured)."""
_PACKAGES = ("model", "language", "readers")
"""What reading consists of."""
_LIBRARIES = ("lark", "lxml", "msgspec", "python-calamine")
"""Whose version reading depends on as well."""
_DIGEST = hashlib.sha256().digest_size


class Cache:
    """The entries in a folder, which is made when the first one is kept."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def find(self, name: str, data: bytes) -> Part | None:
        """What a file of this name and these bytes holds, if it is known."""
        if len(data) < SMALLEST or not made_by():
            return None
        path = self._path(name, data)
        try:
            kept = path.read_bytes()
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
        if len(data) < SMALLEST or not made_by():
            return
        with suppress(OSError, msgspec.MsgspecError, RecursionError):
            plain = msgspec.msgpack.encode(part)
            if msgspec.msgpack.decode(plain, type=Part) == part:
                packed = zlib.compress(plain, 1)
                self._write(self._path(name, data), hashlib.sha256(packed).digest() + packed)
                self._tidy()

    def _path(self, name: str, data: bytes) -> Path:
        key = hashlib.sha256(hashlib.sha256(data).digest() + made_by() + name.encode("utf-8")).hexdigest()
        return self.folder / key[:2] / key

    def _write(self, path: Path, entry: bytes) -> None:
        self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        path.parent.mkdir(exist_ok=True, mode=0o700)
        temporary = path.with_suffix(f".{os.getpid()}")
        try:
            temporary.write_bytes(entry)
            temporary.replace(path)
        except OSError:
            temporary.unlink(missing_ok=True)
            raise

    def _tidy(self) -> None:
        found = [(about.st_mtime_ns, about.st_size, path) for path in self.folder.glob("*/*") if (about := path.stat())]
        left = sum(size for _, size, _ in found) - ROOM
        for _, size, path in sorted(found):
            if left <= 0:
                return
            path.unlink(missing_ok=True)
            left -= size


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
