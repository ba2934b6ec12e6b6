"""Spreadsheets (.xlsx, .ods) to rows of text, through calamine.

Numbers are what the file stores: a spreadsheet keeps 1.50 as 1.5, so written digits survive only in text cells.
What calamine cannot show (an error, a formula whose result was never stored) is found by :mod:`.unseen` and
handed back, so that it is not lost. Limits of this view are in :data:`LIMIT`.
"""

from __future__ import annotations

import datetime
import io
import re
from collections.abc import Sequence
from typing import NamedTuple

from asfound.model.problem import Problem
from asfound.readers.container import Part, is_container, parts
from asfound.readers.tables import unseen
from asfound.readers.xml import refuse_doctype

LIMIT = "Of a spreadsheet the values of the cells are compared; formulas, formats, notes and drawings are not."
MAX_CELLS = 4_000_000
"""Cells of the rectangle that holds everything: one stray cell in the last corner would take many gigabytes.

Measured: a million rows of four cells take 1.4 GB.
"""

_REFERENCE = re.compile(rb'<c\b[^>]*?\br="([A-Z]{1,3})(\d{1,7})"')
_ODS_ROW = re.compile(rb"<table:table-row\b([^>]*)(?<!/)>(.*?)</table:table-row>", re.S)
_ODS_CELL = re.compile(rb"<table:(?:covered-)?table-cell\b([^>]*?)(?:/>|>(.*?)</table:(?:covered-)?table-cell>)", re.S)
_REPEATED = re.compile(rb'table:number-(?:rows|columns)-repeated="(\d{1,18})"')
_SHEET = re.compile(r"xl/worksheets/[^/]+\.xml")


class Line(NamedTuple):
    """A row: ``number`` from 1 as people see it, ``cells`` stripped of blanks at both ends."""

    number: int
    cells: tuple[str, ...]


class Sheet(NamedTuple):
    """One sheet; ``name`` is empty for a text file."""

    name: str
    lines: tuple[Line, ...]


class Book(NamedTuple):
    """``unseen`` lists (place, text) of cells whose value is not stored, sorted."""

    sheets: tuple[Sheet, ...]
    unseen: tuple[tuple[str, str], ...]


def is_spreadsheet(data: bytes, suffix: str = "") -> bool:
    """Whether the bytes are a zip container with a workbook inside (or claim so by their name and are damaged)."""
    if not is_container(data):
        return False
    return suffix in (".xlsx", ".ods") or b"xl/workbook.xml" in data or b"opendocument.spreadsheet" in data[:200]


def read_book(data: bytes, name: str) -> Book:
    """All sheets of a workbook. Raises Problem when it is damaged or too large."""
    from python_calamine import CalamineError, CalamineWorkbook, SheetTypeEnum

    everything = parts(data, name)
    for part in everything:
        refuse_doctype(part.data, f"{name}, {part.name}")
        if part.name == "content.xml":
            _refuse_repeats(part, name)
    inside = [part for part in everything if _SHEET.fullmatch(part.name)]
    for part in inside:
        _refuse_corner(part, name)
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        sheets = [
            _sheet(meta.name, book.get_sheet_by_index(at).to_python(skip_empty_area=False))
            for at, meta in enumerate(book.sheets_metadata)
            if meta.typ == SheetTypeEnum.WorkSheet
        ]
    except (CalamineError, OSError, ValueError) as error:
        raise _damaged(name, str(error)) from None
    except BaseException as error:  # a panic inside calamine derives from BaseException and has no importable type
        if type(error).__name__ != "PanicException":
            raise
        raise _damaged(name, "internal structure") from None
    lost = [found for part in inside for found in unseen.of_xlsx(part)]
    lost += [found for part in everything if part.name == "content.xml" for found in unseen.of_ods(part, name)]
    return Book(tuple(sheets), tuple(sorted(lost)))


def _damaged(name: str, why: str) -> Problem:
    return Problem(f"is not a readable spreadsheet ({why})", where=name, advice="open it, save it again and retry")


def _sheet(name: str, rows: Sequence[Sequence[object]]) -> Sheet:
    lines = (Line(number, tuple(map(_text, row))) for number, row in enumerate(rows, 1))
    return Sheet(name, tuple(line for line in lines if any(line.cells)))


def _text(value: object) -> str:
    """A cell as text: numbers in shortest form, Booleans as IEC literals, dates as ISO 8601, spans as TIME."""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, datetime.timedelta):
        return f"T#{value // datetime.timedelta(milliseconds=1)}ms"
    if isinstance(value, (datetime.datetime, datetime.date, datetime.time)):
        return value.isoformat()
    return str(value)


def _refuse_corner(part: Part, name: str) -> None:
    wide = high = 0
    for column, row in set(_REFERENCE.findall(part.data)):
        wide, high = max(wide, _column(column)), max(high, int(row))
    _refuse_span(wide, high, name)


def _refuse_span(wide: int, high: int, name: str) -> None:
    if wide * high > MAX_CELLS:
        raise Problem(
            f"has a cell so far from the others that the sheet spans {wide} columns and {high} rows",
            where=name,
            advice="delete the stray cell",
        )


def _refuse_repeats(part: Part, name: str) -> None:
    """The same for .ods, where one element stands for many equal rows or cells (OpenDocument 1.3 part 3, 19.675-677).

    Empty rows and cells behind the last content do not count: every program fills the sheet up with them.
    """
    for table in part.data.split(b"<table:table ")[1:]:
        wide = high = passed = 0
        for attributes, inside in _ODS_ROW.findall(table):
            passed += _repeated(attributes)
            cells = 0
            for cell, content in _ODS_CELL.findall(inside):
                cells += _repeated(cell)
                if content or b"office:value" in cell:
                    wide, high = max(wide, cells), passed
        _refuse_span(wide, high, name)


def _repeated(attributes: bytes) -> int:
    found = _REPEATED.search(attributes)
    return int(found[1]) if found else 1


def _column(letters: bytes) -> int:
    """Number of a column from 1: A is 1, AA is 27."""
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number


def column_letters(number: int) -> str:
    """Name of a column, ``number`` from 0: 0 is A, 26 is AA."""
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
