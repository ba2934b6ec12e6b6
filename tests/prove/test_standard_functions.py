"""Expressions of constants have the value that IEC 61131-3 says; a proof that calculates otherwise proves nonsense.

Truncation of quotients, signs of remainders, order of the inputs of SEL, MUX, LIMIT, shifts: IEC 61131-3:2013 tables 22
to 35, from memory.
"""

from __future__ import annotations

import pytest
import z3

from asfound.language.parser import parse_expression
from asfound.prove.encoder import Encoder, Unsupported
from asfound.prove.execute import SymbolicExecutor
from asfound.prove.proof_side import Side

from .proving import prove_equal


def value(text: str, want: str) -> int | bool | str | None:
    """The value of an expression where one of a type is wanted; None when it is no constant."""
    executor = SymbolicExecutor(Encoder(), Side(()), "old")
    found = executor.value(parse_expression(text), want)
    term = z3.simplify(executor.numbers.convert(found, want))
    if z3.is_bv_value(term):
        return int(term.as_signed_long() if want[0] not in "UBWDL" or want == "DINT" else term.as_long())
    return bool(z3.is_true(term)) if z3.is_true(term) or z3.is_false(term) else None


@pytest.mark.parametrize(
    ("text", "want", "expected"),
    [
        ("2 + 3", "INT", 5), ("2 - 3", "INT", -1), ("2 * 3", "INT", 6), ("7 / 2", "INT", 3), ("-7 / 2", "INT", -3),
        ("7 / -2", "INT", -3), ("7 MOD 4", "INT", 3), ("INT#300 * INT#100", "INT", 30000), ("INT#300 * INT#110", "INT", None),
        ("32767 + INT#0", "INT", 32767), ("INT#32767 + INT#1", "INT", None), ("INT#-32768 - INT#1", "INT", None),
        ("INT#-32768 / INT#-1", "INT", None), ("INT#5 / INT#0", "INT", None), ("INT#-7 MOD INT#4", "INT", None),
        ("INT#7 MOD INT#-4", "INT", None), ("UINT#7 MOD UINT#4", "UINT", 3), ("UINT#7 MOD UINT#0", "UINT", None),
        ("UINT#65535 / UINT#2", "UINT", 32767), ("UINT#2 - UINT#3", "UINT", None), ("-INT#5", "INT", -5),
        ("USINT#200 + USINT#55", "USINT", 255), ("USINT#200 + USINT#56", "USINT", None), ("SINT#100 + INT#100", "INT", 200),
        ("LIMIT(1, 5, 3)", "INT", 3), ("LIMIT(1, 0, 3)", "INT", 1), ("LIMIT(1, 2, 3)", "INT", 2), ("LIMIT(1, 1, 3)", "INT", 1),
        ("LIMIT(3, 2, 1)", "INT", None), ("LIMIT(MN := 1, IN := 9, MX := 4)", "INT", 4),
        ("MIN(4, 2, 3)", "INT", 2), ("MAX(4, 7, 3)", "INT", 7), ("MIN(INT#-1, INT#1)", "INT", -1),
        ("MAX(UINT#65535, UINT#1)", "UINT", 65535), ("ABS(INT#-5)", "INT", 5), ("ABS(INT#5)", "INT", 5), ("ABS(INT#0)", "INT", 0),
        ("ABS(INT#-32768)", "INT", None), ("SEL(FALSE, 1, 2)", "INT", 1), ("SEL(TRUE, 1, 2)", "INT", 2),
        ("SEL(G := TRUE, IN0 := 1, IN1 := 2)", "INT", 2), ("MUX(0, 4, 5, 6)", "INT", 4), ("MUX(1, 4, 5, 6)", "INT", 5),
        ("MUX(2, 4, 5, 6)", "INT", 6), ("MUX(3, 4, 5, 6)", "INT", None), ("MUX(-1, 4, 5)", "INT", None), ("MOVE(INT#3)", "INT", 3),
        ("SHL(BYTE#16#81, 1)", "BYTE", 2), ("SHR(BYTE#16#81, 1)", "BYTE", 64), ("ROL(BYTE#16#81, 1)", "BYTE", 3),
        ("ROR(BYTE#16#81, 1)", "BYTE", 192), ("SHL(BYTE#1, 7)", "BYTE", 128), ("SHL(BYTE#1, 8)", "BYTE", None),
        ("SHL(BYTE#1, 0)", "BYTE", 1), ("SHR(WORD#16#8000, 15)", "WORD", 1), ("ROL(WORD#16#8001, 4)", "WORD", 24),
        ("SHL(BYTE#1, -1)", "BYTE", None),
        ("BYTE#16#F0 AND BYTE#16#3C", "BYTE", 0x30), ("BYTE#16#F0 OR BYTE#16#3C", "BYTE", 0xFC),
        ("BYTE#16#F0 XOR BYTE#16#3C", "BYTE", 0xCC), ("NOT BYTE#16#F0", "BYTE", 0x0F), ("AND(BYTE#7, BYTE#12)", "BYTE", 4),
        ("ADD(INT#1, 2, 3)", "INT", 6), ("MUL(INT#2, 3, 4)", "INT", 24), ("SUB(7, 2)", "INT", 5), ("DIV(-7, 2)", "INT", -3),
        ("MOD(7, 4)", "INT", 3), ("INT_TO_DINT(INT#-5)", "DINT", -5), ("DINT_TO_INT(DINT#40000)", "INT", None),
        ("DINT_TO_INT(DINT#-40)", "INT", -40), ("INT_TO_UINT(INT#-1)", "UINT", None), ("INT_TO_WORD(INT#-1)", "WORD", 65535),
        ("WORD_TO_INT(WORD#65535)", "INT", -1), ("BOOL_TO_INT(TRUE)", "INT", 1), ("BOOL_TO_INT(FALSE)", "INT", 0),
        ("INT_TO_BOOL(INT#0)", "BOOL", False), ("INT_TO_BOOL(INT#1)", "BOOL", True), ("INT_TO_BOOL(INT#2)", "BOOL", None),
        ("T#1s + T#500ms", "TIME", 1_500_000_000), ("T#1s - T#500ms", "TIME", 500_000_000), ("T#1s - T#2s", "TIME", None),
        ("ADD_TIME(T#1s, T#2s)", "TIME", 3_000_000_000), ("SUB_TIME(T#3s, T#2s)", "TIME", 1_000_000_000),
        ("T#1s500us + T#1s", "TIME", None), ("T#24d + T#1s", "TIME", 2_073_601_000_000_000), ("T#24d + T#1d", "TIME", None),
        ("TRUE AND FALSE", "BOOL", False), ("TRUE OR FALSE", "BOOL", True), ("TRUE XOR TRUE", "BOOL", False),
        ("NOT FALSE", "BOOL", True), ("INT#3 < INT#4", "BOOL", True), ("INT#4 < INT#4", "BOOL", False),
        ("INT#4 <= INT#4", "BOOL", True), ("INT#4 > INT#3", "BOOL", True), ("INT#4 >= INT#5", "BOOL", False),
        ("INT#4 = INT#4", "BOOL", True), ("INT#4 <> INT#4", "BOOL", False), ("INT#-1 < INT#1", "BOOL", True),
        ("UINT#65535 < UINT#1", "BOOL", False), ("TRUE = FALSE", "BOOL", False), ("TRUE <> FALSE", "BOOL", True),
        ("GT(3, 2, 1)", "BOOL", True), ("GT(3, 3, 1)", "BOOL", False), ("GT(3, 1, 2)", "BOOL", False), ("EQ(3, 3)", "BOOL", True),
        ("T#1s < T#1001ms", "BOOL", True), ("1.5 < 2.5", "BOOL", True), ("2.5 <= 2.5", "BOOL", True), ("2.5 <> 2.5", "BOOL", False),
        ("2.5 = 2.5", "BOOL", True), ("2.5 > 2.5", "BOOL", False), ("2.5 >= 2.5", "BOOL", True), ("1.5 > 2.5", "BOOL", False),
        ("1", "BOOL", True), ("0", "BOOL", False),
    ],
)  # fmt: skip
def test_the_value_of_constants(text: str, want: str, expected: int | bool | None) -> None:
    assert value(text, want) == expected


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("SEL(TRUE, 1)", "INT"), ("MUX(1)", "INT"), ("GT(3)", "BOOL"), ("LIMIT(1, 2, 3, 4)", "INT"), ("ABS()", "INT"),
        ("LIMIT(MN := 1, IN := 9, MAX := 4)", "INT"), ("INT#40000", "INT"), ("USINT#256", "USINT"), ("a^", "INT"),
    ],
)  # fmt: skip
def test_what_has_no_value_is_not_followed(text: str, want: str) -> None:
    with pytest.raises(Unsupported):
        value(text, want)


