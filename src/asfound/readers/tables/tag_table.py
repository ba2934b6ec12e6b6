"""Tag tables: name, address, type and comment of every tag, as text with a delimiter or as a spreadsheet."""

from __future__ import annotations

from functools import partial

from asfound.model.copy import Copy, Finding
from asfound.model.problem import Problem
from asfound.model.program import Program
from asfound.model.tags import Tag, TagTable
from asfound.readers.reader import Noise, Reader
from asfound.readers.tables import headings, unaccounted
from asfound.readers.tables.operands import canonical
from asfound.readers.tables.repeats import repeated
from asfound.readers.tables.spreadsheet import Line


def read(data: bytes, name: str) -> Copy:
    """The tag tables of a file, and the tables of other kinds in the same workbook.

    Rows that cannot be understood are kept, each with a finding.
    """
    from asfound.readers.tables import sheets

    return sheets.read(data, name, headings.TAGS)


def from_tables(opened: headings.Opened) -> Copy:
    """The tag tables among opened tables. Raises Problem for an unknown style of table."""
    found: list[TagTable] = []
    findings = list(opened.findings)
    for table in opened.tables:
        refuse_style(table)
        unaccounted.refuse(table)
        rows = [(line, _tag(table, line, findings)) for line in table.lines]
        findings += _titles(table)
        findings += repeated((tag.name, table.where(line, "name")) for line, tag in rows)
        found.append(TagTable(table.name, tuple(sorted((tag for _, tag in rows), key=order))))
    return Copy(
        tables=tuple(found),
        program=Program(extensions=opened.extensions),
        findings=tuple(findings),
        limits=opened.limits,
    )


def order(tag: Tag) -> tuple[str, str, str, str, str, tuple[tuple[str, str], ...]]:
    """Sort key of the tags of a table: name without case, then address, then all the rest."""
    settings = tuple((setting.name, setting.value) for setting in tag.settings)
    return tag.name.lower(), tag.address, tag.name, tag.type, tag.comment, settings


def address_of(text: str, where: str, findings: list[Finding]) -> str:
    """Canonical address; one that is in no known form stays as written and becomes a finding."""
    if not text:
        return ""
    known = canonical(text)
    if known is None:
        findings.append(Finding("error", where, f"the address '{text}' is in no known form; it is kept as written"))
        return text
    return known


def refuse_style(table: headings.Table) -> None:
    """Refuse a table of whose addresses more than half are in no known form: its style is unknown, not a cell wrong.

    Cells without a digit (``-``, ``none``) do not count: no address is written so.
    """
    written = [(line, cell) for line in table.lines if any(map(str.isdigit, cell := table.cell(line, "address")))]
    unknown = [(line, cell) for line, cell in written if canonical(cell) is None]
    if 2 * len(unknown) <= len(written):
        return
    line, cell = unknown[0]
    file = table.place.partition(", sheet ")[0]
    raise Problem(
        f"the address '{cell}' is in no known form, like {len(unknown)} of {len(written)} addresses of this table",
        where=table.where(line, "address"),
        advice=f"`asfound profile {file}` proposes how to read them",
    )


def _tag(table: headings.Table, line: Line, findings: list[Finding]) -> Tag:
    cell = table.cell
    name, address = cell(line, "name"), cell(line, "address")
    if not name:
        findings.append(Finding("warning", table.where(line, "name"), "the row has no name; it is kept"))
    if address:
        address = canonical(address) or address_of(address, table.where(line, "address"), findings)
    return Tag(
        name=name,
        address=address,
        type=cell(line, "type").upper(),
        comment=cell(line, "comment"),
        settings=table.settings(line),
    )


def _titles(table: headings.Table) -> list[Finding]:
    """A warning for each row with nothing but a name, where others have an address or a type: it may be a title."""
    told = [table.roles[role] for role in ("address", "type") if role in table.roles]
    bare = [line for line in table.lines if line.cells.count("") == len(line.cells) - 1 and table.cell(line, "name")]
    full = sum(any(at < len(line.cells) and line.cells[at] for at in told) for line in table.lines) if bare else 0
    if full < len(bare):
        return []
    text = "the row holds nothing but a name: it is kept as a tag, and may be a title"
    return [Finding("warning", table.where(line, "name"), text) for line in bare]


READER = Reader(
    name="tag-table",
    title="Tag table (CSV, TSV, .xlsx, .ods)",
    standard="RFC 4180, ECMA-376, ISO/IEC 26300; addresses of IEC 61131-3 and DIN 19239",
    suffixes=(".csv", ".tsv", ".txt", ".xlsx", ".ods"),
    holds="tags with address, type, comment and further columns",
    recognise=partial(headings.recognise, kind=headings.TAGS),
    read=read,
    noise=(
        *headings.NOISE,
        Noise("row/address/spelling()", "E 0.0, I0.0, %I0.0 and %IX0.0 are one address"),
        Noise("row/type/case()", "type names have no case"),
    ),
)
