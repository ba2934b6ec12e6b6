"""Zip containers (.amlx, .xlsx, .ods): every part read into memory, with limits, nothing written to disk.

A declared size can lie, so the limit is kept again while unpacking. Cost: linear in the unpacked size.
"""

from __future__ import annotations

import io
import lzma
import struct
import zipfile
import zlib
from collections import Counter
from itertools import pairwise
from typing import NamedTuple

from asfound.model.problem import Problem

MAX_UNPACKED = 200_000_000
"""Bytes: several times the largest hardware export of a plant (common practice, no source)."""
MAX_RATIO = 200
"""Unpacked to packed. XML packs to about a tenth; deflate cannot do better than 1:1032."""
MAX_PARTS = 10_000
HEADER = 30
"""Bytes of a local file header without its names, APPNOTE.TXT 4.3.7."""
ENCRYPTED = 1
"""Bit 0 of the flags, APPNOTE.TXT 4.4.4."""
MARK = b"PK\x03\x04"
"""Local file header, APPNOTE.TXT 4.3.7 (the published description of the zip format)."""


_DAMAGE = (
    zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, OSError, ValueError, RuntimeError,
    LookupError, struct.error,
)  # fmt: skip
"""What zipfile raises on damaged input; an entry without a name, for one, is an IndexError."""


class Part(NamedTuple):
    """One file of a container; ``name`` with ``/``."""

    name: str
    data: bytes


def is_container(data: bytes) -> bool:
    """Whether the bytes start like a zip container."""
    return data.startswith(MARK)


def parts(data: bytes, name: str) -> tuple[Part, ...]:
    """All files of a container, sorted by name; folders are left out. Raises Problem when it is damaged or too big."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as container:
            entries = [entry for entry in container.infolist() if not entry.is_dir()]
            _refuse(entries, len(data), name)
            found = [Part(entry.filename, _unpack(container, entry, name)) for entry in entries]
    except _DAMAGE:
        raise Problem("is a damaged zip container", where=name, advice="export it again") from None
    return tuple(sorted(found))


def _refuse(entries: list[zipfile.ZipInfo], packed: int, name: str) -> None:
    if any(entry.flag_bits & ENCRYPTED for entry in entries):
        raise Problem("is an encrypted zip container", where=name, advice="export it again without a password")
    unpacked = sum(entry.file_size for entry in entries)
    if unpacked > MAX_UNPACKED:
        raise _too_big(name)
    if unpacked > MAX_RATIO * packed:
        raise Problem(
            f"unpacks to more than {MAX_RATIO} times its size, which no export does",
            where=name,
            advice="check where the file comes from",
        )
    if len(entries) > MAX_PARTS:
        raise Problem(f"holds more than {MAX_PARTS} files", where=name, advice="check where the file comes from")
    if _overlapping(entries):
        raise Problem("holds parts that overlap each other", where=name, advice="check where the file comes from")
    count = Counter(entry.filename for entry in entries)
    twice = sorted(part for part, times in count.items() if times > 1)
    if twice:
        raise Problem(f"holds '{twice[0]}' twice", where=name, advice="export it again")


def _overlapping(entries: list[zipfile.ZipInfo]) -> bool:
    """Whether one stretch of packed bytes serves several parts, so that a small file grows without a bad ratio."""
    placed = sorted((entry.header_offset, entry.compress_size) for entry in entries)
    return any(start + HEADER + size > after for (start, size), (after, _) in pairwise(placed))


def _unpack(container: zipfile.ZipFile, entry: zipfile.ZipInfo, name: str) -> bytes:
    with container.open(entry) as stream:
        found = stream.read(entry.file_size + 1)
    if len(found) > entry.file_size:
        raise _too_big(name)
    return found


def _too_big(name: str) -> Problem:
    return Problem(
        f"unpacks to more than {MAX_UNPACKED // 1_000_000} MB", where=name, advice="check where the file comes from"
    )
