"""Every kind of literal, by value. External source: IEC 61131-3:2013 tables 5 to 9 and annex A, from memory."""

from __future__ import annotations

from fractions import Fraction

import pytest

from asfound.language.literals import canonical, value
from asfound.model.logic import Literal

from . import trees
from .trees import parse_expression

MS, S = 10**6, 10**9
MINUTE, HOUR, DAY = 60 * S, 3600 * S, 86400 * S

DURATIONS = {
    "T#14ms": 14 * MS, "T#-14ms": -14 * MS, "LT#14.7s": 14_700 * MS, "T#14.7m": 882 * S, "T#14.7h": 52_920 * S,
    "t#14.7d": 1_270_080 * S, "t#25h15m": 25 * HOUR + 15 * MINUTE,
    "lt#5d14h12m18s3.5ms": 5 * DAY + 14 * HOUR + 12 * MINUTE + 18 * S + 3_500_000,
    "t#12h4m34ms230us400ns": 12 * HOUR + 4 * MINUTE + 34 * MS + 230_000 + 400,
    "t#25h_15m": 25 * HOUR + 15 * MINUTE, "t#5d_14h_12m_18s_3.5ms": 5 * DAY + 14 * HOUR + 12 * MINUTE + 18 * S + 3_500_000,
    "LTIME#5m_30s_500ms_100.1us": 5 * MINUTE + 30 * S + 500 * MS + 100_100,
    "TIME#14ms": 14 * MS, "LTIME#-1d": -DAY, "time#1_000ms": S, "T#1us": 1000, "T#1ns": 1, "T#0ms": 0,
}  # fmt: skip
"""Nanoseconds. Table 8 lists the features 1a to 5b that these spell."""


@pytest.mark.parametrize("text", DURATIONS)
def test_durations(text: str) -> None:
    assert value(text) == ("duration", DURATIONS[text])
    assert isinstance(parse_expression(text), Literal)


MOMENTS = [
    ("DATE#1984-06-25", "date#1984-06-25", "D#1984-06-25", "d#1984-6-25"),
    ("LDATE#2012-02-29", "LD#2012-02-29", "ld#2012-2-29"),
    ("TIME_OF_DAY#15:36:55.36", "TOD#15:36:55.360", "tod#15:36:55.36"),
    ("LTIME_OF_DAY#15:36:55.36", "LTOD#15:36:55.36", "ltod#15:36:55.360_000"),
    ("DATE_AND_TIME#1984-06-25-15:36:55.360227400", "DT#1984-06-25-15:36:55.360_227_400"),
    ("LDATE_AND_TIME#1984-06-25-15:36:55.360_227_400", "LDT#1984-06-25-15:36:55.3602274"),
]


@pytest.mark.parametrize("spellings", MOMENTS)
def test_dates_and_times(spellings: tuple[str, ...]) -> None:
    assert len({value(text) for text in spellings}) == 1
    assert len({trees.expression(text) for text in spellings}) == 1
    assert all(isinstance(parse_expression(text), Literal) for text in spellings)


def test_dates_and_times_of_different_moments_or_kinds_differ() -> None:
    texts = [
        "DATE#1984-06-25", "DATE#1984-06-26", "TOD#15:36:55.36", "TOD#15:36:55.361", "TOD#15:36", "TOD#15:36:36",
        "DT#1984-06-25-15:36:55", "DT#1984-06-25-15:36:56", "T#1s", "T#1ms", "T#1m", "T#1h", "T#1d", "T#1us", "T#1ns",
        "T#-1s", "T#10s", "DATE#1984-06-2",
    ]  # fmt: skip
    assert len({value(text) for text in texts}) == len(texts)
    assert len({canonical(text) for text in texts}) == len(texts)


NUMBERS = {
    "0": 0, "-12": -12, "123_456": 123_456, "+986": 986, "2#1111_1111": 255, "2#1110_0000": 224, "8#377": 255,
    "8#340": 224, "16#FF": 255, "16#ff": 255, "16#E0": 224, "DINT#5": 5, "UINT#16#9AF": 0x9AF, "SINT#-1": -1,
    "WORD#16#AFF": 0xAFF, "BYTE#2#1010": 10, "LINT#-9223372036854775808": -(2**63), "LWORD#16#FFFF_FFFF_FFFF_FFFF": 2**64 - 1,
}  # fmt: skip


