"""Value lists (actual and initial values) and lists of forced variables, as text or as a spreadsheet.

Numbers keep the digits they are written with; what they mean is for the comparison to say.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TypeVar

from msgspec.structs import replace

from asfound.model.copy import Copy, Finding
from asfound.model.program import Program, Setting
from asfound.model.values import ActualValue, Force
from asfound.readers.reader import Noise, Reader
from asfound.readers.tables import headings
from asfound.readers.tables.repeats import repeated
from asfound.readers.tables.spreadsheet import Line
from asfound.readers.tables.tag_table import address_of

Row = TypeVar("Row")


def read_values(data: bytes, name: str) -> Copy:
    """Actual values, sorted by name, and the tables of other kinds in the same workbook."""
    from asfound.readers.tables import sheets

    return sheets.read(data, name, headings.VALUES)


def values_from(opened: headings.Opened) -> Copy:
    """The actual values in opened tables."""
    found, rest = _rows(opened, _value)
    return replace(rest, values=tuple(sorted(found, key=_value_order)))


def read_forces(data: bytes, name: str) -> Copy:
    """Forced variables and addresses, sorted by name, and the tables of other kinds in the same workbook.

    A list with a heading only says that nothing is forced.
    """
    from asfound.readers.tables import sheets

    return sheets.read(data, name, headings.FORCES)


def forces_from(opened: headings.Opened) -> Copy:
    """The forces in opened tables."""
    found, rest = _rows(opened, _force)
    return replace(rest, forces=tuple(sorted(found, key=_force_order)))


def _rows(opened: headings.Opened, row: Callable[[headings.Table, Line, list[Finding]], Row]) -> tuple[list[Row], Copy]:
    """The rows of opened tables, and what the tables say besides."""
    findings = list(opened.findings)
    found: list[Row] = []
    for table in opened.tables:
        findings += _names(table)
        found += [row(table, line, findings) for line in table.lines]
    program = Program(extensions=opened.extensions)
    return found, Copy(program=program, findings=tuple(findings), limits=opened.limits)


def _names(table: headings.Table) -> list[Finding]:
    """Findings about empty names (unless an address stands for the name) and repeated ones."""
    found = [
        Finding("warning", table.where(line, "name"), "the row has no name; it is kept")
        for line in table.lines
        if not table.cell(line, "name") and not table.cell(line, "address")
    ]
    return found + repeated((table.cell(line, "name"), table.where(line, "name")) for line in table.lines)


def _value(table: headings.Table, line: Line, findings: list[Finding]) -> ActualValue:
    cell = table.cell
    if not cell(line, "actual"):
        findings.append(Finding("warning", table.where(line, "actual"), "the row has no actual value"))
    return ActualValue(
        name=cell(line, "name"),
        actual=cell(line, "actual"),
        initial=cell(line, "initial"),
        unit=cell(line, "unit"),
        comment=cell(line, "comment"),
        settings=table.settings(line),
    )


def _force(table: headings.Table, line: Line, findings: list[Finding]) -> Force:
    cell = table.cell
    if not cell(line, "forced"):
        findings.append(Finding("warning", table.where(line, "forced"), "the row has no forced value"))
    return Force(
        name=cell(line, "name"),
        value=cell(line, "forced"),
        address=address_of(cell(line, "address"), table.where(line, "address"), findings),
        comment=cell(line, "comment"),
        settings=table.settings(line),
    )


def _pairs(settings: tuple[Setting, ...]) -> tuple[tuple[str, str], ...]:
    return tuple((setting.name, setting.value) for setting in settings)


def _value_order(v: ActualValue) -> tuple[object, ...]:
    return v.name.lower(), v.name, v.actual, v.initial, v.unit, v.comment, _pairs(v.settings)


def _force_order(f: Force) -> tuple[object, ...]:
    return f.name.lower(), f.address, f.name, f.value, f.comment, _pairs(f.settings)


READER = Reader(
    name="value-list",
    title="List of actual values (CSV, TSV, .xlsx, .ods)",
    standard="RFC 4180, ECMA-376, ISO/IEC 26300",
    suffixes=(".csv", ".tsv", ".txt", ".xlsx", ".ods"),
    holds="actual and initial values with their units",
    recognise=partial(headings.recognise, kind=headings.VALUES),
    read=read_values,
    noise=headings.NOISE,
)

FORCE_READER = Reader(
    name="force-list",
    title="List of forced variables (CSV, TSV, .xlsx, .ods)",
    standard="RFC 4180, ECMA-376, ISO/IEC 26300; addresses of IEC 61131-3 and DIN 19239",
    suffixes=(".csv", ".tsv", ".txt", ".xlsx", ".ods"),
    holds="forced variables and addresses with the forced value",
    recognise=partial(headings.recognise, kind=headings.FORCES),
    read=read_forces,
    noise=(*headings.NOISE, Noise("row/address/spelling()", "E 0.0, I0.0, %I0.0 and %IX0.0 are one address")),
)
