"""What single files hold: each is read once, large ones on several cores, from the cache when it is known there."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple, TypeAlias

import msgspec

from asfound.model.copy import Copy, Source
from asfound.model.problem import Problem
from asfound.readers.cache import Cache
from asfound.readers.cores import spread
from asfound.readers.encoding import MARKS, decode
from asfound.readers.merging import Part
from asfound.readers.reader import Probe, Reader
from asfound.readers.registry import readers as registered

Files: TypeAlias = Sequence[tuple[str, bytes]]
Watch: TypeAlias = Callable[[str], None]
"""Told the name of each file once it has been read."""
WORTH = 4_000_000
"""Bytes to read, in at least two files, from which on other processes save clearly more than they cost (measured)."""
SMALL = 20_000
"""Bytes of a file that is not worth being handed to another process."""

_DECLARED = re.compile(rb"""<\?xml[^>]*?\bencoding\s*=\s*["']([A-Za-z0-9._-]+)["']""")


class Means(NamedTuple):
    """How reading may be made faster; what is read is the same. ``cache`` is a folder, None for none."""

    cache: Path | None = None
    processes: int = 1


PLAIN = Means()


class Parts:
    """What was read from files so far. Two files of the same name and bytes are read once."""

    def __init__(self, means: Means = PLAIN, readers: Sequence[Reader] | None = None) -> None:
        self.readers = registered() if readers is None else tuple(readers)
        self._cache = Cache(means.cache) if means.cache and readers is None else None
        self._processes = means.processes if readers is None else 1
        self._known: dict[tuple[str, str], Part] = {}

    def prepare(self, files: Files, watch: Watch | None = None) -> bool:
        """Read the large ones of several files at once where that is worth it, and say whether it was.

        ``watch`` is told the name of each that has been read. One that cannot be read is left to :meth:`part`.
        """
        if self._processes < 2:
            return False
        large = {_key(name, data): (name, data) for name, data in files if len(data) >= SMALL}
        waiting = [(key, file) for key, file in large.items() if self._find(key, file[1]) is None]
        if len(waiting) < 2 or sum(len(data) for _, (_, data) in waiting) < WORTH:
            return False
        # The largest first: begun last, it would keep one core busy while the others have nothing left to do.
        waiting.sort(key=lambda item: (-len(item[1][1]), item[0]))
        done = spread(_encoded, [file for _, file in waiting], self._processes)
        for (key, (name, data)), found in zip(waiting, done, strict=True):
            if found:
                self._keep(key, data, msgspec.msgpack.decode(found, type=Part))
            if watch:
                watch(name)
        return True

    def part(self, name: str, data: bytes) -> Part:
        """What a file holds. Raises Problem when a reader knows it but cannot read it to its end."""
        key = _key(name, data)
        return self._find(key, data) or self._keep(key, data, read_part(name, data, self.readers))

    def _find(self, key: tuple[str, str], data: bytes) -> Part | None:
        if key not in self._known and self._cache:
            found = self._cache.find(key[0], data)
            if found:
                self._known[key] = found
        return self._known.get(key)

    def _keep(self, key: tuple[str, str], data: bytes, part: Part) -> Part:
        self._known[key] = part
        if self._cache:
            self._cache.keep(key[0], data, part)
        return part


def _key(name: str, data: bytes) -> tuple[str, str]:
    return name, hashlib.sha256(data).hexdigest()


def _encoded(file: tuple[str, bytes]) -> bytes | None:
    """What another process hands back; None for a file that cannot be read."""
    try:
        return msgspec.msgpack.encode(read_part(*file, registered()))
    except (Problem, RecursionError):
        return None


def read_part(name: str, data: bytes, readers: Sequence[Reader]) -> Part:
    """Ask the readers, in their order, who knows the file; the first that does reads it."""
    probe = Probe(data, name)
    reader = next((r for r in readers if data and r.recognise(probe)), None)
    source = Source(
        name=name,
        sha256=hashlib.sha256(data).hexdigest(),
        size=len(data),
        format=reader.name if reader else "",
        encoding=_encoding(probe) if reader else "",
    )
    copy = reader.read(data, name) if reader else Copy()
    doubt = _misdeclared(probe) if reader else ""
    return Part(source, msgspec.structs.replace(copy, limits=(*copy.limits, doubt)) if doubt else copy)


def _encoding(probe: Probe) -> str:
    if not probe.root:
        return decode(probe.data).encoding
    mark = next((codec for mark, codec in MARKS if probe.data.startswith(mark)), "")
    declared = _DECLARED.search(probe.data[:400])
    return mark or (declared.group(1).decode("ascii").lower() if declared else "utf-8")


def _misdeclared(probe: Probe) -> str:
    """A sentence when an XML document declares a code page but its bytes are UTF-8; it is read as declared."""
    declared = _encoding(probe)
    if probe.root is None or declared.startswith(("utf", "us-ascii")) or probe.data.isascii():
        return ""
    try:
        probe.data.decode("utf-8")
    except UnicodeDecodeError:
        return ""
    return f"{probe.name} declares {declared}, but its bytes are UTF-8: letters with accents may be read wrongly"
