"""A profile proposed for a table of an unknown style, by looking at its headings and cells.

Columns are known by their headings (columns.py), else by what their cells look like: addresses have digits and
few shapes, names differ in every row, types are few words that repeat, the comment is the longest text left. Addresses
are grouped by shape and each group becomes a pattern. Every guess stands in the proposal with a remark, and a proposal
is used only when somebody saves it. Cost: linear. Weakness: a small table shows too little; what the numbers of an
address count, and from which number on, is a guess from their largest values.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import PurePosixPath

import msgspec

from asfound.language.elementary import ELEMENTARY
from asfound.model.visible import visible
from asfound.readers.tables import profile, profile_addresses, profile_shapes, unaccounted
from asfound.readers.tables.columns import fold
from asfound.readers.tables.decimals import uses_commas
from asfound.readers.tables.operands import canonical
from asfound.readers.tables.profile_columns import Columns, columns
from asfound.readers.tables.profile_look import TYPES, Looked, look


def propose(data: bytes, name: str) -> str:
    """The text of a profile for the first table of a file. Raises Problem when there is no table in it."""
    seen, file = look(data, name), PurePosixPath(name).name
    found = columns(seen, name)
    lines = [
        f"# Proposed by `asfound profile` after a look at {len(seen.rows)} rows of {visible(file)}.",
        "# It is a guess. Check every line, save it beside the table (or name it with --profile), and read again.",
        f"schema = {_quoted(profile.SCHEMA)}",
        f"table = {_quoted(found.table)}",
        f"files = [{_quoted(file)}]",
    ]
    lines += [f"delimiter = {_quoted(seen.delimiter)}"] if seen.delimiter else []
    lines += [f"encoding = {_quoted(seen.encoding)}  # guessed, nothing marks it"] if seen.encoding else []
    lines += [f"heading = {seen.heading}{_doubt(seen)}"]
    lines += _decimal(seen, found)
    lines += ["", "[columns]", *_column_lines(seen, found.roles), *_unclear_lines(seen, found.unclear)]
    lines += _rows_lines(seen, found.kinds)
    if "type" in found.roles:
        lines += _type_lines(seen.column(found.roles["type"]))
    if "address" in found.roles:
        lines += _address_lines(seen.column(found.roles["address"]))
    return "\n".join(lines) + "\n"


def _doubt(seen: Looked) -> str:
    if not seen.heading:
        return "  # no line names the columns"
    return "" if seen.known else "  # a guess: 0 if that line is a row like the others"


def _decimal(seen: Looked, found: Columns) -> list[str]:
    cells = [
        cell
        for role in ("actual", "initial", "forced")
        if role in found.roles
        for cell in seen.column(found.roles[role])
    ]
    return ['decimal = ","'] if found.table != "tags" and seen.delimiter and uses_commas(cells) else []


def _unclear_lines(seen: Looked, at: int | None) -> list[str]:
    """Remarks about a column of addresses that is left out, because nothing says what its numbers count."""
    if at is None:
        return []
    cells, title = seen.column(at), seen.names[at]
    shown = visible(", ".join(list(dict.fromkeys(cells))[:3]))
    lines = [
        f"# {visible(title)} holds numbers such as {shown}: nothing here says of which area, and what they count.",
        "# So it is taken for no address, and is kept and compared under its heading.",
    ]
    if len(set(cells)) < len(cells):
        return [*lines, "# The same number stands in several rows: another column says the area, and no pattern can."]
    example = (f"address = {_place(seen, at)}", "[[addresses]]", "pattern = '(?P<word>[0-9]+)'", 'area = "M"')
    return [*lines, "# If all of them are words of the memory, add this (number for word where they count bits):",
            *(f"# {line}" for line in example)]  # fmt: skip


def _rows_lines(seen: Looked, at: int | None) -> list[str]:
    """Which rows are tags, where a column says of what kind each is."""
    if at is None:
        return []
    kinds = list(dict.fromkeys(seen.column(at)))
    tags = unaccounted.tag_kinds(kinds)
    others = visible(", ".join(kind for kind in kinds if kind not in tags)[:60])
    listed = ", ".join(map(_quoted, tags))
    return [
        "",
        f"[rows]  # the others are kept as text: {others}",
        f"column = {_place(seen, at)}",
        f"kinds = [{listed}]",
    ]


def _place(seen: Looked, at: int) -> str:
    """A column as a profile names it: by its heading where that is the only one."""
    heading = seen.names[at] if at < len(seen.names) else ""
    unique = heading and [fold(n) for n in seen.names].count(fold(heading)) == 1
    return _quoted(heading) if unique and fold(heading) else str(at + 1)


def _column_lines(seen: Looked, found: Mapping[str, int]) -> Iterator[str]:
    for role, at in found.items():
        shown = visible(", ".join(list(dict.fromkeys(" ".join(cell.split())[:20] for cell in seen.column(at)))[:3]))
        yield f"{role.replace(' ', '_')} = {_place(seen, at)}" + (f"  # {shown}" if shown else "")


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
    yield from _shared(patterns)
    rules = tuple(found.rule for found in patterns if profile_addresses.mistake(found.rule) is None)
    left = [cell for cell in unknown if profile_addresses.canonical(cell, rules) is None]
    yield ""
    understood = f"# {len(cells) - len(left)} of {len(cells)} addresses are understood with this"
    yield understood + (f", not {visible(', '.join(list(dict.fromkeys(left))[:5]))}" if left else "")


def _shared(patterns: Sequence[profile_shapes.Found]) -> Iterator[str]:
    """A remark where words and bits of different letters are all taken for one memory."""
    letters = [letter for found in patterns for letter in profile_shapes.letters_of(found, "M")]
    if len(set(letters)) > 1:
        yield ""
        shown = ", ".join(dict.fromkeys(letters))
        yield f"# {shown} are all taken for the memory M: where they are apart, they only seem to overlap."


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
