"""Operands keep their order around what can fail or write; everything else may be written in any order.

IEC 61131-3:2013 7.3.2: a compiler may stop an AND or OR as soon as its result is known, and is free not to; from memory.
"""

from __future__ import annotations

from pathlib import Path

import pytest

import asfound
from asfound.analysis.canonical import Canonical, canonical, statement_key
from asfound.language.evaluation import Risk, risk
from asfound.language.parser import parse_expression as e
from asfound.language.parser import parse_statements as st
from asfound.language.statement_printer import expression as text

ONCE = Path(__file__).parents[3] / "shared" / "pairs" / "once"

KEPT_APART = [
    ("(i <> 0) AND (10 / i > 2)", "(10 / i > 2) AND (i <> 0)"),
    ("(i <> 0) AND a AND (10 / i > 2)", "(i <> 0) AND (10 / i > 2) AND a"),
    ("(i = 0) OR (10 / i > 2)", "(10 / i > 2) OR (i = 0)"),
    ("(i <> 0) AND (10 MOD i > 2)", "(10 MOD i > 2) AND (i <> 0)"),
    ("(i <> 0) AND (DIV(10, i) > 2)", "(DIV(10, i) > 2) AND (i <> 0)"),
    ("(i < 3) AND x[i]", "x[i] AND (i < 3)"),
    ("(r > 0.0) AND (SQRT(r) > 2.0)", "(SQRT(r) > 2.0) AND (r > 0.0)"),
    ("(r > 0.0) AND (r ** 0.5 > 2.0)", "(r ** 0.5 > 2.0) AND (r > 0.0)"),
    ("(r < 9.0) AND (REAL_TO_INT(r) > 2)", "(REAL_TO_INT(r) > 2) AND (r < 9.0)"),
    ("(p <> NULL) AND p^", "p^ AND (p <> NULL)"),
    ("NOT ((i <> 0) AND (10 / i > 2))", "(i = 0) OR NOT (10 / i > 2)"),
    ("(i <> 0) AND (10 / i > 2)", "AND(i <> 0, 10 / i > 2)"),
    ("a AND F(m)", "F(m) AND a"),
    ("a AND F(m)", "AND(a, F(m))"),
    ("F(m) AND F(m)", "F(m)"),
    ("NOT (a AND F(m))", "NOT a OR NOT F(m)"),
    ("m > F(m)", "F(m) < m"),
    ("m = F(m)", "F(m) = m"),
    ("m + F(m)", "F(m) + m"),
    ("m XOR F(m)", "F(m) XOR m"),
    ("m AND A_TO_B(m)", "A_TO_B(m) AND m"),
    ("a + (b + c)", "(a + b) + c"),
    ("'x' + s", "s + 'x'"),
    ("r > 0.1", "r > 0.1000000001"),
    ("(i <> 0) AND (10 / -1 > i)", "(10 / -1 > i) AND (i <> 0)"),
]
SAME = [
    ("a AND b AND (10 / i > 2)", "b AND a AND (10 / i > 2)"),
    ("a AND b AND a AND (10 / i > 2)", "b AND a AND (10 / i > 2)"),
    ("(i <> 0) AND (i / 10 > 2)", "(i / 10 > 2) AND (0 <> i)"),
    ("a AND b", "AND(a, b)"),
    ("a OR NOT b", "OR(IN1 := NOT b, IN2 := a)"),
    ("NOT (a AND b)", "NOT b OR NOT a"),
    ("a > b", "b < a"),
    ("10 / i > j", "j < 10 / i"),
    ("INT_TO_DINT(i) > 3 AND a", "a AND 3 < INT_TO_DINT(i)"),
    ("x[2] AND a", "a AND x[2]"),
    ("a + b", "b + a"),
    ("a AND F(m) AND NOT NOT b", "a AND F(m) AND b"),
    ("THIS^.a AND b", "b AND THIS^.a"),
]


@pytest.mark.parametrize(("one", "other"), KEPT_APART)
def test_what_can_fail_or_write_keeps_its_place(one: str, other: str) -> None:
    assert canonical(e(one)) != canonical(e(other))


@pytest.mark.parametrize(("one", "other"), SAME)
def test_without_a_guard_the_order_has_no_meaning(one: str, other: str) -> None:
    assert canonical(e(one)) == canonical(e(other))


def test_a_function_of_the_copy_is_no_standard_function() -> None:
    plain, own = Canonical(), Canonical(frozenset(("max", "and", "int_to_real")))
    for one, other in (("a = MAX(b, c)", "MAX(b, c) = a"), ("a = INT_TO_REAL(b)", "INT_TO_REAL(b) = a")):
        assert plain(e(one)) == plain(e(other))
        assert own(e(one)) != own(e(other))
    assert own(e('{name "AND"}(a, b)')) != own(e("a AND b"))


