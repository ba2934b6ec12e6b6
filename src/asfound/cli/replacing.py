"""What stands where a report is to go: nothing, an earlier report of ours, or somebody's file.

An earlier report is known by marks of its kind in its first bytes (of a PDF: in its properties), each exactly as the
report of that kind begins. An empty file counts as nothing, and so does a link that leads to one of these: the link
itself is replaced, never what it leads to. Anything else is only replaced when a person at a terminal says so.
"""

from __future__ import annotations

import os
import re
import stat
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

import typer

from asfound.model.problem import Problem
from asfound.model.visible import visible

_HEAD = 1000
_MOST = 200_000_000
"""Bytes of a PDF that are looked through; a larger one counts as somebody's."""
MARKS = (
    re.compile(
        rb'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        rb'<meta name="generator" content="asfound">\n'
    ),
    re.compile(rb'\{\n  "schema": "asfound/(?:comparison|copies|copy|cross-reference|inspection|readiness)/[0-9]+",\n'),
    re.compile(
        rb'\{\n  "\$schema": "[^"\n]+/sarif-schema-2\.1\.0\.json",\n  "version": "2\.1\.0",\n  "runs": \[\n    \{\n'
        rb'      "tool": \{\n        "driver": \{\n          "name": "asfound",\n'
    ),
    re.compile(rb"<!-- asfound: a comparison -->\n### "),
)
"""How a page, JSON, SARIF and Markdown of ours begin."""
_PDF = re.compile(rb"%PDF-1\.[0-9]\n")
_PDF_MARK = re.compile(rb"/Keywords\(asfound report\)/Creator\(Typst [0-9.]+\)")
Agreed = tuple[str, int, int, int, int]
"""Name, device, number, size and time of a file."""
_AGREED: ContextVar[frozenset[Agreed]] = ContextVar("agreed", default=frozenset())


def refuse(to: Path) -> None:
    """A :class:`Problem` when a report may not go there, unless a person :func:`agreed` to lose this very file."""
    found = _foreign(to)
    if found is not None and _identity(to, found) not in _AGREED.get():
        raise _problem(to)


def ask(to: Path) -> Iterator[Agreed]:
    """The same before the work begins; somebody at a terminal is asked, and the file they agree to lose is given."""
    found = _foreign(to)
    if found is None:
        return
    question = f"{to} holds something that asfound did not write. Replace it?"
    if not _is_terminal() or not typer.confirm(visible(question), default=False, err=True):
        raise _problem(to)
    yield _identity(to, found)


@contextmanager
def agreed(files: Iterable[Agreed]) -> Iterator[None]:
    """Files that may be replaced meanwhile."""
    before = _AGREED.set(frozenset(files))
    try:
        yield
    finally:
        _AGREED.reset(before)


def _problem(to: Path) -> Problem:
    advice = "name another file, or remove it first"
    return Problem("holds something that asfound did not write", where=str(to), advice=advice)


def _is_terminal() -> bool:
    return sys.stdin is not None and sys.stdin.isatty() and sys.stderr.isatty()


def _identity(to: Path, found: os.stat_result) -> Agreed:
    return str(to), found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns


def _foreign(to: Path) -> os.stat_result | None:
    """The state of somebody's file; None when there is nothing to be lost. A :class:`Problem` for what is no file."""
    try:
        found = to.stat()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise Problem(f"cannot be written ({error.strerror})", where=str(to), advice="choose another file") from None
    if not stat.S_ISREG(found.st_mode):
        kind = "folder" if stat.S_ISDIR(found.st_mode) else "pipe" if stat.S_ISFIFO(found.st_mode) else "device"
        raise Problem(f"is a {kind}", where=str(to), advice="name a file")
    return found if found.st_size and not _is_ours(to, found.st_size) else None


def _is_ours(path: Path, size: int) -> bool:
    try:
        with os.fdopen(
            os.open(path, os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0)), "rb"
        ) as file:
            head = file.read(_HEAD)
            if _PDF.match(head) and size <= _MOST:
                return _PDF_MARK.search(head + file.read(_MOST)) is not None
    except OSError:
        return False
    return any(mark.match(head) for mark in MARKS)
