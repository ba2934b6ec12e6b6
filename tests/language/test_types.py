"""Types and initial values in one spelling."""

from __future__ import annotations

import pytest

from asfound.language.standard import block, function
from asfound.language.types import canonical_type, initial, stands_alone


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("bool", "BOOL"),
        ("Motor", "Motor"),
        ("array [ 1 .. 4 ] of int", "ARRAY[1..4] OF INT"),
        ("ARRAY[0..N-1,-1..1] OF ARRAY[1..2] OF my_type", "ARRAY[0..N-1, -1..1] OF ARRAY[1..2] OF my_type"),
        ("string(20)", "STRING[20]"),
        ("WString[ 0080 ]", "WSTRING[80]"),
        ("pointer  to  Motor", "POINTER TO Motor"),
        ("REF_TO int", "REF_TO INT"),
        ("int(0..100)", "INT (0..100)"),
        ("uint (-5 .. 16#ff)", "UINT (-5..16#FF)"),
        ("Lib.Motor", "Lib.Motor"),
        (" not { a type ", "not { a type"),
    ],
)
def test_types(text, expected):
    assert canonical_type(text) == expected
    assert canonical_type(expected) == expected


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("1", "BOOL", "TRUE"),
        ("t#5000ms", "TIME", "T#5s"),
        ("- 5", "INT", "-5"),
        ("[1,2(03),  4]", "ARRAY[1..4] OF INT", "[1, 2(3), 4]"),
        ("(PT:=t#5000ms,IN:=true)", "TON", "(PT := T#5s, IN := TRUE)"),
        ("'a, b'", "STRING", "'a, b'"),
        ("", "INT", ""),
    ],
)
def test_initial_values(text, kind, expected):
    assert initial(text, kind) == expected
    assert initial(expected, kind) == expected


@pytest.mark.parametrize(
    "text", ["", " a", "a;b", "a := b", "a, b", "a)", "(a", "(* c *)", "{p}", "x\ny", "a R_EDGE", "*"]
)
def test_texts_that_need_quotes(text):
    assert not stands_alone(text)


def test_standard_function_blocks():
    """IEC 61131-3:2013 tables 43 to 46, from memory."""
    pins = {
        name: [pin.name for pin in (*block(name).inputs, *block(name).outputs)] for name in ("sr", "RS", "CTUD", "TON")
    }
    assert pins == {
        "sr": ["S1", "R", "Q1"],
        "RS": ["S", "R1", "Q1"],
        "CTUD": ["CU", "CD", "R", "LD", "PV", "QU", "QD", "CV"],
        "TON": ["IN", "PT", "Q", "ET"],
    }
    assert block("CTU_ULINT").outputs[1].type == "ULINT"
    assert block("MyBlock") is None


def test_standard_functions():
    """IEC 61131-3:2013 tables 22 to 36, from memory."""
    for name in ("ADD", "mux", "LIMIT", "INT_TO_REAL", "TO_DINT", "REAL_TRUNC_INT", "BCD_TO_INT", "CONCAT"):
        assert function(name), name
    for name in ("Scale", "TON", "A_TO_B", "INT_TO_"):
        assert not function(name), name
    assert [pin.name for pin in function("MUX").pins(3)] == ["K", "IN0", "IN1"]