def test_a_guard_written_as_a_function_is_read_and_printed_as_one() -> None:
    """The function takes both inputs; the operator may stop before the second."""
    for written in ("AND(i <> 0, 10 / i > 2)", "OR(a, F(b))"):
        assert text(e(written)) == written
        assert e(text(e(written))) == e(written)
    assert text(e("AND(a, b)")) == "a AND b"
    assert text(e("AND(F(a), b)")) == "F(a) AND b"


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("f(p := a, q := b);", "f(q := b, p := a);", True),
        ("f(p := F(m), q := m);", "f(q := m, p := F(m));", False),
        ("f(x => a, y => b);", "f(y => b, x => a);", True),
        ("f(x => a, y => a);", "f(y => a, x => a);", False),
        ("f(x => i, y => a[i]);", "f(y => a[i], x => i);", False),
        ("f(x => %MX0.0, y => %MB0);", "f(y => %MB0, x => %MX0.0);", False),
    ],
)
def test_pins_in_another_order(one: str, other: str, same: bool) -> None:
    assert (statement_key(st(one)[0]) == statement_key(st(other)[0])) is same


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("a AND NOT b", Risk.NONE), ("a / 3", Risk.NONE), ("a / 0", Risk.FAILS), ("a / b", Risk.FAILS),
        ("SEL(a, b, c)", Risk.NONE), ("BOOL_TO_INT(a)", Risk.NONE), ("UINT_TO_INT(a)", Risk.FAILS),
        ("USINT_TO_INT(a)", Risk.NONE), ("INT_TO_REAL(a)", Risk.NONE), ("STRING_TO_INT(a)", Risk.FAILS),
        ("RUN_TO_LIMIT(a)", Risk.WRITES), ("k.Bump(a)", Risk.WRITES), ("x[a]", Risk.FAILS), ("x[1]", Risk.NONE),
        ("x[F(a)]", Risk.WRITES), ("SEL(a, b, F(c))", Risk.WRITES), ("LIMIT(a, b, MN => c)", Risk.WRITES),
    ],
)  # fmt: skip
def test_what_evaluating_can_do(written: str, expected: Risk) -> None:
    assert risk(e(written)) == expected


FRAME = """
FUNCTION Inc : INT VAR_IN_OUT x : INT; END_VAR x := x + 1; Inc := x; END_FUNCTION
FUNCTION MAX : INT VAR_INPUT a : INT; END_VAR VAR_EXTERNAL total : INT; END_VAR total := total + 1; MAX := total;
END_FUNCTION
FUNCTION_BLOCK Pair VAR_INPUT a, b : INT; END_VAR VAR_OUTPUT q : INT; END_VAR q := a - b; END_FUNCTION_BLOCK
PROGRAM P VAR_EXTERNAL total : INT; END_VAR
VAR f : Pair; m, i, j : INT; a : BOOL; q AT %QX0.0 : BOOL; y AT %QW2 : INT; END_VAR
{}
END_PROGRAM
CONFIGURATION C VAR_GLOBAL total : INT; END_VAR
RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM I WITH T : P; END_RESOURCE END_CONFIGURATION
"""


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("q := (i <> 0) AND (10 / i > 2);", "q := (10 / i > 2) AND (i <> 0);"),
        ("IF (i <> 0) AND (10 / i > 2) THEN q := a; END_IF;", "IF (10 / i > 2) AND (i <> 0) THEN q := a; END_IF;"),
        ("q := m > Inc(m);", "q := Inc(m) < m;"),
        ("y := MAX(i) + m * total;", "y := m * total + MAX(i);"),
        ("f(a := Inc(m), b := m); y := f.q;", "f(b := m, a := Inc(m)); y := f.q;"),
    ],
)
def test_the_order_around_a_risk_is_never_called_equivalent(old: str, new: str) -> None:
    found = asfound.compare(*(asfound.read(FRAME.format(body).encode(), "p.st") for body in (old, new)))
    assert found.verdict in ("behaviour", "undecided"), found.changes


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("q := a AND (i > 2);", "q := AND(i > 2, a);"),
        ("q := a AND (i > 2) AND (10 / i > 2);", "q := (i > 2) AND a AND (10 / i > 2);"),
    ],
)
def test_no_noise_without_a_risk(old: str, new: str) -> None:
    found = asfound.compare(*(asfound.read(FRAME.format(body).encode(), "p.st") for body in (old, new)))
    assert found.verdict == "equivalent"


@pytest.mark.skipif(not ONCE.is_dir(), reason="../shared is not here")
@pytest.mark.parametrize(
    ("name", "verdicts"),
    [
        ("moved_past_a_call_by_reference", ("behaviour",)),
        ("moved_past_a_block_that_writes_by_reference", ("behaviour",)),
        ("mirrored_comparison_with_a_writing_call", ("behaviour", "undecided")),
        ("user_function_named_like_a_conversion", ("behaviour",)),
        ("guarded_division_swapped", ("undecided",)),
        ("sum_compared_or_narrowed_first", ("behaviour", "undecided")),
    ],
)
def test_pairs_that_were_called_equivalent(name: str, verdicts: tuple[str, ...]) -> None:
    old, new = (asfound.read(str(ONCE / f"{name}.{side}.st")) for side in ("old", "new"))
    assert asfound.compare(old, new).verdict in verdicts