TYPES = {
    "i": "INT", "j": "INT", "u": "UINT", "d": "DINT", "r": "REAL", "q": "LREAL", "w": "WORD", "v": "WORD", "t": "TIME",
    "s": "TIME", "a": "BOOL", "b": "BOOL", "us": "USINT", "l": "LINT",
}  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "type", "expected"),
    [
        ("MAX(i, j)", "SEL(i > j, j, i)", "INT", "equal"), ("MIN(i, j)", "SEL(i < j, j, i)", "INT", "equal"),
        ("MIN(i, j)", "MAX(i, j)", "INT", "different"),
        ("MAX(q, r)", "MIN(q, r)", "LREAL", "unknown"),
        ("LIMIT(0, i, 9)", "MIN(MAX(i, 0), 9)", "INT", "equal"), ("LIMIT(0, i, 9)", "LIMIT(0, i, 8)", "INT", "different"),
        ("LIMIT(i, 5, j)", "MIN(MAX(5, i), j)", "INT", "unknown"),  # where i > j the standard says nothing
        ("ABS(i)", "SEL(i < 0, i, -i)", "INT", "equal"), ("ABS(i)", "i", "INT", "different"),
        ("i + j", "j + i", "INT", "equal"), ("i - j", "j - i", "INT", "different"), ("i + 1 > i", "TRUE", "BOOL", "unknown"),
        ("i / 2", "i / 2 + 0", "INT", "equal"), ("i / j", "i / j", "INT", "equal"), ("i MOD 2", "i - i / 2 * 2", "INT", "unknown"),
        ("u MOD 2", "u - u / 2 * 2", "UINT", "equal"), ("i * 2", "i + i", "INT", "equal"), ("i * j", "j * i", "INT", "equal"),
        ("t + s", "s + t", "TIME", "equal"), ("t - s", "s - t", "TIME", "unknown"),
        ("t + T#1s > t", "TRUE", "BOOL", "unknown"), ("t > T#1s", "T#1s < t", "BOOL", "equal"),
        ("t > T#1s", "t >= T#1s", "BOOL", "different"), ("r > q", "q < r", "BOOL", "equal"), ("NOT (r > 1.0)", "r <= 1.0", "BOOL", "different"),
        ("r <> 1.0", "NOT (r = 1.0)", "BOOL", "equal"), ("r + 1.0", "1.0 + r", "REAL", "equal"), ("r - 1.0", "1.0 - r", "REAL", "unknown"),
        ("w AND v", "v AND w", "WORD", "equal"), ("w OR v", "w AND v", "WORD", "different"), ("NOT NOT w", "w", "WORD", "equal"),
        ("SHL(w, 1)", "ROL(w, 1)", "WORD", "different"), ("SHL(w, 1)", "w AND 16#FFFF", "WORD", "different"),
        ("SHR(SHL(w, 8), 8)", "w AND 16#FF", "WORD", "equal"), ("ROL(w, 8)", "ROR(w, 8)", "WORD", "equal"),
        ("ROL(w, 4)", "ROR(w, 4)", "WORD", "different"), ("SHL(w, us)", "SHL(w, us)", "WORD", "equal"),
        ("UINT_TO_INT(INT_TO_UINT(i))", "i", "INT", "unknown"),
        ("DINT_TO_INT(INT_TO_DINT(i))", "i", "INT", "equal"),
        ("LTIME_TO_TIME(TIME_TO_LTIME(t))", "t", "TIME", "equal"), ("INT_TO_DINT(i) + 1 > d", "d < 1 + INT_TO_DINT(i)", "BOOL", "equal"),
        ("t + T#1s", "t + T#2s", "TIME", "different"), ("t * 2", "2 * t", "TIME", "equal"), ("MAX(t, s)", "SEL(t > s, s, t)", "TIME", "equal"), ("INT_TO_DINT(i)", "i", "DINT", "equal"),
        ("BOOL_TO_INT(a)", "SEL(a, 0, 1)", "INT", "equal"), ("INT_TO_BOOL(BOOL_TO_INT(a))", "a", "BOOL", "equal"),
        ("REAL_TO_INT(r)", "REAL_TO_INT(r)", "INT", "equal"), ("REAL_TO_INT(r)", "TRUNC(r)", "INT", "unknown"),
        ("SQRT(r)", "SQRT(r)", "REAL", "equal"), ("SQRT(r)", "SIN(r)", "REAL", "unknown"), ("EXPT(r, 2.0)", "r ** 2.0", "REAL", "equal"),
        ("MUX(us, i, j)", "SEL(us = 1, i, j)", "INT", "unknown"), ("SEL(a, i, j)", "SEL(NOT a, j, i)", "INT", "equal"),
        ("SEL(a, i, j)", "SEL(a, j, i)", "INT", "different"), ("a = b", "NOT (a XOR b)", "BOOL", "equal"),
        ("GE(i, j)", "NOT (i < j)", "BOOL", "equal"), ("i = j", "j = i", "BOOL", "equal"), ("us < i", "i > us", "BOOL", "equal"),
        ("u < i", "i > u", "BOOL", "equal"), ("u < i", "u <= i", "BOOL", "unknown"), ("w.0", "w AND 1 <> 0", "BOOL", "unknown"),
        ("w.3", "w.3", "BOOL", "equal"), ("w.3", "w.4", "BOOL", "different"), ("AND(a, b)", "a AND b", "BOOL", "equal"),
    ],
)  # fmt: skip
def test_pairs_of_expressions(old: str, new: str, type: str, expected: str) -> None:
    assert prove_equal(parse_expression(old), parse_expression(new), TYPES, type=type).status == expected
