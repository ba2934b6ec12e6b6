"""Table profiles: a small TOML file that says how a table of an unknown style is read.

A profile lies beside the export, like any other file of the copy; so it is stored with it and found again in every
record. It is recognised by its first key, ``schema = "asfound/profile/1"``, never by its name.
"""

from __future__ import annotations

import difflib
import re
from typing import Literal as Choice

import msgspec

from asfound.model.copy import Copy
from asfound.model.logic import Node
from asfound.model.problem import Problem
from asfound.readers.encoding import decode, is_encoding
from asfound.readers.reader import Noise, Probe, Reader
from asfound.readers.tables.profile_addresses import AddressPattern, mistake
from asfound.readers.toml import MAX_BYTES, loads, refuse_size

SCHEMA = "asfound/profile/1"
MAX_PATTERNS = 50
"""Address patterns of one profile; each of them may be tried on each address."""
_MARK = re.compile(r"""^[ \t]*["']?schema["']?[ \t]*=[ \t]*["']asfound/profile/[0-9]+["']""", re.MULTILINE)
ROW_KIND = "kind of row"
Column = str | int | None
"""The heading of a column as it is written, or its number from 1."""


class Columns(Node, frozen=True):
    """Which column holds what. Columns that are not named here are kept and compared under their heading."""

    name: Column = None
    address: Column = None
    type: Column = None
    comment: Column = None
    actual: Column = None
    initial: Column = None
    unit: Column = None
    forced: Column = None
    station: Column = None
    rack: Column = None
    slot: Column = None
    module: Column = None
    order_number: Column = None
    firmware: Column = None
    input_start: Column = None
    input_length: Column = None
    output_start: Column = None
    output_length: Column = None
    current: Column = None

    def named(self) -> dict[str, str | int]:
        """Role (as :mod:`columns` calls it) -> heading or number, for the columns that are given."""
        pairs = ((field, getattr(self, field)) for field in self.__struct_fields__)
        return {field.replace("_", " "): value for field, value in pairs if value is not None}


class Rows(Node, frozen=True):
    """The column that says of what kind a row is, and the kinds that are read; rows of all others are kept as text."""

    column: str | int
    kinds: tuple[str, ...]


class Profile(Node, frozen=True):
    """How the tables of one style are read. Only ``schema`` and ``columns`` must be there.

    ``files`` are patterns of file names (``*.csv``); without them the profile is for every table that has its
    headings. ``heading`` is the line that names the columns, counted from 1; 0 when there is none; without it the
    line is searched. ``types`` maps type names of the table to those of IEC 61131-3. ``decimal`` is the decimal sign
    of the numbers in a value list or a force list. ``rows`` is for tables in which not every row is a tag.
    """

    schema: Choice["asfound/profile/1"]
    columns: Columns
    table: Choice["tags", "values", "forces", "modules"] = "tags"
    files: tuple[str, ...] = ()
    delimiter: str = ""
    encoding: str = ""
    heading: int | None = None
    decimal: Choice[".", ","] = "."
    addresses: tuple[AddressPattern, ...] = ()
    types: dict[str, str] = msgspec.field(default_factory=dict)
    rows: Rows | None = None

    def places(self) -> dict[str, str | int]:
        """Where each column is that the profile names, the one with the kinds of rows under the role of none."""
        return {**self.columns.named(), **({ROW_KIND: self.rows.column} if self.rows else {})}


def is_profile(probe: Probe) -> bool:
    """Whether a file is a profile, of this version or another."""
    return (
        b"asfound/profile/" in probe.data[:65536]
        and probe.root is None
        and bool(_MARK.search(decode(probe.data[: 2 * MAX_BYTES]).text))  # of a larger one the size will be refused
    )


def parse(data: bytes, name: str) -> Profile:
    """The profile in a TOML file. Raises Problem that names the key and what may stand there."""
    refuse_size(len(data), name)
    raw = loads(decode(data).text, name)
    try:
        found = msgspec.convert(raw, Profile)
    except msgspec.ValidationError as error:
        raise _explained(str(error), name) from None
    _check(found, name)
    return found


