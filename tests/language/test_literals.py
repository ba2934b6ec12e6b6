"""Literals. External source: IEC 61131-3:2013 tables 5 to 10 (literals, elementary types), from memory."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.language.elementary import ELEMENTARY
from asfound.language.literals import canonical, duration, value

from .strategies import ANY_TEXT

SPELLINGS = [
    ("true", "TRUE"),
    ("BOOL#1", "BOOL#TRUE"),
    ("bool#false", "BOOL#FALSE"),
    ("007", "7"),
    ("1_000_000", "1000000"),
    ("+5", "5"),
    ("-0012", "-12"),
    ("16#ff_00", "16#FF00"),
    ("2#0000_1111", "2#1111"),
    ("8#017", "8#17"),
    ("16#0", "16#0"),
    ("int#16#0f", "INT#16#F"),
    ("UINT#16#89AF", "UINT#16#89AF"),
    ("DINT#-5", "DINT#-5"),
    ("3.14159_26", "3.1415926"),
    ("-12.0", "-12.0"),
    ("1.50", "1.5"),
    ("1.34E-12", "1.34E-12"),
    ("1.0e+6", "1000000.0"),
    ("real#5", "REAL#5"),
    ("0.000", "0.0"),
    ("T#14ms", "T#14ms"),
    ("t#1500MS", "T#1s500ms"),
    ("T# 18000ms", "T#18s"),
    ("TIME#14.7s", "T#14s700ms"),
    ("T#14.7m", "T#14m42s"),
    ("t#25h_15m", "T#1d1h15m"),
    ("t#5d_14h_12m_18s_3.5ms", "T#5d14h12m18s3ms500us"),
    ("T#-14ms", "T#-14ms"),
    ("LTIME#5us", "LT#5us"),
    ("T#0s", "T#0s"),
    ("D#1984-06-25", "DATE#1984-06-25"),
    ("date#1984-6-5", "DATE#1984-06-05"),
    ("TIME_OF_DAY#15:36:55.36", "TOD#15:36:55.36"),
    ("tod#15:36:55.360", "TOD#15:36:55.36"),
    ("DATE_AND_TIME#1984-06-25-15:36:55.36", "DT#1984-06-25-15:36:55.36"),
    ("dt#1984-06-25-15:36:55", "DT#1984-06-25-15:36:55"),
    ("'it$'s $$5'", "'it$'s $$5'"),
    ("STRING#'OK'", "STRING#'OK'"),
    ("Color#Red", "Color#Red"),
    ("'  spaces  '", "'  spaces  '"),
    ("not a literal", "not a literal"),
    ("T#0.1ns", "T#0.1ns"),
]


@pytest.mark.parametrize(("text", "expected"), SPELLINGS)
def test_one_spelling(text, expected):
    assert canonical(text) == expected
    assert canonical(expected) == expected


def test_a_declared_bool_takes_numbers():
    assert [canonical(text, "BOOL") for text in ("1", "0", "TRUE", "2#1", "x")] == [
        "TRUE",
        "FALSE",
        "TRUE",
        "TRUE",
        "x",
    ]
    assert canonical("1", "INT") == "1"


EQUAL = [
    ("16#FF", "255"),
    ("2#1111_1111", "16#ff"),
    ("INT#5", "5"),
    ("T#1s500ms", "TIME#1500ms"),
    ("T#0.5s", "t#500ms"),
    ("TRUE", "BOOL#1"),
    ("1.5", "15.0E-1"),
    ("REAL#5", "5.0"),
    ("D#2026-1-2", "DATE#2026-01-02"),
    ("TOD#1:2:3", "TIME_OF_DAY#01:02:03.0"),
    ("'A$41'", "'AA'"),
    ("Color#Red", "COLOR#red"),
]


@pytest.mark.parametrize(("one", "other"), EQUAL)
def test_equal_values(one, other):
    assert value(one) == value(other)


DIFFERENT = [("1", "2"), ("'a'", "'A'"), ("T#1s", "T#1m"), ("16#10", "10"), ("TRUE", "1"), ("'1'", "1"), ("a", "A")]


@pytest.mark.parametrize(("one", "other"), DIFFERENT)
def test_different_values(one, other):
    assert value(one) != value(other)


def test_values_are_exact():
    assert value("T#1d") == ("duration", 86_400_000_000_000)
    assert value("0.1") == ("real", Fraction(1, 10))
    assert value("ULINT#18446744073709551615") == ("int", 2**64 - 1)
    assert value("16#GG") == ("text", "16#GG")


def test_elementary_types():
    """IEC 61131-3:2013 table 10, from memory, without the abbreviations of date types."""
    table = (
        "BOOL SINT INT DINT LINT USINT UINT UDINT ULINT REAL LREAL TIME LTIME DATE LDATE TIME_OF_DAY LTOD "
        "DATE_AND_TIME LDT STRING WSTRING CHAR WCHAR BYTE WORD DWORD LWORD"
    )
    assert set(table.split()) <= ELEMENTARY


@given(st.integers(-(10**18), 10**18))
def test_durations_are_exact(nanoseconds):
    assert value(f"T#{duration(nanoseconds)}") == ("duration", nanoseconds)


@given(ANY_TEXT)
def test_any_text_has_a_spelling_and_a_value(text):
    assert canonical(canonical(text)) == canonical(text)
    value(text)
