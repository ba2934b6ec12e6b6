"""A first look at a table of an unknown style: its delimiter, the line that names its columns, its rows.

What no profile can say is refused here: columns at fixed places, sections with columns of their own, lines above rows
that no heading follows. Cost: linear. Weakness: where no heading holds a known word, the first line without addresses,
types and numbers is taken for it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise
from pathlib import PurePosixPath
from typing import NamedTuple

from asfound.language.elementary import ELEMENTARY
from asfound.model.problem import Problem
from asfound.readers.encoding import decode
from asfound.readers.reader import Probe
from asfound.readers.tables import headings, profile_shapes, remarks, sections
from asfound.readers.tables.spreadsheet import Line, is_spreadsheet, read_book

ROWS = 5000
"""Rows that are looked at."""
TYPES = {
    "bool": "BOOL", "boolean": "BOOL", "bit": "BOOL", "binary": "BOOL", "digital": "BOOL", "binar": "BOOL",
    "integer": "INT", "double": "LREAL", "float": "REAL", "long": "DINT", "short": "INT",
    "int8": "SINT", "int16": "INT", "int32": "DINT", "int64": "LINT",
    "uint8": "USINT", "uint16": "UINT", "uint32": "UDINT", "uint64": "ULINT",
    "float32": "REAL", "float64": "LREAL", "real32": "REAL", "real64": "LREAL",
}  # fmt: skip
"""Type words met in tables (common practice) with the type they most likely mean."""
IMPOSSIBLE = "cannot be read with a profile: "


class Looked(NamedTuple):
    """What was seen of a table: ``heading`` is the number of its line (0 when there is none), ``known`` whether it
    holds known words.
    """

    delimiter: str
    encoding: str
    heading: int
    known: bool
    names: tuple[str, ...]
    rows: tuple[Line, ...]

    def column(self, at: int) -> list[str]:
        """The cells of a column that hold something."""
        return [line.cells[at] for line in self.rows if at < len(line.cells) and line.cells[at]]


def look(data: bytes, name: str) -> Looked:
    """The first table of a file. Raises Problem when there is none in it, or none that a profile could describe."""
    lines, delimiter, encoding = _lines(data, name)
    at, heading, names = _heading(lines)
    rows = remarks.apart(lines[at:][:ROWS])[0]
    if not rows:
        raise Problem("names columns and has no rows", where=name, advice="export a table that holds something")
    known = headings.classify(names) is not None
    if not known:
        _refuse_sections(rows if heading else remarks.apart(lines)[0], name)
    if not heading:
        _refuse_above(lines[:at], name)
    return Looked(delimiter, encoding, heading, known, names, rows)


def _lines(data: bytes, name: str) -> tuple[Sequence[Line], str, str]:
    if is_spreadsheet(data, PurePosixPath(name).suffix.lower()):
        sheets = [sheet.lines for sheet in read_book(data, name).sheets if sheet.lines]
        lines, delimiter, encoding = (sheets[0] if sheets else ()), "", ""
    else:
        decoded = decode(data)
        if Probe(data, name).root is not None or "\x00" in decoded.text[:4096]:
            raise Problem("is no table", where=name, advice="name a text file with columns, an .xlsx or an .ods")
        encoding = decoded.encoding if decoded.guessed else ""
        delimiter = _delimiter(decoded.text)
        if is_fixed_width(decoded.text, delimiter):
            what = f"{IMPOSSIBLE}its columns stand at fixed places, with no sign between them"
            raise Problem(what, where=name, advice="export it with semicolons or tabs between its columns")
        lines = headings.lines_of(decoded.text, delimiter, name) if delimiter else ()
    if not lines or max(len(line.cells) for line in lines) < 2:
        raise Problem("shows no columns", where=name, advice="export it with a delimiter between its columns")
    return lines, delimiter, encoding


def _delimiter(text: str) -> str:
    """The sign that cuts most lines into one and the same number of columns, more columns before fewer."""
    best, chosen = 0.0, ""
    for sign in headings.DELIMITERS:
        try:
            rows = [row for _, row in remarks.rows(text[:65536], sign, strict=False)]
        except remarks.Unreadable:
            continue
        counts = Counter(len(row) for row in rows if any(row) and not remarks.is_remark(row))
        width, often = max(counts.items(), key=lambda pair: (pair[1], pair[0]), default=(0, 0))
        score = often / max(counts.total(), 1) * (1 + width / 100) if width > 1 else 0.0
        if score > best:
            best, chosen = score, sign
    return chosen


def is_fixed_width(text: str, delimiter: str = "") -> bool:
    """Whether the columns of a text stand at fixed places: blanks above each other in all lines, words behind them."""
    lines = [line.rstrip() for line in text[:65536].split("\n")[:100]]
    lines = [line for line in lines if line and not remarks.is_remark([line])]
    cut = sum(line.count(delimiter) > 1 for line in lines) if delimiter else 0  # one sign may stand behind a number
    if len(lines) < 3 or 2 * cut > len(lines) or any("\t" in line.strip() for line in lines):
        return False
    inside = rf"[^\s{re.escape(delimiter)}]"
    spaced = sum(re.search(rf"{inside} {{2,}}{inside}", line) is not None for line in lines)
    starts = Counter(found.end() for line in lines for found in re.finditer(r"  (?=\S)", line) if found.start())
    free = [at for at, often in starts.items() if 2 * often > len(lines)]
    clear = [at for at in free if all(line[at - 2 : at].isspace() or len(line) <= at - 2 for line in lines)]
    return bool(clear) and 2 * spaced > len(lines)


def _heading(lines: Sequence[Line]) -> tuple[int, int, tuple[str, ...]]:
    """Index of the first row, number of the line that names the columns (0 for none), and the names."""
    named = headings.heading(line.cells for line in lines)
    if named is not None:
        return named.at + 1, lines[named.at].number, named.cells
    plain = [line for line in lines if not remarks.is_remark(line.cells)]
    counts = Counter(_filled(line.cells) for line in plain)
    usual = max(counts, key=lambda count: (count * counts[count], count), default=2)  # a preamble has few cells
    hidden: Line | None = None
    for at, line in enumerate(lines[: headings.REMARKS_WITHIN]):
        if remarks.is_remark(line.cells):
            hidden = line if _names_columns(remarks.bared(line.cells), usual) else hidden
        elif _filled(line.cells) * 2 >= usual and _filled(line.cells) > 1:
            if hidden is not None and len(hidden.cells) == len(line.cells):
                return at, hidden.number, remarks.bared(hidden.cells)
            return (at + 1, line.number, line.cells) if _names_columns(line.cells, usual) else (at, 0, ())
    return 0, 0, ()


def _filled(cells: Sequence[str]) -> int:
    return sum(map(bool, cells))


def _names_columns(cells: Sequence[str], usual: int) -> bool:
    """Whether a line may name the columns: different words for nearly all of them, no addresses, numbers and types."""
    filled = [cell for cell in cells if cell]
    words = all(not profile_shapes.is_address(cell) and not is_number(cell) for cell in filled)
    typed = any(cell.upper() in ELEMENTARY or cell.lower() in TYPES for cell in filled)
    return len(filled) >= max(2, usual - 1) and words and not typed and len(set(filled)) == len(filled)


def is_number(text: str) -> bool:
    """Whether a cell is a plain number, with whatever decimal sign."""
    return text.replace(",", "").replace(".", "").lstrip("+-").isdecimal()


def _refuse_above(lines: Sequence[Line], name: str) -> None:
    """Without a heading a profile reads from the first line on: what stands above the rows would become rows."""
    other = [line for line in lines if not remarks.is_remark(line.cells)]
    if other:
        what = f"{IMPOSSIBLE}line {other[0].number} is no row, and no line names the columns"
        raise Problem(what, where=name, advice="remove the lines above the rows, or put // before each of them")


def _refuse_sections(rows: Sequence[Line], name: str) -> None:
    """Blocks of rows with different numbers of cells, and nothing that names the columns of each."""
    found = sections.blocks(rows)
    for one, two in pairwise(found):
        widths = {len(line.cells) for line in one}, {len(line.cells) for line in two}
        if widths[0].isdisjoint(widths[1]):
            what = (
                f"{IMPOSSIBLE}several sections stand below each other, each with columns of its own (rows "
                f"of {max(widths[0])} cells from line {one[0].number} on, of {max(widths[1])} from {two[0].number} on)"
            )
            raise Problem(what, where=name, advice="save the section that holds the tags as a file of its own")
