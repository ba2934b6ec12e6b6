"""A profile proposed for a table of an unknown style, by looking at its headings and cells.

Columns are known by their headings (readers.columns), else by what their cells look like: addresses have digits and
few shapes, names differ in every row, types are few words that repeat, the comment is the longest text left. Addresses
are grouped by shape and each group becomes a pattern. Every guess stands in the proposal with a remark, and a proposal
is used only when somebody saves it. Cost: linear. Weakness: a small table shows too little; what the numbers of an
address count, and from which number on, is a guess from their largest values.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import PurePosixPath
from typing import NamedTuple

import msgspec

from asfound.language.literals import ELEMENTARY
from asfound.model.problem import Problem
from asfound.model.visible import visible
from asfound.readers.encoding import decode
from asfound.readers.reader import Probe
from asfound.readers.tables import headings, profile, profile_addresses, profile_shapes, sections, unaccounted
from asfound.readers.tables.columns import roles
from asfound.readers.tables.operands import canonical
from asfound.readers.tables.spreadsheet import Line, is_spreadsheet, read_book

ROWS = 5000
"""Rows that are looked at."""
TYPES = {
    "bool": "BOOL", "boolean": "BOOL", "bit": "BOOL", "binary": "BOOL", "digital": "BOOL", "binar": "BOOL",
    "integer": "INT", "double": "LREAL", "float": "REAL", "long": "DINT", "short": "INT",
}  # fmt: skip
"""Type words met in tables (common practice) with the type they most likely mean."""
TABLE_OF = {headings.FORCES: "forces", headings.VALUES: "values", headings.MODULES: "modules", headings.TAGS: "tags"}


class Looked(NamedTuple):
    """What was seen of a table: ``heading`` is the number of its line (0 when there is none)."""

    delimiter: str
    encoding: str
    heading: int
    names: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def column(self, at: int) -> list[str]:
        """The cells of a column that hold something."""
        return [row[at] for row in self.rows if at < len(row) and row[at]]


def propose(data: bytes, name: str) -> str:
    """The text of a profile for the first table of a file. Raises Problem when there is no table in it."""
    seen, file = _look(data, name), PurePosixPath(name).name
    kind, found = _columns(seen)
    _refuse(seen, name)
    lines = [
        f"# Proposed by `asfound profile` after a look at {len(seen.rows)} rows of {visible(file)}.",
        "# It is a guess. Check every line, save it beside the table (or name it with --profile), and read again.",
        f"schema = {_quoted(profile.SCHEMA)}",
        f"table = {_quoted(kind)}",
        f"files = [{_quoted(file)}]",
    ]
    lines += [f"delimiter = {_quoted(seen.delimiter)}"] if seen.delimiter else []
    lines += [f"encoding = {_quoted(seen.encoding)}  # guessed, nothing marks it"] if seen.encoding else []
    lines += [f"heading = {seen.heading}" + ("" if seen.heading else "  # no line names the columns")]
    lines += ["", "[columns]", *_column_lines(seen, found)]
    if "type" in found:
        lines += _type_lines(seen.column(found["type"]))
    if "address" in found:
        lines += _address_lines(seen.column(found["address"]))
    return "\n".join(lines) + "\n"


def _refuse(seen: Looked, name: str) -> None:
    """A profile says once for all rows which column holds what; refuse a table for which that cannot be right."""
    if not seen.names:
        return
    named = roles(seen.names, headings.TAGS.wanted)
    rows = tuple(Line(at, cells) for at, cells in enumerate(seen.rows, seen.heading + 1))
    rest = headings.further(seen.names, named)
    table = headings.Table(headings.TAGS, name, name, False, seen.names, named, rest, "", rows)
    checks = [
        (sections.second_heading, sections.APART),
        (unaccounted.kinds, "export the tags alone, without aliases and notes"),
    ]
    if {"name", "type"} <= named.keys() and "address" not in named:
        checks.append((unaccounted.address_in_parts, "join them into one column of addresses, e.g. %I0.4.3"))
    for check, advice in checks:
        if why := check(table):
            raise Problem(f"cannot be read with a profile: {why[0]}", where=name, advice=advice)


def _look(data: bytes, name: str) -> Looked:
    if is_spreadsheet(data, PurePosixPath(name).suffix.lower()):
        sheets = [sheet.lines for sheet in read_book(data, name).sheets if sheet.lines]
        lines, delimiter, encoding = (sheets[0] if sheets else ()), "", ""
    else:
        decoded = decode(data)
        if Probe(data, name).root is not None or "\x00" in decoded.text[:4096]:
            raise Problem("is no table", where=name, advice="name a text file with columns, an .xlsx or an .ods")
        encoding = decoded.encoding if decoded.guessed else ""
        delimiter = _delimiter(decoded.text)
        lines = headings.lines_of(decoded.text, delimiter, name) if delimiter else ()
    if not lines or max(len(line.cells) for line in lines) < 2:
        raise Problem("shows no columns", where=name, advice="export it with a delimiter between its columns")
    at, heading = _heading(lines)
    body = tuple(line.cells for line in lines[at:][:ROWS])
    if not body:
        raise Problem("names columns and has no rows", where=name, advice="export a table that holds something")
    names = lines[at - 1].cells if heading else ()
    return Looked(delimiter, encoding, heading, names, body)


def _delimiter(text: str) -> str:
    """The sign that cuts most lines into one and the same number of columns, more columns before fewer."""
    best, chosen = 0.0, ""
    for sign in headings.DELIMITERS:
        try:
            rows = list(csv.reader(io.StringIO(text[:65536], newline=""), delimiter=sign, skipinitialspace=True))
        except csv.Error:
            continue
        counts = Counter(len(row) for row in rows if any(row))
        width, often = max(counts.items(), key=lambda pair: (pair[1], pair[0]), default=(0, 0))
        score = often / max(counts.total(), 1) * (1 + width / 100) if width > 1 else 0.0
        if score > best:
            best, chosen = score, sign
    return chosen


def _heading(lines: Sequence[Line]) -> tuple[int, int]:
    """Index of the first row of the table, and the number of the line above it that names the columns (0 for none)."""
    usual = Counter(sum(map(bool, line.cells)) for line in lines).most_common(1)[0][0]
    for at, line in enumerate(lines[: headings.HEADING_WITHIN]):
        filled = [cell for cell in line.cells if cell]
        if len(filled) < max(2, usual - 1):
            continue
        words = all(not profile_shapes.is_address(cell) and not _is_number(cell) for cell in filled)
        typed = any(cell.upper() in ELEMENTARY or cell.lower() in TYPES for cell in filled)
        return (at + 1, line.number) if words and not typed and len(set(filled)) == len(filled) else (at, 0)
    return 0, 0


def _is_number(text: str) -> bool:
    return text.replace(",", "").replace(".", "").lstrip("+-").isdecimal()


def _columns(seen: Looked) -> tuple[str, dict[str, int]]:
    """The kind of table, and role -> column."""
    kind = next(
        (k for k in headings.KINDS[:3]
         if {"force-list": "forced", "value-list": "actual", "module-list": "slot"}[k.name]
         in roles(seen.names, k.wanted)), headings.TAGS
    )  # fmt: skip
    found = roles(seen.names, kind.wanted)
    if kind is headings.VALUES:
        found.pop("address", None)
        found.pop("value", None)
    if kind is headings.TAGS:
        _by_content(seen, found)
    return TABLE_OF[kind], found


def _by_content(seen: Looked, found: dict[str, int]) -> None:
    """Give the roles of a tag table that no heading has to the columns whose cells look like it."""
    width = max(len(row) for row in seen.rows)
    free = [at for at in range(width) if seen.column(at)]
    for role, likeness in (
        ("address", profile_shapes.likeness),
        ("type", _typelike),
        ("name", _namelike),
        ("comment", _long),
    ):
        if role in found:
            continue
        # Of equals the first column is taken, but the last one for addresses: names like P1 stand in front.
        scores = [
            (likeness(seen.column(at)), at if role == "address" else -at) for at in free if at not in found.values()
        ]
        best = max(scores, default=(0.0, 0))
        if best[0] > 0.5:
            found[role] = abs(best[1])


def _typelike(cells: Sequence[str]) -> float:
    known = sum(cell.upper() in ELEMENTARY or cell.lower() in TYPES for cell in cells) / len(cells)
    few = len(set(cells)) <= max(2, len(cells) // 4) and not any(map(_is_number, cells))
    return max(known, 0.6 if few and len(cells) > 3 else 0.0)


def _namelike(cells: Sequence[str]) -> float:
    return len({cell.lower() for cell in cells}) / len(cells) if not all(map(_is_number, cells)) else 0.0


def _long(cells: Sequence[str]) -> float:
    return min(sum(map(len, cells)) / len(cells), 1000.0) if any(not _is_number(c) for c in cells) else 0.0


def _column_lines(seen: Looked, found: Mapping[str, int]) -> Iterator[str]:
    for role, at in found.items():
        heading = seen.names[at] if at < len(seen.names) else ""
        unique = heading and [n.lower() for n in seen.names].count(heading.lower()) == 1
        shown = visible(", ".join(list(dict.fromkeys(" ".join(cell.split())[:20] for cell in seen.column(at)))[:3]))
        yield f"{role.replace(' ', '_')} = {_quoted(heading) if unique else at + 1}" + (f"  # {shown}" if shown else "")


def _type_lines(cells: Sequence[str]) -> list[str]:
    """Type words that are none of IEC 61131-3, with the likely type, or as a remark when none is likely."""
    words = sorted({cell for cell in cells if cell.upper() not in ELEMENTARY})
    likely = [(word, TYPES[word.lower()]) for word in words if word.lower() in TYPES]
    likely = [(word, type) for word, type in likely if word.upper() != type]
    if not likely:
        return []
    return ["", "[types]", *(f"{_quoted(word)} = {_quoted(type)}" for word, type in likely)]


def _address_lines(cells: Sequence[str]) -> Iterator[str]:
    unknown = [cell for cell in cells if canonical(cell) is None and any(map(str.isdigit, cell))]
    patterns = profile_shapes.patterns(unknown)
    for found in patterns:
        yield ""
        yield f"[[addresses]]  # {found.cells} cells such as {', '.join(found.examples)}"
        yield from (f"# {remark}" for remark in found.remarks)
        yield from _pattern_lines(found.rule)
    rules = tuple(found.rule for found in patterns if profile_addresses.mistake(found.rule) is None)
    left = [cell for cell in unknown if profile_addresses.canonical(cell, rules) is None]
    yield ""
    understood = f"# {len(cells) - len(left)} of {len(cells)} addresses are understood with this"
    yield understood + (f", not {visible(', '.join(list(dict.fromkeys(left))[:5]))}" if left else "")


def _pattern_lines(rule: profile_addresses.AddressPattern) -> Iterator[str]:
    yield f"pattern = '{rule.pattern}'" if "'" not in rule.pattern else f"pattern = {_quoted(rule.pattern)}"
    for key, words in (("areas", rule.areas), ("sizes", rule.sizes)):
        if words:
            pairs = ", ".join(f"{_quoted(old)} = {_quoted(new)}" for old, new in words.items())
            yield f"{key} = {{ {pairs} }}"
    yield from [f"area = {_quoted(rule.area)}"] if not rule.areas else []
    yield from [f"size = {_quoted(rule.size)}"] if rule.size else []
    yield from [f"base = {rule.base}"] if rule.base != 10 else []
    yield from [f"first = {rule.first}"] if rule.first else []


def _quoted(text: str) -> str:
    """A TOML string; the escapes of JSON are among those of TOML."""
    return msgspec.json.encode(text).decode().replace("\x7f", "\\u007f")
