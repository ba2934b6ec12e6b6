"""The interpreter against Python's own arithmetic and worked examples of IEC 61131-3 (from memory)."""

from __future__ import annotations

import ctypes
import math
import struct
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as s

import asfound
from interpreter.kinds import WIDTHS
from interpreter.machine import Machine
from interpreter.numbers import Val, calculated, wrapped
from interpreter.readings import USUAL, Readings

MACHINES = {
    "SINT": ctypes.c_int8, "INT": ctypes.c_int16, "DINT": ctypes.c_int32, "LINT": ctypes.c_int64,
    "USINT": ctypes.c_uint8, "UINT": ctypes.c_uint16, "UDINT": ctypes.c_uint32, "ULINT": ctypes.c_uint64,
    "BYTE": ctypes.c_uint8, "WORD": ctypes.c_uint16, "DWORD": ctypes.c_uint32, "LWORD": ctypes.c_uint64,
}  # fmt: skip


def result(expression: str, type: str, own: str = "", readings: Readings = USUAL) -> Any:
    text = f"PROGRAM P VAR_OUTPUT r : {type}; END_VAR VAR {own} z : BOOL; END_VAR r := {expression}; END_PROGRAM"
    return Machine(asfound.read(text.encode(), "p.st"), "P", readings).cycle()["out:r"]


@given(s.sampled_from(sorted(WIDTHS)), s.integers(-(2**70), 2**70))
def test_integers_wrap_as_those_of_the_machine(type: str, number: int) -> None:
    assert wrapped(number, type) == MACHINES[type](number).value


@given(s.integers(-32768, 32767), s.integers(-32768, 32767), s.sampled_from(["+", "-", "*", "/", "MOD"]))
def test_calculations_of_int(a: int, b: int, operator: str) -> None:
    """Quotients are cut towards zero; MOD takes the sign of the dividend."""
    if operator in ("/", "MOD") and b == 0:
        return
    exact = {
        "+": a + b, "-": a - b, "*": a * b,
        "/": math.trunc(Fraction(a, b)) if b else 0, "MOD": int(math.fmod(a, b)) if b else 0,
    }[operator]  # fmt: skip
    found = calculated(operator, Val(a, "INT"), Val(b, "INT"), 0, True)
    assert (found.content, found.type) == (ctypes.c_int16(exact).value, "INT")
    assert calculated(operator, Val(a, "INT"), Val(b, "INT"), 32, True).content == exact


@given(
    s.floats(width=32, allow_nan=False, allow_infinity=False), s.floats(width=32, allow_nan=False, allow_infinity=False)
)
def test_real_rounds_to_single_precision(a: float, b: float) -> None:
    found = calculated("+", Val(a, "REAL"), Val(b, "REAL"), 0, True).content
    try:
        assert found == struct.unpack("f", struct.pack("f", a + b))[0]
    except OverflowError:
        assert math.isinf(found)


EXAMPLES = [
    ("-7 / 2", "INT", -3), ("-7 MOD 2", "INT", -1), ("7 MOD -2", "INT", 1), ("2 + 3 * 4", "INT", 14),
    ("(2 + 3) * 4", "INT", 20), ("-2 ** 2", "REAL", 4.0), ("NOT TRUE OR TRUE", "BOOL", True), ("16#FF", "INT", 255),
    ("TRUE XOR TRUE XOR TRUE", "BOOL", True), ("1 < 2 AND 3 > 2", "BOOL", True), ("2#1010", "INT", 10),
    ("T#1s + T#500ms", "TIME", 1_500_000_000), ("T#1s * 2", "TIME", 2_000_000_000), ("T#1s / 4", "TIME", 250_000_000),
    ("SEL(FALSE, 1, 2)", "INT", 1), ("SEL(TRUE, 1, 2)", "INT", 2), ("MUX(1, 5, 6, 7)", "INT", 6),
    ("LIMIT(0, 12, 9)", "INT", 9), ("LIMIT(0, -2, 9)", "INT", 0), ("MAX(1, 5, 3)", "INT", 5), ("MIN(4, 2)", "INT", 2),
    ("SHL(BYTE#16#81, 1)", "BYTE", 2), ("SHR(BYTE#16#81, 1)", "BYTE", 0x40), ("ROL(BYTE#16#81, 1)", "BYTE", 3),
    ("ROR(BYTE#16#81, 1)", "BYTE", 0xC0), ("NOT BYTE#16#0F", "BYTE", 0xF0), ("SHL(WORD#16#1, 16)", "WORD", 0),
    ("REAL_TO_INT(1.5)", "INT", 2), ("REAL_TO_INT(2.5)", "INT", 2), ("REAL_TO_INT(-1.5)", "INT", -2),
    ("TRUNC(1.9)", "DINT", 1), ("TRUNC(-1.9)", "DINT", -1), ("BOOL_TO_INT(TRUE)", "INT", 1),
    ("INT_TO_BOOL(7)", "BOOL", True), ("DINT_TO_INT(65537)", "INT", 1), ("INT_TO_SINT(200)", "SINT", -56),
    ("TIME_TO_DINT(T#1s)", "DINT", 1000), ("DINT_TO_TIME(1500)", "TIME", 1_500_000_000),
    ("LEFT('ASTR', 3)", "STRING", "AST"), ("RIGHT('ASTR', 3)", "STRING", "STR"), ("MID('ASTR', 2, 2)", "STRING", "ST"),
    ("CONCAT('AB', 'CD', 'E')", "STRING", "ABCDE"), ("INSERT('ABE', 'CD', 2)", "STRING", "ABCDE"),
    ("DELETE('ABXYC', 2, 3)", "STRING", "ABC"), ("REPLACE('ABCDE', 'X', 2, 3)", "STRING", "ABXE"),
    ("FIND('ABCBC', 'BC')", "INT", 2), ("LEN('ASTRING')", "INT", 7), ("GT(3, 2, 1)", "BOOL", True),
    ("GT(3, 1, 2)", "BOOL", False), ("ADD(1, 2, 3)", "INT", 6), ("EXPT(2.0, 3)", "REAL", 8.0), ("SQRT(9.0)", "REAL", 3.0),
    ("ABS(-5)", "INT", 5), ("MOVE(4)", "INT", 4), ("32767 + 1", "INT", -32768),
]  # fmt: skip
"""Results of the examples with the string functions and operators as in IEC 61131-3 (tables of functions, from memory)."""


@pytest.mark.parametrize(("expression", "type", "expected"), EXAMPLES)
def test_examples(expression: str, type: str, expected: object) -> None:
    assert result(expression, type) == expected


def test_a_single_and_a_double_sum_differ() -> None:
    own = "a : REAL := 0.1; b : REAL := 0.2;"
    assert result("a + b", "LREAL", own) == struct.unpack("f", struct.pack("f", 0.1 + 0.2))[0]
    assert result("a + b", "LREAL", own, Readings(wide=64)) != result("a + b", "LREAL", own)


def test_a_sum_that_is_not_stored_has_the_width_of_its_operands_or_more() -> None:
    own = "a : INT := 32767; b : INT := 1;"
    assert [result("a + b > 0", "BOOL", own, Readings(wide=w)) for w in (0, 32, 64)] == [False, True, True]
    assert [result("ADD(a, b) > 0", "BOOL", own, Readings(wide=w)) for w in (0, 32, 64)] == [False] * 3
