"""For each reader a small export and every way to change it: what must be seen, and what its noise table declares.

``SAMPLES`` is keyed by the name of the reader; a reader without a sample fails a test. ``Sample.noise`` holds, for a row
of the noise table (or in words, where a format has no row for it), two exports that differ in nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

import automationml_mutations
import mutations
from mutations import Mutation
from workbooks import xlsx

import asfound
from asfound.model.copy import Copy
from asfound.readers.reading import read_files
from hostile.seeds import CHART, FORCES, IL, MODULES, ROOT, ST, TAGS, TEN, VALUES, VISIT, piecewise

INTAKE = (ROOT / "tests/cases/automationml/intake.aml").read_bytes()
Pairs = Mapping[str, tuple[bytes, bytes]]


def _alone(data: bytes, name: str) -> Copy:
    return asfound.read(data, name)


@dataclass(frozen=True)
class Sample:
    """An export, what can be changed in it, and how it is read (a profile beside a table)."""

    name: str
    data: bytes
    mutations: Callable[[bytes], Iterator[Mutation]]
    noise: Pairs = field(default_factory=dict)
    read: Callable[[bytes, str], Copy] = _alone


# --- tables: lines of cells divided by semicolons -------------------------------------------------------------------


def cells(data: bytes) -> Iterator[Mutation]:
    """Every cell changed and emptied, every row removed, a cell, a row and a line above the heading added."""
    heading, *rows = [line.split(";") for line in data.decode().splitlines()]

    def edited(*lines: list[str]) -> Callable[[], bytes]:
        text = "".join(";".join(line) + "\n" for line in lines).encode()
        return lambda: text

    for at, row in enumerate(rows):
        before, after = rows[:at], rows[at + 1 :]
        yield Mutation("row removed", f"row {at}", False, edited(heading, *before, *after))
        yield Mutation("row twice", f"row {at}", False, edited(heading, *rows, row))
        yield Mutation("cell added", f"row {at}", False, edited(heading, *before, [*row, "", "beyond"], *after))
        for column, cell in enumerate(row):
            for new in sorted({f"{cell}x", "7", ""} - {cell}):
                changed = [*row[:column], new, *row[column + 1 :]]
                what = f"{cell!r} -> {new!r}"
                yield Mutation(what, f"row {at}, column {column}", False, edited(heading, *before, changed, *after))
    for column, cell in enumerate(heading):
        if any(row[column] for row in rows):
            changed = [*heading[:column], f"{cell} of the wheel", *heading[column + 1 :]]
            yield Mutation("heading changed", f"column {column}", False, edited(changed, *rows))
    yield Mutation("line added", "above the heading", False, edited(["Plant 7"], heading, *rows))


def table_noise(data: bytes, headings: Mapping[str, str], **more: tuple[bytes, bytes]) -> Pairs:
    """What the noise of all tables allows; ``headings`` gives each known heading in another language."""
    text = data.decode()
    lines = [line.split(";") for line in text.splitlines()]
    heading, *rows = lines

    def of(*changed: list[str], sign: str = ";") -> bytes:
        return "".join(sign.join(line) + "\n" for line in changed).encode()

    named = [headings.get(cell, cell) for cell in heading]
    found = {
        "file/encoding()": text.encode("utf-16"),
        "file/line ends()": text.replace("\n", "\r\n").encode(),
        "file/delimiter()": of(*lines, sign="\t"),
        "heading[known]/text()": of(named, *rows),
        "column/empty()": of([*heading, "Unused"], *([*row, ""] for row in rows)),
        "column/order()": of(*(line[::-1] for line in lines)),
        "row/order()": of(heading, *rows[::-1]),
        "row/empty()": of(heading, *(each for row in rows for each in ([""] * len(row), row))),
        "cell/padding()": of(heading, *([f" {cell}\t" for cell in row] for row in rows)),
    }
    assert all(changed != data for changed in found.values()), [n for n, changed in found.items() if changed == data]
    books = tuple(xlsx({title: [tuple(line) for line in lines]}) for title in ("Tags", "Liste"))
    return {**{row: (data, changed) for row, changed in found.items()}, "sheet[only]/@name": books, **more}


def swapped(data: bytes, old: str, new: str) -> tuple[bytes, bytes]:
    assert old.encode() in data
    return data, data.replace(old.encode(), new.encode())


ADDRESS = "row/address/spelling()"
DECIMALS = b"Name;Actual value;Initial value\nSpeed;12.5;10.25\n"
TABLES = {
    "tag-table": (
        "tags.csv", TAGS, {"Name": "Bezeichner", "Address": "Adresse", "Type": "Datentyp", "Comment": "Commentaire"},
        {ADDRESS: swapped(TAGS, "%Q0.1", "A 0.1"), "row/type/case()": swapped(TAGS, "BOOL", "Bool")},
    ),
    "module-list": (
        "modules.csv", MODULES, {"Slot": "Steckplatz", "Module": "Module", "Firmware": "Firmwarestand"},
        {"row/number/leading zeros()": swapped(MODULES, "S;0;1;", "S;0;01;")},
    ),
    "value-list": ("values.csv", VALUES, {"Name": "Variable", "Actual value": "Istwert", "Unit": "Unité"}, {}),
    "force-list": (
        "forces.csv", FORCES, {"Name": "Symbol", "Address": "Adresse", "Forced value": "Valor forzado"},
        {ADDRESS: swapped(FORCES, "%Q0.1", "A0.1")},
    ),
}  # fmt: skip


def of_table(name: str) -> Sample:
    file, data, headings, more = TABLES[name]
    if len(data.splitlines()) < 3:
        data += b"Second;%Q0.2;FALSE;too\n" if name == "force-list" else b"Ramp;3.5;4;s;\n"
        more = {row: (data, changed + data[len(old) :]) for row, (old, changed) in more.items()}
    comma = {"cell/decimal comma()": (DECIMALS, DECIMALS.replace(b".", b","))}
    return Sample(file, data, cells, table_noise(data, headings, **comma, **more))


# --- a profile, read with a table beside it -------------------------------------------------------------------------

STYLE = (
    "Tag-Bez.;Kanal;Art;Text;Blatt\nStart;IN0;Digital;start;3\nStop;IN17;Digital;;\nRun;OUT3;Digital;runs;4\n"
    "Level;W12;Analog;;\n"
)
PROFILE = """schema = "asfound/profile/1"
[columns]
name = "Tag-Bez."
address = "Kanal"
type = "art"
comment = "Text"
[types]
Digital = "BOOL"
[[addresses]]
pattern = '(?P<area>IN|OUT)(?P<number>[0-7]+)'
areas = { IN = "I", OUT = "Q" }
base = 8
[[addresses]]
pattern = 'W(?P<word>[0-9]+)'
area = "M"
"""


def with_table(profile: bytes, name: str) -> Copy:
    return read_files([("t.csv", STYLE.encode()), (name, profile)])


def lines_of_a_profile(data: bytes) -> Iterator[Mutation]:
    """Every line left out, every text, number and key of it changed."""
    lines = data.decode().splitlines(keepends=True)
    for at, line in enumerate(lines):
        changes = {"line removed": ""}
        for found in re.finditer(r"\w+", line):
            word = found[0]
            new = str(int(word) + 1) if word.isdecimal() else f"{word}x"
            changes[f"{word} -> {new}"] = line[: found.start()] + new + line[found.end() :]
        noise = line.startswith("pattern")  # another pattern may take the same addresses
        for what, new in changes.items():
            text = "".join([*lines[:at], new, *lines[at + 1 :]]).encode()
            yield Mutation(what, f"line {at + 1}", noise, lambda text=text: text)


# --- text -----------------------------------------------------------------------------------------------------------

TOKEN = re.compile(r"\(\*.*?\*\)|//[^\n]*|'[^'\n]*'|\"[^\"\n]*\"|[^\W\d]\w*|\d+|:=|=>|[^\s\w;,]")


def tokens(data: bytes) -> Iterator[Mutation]:
    """Every word, number, literal and comment changed, every sign but separators removed."""
    text = data.decode()
    for found in TOKEN.finditer(text):
        token = found[0]
        if token.isdecimal():
            new = str(int(token) + 1)
        elif token[0].isalnum() or token[0] == "_":
            new = f"{token}_x"
        elif token.startswith(("(*", "'", '"')):
            new = f"{token[:2]}z{token[2:]}" if token.startswith("(*") else f"{token[0]}z{token[1:]}"
        else:
            new = f"{token}z" if token.startswith("//") else ""
        changed = (text[: found.start()] + new + text[found.end() :]).encode()
        line = text.count("\n", 0, found.start()) + 1
        yield Mutation(f"{token!r} -> {new!r}", f"line {line}", False, lambda changed=changed: changed)


def spelled(data: bytes) -> Pairs:
    text = data.decode()
    return {
        "line ends": (data, text.replace("\n", "\r\n").encode()),
        "encoding": (data, text.encode("utf-16")),
        "indentation": (data, re.sub("^", "  ", text, flags=re.M).encode()),
    }


SAMPLES: dict[str, list[Sample]] = {
    "tc6": [
        Sample(f"{number}.xml", data, mutations.mutations)
        for number, data in enumerate([*piecewise(VISIT / "program.xml")][:2])
    ],
    "iec-61131-10": [Sample("ten.xml", TEN, mutations.mutations)],
    "automationml": [
        Sample("intake.aml", INTAKE, automationml_mutations.mutations),
        Sample("intake3.aml", automationml_mutations.as_caex3(INTAKE), automationml_mutations.mutations),
    ],
    "profile": [
        Sample(
            "t.profile.toml",
            PROFILE.encode(),
            lines_of_a_profile,
            {"**": (PROFILE.encode(), f"# checked by Ada\n\n{PROFILE}".encode())},
            with_table,
        )
    ],
    **{name: [of_table(name)] for name in TABLES},
    "iec-text": [Sample(n, d, tokens, spelled(d)) for n, d in (("main.st", ST), ("old.il", IL), ("chart.st", CHART))],
}
