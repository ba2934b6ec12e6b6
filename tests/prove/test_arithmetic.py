"""What is calculated exactly, and where the standard leaves it to the maker: nothing beyond it may be relied on."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
import z3

from asfound.prove.arithmetic import MILLISECOND, Numbers
from asfound.prove.encoder import Encoder, Unsupported, Value


def numbers() -> Numbers:
    return Numbers(Encoder())


def given(n: Numbers, name: str, type: str, loose: bool = False) -> Value:
    return Value(n.encoder.input(name, name, type), type, loose)


def at(n: Numbers, term: Any, *values: int, type: str = "INT") -> Any:
    """A term for values of a, b, ...; what is uninterpreted stays a term."""
    pairs = [
        (n.encoder.input(name, name, type), n.encoder.number(value, n.encoder.sort(type).size()))
        for name, value in zip("ab", values, strict=False)
    ]
    found = z3.simplify(z3.substitute(term, *pairs))
    if z3.is_bv_value(found):
        return found.as_signed_long()
    return z3.is_true(found) if z3.is_true(found) or z3.is_false(found) else "open"


@pytest.mark.parametrize(
    ("operator", "a", "b", "type", "expected"),
    [
        ("+", 5, 7, "INT", 12), ("-", 5, 7, "INT", -2), ("*", 150, 200, "INT", 30000), ("*", -3, 7, "INT", -21),
        ("/", 7, 2, "INT", 3), ("/", -7, 2, "INT", -3), ("MOD", 7, 3, "INT", 1), ("MOD", 0, 1, "INT", 0),
        ("+", 32766, 1, "INT", 32767), ("+", 32767, 1, "INT", None), ("-", -32768, 1, "INT", None),
        ("*", 200, 200, "INT", None), ("/", -32768, -1, "INT", None), ("/", 1, 0, "INT", None),
        ("MOD", 1, 0, "INT", None), ("MOD", -1, 3, "INT", None), ("MOD", 1, -3, "INT", None),
        ("-", 1, 2, "UINT", None), ("+", 255, 0, "USINT", 255), ("+", 255, 1, "USINT", None),
    ],
)  # fmt: skip
def test_a_calculation_is_exact_within_its_type_and_a_guard_says_where_it_leaves_it(
    operator: str, a: int, b: int, type: str, expected: int | None
) -> None:
    n = numbers()
    found = n.calculate(operator, given(n, "a", type), given(n, "b", type), type)
    assert found.loose and found.type == type
    assert at(n, found.term, a, b, type=type) == ("open" if expected is None else expected)
    beyond = [at(n, guard, a, b, type=type) for guard in n.encoder.guards.values()]
    assert (True in beyond) is (expected is None)


@pytest.mark.parametrize(
    ("operator", "a", "b", "expected"),
    [
        ("<", 1, 2, True), ("<", 2, 2, False), ("<=", 2, 2, True), (">", 2, 1, True), (">", 2, 2, False),
        (">=", 2, 2, True), ("=", 2, 2, True), ("<>", 2, 2, False), ("<", -1, 1, True), (">=", -1, 1, False),
    ],
)  # fmt: skip
def test_an_order_of_whole_numbers(operator: str, a: int, b: int, expected: bool) -> None:
    n = numbers()
    assert at(n, n.order(operator, given(n, "a", "INT"), given(n, "b", "INT"), "INT"), a, b) is expected
    unsigned = n.order(operator, given(n, "a", "WORD"), given(n, "b", "WORD"), "WORD")
    assert a < 0 or at(n, unsigned, a, b, type="WORD") is expected


def test_a_sum_that_is_used_at_once_may_be_wider_than_its_type() -> None:
    n = numbers()
    a, b = given(n, "a", "INT"), given(n, "b", "INT")
    total = n.calculate("+", a, b, "INT")
    assert at(n, n.order(">", total, a, "INT"), 1, 2) is True
    assert at(n, n.order(">", total, a, "INT"), 32767, 1) == "open"
    assert at(n, n.settled(total), 1, 2) == 3 and at(n, n.settled(total), 32767, 1) == "open"
    again = n.calculate("-", total, b, "INT")
    assert at(n, again.term, 1, 2) == 1 and at(n, again.term, 32767, 1) == "open"


def test_what_is_widened_keeps_its_value() -> None:
    n = numbers()
    a = given(n, "a", "INT")
    assert at(n, n.widened(a, 32), -5) == -5 and n.widened(a, 32).size() == 32
    assert at(n, n.convert(a, "DINT"), -5) == -5 and at(n, n.convert(a, "UDINT"), 5) == "open"
    u = Value(n.encoder.input("b", "b", "UINT"), "UINT")
    assert at(n, n.convert(u, "DINT"), 0, 0xFFFF, type="UINT") == 0xFFFF
    with pytest.raises(Unsupported):
        n.widened(a, 8)
    with pytest.raises(Unsupported):
        n.whole(40000, "INT")


def same(one: Any, other: Any, *facts: Any) -> bool:
    solver = z3.Solver(ctx=one.ctx)
    solver.add(*facts, one != other)
    return bool(solver.check() == z3.unsat)


def test_a_real_that_is_used_at_once_is_not_rounded_yet() -> None:
    n = numbers()
    r, s, i = given(n, "r", "REAL"), given(n, "s", "REAL"), given(n, "i", "INT")
    total = n.calculate("+", r, s, "REAL")
    assert total.loose and n.calculate("+", s, r, "REAL").term.eq(total.term)
    assert not n.calculate("-", s, r, "REAL").term.eq(n.calculate("-", r, s, "REAL").term)
    assert n.order(">", total, r, "REAL").eq(z3.fpGT(total.term, r.term, r.term.ctx))
    assert not same(n.settled(total), total.term) and n.settled(total).eq(n.settled(total))
    assert n.settled(r).eq(r.term)
    one, other = (n.uninterpreted("F", pair, "REAL") for pair in ((r, s), (s, r)))
    assert not one.eq(other) and all(u.fixed and not u.partial for u in n.encoder.uninterpreted.values() if u.type)
    assert n.order("<", i, r, "REAL").eq(z3.fpLT(n.convert(i, "REAL"), r.term, r.term.ctx))
    assert same(n.order("<>", r, s, "REAL"), z3.Not(n.order("=", r, s, "REAL")))


@pytest.mark.parametrize(("content", "exact"), [(Fraction(1, 2), True), (3, True), (Fraction(1, 10), False)])
def test_a_constant_between_two_reals_is_one_of_them(content: Fraction | int, exact: bool) -> None:
    n = numbers()
    found = n.real(content, "REAL").term
    assert z3.is_fp_value(found) is exact and len(n.encoder.facts) == len(n.encoder.starts) == (not exact)
    near = [z3.FPVal(float(each), n.encoder.sort("REAL"), ctx=found.ctx) for each in (content, 1)]
    solver = z3.Solver(ctx=found.ctx)
    solver.add(*n.encoder.facts)
    assert [solver.check(found == each) == z3.sat for each in near] == [True, False]


@pytest.mark.parametrize(
    ("operator", "a", "b", "expected"),
    [
        ("+", 1, 2, 3), ("-", 5, 2, 3), ("-", 2, 5, "open"), ("-", 2, 2, 0), ("+", 2**31 - 2, 1, 2**31 - 1),
        ("+", 2**31 - 1, 1, "open"), ("+", -1, 2, "open"),
    ],
)  # fmt: skip
def test_durations_are_exact_while_every_controller_holds_them(
    operator: str, a: int, b: int, expected: int | str
) -> None:
    n = numbers()
    found = n.calculate(operator, given(n, "a", "TIME"), given(n, "b", "TIME"), "TIME").term
    told = at(n, found, a * MILLISECOND, b * MILLISECOND, type="TIME")
    assert told == (expected * MILLISECOND if isinstance(expected, int) else expected)


def test_a_part_of_a_millisecond_may_be_rounded() -> None:
    n = numbers()
    a = given(n, "a", "TIME")
    for constant, known in ((3 * MILLISECOND, True), (3 * MILLISECOND + 1, False)):
        total = n.calculate("+", a, Value(n.encoder.number(constant, 64), "TIME"), "TIME")
        more = n.calculate("+", total, a, "TIME").term
        assert (at(n, more, MILLISECOND, type="TIME") == constant + 2 * MILLISECOND) is known


def test_what_is_no_number_is_compared_by_name() -> None:
    n = numbers()
    a, b = given(n, "a", "STRING"), given(n, "b", "STRING")
    assert n.order("=", a, b, "STRING").eq(n.order("=", b, a, "STRING"))
    assert n.order(">", a, b, "STRING").eq(n.order("<", b, a, "STRING"))
    assert not n.order("<", a, b, "STRING").eq(n.order("<", b, a, "STRING"))
    assert n.order("<>", a, b, "STRING").eq(z3.Not(n.order("=", a, b, "STRING")))
    e, f = given(n, "e", "ENUM"), given(n, "f", "ENUM")
    assert n.order("=", e, f, "ENUM").eq(e.term == f.term) and not n.order("<", e, f, "ENUM").eq(e.term == f.term)
