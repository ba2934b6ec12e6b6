"""The decimal comma of a table that uses it throughout: ``5,2`` in a column of numbers is the number 5.2.

A table with one decimal point anywhere in these columns is left as it is written, and so is one in which every comma
is followed by exactly three digits, for that may be a sign between thousands. Cost: linear.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from asfound.readers.tables.columns import roles
from asfound.readers.tables.headings import TAGS, Table
from asfound.readers.tables.spreadsheet import Line

VALUED = ("actual", "value", "initial", "forced")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+(?:[eE][+-]?[0-9]+)?")
_POINT = re.compile(r"[+-]?[0-9]+\.[0-9]+(?:[eE][+-]?[0-9]+)?")
_THOUSANDS = re.compile(r"[+-]?[0-9]{1,3},[0-9]{3}")
_TEXT = re.compile(r"W?STRING\b|ARRAY\b", re.IGNORECASE)


def with_points(table: Table) -> Table:
    """The table with decimal points for decimal commas, the same table where it does not use them throughout."""
    if table.spreadsheet or (table.checked and table.kind is not TAGS):  # of lists the profile says it
        return table
    columns = [at for at, heading in enumerate(table.headings) if roles((heading,), VALUED)]
    types = [at for at, heading in enumerate(table.headings) if roles((heading,), ("type",))]
    numeric = [line for line in table.lines if _counts(line, types)] if columns else []
    numbers = [line.cells[at] for line in numeric for at in columns if at < len(line.cells)]
    if not uses_commas(numbers):
        return table
    return table._replace(
        lines=tuple(_rewritten(line, columns) if _counts(line, types) else line for line in table.lines)
    )


def uses_commas(numbers: Sequence[str]) -> bool:
    """Whether a comma is the decimal sign of these cells throughout, and none between thousands."""
    commas = [cell for cell in numbers if _COMMA.fullmatch(cell)]
    return bool(commas) and not all(map(_THOUSANDS.fullmatch, commas)) and not any(map(_POINT.fullmatch, numbers))


def _counts(line: Line, types: list[int]) -> bool:
    """Whether the value of a row may be a number: the comma of a text or a list is a comma."""
    return not any(_TEXT.match(line.cells[at]) for at in types if at < len(line.cells))


def _rewritten(line: Line, columns: list[int]) -> Line:
    cells = list(line.cells)
    for at in columns:
        if at < len(cells) and _COMMA.fullmatch(cells[at]):
            cells[at] = cells[at].replace(",", ".")
    return line._replace(cells=tuple(cells))
