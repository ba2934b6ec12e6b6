"""Written values as what they mean. Literals: IEC 61131-3:2013 tables 5 to 9, dates: ISO 8601, both from memory."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.compare.parts.quantities import meaning, same, shift


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("5.2", "5.20"), ("5.2", "+5.2"), ("5,2", "5.2"), ("1e3", "1000.0"), ("16#FF", "255"), ("TRUE", "true"),
        ("T#90s", "T#1m30s"), ("T#90s", "1m30s"), ("T#1m30s", "00:01:30"), ("250 ms", "t#0.25s"), ("TIME#1d", "24:00:00"),
        ("D#2026-03-01", "2026-03-01"), ("DATE#2026-3-1", "D#2026-03-01"), ("DT#2026-03-01-06:30:00", "2026-03-01T06:30:00"),
        ("2026-03-01 06:30", "DT#2026-03-01-06:30:00"), ("TOD#6:30:00", "TIME_OF_DAY#06:30:00"), ("auto", "auto"),
    ],
)  # fmt: skip
def test_the_same(one: str, other: str) -> None:
    assert same(one, other) and same(other, one)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("5.2", "5.3"), ("1,234", "1.234.0"), ("T#3s", "T#8s"), ("T#3s", "3"), ("2026-03-01", "2026-03-02"),
        ("D#2026-03-01", "DT#2026-03-01-00:00:00"), ("auto", "AUTO"), ("", "0"), ("TRUE", "1"), ("5.2 bar", "5.2"),
    ],
)  # fmt: skip
def test_not_the_same(one: str, other: str) -> None:
    assert not same(one, other)


def test_a_tolerance_is_for_numbers_only_and_includes_its_end() -> None:
    tolerance = Fraction("0.01")
    assert same("5.20", "5.21", tolerance) and not same("5.20", "5.211", tolerance)
    assert same("7", "7.005", tolerance)
    assert not same("T#1s", "T#1s1ms", Fraction(10**9))


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("5.2", "5.8", "+0.6"),
        ("8", "3", "-5"),
        ("T#8s", "3s", "-5s"),
        ("T#8s", "T#9s500ms", "+1s500ms"),
        ("a", "b", ""),
    ],
)
def test_how_far_a_value_moved(old: str, new: str, expected: str) -> None:
    assert shift(old, new) == expected


@given(st.text(max_size=20), st.text(max_size=20))
def test_any_two_texts(one: str, other: str) -> None:
    assert same(one, one)
    assert same(one, other) == same(other, one)
    assert meaning(one) == meaning(f" {one} ") or not one.strip()


@given(st.decimals(-1000, 1000, places=3), st.decimals(-1000, 1000, places=3), st.decimals(0, 10, places=3))
def test_tolerance_is_exact_arithmetic(a: Fraction, b: Fraction, tolerance: Fraction) -> None:
    assert same(str(a), str(b), Fraction(tolerance)) == (abs(Fraction(a) - Fraction(b)) <= Fraction(tolerance))
