"""Files that others wrote, opened with care.

Nothing but a plain file is ever opened (a pipe would wait for ever, a device may act), nothing is read beyond a limit,
and whatever cannot be read is one sentence. A folder is walked without following links; names that are no UTF-8 and
paths too long for the system are told like any other file that does not belong.
"""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

from asfound.model.problem import Problem

MAX_SMALL = 100_000
"""Bytes of a key or a signature."""
MAX_SIGNERS = 10_000_000
"""Bytes of a file of signers."""
MAX_STATEMENT = 64_000_000
"""Bytes of each file of a statement, and of a list of sums; 10,000 files with long names take less than a third."""
_PART = 2**20
_NO_WAIT = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
"""So that even a pipe put there between looking and opening does not make us wait."""


def read(path: Path, limit: int, *, called: str = "", advice: str = "check the name") -> bytes:
    """The bytes of a plain file, or of one that a link leads to; a :class:`Problem` for anything else.

    ``called`` stands before what cannot be read (``the key ``).
    """
    try:
        data, _ = _taken(path, limit, follow=True)
    except _Odd as odd:
        raise Problem(f"{called}{odd}", where=str(path), advice=advice) from None
    return data


def kind(path: Path) -> str:
    """``folder``, ``file``, ``nothing`` or what else is there, links followed; a :class:`Problem` if nobody can say."""
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        return "nothing"
    except (OSError, ValueError) as error:
        raise Problem(_cannot(error), where=str(path), advice="check the name") from None
    return "folder" if stat.S_ISDIR(mode) else "file" if stat.S_ISREG(mode) else _kind(mode)


class Taken(NamedTuple):
    """What lies in a folder: digests of its plain files, the bytes that were asked for, and words on all the rest.

    ``{path: ...}`` each, sorted by path, with ``/`` between folders; no path is in both ``digests`` and ``odd``.
    """

    digests: dict[str, str]
    kept: dict[str, bytes]
    odd: dict[str, str]


def take(folder: Path, keep: Callable[[str], int]) -> Taken:
    """Read every file below a folder, once. ``keep`` says how many bytes of one are kept at most (0: only its digest).

    A :class:`Problem` when the folder itself cannot be looked at.
    """
    digests: dict[str, str] = {}
    kept: dict[str, bytes] = {}
    odd: dict[str, str] = {}
    for name, what in sorted(_below(folder)):
        limit = keep(name)
        try:
            if what:
                raise _Odd(what)
            data, digests[name] = _taken(folder / name, limit, follow=False)
        except _Odd as problem:
            odd[name] = str(problem)
            continue
        if limit:
            kept[name] = data
    return Taken(digests, kept, odd)


def _below(folder: Path) -> Iterator[tuple[str, str]]:
    """``(path, what is wrong with it)`` of everything below a folder but folders that hold something."""
    waiting = [""]
    while waiting:
        name = waiting.pop()
        try:
            with os.scandir(folder / name) as found:
                entries = [(f"{name}/{entry.name}".lstrip("/"), entry) for entry in found]
        except OSError as error:
            if not name:
                raise Problem(_cannot(error), where=str(folder), advice="ask for the right to read it") from None
            yield name, _cannot(error)
            continue
        if not entries and name:
            yield name, "is an empty folder, which does not belong here"
        for path, entry in entries:
            if entry.is_dir(follow_symlinks=False):
                waiting.append(path)
            else:
                yield path, "is a link, not a file" if entry.is_symlink() else ""


class _Odd(Exception):
    """What is wrong with a file, in words that follow on its name."""


def _taken(path: Path, limit: int, *, follow: bool) -> tuple[bytes, str]:
    """Bytes (none without a limit) and SHA-256 of a plain file."""
    try:
        mode = path.stat(follow_symlinks=follow).st_mode
        if not stat.S_ISREG(mode):
            raise _Odd(_kind(mode))
        handle = os.open(path, os.O_RDONLY | _NO_WAIT | (0 if follow else getattr(os, "O_NOFOLLOW", 0)))
        with os.fdopen(handle, "rb") as file:
            if not stat.S_ISREG(mode := os.fstat(handle).st_mode):
                raise _Odd(_kind(mode))
            data, digest = bytearray(), hashlib.sha256()
            while part := file.read(_PART):
                digest.update(part)
                if limit:
                    data += part
                    if len(data) > limit:
                        raise _Odd(f"is larger than {_size(limit)}")
            return bytes(data), digest.hexdigest()
    except (OSError, ValueError) as error:
        raise _Odd(_cannot(error)) from None


def _cannot(error: OSError | ValueError) -> str:
    return f"cannot be read ({getattr(error, 'strerror', None) or error})"


def _size(limit: int) -> str:
    return f"{limit // 1_000_000} MB" if limit >= 1_000_000 else f"{limit // 1000} kB"


def _kind(mode: int) -> str:
    if stat.S_ISLNK(mode):
        return "is a link, not a file"
    return "is a folder, not a file" if stat.S_ISDIR(mode) else "is a pipe, a device or a socket, not a file"
