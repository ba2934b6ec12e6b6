"""Profiles and station.toml as strangers write them: read, or refused with one sentence, and never slow.

``python tests/hostile/test_small_files.py 20000`` tries as many random edits as it is told to.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable, Sequence

import pytest

from asfound.checks.readiness import station_toml
from asfound.model.problem import Problem
from asfound.readers.reading import read_files

TABLE = "Plant 7\nTag;Kanal;Art;Text\nStart;IN0;Digital;start\nStop;IN17;Digital;\nLevel;W12;Analog;\n"
PROFILE = """schema = "asfound/profile/1"
table = "tags"
files = ["t*.csv"]
delimiter = ";"
encoding = "utf-8"
heading = 2
decimal = ","
[columns]
name = "Tag"
address = 2
type = "art"
comment = 4
[types]
Digital = "BOOL"
[[addresses]]
pattern = '(?P<area>IN|OUT)(?P<number>[0-7]+)'
areas = { IN = "I", OUT = "Q" }
base = 8
first = 0
[[addresses]]
pattern = 'W(?P<word>[0-9]+)'
area = "M"
size = "W"
"""
STATION = """schema = "asfound/station/1"
name = "booster-1"
[ready.reset]
battery = "mandatory"
documentation = "off"
[ready.download]
battery = "advised"
"""
LIMIT = 2.0
"""Seconds for one file."""


def read_profile(data: bytes) -> None:
    copy = read_files([("p.toml", data), ("t.csv", TABLE.encode())])
    assert copy.sources


def read_station(data: bytes) -> None:
    station_toml.read(data, "station.toml")


READS: dict[str, tuple[str, Callable[[bytes], None]]] = {
    "profile": (PROFILE, read_profile), "station": (STATION, read_station)
}  # fmt: skip


def said(read: Callable[[bytes], None], data: bytes) -> str:
    """The sentence of the refusal, empty when it was read; anything else fails."""
    begun = time.process_time()
    try:
        read(data)
        sentence = ""
    except Problem as problem:
        sentence = str(problem)
        assert sentence.endswith(".") and "; " in sentence and "\n" not in sentence
    assert time.process_time() - begun < LIMIT, data[:2000]
    return sentence


# --- slips and tricks, with what is said ------------------------------------------------------------------------

NO = "see schemas/profile.json for what may stand here."
HUGE = "write the number that is meant."
COLUMN = "correct the number in the profile; the first column is 1."
HEADING = "correct heading in the profile; the first line is 1."
NAMED = "mend that line."
EDITS = {
    ("comment = 4", "comment = 5"): f"t.csv: has 4 columns, and the profile says that column 5 is the comment; {COLUMN}",
    ("address = 2", "address = 99"): f"t.csv: has 4 columns, and the profile says that column 99 is the address; {COLUMN}",
    ("heading = 2", "heading = 6"): f"t.csv: ends with line 5, and the profile says that line 6 names the columns; {HEADING}",
    ("heading = 2", f"heading = {10**30}"): f"p.toml, heading: the number is too large; {HUGE}",
    ("address = 2", "address = 9000000000"): f"p.toml, columns, address: the number is too large; {HUGE}",
    ("first = 0", "first = 0x" + "f" * 9000): f"p.toml, addresses, 1, first: the number is too large; {HUGE}",
    ("first = 0", "first = " + "9" * 9000): f"p.toml: holds a number of thousands of digits; {HUGE}",
    ("heading = 2", "heading = 1979-05-27"): f"p.toml, heading: expected 'int | null', got 'date'; {NO}",
    ('name = "Tag"', "name = 07:32:00"): f"p.toml, columns, name: expected 'int | str | null', got 'time'; {NO}",
    ("heading = 2", "heading = nan"): f"p.toml, heading: expected 'int | null', got 'float'; {NO}",
    ("heading = 2", "heading = 2\x00"): f"p.toml: is not valid TOML (Expected newline or end of document after a statement (at line 6, column 12)); {NAMED}",
    ('delimiter = ";"', 'delimiter = "\\u0000"'): "p.toml, delimiter: '\\u{0}' is no delimiter; write one sign, \";\" or \"\\t\".",
    ('delimiter = ";"', 'delimiter = " "'): "p.toml, delimiter: ' ' is no delimiter; write one sign, \";\" or \"\\t\".",
    ('files = ["t*.csv"]', "files = " + "[" * 3000 + "]" * 3000): "p.toml: has brackets too deep inside each other; take them out.",
    ('files = ["t*.csv"]', "x = " + "{a=" * 3000 + "1" + "}" * 3000): "p.toml: has brackets too deep inside each other; take them out.",
    ("[types]", f"[{'a.' * 20000}a]"): f"p.toml, line 13: names more than 30 tables inside each other; {NAMED}",
    ("[types]", "[types]\n" + "a.'b' . " * 40 + "c = 1"): f"p.toml, line 14: names more than 30 tables inside each other; {NAMED}",
    ("[types]", "[types]\n#" + "x" * 100_000): "p.toml: is larger than 100 kB; leave only what it needs in it.",
    ("[[addresses]]", "[[addresses]]\npattern = 'X(?P<byte>[0-9])'\narea = 'I'\n" * 50 + "[[addresses]]"): "p.toml, addresses: has more than 50 patterns; a table has few styles of address; put several into one with |.",
}  # fmt: skip
ENCODINGS = (
    "idna", "rot13", "rot_13", "utf-7", "zip", "zlib", "bz2", "punycode", "base64", "hex", "quopri", "uu", "undefined",
    "mbcs", "oem", "unicode_escape", "raw_unicode_escape", "charmap", "palmos", "aliases", "../utf-8", "x" * 5000, "\\u0000",
)  # fmt: skip


@pytest.mark.parametrize(("edit", "message"), EDITS.items(), ids=[f"{new[:30]!a}" for _, new in EDITS])
def test_a_slip_or_a_trick_is_one_sentence(edit: tuple[str, str], message: str) -> None:
    assert edit[0] in PROFILE
    assert said(read_profile, PROFILE.replace(*edit, 1).encode()) == message


@pytest.mark.parametrize("encoding", ENCODINGS, ids=[name[:20] for name in ENCODINGS])
def test_an_odd_encoding_is_none(encoding: str) -> None:
    sentence = said(read_profile, PROFILE.replace('"utf-8"', f'"{encoding}"').encode())
    assert sentence.startswith("p.toml, encoding: '") and sentence.endswith(
        "is no encoding; write utf-8, cp1252, cp850, ...."
    )


@pytest.mark.parametrize(
    "encoding", ["utf-16", "UTF-32", "cp037", "latin1", "shift_jis", "iso2022_jp", "hz", "mac_roman"]
)
def test_a_true_encoding_is_read_or_said_not_to_be_that_of_the_table(encoding: str) -> None:
    table = TABLE.replace("Start", "Start" if encoding in ("shift_jis", "iso2022_jp", "hz") else "Ölstart")
    profile = PROFILE.replace('"utf-8"', f'"{encoding}"').encode()
    copy = read_files([("p.toml", profile), ("t.csv", table.encode(encoding))])
    assert len(copy.tables[0].tags) == 3
    assert said(read_profile, profile) == "" or encoding in ("utf-16", "UTF-32", "cp037")


def test_a_column_beyond_the_heading_in_which_rows_hold_something_is_read() -> None:
    table = TABLE.replace("start\n", "start;more\n")
    profile = PROFILE.replace("comment = 4", "comment = 5")
    copy = read_files([("p.toml", profile.encode()), ("t.csv", table.encode())])
    assert [tag.comment for tag in copy.tables[0].tags if tag.comment] == ["more"]


SETTINGS = {
    b"\xff\xfe": "station.toml: is not UTF-8 (byte 0); save it as UTF-8.",
    b"x = " + b"[" * 3000: "station.toml: has brackets too deep inside each other; take them out.",
    b"a." * 20000 + b"a = 1": f"station.toml, line 1: names more than 30 tables inside each other; {NAMED}",
    b"x = " + b"9" * 9000: f"station.toml: holds a number of thousands of digits; {HUGE}",
    b"#" * 100_001: "station.toml: is larger than 100 kB; leave only what it needs in it.",
    b"x = 1\x00": f"station.toml: is not valid TOML (Expected newline or end of document after a statement (at line 1, column 6)); {NAMED}",
}  # fmt: skip


@pytest.mark.parametrize("data", SETTINGS, ids=[repr(data[:20]) for data in SETTINGS])
def test_settings_that_nobody_writes_are_one_sentence(data: bytes) -> None:
    assert said(read_station, data) == SETTINGS[data]


# --- random edits -----------------------------------------------------------------------------------------------

WORDS = (
    "1", "-1", "0", "1e999", "nan", "1979-05-27T07:32:00Z", "07:32:00", "true", '""', "''", '"\\u0000"', '"\\U0010ffff"',
    "[]", "{}", "[[", "]]", "[", "]", "{", "}", "=", ".", ",", "#", "'''", '"""', "\n", "\r", "\t", "\x00", "\ufeff", "\u2028",
    "9" * 25, "0xffffffffffffffffffff", "a.b.c", "[columns]", "[[addresses]]", "[types]", "ü", "(?P<byte>[0-9]+)", "(a+)+b",
    "(", ")", "*", "+", "{99999}", "|", "\\", "\\d", "\\1", "(?=", "[^", "$", "^", "first", "base", "areas", "modules", "values",
    "forces", "actual = 3", "slot = 1", "idna", "utf-16", "cp037", "heading = 0", "heading = 40", "off", "mandatory", "x" * 300,
)  # fmt: skip


