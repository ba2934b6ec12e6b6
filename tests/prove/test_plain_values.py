"""Values that a case shows: the plainest that fit, and their literals, which people type in."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
import z3

from asfound.prove.encoder import Encoder, Symbol, Uninterpreted
from asfound.prove.plain_values import Plain, is_value, literal_of, narrowed
from asfound.prove.solver import SolverSession


def symbol(encoder: Encoder, type: str, declared: str = "") -> Symbol:
    encoder.input("x", "x", type, declared=declared)
    return encoder.inputs["x"]


def values(type: str, constants: Sequence[str] = ()) -> list[str]:
    encoder = Encoder()
    return [str(literal_of(v, type, {})) for v in Plain(encoder, constants).values(symbol(encoder, type))]


@pytest.mark.parametrize(
    ("type", "constants", "expected"),
    [
        ("BOOL", (), "FALSE TRUE"),
        ("INT", (), "0 1 -1 2 3 5 10 100 1000"),
        ("UINT", (), "0 1 2 3 5 10 100 1000"),
        ("USINT", (), "0 1 2 3 5 10 100"),
        ("SINT", (), "0 1 -1 2 3 5 10 100"),
        ("SINT", ("127", "-128"), "0 1 -1 2 3 5 10 100 126 127 -127 -128"),
        ("USINT", ("255",), "0 1 2 3 5 10 100 254 255"),
        ("INT", ("7",), "0 1 -1 2 3 5 6 7 8 10 100 1000"),
        ("INT", ("INT#50", "'text'", "T#7s", "7.5"), "0 1 -1 2 3 5 10 49 50 51 100 1000"),
        ("TIME", (), "T#0s T#1s"),
        ("TIME", ("T#5s", "7"), "T#0s T#1s T#4s T#4s999ms T#5s T#5s1ms T#6s"),
        ("TIME", ("T#500ms",), "T#0s T#499ms T#500ms T#501ms T#1s T#1s500ms"),
    ],
)
def test_the_plainest_values_first(type: str, constants: tuple[str, ...], expected: str) -> None:
    assert values(type, constants) == expected.split()


def test_values_of_reals_lie_at_beside_and_between_the_constants() -> None:
    plain = Plain(Encoder(), ("2.5", "4", "'x'"))
    found = {
        Fraction(n) for n in ("0", "1", "2", "3", "5", "10", "100", "-1", "1000", "2.5", "1.5", "3.5", "4", "3.25")
    }
    assert set(plain.real) == found
    assert plain.real[:3] == [0, 1, -1] and plain.real[-4:] == [
        Fraction(3, 2),
        Fraction(5, 2),
        Fraction("3.25"),
        Fraction(7, 2),
    ]
    encoder = Encoder()
    terms = Plain(encoder, ()).values(symbol(encoder, "REAL"))
    assert [literal_of(z3.simplify(t), "REAL", {}) for t in terms[:4]] == ["0.0", "1.0", "-1.0", "2.0"]


def test_named_values_of_the_type_alone() -> None:
    encoder = Encoder()
    terms = {name: encoder.constant(name, name) for name in ("Mode#A", "Mode#B", "Other#A", "'a'", "D#2020-01-01", "k")}
    plain = Plain(encoder, ())
    assert plain.values(symbol(encoder, "ENUM", "mode")) == [terms["Mode#A"], terms["Mode#B"]]
    open_ = Uninterpreted("f", "", terms["k"], 0)
    assert plain.values(open_) == [terms["'a'"], terms["k"]]
    assert plain.values(Uninterpreted("f", "ENUM", terms["k"], 0)) == []


@pytest.mark.parametrize(
    ("type", "term", "expected"),
    [
        ("BOOL", z3.BoolVal(True), "TRUE"), ("BOOL", z3.BoolVal(False), "FALSE"),
        ("INT", z3.BitVecVal(-5, 16), "-5"), ("UINT", z3.BitVecVal(-1, 16), "65535"),
        ("WORD", z3.BitVecVal(255, 16), "255"), ("TIME", z3.BitVecVal(1_500_000_000, 64), "T#1s500ms"),
        ("REAL", z3.FPVal(2.5, z3.FPSort(8, 24)), "2.5"), ("REAL", z3.FPVal(10.0, z3.FPSort(8, 24)), "10.0"),
        ("REAL", z3.FPVal(0.0, z3.FPSort(8, 24)), "0.0"), ("LREAL", z3.FPVal(-0.25, z3.FPSort(11, 53)), "-0.25"),
        ("REAL", z3.fpPlusInfinity(z3.FPSort(8, 24)), "+oo"),
    ],
)  # fmt: skip
def test_a_value_is_written_as_a_literal(type: str, term: z3.ExprRef, expected: str) -> None:
    assert literal_of(term, type, {}) == expected


def test_a_value_without_a_number_goes_by_its_name() -> None:
    term = Encoder().constant("Mode#A", "mode#0")
    assert literal_of(term, "ENUM", {term.get_id(): "Mode#A"}) == "Mode#A"
    assert literal_of(term, "ENUM", {}) is None


def test_what_is_a_value() -> None:
    encoder = Encoder()
    a = encoder.input("a", "a", "BOOL")
    terms = (encoder.true, encoder.false, encoder.number(3, 8), a, encoder.input("n", "n", "INT"))
    assert [is_value(z3, t) for t in terms] == [True, True, True, False, False]


@pytest.mark.parametrize(
    ("type", "low", "high", "expected"),
    [("INT", 11, 90, (11, 90)), ("INT", 7, 9999, (7, 10)), ("UINT", 123, 9999, (123, 1000)), ("USINT", 101, 255, None),
     ("SINT", 12, 99, (12, 99)), ("INT", -9, -4, None), ("SINT", 101, 127, None)],
)  # fmt: skip
def test_a_number_of_few_digits_where_no_plain_one_fits(
    type: str, low: int, high: int, expected: tuple[int, int] | None
) -> None:
    encoder = Encoder()
    of = symbol(encoder, type)
    width = of.term.size()
    less = (lambda a, b: a <= b) if type in ("INT", "SINT") else z3.ULE
    session = SolverSession(encoder, 2000)
    with session.under(less(encoder.number(low, width), of.term), less(of.term, encoder.number(high, width))):
        found = narrowed(encoder, session, of)
    if expected is None:
        assert found == []
    else:
        (equality,) = found
        (number,) = [each.as_long() for each in equality.children() if is_value(z3, each)]
        assert expected[0] <= number <= expected[1]


@pytest.mark.parametrize(("low", "high", "limit"), [(3.5, 9000.0, 10.0), (11.0, 9000.0, 100.0), (200.0, 9e9, 1000.0)])
def test_a_real_without_a_fraction_where_no_plain_one_fits(low: float, high: float, limit: float) -> None:
    encoder = Encoder()
    of = symbol(encoder, "REAL")
    session = SolverSession(encoder, 2000)
    inside = [z3.fpGEQ(of.term, z3.FPVal(low, of.term.sort(), ctx=encoder.ctx), encoder.ctx),
              z3.fpLEQ(of.term, z3.FPVal(high, of.term.sort(), ctx=encoder.ctx), encoder.ctx)]  # fmt: skip
    with session.under(*inside):
        (found,) = narrowed(encoder, session, of)
    (term,) = [each for each in found.children() if z3.is_fp_value(each)]
    number = float(str(literal_of(term, "REAL", {})))
    assert low <= number <= limit and number == int(number)


def test_nothing_is_narrowed_that_has_no_number() -> None:
    encoder = Encoder()
    assert narrowed(encoder, SolverSession(encoder, 2000), symbol(encoder, "STRING")) == []
