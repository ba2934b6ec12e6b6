"""Several tables in one file, below each other: no row of the second may be read as if it were of the first.

A row that names columns again begins another table; so do rows behind an empty line, a remark or a title that do not
fit the columns. Cost: linear, 1 to 5 % of reading (200,000 rows): a row with a type is no heading, and
nearly all other cells are ruled out by their first letters.
Weakness: rows of another kind that look like those of the table, with nothing between them, are not noticed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from itertools import chain, pairwise

from asfound.language.elementary import ELEMENTARY
from asfound.model.problem import Problem
from asfound.readers.tables.columns import fold, is_known, known_among, roles
from asfound.readers.tables.headings import TAGS, Table, classify
from asfound.readers.tables.operands import canonical
from asfound.readers.tables.profile_shapes import is_address
from asfound.readers.tables.spreadsheet import Line

_TYPES = ELEMENTARY | {name.lower() for name in ELEMENTARY} | {name.capitalize() for name in ELEMENTARY}
"""A row with one of these names no columns."""
_ADDRESS = re.compile(r"%?[A-Za-z]{0,3} ?[0-9]")
"""How nearly every address begins, and no heading."""
APART = "save each table as a file of its own"


def refuse(table: Table) -> None:
    """Refuse a table with rows of another one. Raises Problem that says where it begins."""
    found = second_heading(table) or another_kind(table)
    if found:
        what, where = found
        raise Problem(what, where=where, advice=APART)


def second_heading(table: Table) -> tuple[str, str] | None:
    """What is wrong and where, when a row names columns again."""
    own = [(at, fold(table.headings[at])) for at in table.roles.values() if at < len(table.headings)]
    lines = _untyped(table)
    words = known_among(set(chain.from_iterable(line.cells for line in lines)))
    words |= {table.headings[at] for at, _ in own}
    for line in lines:
        if len(words.intersection(line.cells)) > 1 and (_again(line.cells, own) or _names(table, line)):
            return "several tables stand below each other: this row names the columns again", table.where(line)
    return None


def _untyped(table: Table) -> list[Line]:
    """The rows with neither a type nor an address, which are few: only they can name columns."""
    lines = [line for line in table.lines if _TYPES.isdisjoint(line.cells)]
    at = table.roles.get("address")
    if at is None:
        return lines
    return [line for line in lines if at >= len(line.cells) or _ADDRESS.match(line.cells[at]) is None]


def _again(cells: Sequence[str], own: Sequence[tuple[int, str]]) -> bool:
    """Whether at least two columns hold their own heading."""
    return sum(at < len(cells) and fold(cells[at]) == heading for at, heading in own if heading) > 1


def _names(table: Table, line: Line) -> bool:
    """Whether a row names columns, these or others: a tag may be called Value, and its comment be Signal."""
    filled = [cell for cell in line.cells if cell]
    if classify(line.cells) is None or any(cell.upper() in ELEMENTARY or canonical(cell) for cell in filled):
        return False
    known = sum(map(is_known, filled))
    return known > 2 or known == len(filled) or "name" in roles((table.cell(line, "name"),), ("name",))


def another_kind(table: Table) -> tuple[str, str] | None:
    """Rows of a tag table that begin behind a gap and do not fit its columns; what is wrong with them and where."""
    if table.kind is not TAGS or table.checked:
        return None
    first, *others = blocks(table.lines) or [()]
    if not others:
        return None
    width = max([len(table.headings), *map(_width, first)])
    known = "address" not in table.roles or any(canonical(table.cell(line, "address")) for line in first)
    types = {table.cell(line, "type").upper() for line in first} | ELEMENTARY
    for block in others:
        if all(_width(line) > width for line in block):
            what = "the rows from here on are of another kind: they have more cells than the heading"
            return what, table.where(block[0])
        if known and (word := _foreign(table, block, types)):
            sort = "address" if "address" in table.roles else "type"
            what = f"the rows from here on are of another kind: {word} is no {sort} as those above are"
            return what, table.where(block[0])
    return None


def _foreign(table: Table, block: Sequence[Line], types: Set[str]) -> str:
    """What stands in the column of addresses of rows that do not fit it; empty where they may (``-``, ``none``).

    In a table without addresses it is a number that stands for a type in each of the rows.
    """
    if "address" not in table.roles:
        numbers = [cell for line in block if (cell := table.cell(line, "type")).isdecimal()]
        return numbers[0] if len(numbers) == len(block) and types.isdisjoint(numbers) else ""
    written = [cell for line in block if any(map(str.isalnum, cell := table.cell(line, "address")))]
    if not written or any(canonical(cell) or is_address(cell) for cell in written):
        return ""
    typed = any(table.cell(line, "type").upper() in types for line in block)
    other = not typed if "type" in table.roles else len(written) == len(block) > 1
    return written[0] if other else ""


def blocks(lines: Sequence[Line]) -> list[tuple[Line, ...]]:
    """The rows between empty lines, remarks (which are no lines any more) and titles, which are left out."""
    titles = {at for at, line in enumerate(lines) if line.cells.count("") == len(line.cells) - 1}
    gaps = [at for at, (one, two) in enumerate(pairwise(line.number for line in lines), 1) if two - one > 1]
    ends = sorted({0, *gaps, *titles, len(lines)})
    found = (tuple(lines[start + (start in titles) : end]) for start, end in pairwise(ends))
    return [rows for rows in found if rows]


def _width(line: Line) -> int:
    return max(n for n, cell in enumerate(line.cells, 1) if cell)
