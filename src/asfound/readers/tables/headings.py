"""Tables in text files and spreadsheets: find the heading, tell what kind of table it is, hand out its rows.

A table is recognised by its heading alone: a line among the first 20 whose cells are known words (columns.py).
Remarks do not count, and the last of them above the first row may be the heading itself (remarks.py). For a text
file each delimiter is tried on these lines and the one that makes the most known columns wins; so a comma inside a
comment cannot mislead. Cost: linear. Weakness: a table without a heading is not recognised; a profile has to say what
its columns are.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import islice
from pathlib import PurePosixPath
from typing import NamedTuple

from asfound.model.copy import Finding
from asfound.model.problem import Problem
from asfound.model.program import Extension, Setting
from asfound.readers.encoding import decode
from asfound.readers.reader import Noise, Probe
from asfound.readers.tables import remarks
from asfound.readers.tables.columns import roles
from asfound.readers.tables.spreadsheet import LIMIT, Line, Sheet, column_letters, is_spreadsheet, read_book

HEADING_WITHIN = 20
REMARKS_WITHIN = 2000
"""Lines among which the heading is searched where most of them are remarks."""
DELIMITERS = (";", "\t", ",", "|")

NOISE = (
    Noise("file/encoding()", "the same text in another encoding, with or without a byte order mark"),
    Noise("file/line ends()", "line ends differ between operating systems"),
    Noise("file/delimiter()", "delimiter, quotes around a cell and a first line 'sep=;' only carry the cells"),
    Noise("sheet[only]/@name", "name of the only sheet of a workbook: programs name it in their own language"),
    Noise("heading[known]/text()", "a known column keeps its meaning in another language or spelling"),
    Noise("column/empty()", "heading of a further column in which no row holds anything"),
    Noise("column/order()", "the heading says what a column is, not its place"),
    Noise("row/order()", "such a table has no order; rows are sorted"),
    Noise("row/empty()", "a row without any content"),
    Noise("cell/decimal comma()", "5,2 for 5.2 in the values of a text table that uses the comma throughout"),
    Noise("cell/padding()", "blanks at both ends of a cell, and empty cells at the end of a row"),
)
"""What all readers of tables declare; the paths are those of ``file``, ``sheet``, ``heading``, ``row`` and ``cell``."""


class Kind(NamedTuple):
    """A kind of table: the roles it understands, and what its heading must hold."""

    name: str
    wanted: tuple[str, ...]
    fits: Callable[[Mapping[str, int]], bool]


FORCES = Kind(
    "force-list",
    ("name", "address", "forced", "comment"),
    lambda found: "forced" in found and ("name" in found or "address" in found),
)
VALUES = Kind(
    "value-list",
    ("name", "actual", "value", "initial", "unit", "comment", "address"),
    lambda found: "name" in found and ("actual" in found or ("value" in found and "address" not in found)),
)
MODULES = Kind(
    "module-list",
    (
        "station", "rack", "slot", "module", "order number", "firmware", "input start", "input length",
        "output start", "output length", "current", "comment",
    ),
    lambda found: ("slot" in found or "firmware" in found) and ("module" in found or "order number" in found),
)  # fmt: skip
TAGS = Kind(
    "tag-table",
    ("name", "address", "type", "comment"),
    lambda found: "name" in found and ("address" in found or "type" in found),
)
KINDS = (FORCES, VALUES, MODULES, TAGS)
"""In the order in which they are asked: a table is of the first kind that fits."""


class Table(NamedTuple):
    """``roles`` maps a role to its column; ``further`` lists (column, name) of all others that have a heading.

    ``remarks`` are the lines among the rows that are none, ``others`` rows of kinds that are not read. ``checked``: a
    profile says what its columns are, so somebody has looked.
    """

    kind: Kind
    name: str
    place: str
    spreadsheet: bool
    headings: tuple[str, ...]
    roles: Mapping[str, int]
    further: tuple[tuple[int, str], ...]
    above: str
    lines: tuple[Line, ...]
    checked: bool = False
    remarks: tuple[Line, ...] = ()
    others: tuple[Line, ...] = ()

    def cell(self, line: Line, role: str) -> str:
        """Text of the cell of that role, empty when the table has no such column or the row ends before it."""
        at = self.roles.get(role)
        return line.cells[at] if at is not None and at < len(line.cells) else ""

    def where(self, line: Line, role: str = "") -> str:
        """A place for people: file, sheet, row and column (``tags.csv, row 7, column 2 (Address)``)."""
        at = self.roles.get(role)
        if at is None:
            return f"{self.place}, row {line.number}"
        if self.spreadsheet:
            return f"{self.place}, cell {column_letters(at)}{line.number}"
        return f"{self.place}, row {line.number}, column {at + 1} ({self.headings[at]})"

    def settings(self, line: Line, more: Iterable[Setting] = ()) -> tuple[Setting, ...]:
        """Every further column that holds something in this row, and ``more``, sorted."""
        cells, known = line.cells, len(self.headings)
        found = [Setting(name, cells[at]) for at, name in self.further if at < len(cells) and cells[at]]
        if len(cells) > known:
            found += [Setting(f"column {at + 1}", cells[at]) for at in range(known, len(cells)) if cells[at]]
        found += more
        return tuple(sorted(found, key=lambda s: (s.name, s.value))) if found else ()


class Opened(NamedTuple):
    """All tables of one file, of every kind, and everything in it that belongs to none of them."""

    tables: tuple[Table, ...]
    extensions: tuple[Extension, ...]
    findings: tuple[Finding, ...]
    limits: tuple[str, ...]


def recognise(probe: Probe, kind: Kind) -> bool:
    """Whether the first table of a file is of that kind; a damaged workbook counts as tags: reading it says why."""
    if is_spreadsheet(probe.data, probe.suffix):
        try:
            tables = _tables_of_book(probe.data, probe.name).tables
        except Problem:
            return kind is TAGS and probe.suffix in (".xlsx", ".ods")
        return bool(tables) and tables[0].kind is kind
    if "\x00" in probe.text or probe.root is not None:
        return False
    found = _delimiter(probe.text)
    return found is not None and found[1] is kind


def open_tables(data: bytes, name: str, kind: Kind) -> Opened:
    """The tables of a file. Raises Problem when none is of that kind."""
    book = is_spreadsheet(data, PurePosixPath(name).suffix.lower())
    opened = _tables_of_book(data, name) if book else _table_of_text(data, name)
    _tables_of_book.cache_clear()
    if not any(table.kind is kind for table in opened.tables):
        raise Problem(
            f"has no heading of a {kind.name} within its first {HEADING_WITHIN} lines",
            where=name,
            advice="name the columns in its first line, e.g. 'Name;Address;Type;Comment'",
        )
    found = sorted([*opened.extensions, *beside_rows(opened.tables)], key=lambda e: (e.path, e.text))
    return opened._replace(extensions=tuple(found), findings=(*opened.findings, *doubts(opened.tables)))


def beside_rows(opened: Iterable[Table]) -> Iterator[Extension]:
    """What stands above the heading of a table, and the remarks between its rows, as text."""
    for table in opened:
        if table.above:
            yield Extension(path=f"{table.name}/above the heading", text=table.above)
        for title, lines in (("remarks", table.remarks), ("rows of other kinds", table.others)):
            if lines:
                text = "\n".join("\t".join(line.cells).rstrip("\t") for line in lines)
                yield Extension(path=f"{table.name}/{title}", text=text)


def doubts(opened: Iterable[Table]) -> Iterator[Finding]:
    """A note for each table with a remark that might be a row."""
    for table in opened:
        found = remarks.doubtful(table.remarks)
        if found:
            more = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
            text = f"the row{more} begins with #: it is taken for a remark, and kept as text"
            yield Finding("note", table.where(found[0]), text)


def verbatim(title: str, lines: Sequence[Line]) -> Extension:
    """A sheet that is no table, as it stands."""
    rows = ("\t".join(line.cells).rstrip("\t") for line in lines)
    return Extension(path=f"sheet/{title}", text="\n".join(rows))


def _stem(name: str) -> str:
    return PurePosixPath(name).stem


def _table_of_text(data: bytes, name: str) -> Opened:
    decoded = decode(data)
    findings = []
    if decoded.guessed:
        text = f"the encoding is not marked; it was read as {decoded.encoding}, check a letter with an accent"
        findings.append(Finding("note", name, text))
    found = _delimiter(decoded.text[:65536])
    if found is None:
        return Opened((), (), tuple(findings), ())
    lines = lines_of(decoded.text, found[0], name)
    table = table_of(Sheet("", lines), _stem(name), name, False)
    return Opened((table,) if table else (), (), tuple(findings), ())


def lines_of(text: str, delimiter: str, name: str) -> tuple[Line, ...]:
    """Rows with the number of the text line they start in; rows without content are left out, and ``sep=;``."""
    found = []
    try:
        for start, row in remarks.rows(text, delimiter, strict=True):
            cells = tuple([cell.strip() for cell in row])
            if any(cells):
                found.append(Line(start, cells))
    except remarks.Unreadable as error:
        raise Problem(
            f"is not a readable table ({error.args[0]})",
            where=f"{name}, line {error.args[1]}",
            advice="close the quotes of that row, or double a quote that belongs to the text",
        ) from None
    return tuple(found[1:] if found and _is_sep(found[0]) else found)


def _is_sep(line: Line) -> bool:
    return re.fullmatch(r"sep=.?", "".join(line.cells), re.IGNORECASE) is not None


def _delimiter(text: str) -> tuple[str, Kind] | None:
    """The delimiter that gives the most known columns, and the kind of table it makes; None when none does."""
    best: tuple[int, str, Kind] | None = None
    for delimiter in DELIMITERS:
        rows = (tuple(cell.strip() for cell in row) for _, row in remarks.rows(text, delimiter, strict=False))
        try:
            found = heading(rows)
        except remarks.Unreadable:
            continue
        if found is not None:
            count = len(roles(found.cells, found.kind.wanted))
            if best is None or count > best[0]:
                best = (count, delimiter, found.kind)
    return best[1:] if best else None


class Heading(NamedTuple):
    """The row ``at`` (from 0) that names the columns; the cells are those of a remark without its sign."""

    at: int
    cells: tuple[str, ...]
    kind: Kind


def heading(rows: Iterable[tuple[str, ...]]) -> Heading | None:
    """The first row that names known columns, else the last remark above the first row that names as many as it has."""
    seen, hidden = 0, None
    for at, cells in enumerate(islice(rows, REMARKS_WITHIN)):
        if not any(cells):
            continue
        remark = remarks.is_remark(cells)
        named = remarks.bared(cells) if remark else cells
        kind = classify(named)
        if kind is not None and not remark:
            return Heading(at, cells, kind)
        if remark:
            hidden = Heading(at, named, kind) if kind is not None else hidden
            continue
        if hidden is not None and len(hidden.cells) == len(cells):
            return hidden
        seen += 1
        if seen == HEADING_WITHIN:
            break
    return None


def classify(headings: Sequence[str]) -> Kind | None:
    """The kind of table that a line of headings announces, or None."""
    if len(headings) < 2 or any(len(heading) > 100 for heading in headings):
        return None
    return next((kind for kind in KINDS if kind.fits(roles(headings, kind.wanted))), None)


@lru_cache(maxsize=1)
def _tables_of_book(data: bytes, name: str) -> Opened:
    """Recognising and reading follow each other, and opening a workbook is the slow part: hence the cache of one."""
    book = read_book(data, name)
    sheets = [sheet for sheet in book.sheets if sheet.lines]
    tables, extensions = [], [Extension(path=f"cell/{place}", text=text) for place, text in book.unseen]
    for sheet in sheets:
        title = sheet.name if len(sheets) > 1 else _stem(name)
        table = table_of(sheet, title, f"{name}, sheet {sheet.name}", True)
        if table is not None:
            tables.append(table)
        else:
            extensions.append(verbatim(title, sheet.lines))
    findings = [
        Finding("error", f"{name}, {place}", f"the cell has no stored value ({text}); save the workbook again")
        for place, text in book.unseen
    ]
    return Opened(tuple(tables), tuple(extensions), tuple(findings), (LIMIT,))


def table_of(sheet: Sheet, title: str, place: str, spreadsheet: bool) -> Table | None:
    """The table of a sheet, None where no line among the first is a heading."""
    named = heading(line.cells for line in sheet.lines)
    if named is None:
        return None
    at, cells, kind = named
    found = settled(kind, roles(cells, kind.wanted))
    rows, remarked = remarks.apart(sheet.lines[at + 1 :])
    return Table(
        kind, title, place, spreadsheet, cells, found, further(cells, found), above(sheet.lines[:at]), rows,
        remarks=remarked,
    )  # fmt: skip


def above(lines: Iterable[Line]) -> str:
    """The text of the lines above a heading."""
    return "\n".join("\t".join(line.cells).strip("\t") for line in lines if not _is_sep(line))


def settled(kind: Kind, found: dict[str, int]) -> dict[str, int]:
    """In a value list an address is a further column, and a plain ``Value`` is the actual one when no other is."""
    if kind is VALUES:
        found.pop("address", None)
        plain = found.pop("value", None)
        if plain is not None:
            found.setdefault("actual", plain)
    return found


def further(headings: Sequence[str], known: Mapping[str, int]) -> tuple[tuple[int, str], ...]:
    """Names of the columns without a role; the second of the same name becomes ``Name (2)``."""
    seen: dict[str, int] = {}
    found = []
    for at, heading in enumerate(headings):
        if at in known.values():
            continue
        base = heading or f"column {at + 1}"
        seen[base] = seen.get(base, 0) + 1
        found.append((at, base if seen[base] == 1 else f"{base} ({seen[base]})"))
    return tuple(found)
