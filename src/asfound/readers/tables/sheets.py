"""All tables of one file, each read as what its heading says: a workbook may hold tags, forces and modules together.

The file is named after its first table; what the others hold is read all the same, so that no force hides on a
second sheet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec.structs import replace

from asfound.model.copy import Copy
from asfound.model.hardware import Hardware
from asfound.readers.tables import decimals, headings, module_list, sections, tag_table, value_list

READ: Mapping[str, Callable[[headings.Opened], Copy]] = {
    headings.TAGS.name: tag_table.from_tables,
    headings.VALUES.name: value_list.values_from,
    headings.FORCES.name: value_list.forces_from,
    headings.MODULES.name: module_list.from_tables,
}


def read(data: bytes, name: str, kind: headings.Kind) -> Copy:
    """What a file holds whose first table is of that kind. Raises Problem when it has none or is damaged."""
    return read_opened(headings.open_tables(data, name, kind))


def read_opened(opened: headings.Opened) -> Copy:
    """What the tables hold, of whatever kinds; extensions, findings and limits of the file once."""
    for table in opened.tables:
        sections.refuse(table)
    opened = opened._replace(tables=tuple(map(decimals.with_points, opened.tables)))
    held = {table.kind.name for table in opened.tables}
    first, *others = (kind.name for kind in headings.KINDS if kind.name in held)
    whole = READ[first](_of_kind(opened, first))
    for kind in others:
        more = READ[kind](_of_kind(opened._replace(extensions=(), findings=(), limits=()), kind))
        whole = replace(
            whole,
            tables=(*whole.tables, *more.tables),
            hardware=more.hardware if more.hardware != Hardware() else whole.hardware,
            values=(*whole.values, *more.values),
            forces=(*whole.forces, *more.forces),
            findings=(*whole.findings, *more.findings),
        )
    return whole


def _of_kind(opened: headings.Opened, kind: str) -> headings.Opened:
    return opened._replace(tables=tuple(table for table in opened.tables if table.kind.name == kind))