def _explained(message: str, name: str) -> Problem:
    """A sentence out of a message of msgspec."""
    text, _, path = message.partition(" - at `$")
    where = ", ".join(step for step in re.split(r"[.\[\]`]+", path) if step and step != "...")
    inside = f"{name}, {where}" if where else name
    unknown = re.fullmatch(r"Object contains unknown field `(.*)`", text)
    if unknown:
        tables = {"columns": Columns, "rows": Rows}
        kind = tables.get(where, AddressPattern if where.startswith("addresses") else Profile)
        near = difflib.get_close_matches(unknown[1], kind.__struct_fields__, 1)
        listed = ", ".join(kind.__struct_fields__)
        advice = f"write {near[0]}" if near else f"the keys are {listed}"
        return Problem(f"there is no key '{unknown[1]}'", where=inside, advice=advice)
    missing = re.fullmatch(r"Object missing required field `(.*)`", text)
    if missing:
        example = {"columns": '[columns] with name = "..."', "schema": f'schema = "{SCHEMA}"'}.get(missing[1])
        return Problem(f"the key '{missing[1]}' is missing", where=inside, advice=f"add {example or missing[1]}")
    plain = text.replace("`", "'").replace("Invalid enum value", "no such value:")
    return Problem(
        plain[:1].lower() + plain[1:], where=inside, advice="see schemas/profile.json for what may stand here"
    )


NEEDED = {
    "tags": ({"name", "address"}, "name or address"),
    "values": ({"actual"}, "actual"),
    "forces": ({"forced"}, "forced"),
    "modules": ({"slot", "module", "order number"}, "slot, module or order_number"),
}
"""Of which columns a profile must name at least one, by kind of table."""
_ALLOWED = {
    "tags": ("name", "address", "type", "comment"),
    "values": ("name", "actual", "initial", "unit", "comment"),
    "forces": ("name", "address", "forced", "comment"),
}


def _check(found: Profile, name: str) -> None:
    columns = found.columns.named()
    needed, words = NEEDED[found.table]
    if not needed & columns.keys():
        raise Problem(
            f"no column {words} is named", where=f"{name}, columns", advice=f"a list of {found.table} needs it"
        )
    foreign = sorted(role for role in columns if found.table in _ALLOWED and role not in _ALLOWED[found.table])
    if foreign:
        advice = f"the columns are {', '.join(_ALLOWED[found.table])}"
        raise Problem(f"a list of {found.table} has no column '{foreign[0]}'", where=f"{name}, columns", advice=advice)
    if found.rows and not found.rows.kinds:
        raise Problem("no kind of rows is named", where=f"{name}, rows", advice='say which are read, kinds = ["TAG"]')
    places = list(found.places().values())
    twice = next((place for place in places if places.count(place) > 1), None)
    if twice is not None:
        raise Problem(
            f"column {twice!r} is named twice", where=f"{name}, columns", advice="give each column one meaning"
        )
    _check_layout(found, name, places)
    if len(found.addresses) > MAX_PATTERNS:
        advice = "a table has few styles of address; put several into one with |"
        raise Problem(f"has more than {MAX_PATTERNS} patterns", where=f"{name}, addresses", advice=advice)
    for number, pattern in enumerate(found.addresses, 1):
        wrong = mistake(pattern)
        if wrong:
            raise Problem(wrong[0], where=f"{name}, addresses {number}", advice=wrong[1])


def _check_layout(found: Profile, name: str, places: list[str | int]) -> None:
    # Blanks at the beginning of a cell are skipped, so a blank cannot also divide (Python 3.13 refuses it).
    if found.delimiter and (len(found.delimiter) != 1 or found.delimiter in '" \r\n\0'):
        raise Problem(
            f"'{found.delimiter}' is no delimiter", where=f"{name}, delimiter", advice='write one sign, ";" or "\\t"'
        )
    if any(isinstance(place, int) and place < 1 for place in places):
        raise Problem("a column number is below 1", where=f"{name}, columns", advice="the first column is 1")
    if found.heading is not None and found.heading < 0:
        raise Problem(
            "the line of the heading is below 0", where=f"{name}, heading", advice="write 0 when there is none"
        )
    if any(isinstance(place, str) for place in places) and found.heading == 0:
        raise Problem(
            "a table without a heading has no names of columns", where=f"{name}, columns", advice="write their numbers"
        )
    if all(isinstance(place, int) for place in places) and not found.files:
        raise Problem(
            "columns given by numbers fit every table", where=f"{name}, files", advice='say which, files = ["tags.csv"]'
        )
    if found.encoding and not is_encoding(found.encoding):
        advice = "write utf-8, cp1252, cp850, ..."
        raise Problem(f"'{found.encoding}' is no encoding", where=f"{name}, encoding", advice=advice)


def read(data: bytes, name: str) -> Copy:
    """A profile holds nothing of a station: it is only checked here."""
    parse(data, name)
    return Copy()


READER = Reader(
    name="profile",
    title="Table profile",
    standard="TOML 1.0, schemas/profile.json",
    suffixes=(".toml",),
    holds="how a table of an unknown style is read: columns, kinds of rows, delimiter, address patterns, type names",
    recognise=is_profile,
    read=read,
    noise=(Noise("**", "a profile only says how a table is read; what it makes of the table is compared"),),
)