@pytest.mark.parametrize("text", NUMBERS)
def test_whole_numbers(text: str) -> None:
    assert value(text) == ("int", NUMBERS[text])


REALS = {
    "0.0": "0", "-12.0": "-12", "0.4560": "0.456", "3.14159_26": "3.1415926", "-1.34E-12": "-1.34E-12",
    "-1.34e-12": "-1.34E-12", "1.0E+6": "1000000", "1.0e+6": "1000000", "1.234E6": "1234000", "REAL#1.5": "1.5",
    "LREAL#-1.5E1": "-15",
}  # fmt: skip


@pytest.mark.parametrize("text", REALS)
def test_reals(text: str) -> None:
    assert value(text) == ("real", Fraction(REALS[text]))


BOOLS = {"TRUE": True, "false": False, "BOOL#0": False, "BOOL#1": True, "bool#TRUE": True}


@pytest.mark.parametrize("text", BOOLS)
def test_truth(text: str) -> None:
    assert value(text)[1] is BOOLS[text]


STRINGS = {
    "''": "", "'A'": "A", "' '": " ", "'$''": "'", "'\"'": '"', "'$R$L'": "\r\n", "'$0D$0A'": "\r\n", "'$$1.00'": "$1.00",
    "'ÄË'": "ÄË", "'$C4$CB'": "ÄË", "'$N$P$T'": "\n\x0c\t", "'$n$p$t$l$r'": "\n\x0c\t\n\r", "STRING#'OK'": "OK",
    '""': "", '"A"': "A", '"$""': '"', "\"'\"": "'", '"$00C4"': "Ä", 'WSTRING#"OK"': "OK", "CHAR#'X'": "X",
    'WCHAR#"X"': "X", '"$$"': "$", "'a;b := c'": "a;b := c",
}  # fmt: skip


@pytest.mark.parametrize("text", STRINGS)
def test_strings(text: str) -> None:
    assert value(text)[1] == STRINGS[text], value(text)
    assert isinstance(parse_expression(text), Literal)


APART = [
    ("'A'", "'a'"), ("'A'", '"A"'), ("'$41'", "'$42'"), ('"$0041"', '"$41"'), ("''", "' '"), ("' '", "'  '"),
    ("STRING#'A'", "WSTRING#\"A\""), ("CHAR#'A'", "CHAR#'a'"), ("'$L'", "'$R'"), ("'$$41'", "'$41'"),
    ("T#1.5s", "T#15s"), ("1.0E6", "1.0E-6"), ("16#10", "8#10"), ("1", "1.0"), ("INT#1", "REAL#1"),
    ("'a  b'", "'a b'"), ("'(*x*)'", "''"), ("'//x'", "'//y'"), ("T#1d", "D#1-1-1"),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other"), APART)
def test_literals_that_mean_different_things(one: str, other: str) -> None:
    assert value(one) != value(other)
    assert trees.body(f"x := {one};") != trees.body(f"x := {other};")


@pytest.mark.parametrize("text", [*DURATIONS, *NUMBERS, *REALS, *BOOLS, *STRINGS, *(t for m in MOMENTS for t in m)])
def test_one_canonical_spelling_of_the_same_value(text: str) -> None:
    assert canonical(canonical(text)) == canonical(text)
    assert value(canonical(text)) == value(text)


@pytest.mark.parametrize(
    "text",
    ["T#", "T#5", "T#5x", "16#", "16#G", "2#2", "8#9", "T#5\u017f", "\u0663", "T#\u0663s", "D#1", "INT#", "$", "'a"],
)
def test_no_literal(text: str) -> None:
    """Never taken for a value by guessing: kept as text, and the statement around it as well."""
    assert value(text)[0] == "text"
    assert trees.body(f"x := {text};")[0] != trees.body("x := 0;")[0]
