"""Remark lines of tables: ``// pumps``, ``# made by hand``, ``REM old`` are no rows, and may hold the heading.

A sign that begins no name makes a remark of its line whatever else stands in it; one that may begin a name or stand
for an empty cell (``#1``, ``--``) does so only where nothing else is filled, ``#`` also where other rows begin
otherwise. A title in brackets and a ruled line (``---``) are remarks too. The signs are common practice, without a
source. Cost: linear.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence

from asfound.readers.tables.spreadsheet import Line

_SURE = re.compile(r"//|/\*|\(\*|(?:REM|#+)\s+\S", re.IGNORECASE)
_ALONE = re.compile(r"#|--|REM$|\[.*\]$", re.IGNORECASE)
_RULE = re.compile(r"[-=_:+*]{3,}")
_SIGN = re.compile(r"(?://+|/\*+|\(\*+|--+|#+|REM(?=\s))\s*", re.IGNORECASE)
_FIRST = frozenset("/(#-Rr[=_:+*")
_LINE = re.compile(r"^[ \t]*(?://|/\*|\(\*|REM |#+ )", re.IGNORECASE | re.MULTILINE)
"""Lines whose quotes are no quotes of a table; only those that cannot be rows."""


def is_remark(cells: Sequence[str]) -> bool:
    """Whether a row is a remark, or at least begins as one (``#Run`` with further cells)."""
    return _sure(cells) or _hashed(cells)


def apart(lines: Sequence[Line]) -> tuple[tuple[Line, ...], tuple[Line, ...]]:
    """The rows of a table, and the remarks among them; where most rows begin with ``#`` it belongs to them."""
    signed = [line for line in lines if not line.cells[0] or line.cells[0][0] in _FIRST]
    sure = {line.number for line in signed if _sure(line.cells)}
    hashed = {line.number for line in signed if line.number not in sure and _hashed(line.cells)}
    if 2 * len(hashed) <= len(lines) - len(sure):
        sure |= hashed
    if not sure:
        return tuple(lines), ()
    rows = tuple(line for line in lines if line.number not in sure)
    return rows, tuple(line for line in lines if line.number in sure)


def doubtful(lines: Sequence[Line]) -> list[Line]:
    """Those remarks that might be rows: ``#Run`` with further cells."""
    return [line for line in lines if _hashed(line.cells)]


def bared(cells: Sequence[str]) -> tuple[str, ...]:
    """The cells of a remark without its sign, as a heading in a remark line is to be read."""
    sign = _SIGN.match(cells[0])
    if sign is None or sign.end() == len(cells[0]):
        return tuple(cells)
    return (cells[0][sign.end() :], *(re.sub(r"\s*\*[/)]$", "", cell) for cell in cells[1:]))


def _sure(cells: Sequence[str]) -> bool:
    first = cells[0] if cells else ""
    if (first and first[0] not in _FIRST) or not any(cells):
        return False
    alone = _ALONE.match(first) and not any(cells[1:])
    return bool(_SURE.match(first) or alone) or all(map(_RULE.fullmatch, filter(None, cells)))


def _hashed(cells: Sequence[str]) -> bool:
    return bool(cells) and len(cells[0]) > 1 and cells[0][0] == "#" and not _sure(cells)


class Unreadable(ValueError):
    """Quotes are wrong: ``args`` are what csv says of it and the number of the line in which the row begins."""


def rows(text: str, delimiter: str, *, strict: bool) -> Iterator[tuple[int, list[str]]]:
    """Number of the first line, and cells, of every row of a text; raises :class:`Unreadable`.

    A quote in a remark is none of the table: it would swallow rows, or refuse all of them.
    """
    feed = _Plain(text, delimiter) if _LINE.search(text) else None
    source = feed or io.StringIO(text, newline="")
    reader = csv.reader(source, delimiter=delimiter, strict=strict, skipinitialspace=True)
    start = 1
    try:
        for row in reader:
            yield start, (feed.instead or row) if feed else row
            start = reader.line_num + 1
            if feed:
                feed.begin()
    except csv.Error as error:
        raise Unreadable(str(error), start) from None


class _Plain:
    """Lines for csv.reader; it gets an empty one for each remark that begins a row, whose cells are ``instead``."""

    def __init__(self, text: str, delimiter: str) -> None:
        self._lines, self._delimiter = io.StringIO(text, newline=""), delimiter
        self.begin()

    def begin(self) -> None:
        """The next line begins a row."""
        self._fresh, self.instead = True, list[str]()

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        line = next(self._lines)
        if self._fresh and _LINE.match(line):
            self.instead = self._cells(line.strip())
            return "\n"
        self._fresh = False
        return line

    def _cells(self, line: str) -> list[str]:
        try:
            return next(csv.reader([line], delimiter=self._delimiter, strict=True, skipinitialspace=True))
        except csv.Error:
            return line.split(self._delimiter)
