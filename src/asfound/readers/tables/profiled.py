"""Reading a table with a profile: find its columns, rewrite its cells, hand it to the reader of its kind.

Addresses that a pattern of the profile understands and types that it names are replaced in the cells; whatever the
profile says nothing about goes on to the ordinary reader, with its findings. Cost: linear.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from fnmatch import fnmatchcase
from pathlib import PurePosixPath

from asfound.language.tokens import line_feeds
from asfound.model.copy import Copy, Finding
from asfound.model.problem import Problem
from asfound.model.program import Extension
from asfound.readers.encoding import decode
from asfound.readers.tables import headings, module_list, profile_addresses, remarks, tag_table, value_list
from asfound.readers.tables.columns import fold
from asfound.readers.tables.profile import ROW_KIND, Profile
from asfound.readers.tables.sheets import read_opened
from asfound.readers.tables.spreadsheet import LIMIT, Line, Sheet, is_spreadsheet, read_book

KINDS = {"tags": headings.TAGS, "values": headings.VALUES, "forces": headings.FORCES, "modules": headings.MODULES}
FORMATS = {
    "tags": tag_table.READER.name,
    "values": value_list.READER.name,
    "forces": value_list.FORCE_READER.name,
    "modules": module_list.READER.name,
}
"""What a source read with a profile is called: the format is the same, only its style is another."""


def fits(data: bytes, name: str, profile: Profile) -> bool:
    """Whether a profile is meant for a file: by its name where the profile lists names, else by its headings."""
    if profile.files:
        base = PurePosixPath(name).name
        return any(fnmatchcase(base, p) or fnmatchcase(name, p) for p in profile.files)
    if is_spreadsheet(data, PurePosixPath(name).suffix.lower()):
        try:
            return any(_heading(sheet.lines, profile) is not None for sheet in read_book(data, name).sheets)
        except Problem:
            return False
    if b"\x00" in decode(data[:4096]).text.encode("utf-8", "surrogatepass"):
        return False
    head = _top(_text(data[:65536], profile, name)[0], profile)
    return any(_heading(_head(head, delimiter), profile) is not None for delimiter in _delimiters(profile))


def read(data: bytes, name: str, profile: Profile) -> Copy:
    """The copy in a file that the profile is meant for. Raises Problem when the columns are not in it."""
    book = is_spreadsheet(data, PurePosixPath(name).suffix.lower())
    sheets, findings = _book(data, name) if book else _plain(data, name, profile)
    found: list[headings.Table] = []
    ordinary: list[headings.Table] = []
    others: list[Extension] = []
    for sheet in sheets:
        title = sheet.name if len(sheets) > 1 else PurePosixPath(name).stem
        table = _table(sheet, title, f"{name}, sheet {sheet.name}" if book else name, book, profile)
        if table is not None:
            found.append(table)
            continue
        # What the profile is not meant for may still be a table that needs none.
        plain = _ordinary(sheet, title, f"{name}, sheet {sheet.name}") if book else None
        if plain is not None:
            ordinary.append(plain)
        else:
            others.append(headings.verbatim(title, sheet.lines))
    if not found:
        raise _not_there(sheets, name, profile)
    every = (*found, *ordinary)
    extensions = tuple(sorted([*others, *headings.beside_rows(every)], key=lambda e: (e.path, e.text)))
    told = (*findings, *headings.doubts(every), *_left(every))
    return read_opened(headings.Opened(every, extensions, told, (LIMIT,) if book else ()))


def _left(read: Sequence[headings.Table]) -> Iterator[Finding]:
    for table in read:
        if table.others:
            text = f"{len(table.others)} rows are of kinds that the profile does not name; they are kept as text"
            yield Finding("note", table.where(table.others[0]), text)


def _not_there(sheets: Sequence[Sheet], name: str, profile: Profile) -> Problem:
    """Why the columns of the profile are not in a file: an ordinary slip in a number, or another table."""
    lines = [line for sheet in sheets for line in sheet.lines]
    last, heading = max((line.number for line in lines), default=0), profile.heading or 0
    if heading > last or (heading and all(line.number != heading for line in lines)):
        there = f"ends with line {last}" if heading > last else f"has nothing in line {heading}"
        what = f"{there}, and the profile says that line {heading} names the columns"
        return Problem(what, where=name, advice="correct heading in the profile; the first line is 1")
    columns = profile.places()
    number, role = max((place, role) for role, place in [*columns.items(), ("", 0)] if isinstance(place, int))
    widest = max((len(line.cells) for line in lines), default=0)
    if number > widest:
        what = f"has {widest} columns, and the profile says that column {number} is the {role}"
        return Problem(what, where=name, advice="correct the number in the profile; the first column is 1")
    named = ", ".join(f"'{place}'" for place in columns.values() if isinstance(place, str))
    advice = f"`asfound profile {name}` proposes a profile that fits"
    return Problem(f"no line holds the columns {named} of the profile", where=name, advice=advice)


def _ordinary(sheet: Sheet, title: str, place: str) -> headings.Table | None:
    """The table of a sheet that the profile is not meant for; None where its addresses would need a profile too."""
    found = headings.table_of(sheet, title, place, True)
    if found is not None and found.kind is headings.TAGS:
        try:
            tag_table.refuse_style(found)
        except Problem:
            return None
    return found


def _book(data: bytes, name: str) -> tuple[list[Sheet], list[Finding]]:
    book = read_book(data, name)
    findings = [
        Finding("error", f"{name}, {place}", f"the cell has no stored value ({text}); save the workbook again")
        for place, text in book.unseen
    ]
    return [sheet for sheet in book.sheets if sheet.lines], findings


def _plain(data: bytes, name: str, profile: Profile) -> tuple[list[Sheet], list[Finding]]:
    text, guessed = _text(data, profile, name)
    findings = []
    if guessed:
        told = f"the encoding is not marked; it was read as {guessed}, check a letter with an accent"
        findings.append(Finding("note", name, told))
    head = _top(text, profile)
    options = _delimiters(profile)
    delimiter = next((d for d in options if _heading(_head(head, d), profile) is not None), options[0])
    return [Sheet("", headings.lines_of(text, delimiter, name))], findings


def _text(data: bytes, profile: Profile, name: str) -> tuple[str, str]:
    """The text, and the encoding when it was guessed."""
    if not profile.encoding:
        decoded = decode(data)
        return decoded.text, decoded.encoding if decoded.guessed else ""
    try:
        text = data.decode(profile.encoding, "strict" if len(data) != 65536 else "ignore")
    except UnicodeError as error:
        at = f" (byte {error.start})" if isinstance(error, UnicodeDecodeError) else ""
        raise Problem(
            f"is not {profile.encoding}, as the profile says{at}",
            where=name,
            advice="correct one of them",
        ) from None
    return line_feeds(text.removeprefix("\ufeff")), ""


def _top(text: str, profile: Profile) -> str:
    """The text in which the heading must be."""
    return "\n".join(text.split("\n")[: profile.heading]) if profile.heading else text[:65536]


def _delimiters(profile: Profile) -> tuple[str, ...]:
    return (profile.delimiter,) if profile.delimiter else headings.DELIMITERS


def _head(text: str, delimiter: str) -> tuple[Line, ...]:
    rows = remarks.rows(text, delimiter, strict=False)
    try:
        return tuple(Line(n, cells) for n, row in rows if any(cells := tuple(c.strip() for c in row)))
    except remarks.Unreadable:
        return ()


def _heading(lines: Sequence[Line], profile: Profile) -> tuple[int, dict[str, int]] | None:
    """Index of the line of headings (-1 when there is none) and role -> column; None when the columns are not there."""
    wanted = profile.places()
    if profile.heading == 0:
        return -1, {role: int(place) - 1 for role, place in wanted.items()}
    for at, line in _searched(lines) if profile.heading is None else enumerate(lines):
        if profile.heading is not None and line.number != profile.heading:
            continue
        columns = [fold(cell) for cell in line.cells]
        found = {
            role: place - 1 if isinstance(place, int) else columns.index(fold(place))
            for role, place in wanted.items()
            if isinstance(place, int) or fold(place) in columns
        }
        if len(found) == len(wanted):
            return at, found
    return None


def _searched(lines: Sequence[Line]) -> Iterator[tuple[int, Line]]:
    """The lines that may be the heading: remarks, and as many others as are looked at without a profile."""
    seen = 0
    for at, line in enumerate(lines[: headings.REMARKS_WITHIN]):
        yield at, line
        seen += not remarks.is_remark(line.cells)
        if seen == headings.HEADING_WITHIN:
            return


def _table(sheet: Sheet, title: str, place: str, book: bool, profile: Profile) -> headings.Table | None:
    found = _heading(sheet.lines, profile)
    if found is None:
        return None
    at, roles = found
    widest = max((len(line.cells) for line in sheet.lines), default=0)
    if max(roles.values()) >= widest:
        return None
    named = sheet.lines[at].cells if at >= 0 else ()
    named = remarks.bared(named) if remarks.is_remark(named) else named
    # A column given by its number may stand beyond those that the heading names.
    names = (*named, *(f"column {n + 1}" for n in range(len(named), max(roles.values()) + 1 if named else widest)))
    rows, remarked = remarks.apart(sheet.lines[at + 1 :])
    read, others = _kinds(rows, roles.pop(ROW_KIND, None), profile, place)
    lines = tuple(_rewritten(line, roles, profile) for line in read)
    return headings.Table(
        KINDS[profile.table], title, place, book, names, roles, headings.further(names, roles),
        headings.above(sheet.lines[: max(at, 0)]), lines, checked=True, remarks=remarked, others=others,
    )  # fmt: skip


def _kinds(
    rows: tuple[Line, ...], at: int | None, profile: Profile, place: str
) -> tuple[tuple[Line, ...], tuple[Line, ...]]:
    """The rows of the kinds that the profile wants, and all others."""
    if profile.rows is None or at is None:
        return rows, ()
    wanted = {kind.lower() for kind in profile.rows.kinds}
    read = tuple(line for line in rows if at < len(line.cells) and line.cells[at].lower() in wanted)
    if rows and not read:
        what = f"no row is of a kind that the profile names ({', '.join(profile.rows.kinds)})"
        raise Problem(what, where=place, advice="correct kinds in the profile")
    numbers = {line.number for line in read}
    return read, tuple(line for line in rows if line.number not in numbers)


def _rewritten(line: Line, roles: Mapping[str, int], profile: Profile) -> Line:
    cells = list(line.cells)
    for role, at in roles.items():
        if at < len(cells) and cells[at]:
            cells[at] = _cell(role, cells[at], profile)
    return line._replace(cells=tuple(cells))


def _cell(role: str, text: str, profile: Profile) -> str:
    if role == "address":
        return profile_addresses.canonical(text, profile.addresses) or text
    if role == "type":
        return next((new for old, new in profile.types.items() if old.lower() == text.lower()), text)
    if role in ("actual", "initial", "forced") and profile.decimal == ",":
        return text.replace(",", ".") if re.fullmatch(r"[+-]?[0-9]+,[0-9]+(?:[eE][+-]?[0-9]+)?", text) else text
    return text