def edited(text: str, dice: random.Random) -> bytes:
    """The text with one to three edits: pieces doubled, moved, removed, replaced, and hostile words put in."""
    for _ in range(dice.randint(1, 3)):
        if dice.random() < 0.6:
            text = revalued(text, dice)
            continue
        at, end = sorted(dice.randint(0, len(text)) for _ in range(2))
        end = min(end, at + dice.choice((0, 1, 3, 20, 200)))
        piece = dice.choice(
            (dice.choice(WORDS), text[at:end], text[at:end] * 2, "", dice.choice(WORDS) * dice.choice((2, 50)))
        )
        if dice.random() < 0.5:
            end = at
        text = text[:at] + piece + text[end:]
    data = bytearray(text.encode("utf-8"))
    if dice.random() < 0.2 and data:
        data[dice.randrange(len(data))] = dice.randrange(256)
    return bytes(data)


def revalued(text: str, dice: random.Random) -> str:
    """The text with another value behind one of its keys, so that it is still TOML as a rule."""
    lines = text.split("\n")
    at = dice.randrange(len(lines))
    key, sign, value = lines[at].partition(" = ")
    word = dice.choice(
        (dice.choice(WORDS), value, f"[{value}]", f'"{dice.choice(("idna", "a{9999}", "(", "X", ";"))}"')
    )
    lines[at] = f"{key}{sign}{word}" if sign else lines[at]
    return "\n".join(lines)


def try_all(kind: str, seeds: Sequence[int]) -> tuple[int, float]:
    """How many were refused, and the longest time in seconds."""
    text, read = READS[kind]
    refused, longest = 0, 0.0
    for seed in seeds:
        data = edited(text, random.Random(seed))
        begun = time.process_time()
        try:
            refused += bool(said(read, data))
        except BaseException:
            print(f"seed {seed}: {data!r}")
            raise
        longest = max(longest, time.process_time() - begun)
    return refused, longest


@pytest.mark.parametrize("kind", READS)
def test_whatever_is_edited_is_read_or_refused(kind: str) -> None:
    assert said(READS[kind][1], READS[kind][0].encode()) == ""
    refused, _ = try_all(kind, range(600))
    assert 200 < refused < 600, "the edits are to be neither all harmless nor all fatal"


if __name__ == "__main__":
    for each in READS:
        print(each, *try_all(each, range(10_000, 10_000 + int(sys.argv[1]))))
