"""The terms of a proof, their types and the solver's budget: a folded constant that is wrong proves anything."""

from __future__ import annotations

import pytest
import z3

from asfound.prove.encoder import Encoder, TooLarge, Unsupported
from asfound.prove.solver import (
    STARTS_DIFFER,
    WIDTHS_DIFFER,
    Result,
    SolverSession,
    differing,
    equality,
    within_standard,
)
from asfound.prove.sorts import bounds, common, is_signed, wide


@pytest.mark.parametrize(
    ("type", "low", "high", "signed", "bits"),
    [
        ("SINT", -128, 127, True, 64), ("INT", -32768, 32767, True, 64), ("UINT", 0, 65535, False, 64),
        ("BYTE", 0, 255, False, 64), ("LINT", -(2**63), 2**63 - 1, True, 128), ("ULINT", 0, 2**64 - 1, False, 128),
        ("TIME", -(2**63), 2**63 - 1, True, 128), ("DINT", -(2**31), 2**31 - 1, True, 64),
    ],
)  # fmt: skip
def test_the_range_of_a_type(type: str, low: int, high: int, signed: bool, bits: int) -> None:
    assert (bounds(type), is_signed(type), wide(type)) == ((low, high), signed, bits)


@pytest.mark.parametrize(
    ("types", "expected"),
    [
        ("INT", "INT"), ("INT INT", "INT"), ("INT DINT", "DINT"), ("UINT USINT", "UINT"), ("INT UINT", ""),
        ("BYTE INT", ""), ("? INT", "INT"), ("? ?", "LINT"), ("? ?real", "LREAL"), ("", ""), ("?real INT", ""),
        ("?real REAL", "REAL"), ("? REAL", "REAL"), ("REAL LREAL", ""), ("LREAL", "LREAL"), ("TIME LTIME", "LTIME"),
        ("TIME TIME", "TIME"), ("? TIME", ""), ("?real TIME", ""), ("TIME INT", ""), ("BOOL BOOL", "BOOL"),
        ("? BOOL", "BOOL"), ("?real BOOL", ""), ("ENUM ENUM", "ENUM"), ("ENUM ?", ""), ("SINT INT DINT", "DINT"),
    ],
)  # fmt: skip
def test_the_type_in_which_values_meet(types: str, expected: str) -> None:
    assert common(types.split()) == expected


def test_constants_are_folded() -> None:
    e = Encoder()
    a, b = (e.input(k, k, "BOOL") for k in "ab")
    true, false = e.true, e.false
    table = [
        (e.both(true, a), a), (e.both(a, true), a), (e.both(false, a), false), (e.both(a, false), false),
        (e.both(a, a), a), (e.both(a, b), z3.And(a, b)), (e.either(false, a), a), (e.either(a, false), a),
        (e.either(true, a), true), (e.either(a, true), true), (e.either(a, a), a), (e.either(a, b), z3.Or(a, b)),
        (e.negated(true), false), (e.negated(false), true), (e.negated(a), z3.Not(a)), (e.negated(z3.Not(a)), a),
        (e.choose(true, a, b), a), (e.choose(false, a, b), b), (e.choose(a, b, b), b), (e.truth(True), true),
        (e.truth(False), false), (e.choose(a, b, true), z3.If(a, b, true)),
    ]  # fmt: skip
    assert [n for n, (found, expected) in enumerate(table) if not found.eq(expected)] == []


def test_an_input_has_one_symbol_and_one_type() -> None:
    e = Encoder()
    term = e.input("k", "shown", "INT", False, "level")
    assert e.input("k", "other", "INT").eq(term)
    symbol = e.inputs["k"]
    assert (symbol.name, symbol.key, symbol.type, symbol.shared, symbol.declared) == (
        "shown",
        "k",
        "INT",
        False,
        "level",
    )
    with pytest.raises(Unsupported, match="two types"):
        e.input("k", "k", "DINT")
    e.input("plain", "p", "BOOL")
    assert (e.inputs["plain"].shared, e.inputs["plain"].declared) == (True, "")


def test_each_type_has_a_sort() -> None:
    e = Encoder()
    table = {"BOOL": "Bool", "INT": "BitVec(16)", "TIME": "BitVec(64)", "REAL": "FPSort(8, 24)",
             "LREAL": "FPSort(11, 53)", "STRING": "Any", "": "Any"}  # fmt: skip
    assert {type: str(e.sort(type)) for type in table} == table
    assert (str(e.bits(5)), str(e.number(7, 4))) == ("BitVec(5)", "7")


def test_a_function_of_which_nothing_is_known_gives_equal_results_for_equal_arguments() -> None:
    e = Encoder()
    a, b = e.input("a", "a", "INT"), e.input("b", "b", "INT")
    first = e.apply("F", [a], e.sort("INT"), type="INT", shown="F(a)", partial=True, fixed=True)
    assert first.eq(e.apply("F", [a], e.sort("INT"), shown="again")) and not first.eq(e.apply("F", [b], e.sort("INT")))
    assert not first.eq(e.apply("G", [a], e.sort("INT"))) and not first.eq(e.apply("F", [a], e.sort("BOOL")))
    assert e.apply("F", [], e.sort("INT")).eq(e.apply("F", [], e.sort("INT")))
    known = e.uninterpreted[first.get_id()]
    assert (known.name, known.type, known.number, known.partial, known.fixed, known.judged) == (
        "F(a)", "INT", 0, True, True, False,
    )  # fmt: skip
    assert sorted(u.number for u in e.uninterpreted.values()) == list(range(5))


def test_a_value_gets_the_name_that_people_know_it_by() -> None:
    e = Encoder()
    a = e.input("a", "a", "INT")
    term = e.apply("F", [a], e.sort("INT"))
    e.named(term, "F(a)", "INT")
    e.named(term, "later", "DINT")
    assert (e.uninterpreted[term.get_id()].name, e.uninterpreted[term.get_id()].type) == ("F(a)", "INT")
    e.named(term > 3, "F(a) > 3", "BOOL")
    e.named(a > 3, "a > 3", "BOOL")
    e.named(term + a, "F(a) + a", "INT")
    judged = [(u.name, u.number) for u in e.uninterpreted.values() if u.judged]
    assert judged == [("F(a) > 3", 1)]


def test_what_stands_on_a_value_of_which_nothing_is_known() -> None:
    e = Encoder()
    a = e.input("a", "a", "INT")
    known, partial = e.apply("F", [a], e.sort("INT")), e.apply("O", [a], e.sort("INT"), partial=True)
    assert [e.is_open(t) for t in (known, known + 1 > a, partial, partial + a, a, a + 1)] == [True, True] + [False] * 4
    assert e.is_open(e.apply("O2", [known], e.sort("INT"), partial=True)) and e.is_open(known + a)


def test_named_values_and_guards_are_kept_once() -> None:
    e = Encoder()
    assert e.constant("Mode#A", "mode#0").eq(e.constant("Mode#a", "mode#0"))
    assert [name for name, _ in e.constants.values()] == ["Mode#A"]
    a = e.input("a", "a", "BOOL")
    for each in (e.false, a, a):
        e.guard(each)
    assert [g.eq(a) for g in e.guards.values()] == [True]
    assert [t.eq(z3.Not(a)) for t in within_standard(e)] == [True]
    ids = [t.get_id() for t in e.sorted([e.input("z", "z", "INT"), a, e.true])]
    assert ids == sorted(ids)


def test_work_is_limited() -> None:
    e = Encoder(left=3)
    e.tick()
    e.tick(2)
    with pytest.raises(TooLarge):
        e.tick()


def test_a_session_answers_until_its_budget_is_empty() -> None:
    e = Encoder()
    a = e.input("a", "a", "BOOL")
    e.facts.append(a)
    session = SolverSession(e, 2000)
    assert session.ask(a) and z3.is_true(session.model().eval(a, True))
    assert not session.ask(z3.Not(a)) and session.core() == {z3.Not(a).get_id()}
    b = e.input("b", "b", "BOOL")
    with session.under(b):
        assert not session.ask(z3.Not(b))
    assert session.ask(z3.Not(b))
    assert session.left < session.full == 2_000_000
    session.refill(False)
    assert session.left < session.full
    session.refill(True)
    assert session.left == session.full
    session.left = 0
    with pytest.raises(TooLarge):
        session.ask(a)


def test_two_terms_are_equal_different_or_differ_only_beyond_the_standard() -> None:
    e = Encoder()
    a, b = e.input("a", "a", "BOOL"), e.input("b", "b", "BOOL")
    c = e.input("c", "c", "BOOL")

    def status(*pairs: tuple[object, object], given: tuple[object, ...] = ()) -> tuple[str, str, bool]:
        results = [Result("r", "BOOL", old, new) for old, new in pairs]
        found = equality(e, results, SolverSession(e, 2000), given)
        return found.status, found.reason, found.widths

    assert status((a, a)) == ("equal", "", False)
    assert status((a, z3.And(a, z3.Or(a, b)))) == ("equal", "", False)
    assert status((a, b)) == ("different", "", False)
    assert status((a, b), given=(a == b,)) == ("equal", "", False)
    assert status((a, a), (a, b)) == ("different", "", False)
    e.guard(c)
    assert status((a, z3.Or(a, c))) == ("unknown", WIDTHS_DIFFER, True)
    assert status((a, b)) == ("different", "", False)
    e.starts.append(b)
    assert status((a, z3.And(a, b))) == ("unknown", STARTS_DIFFER, False)
    assert len(differing([Result("r", "BOOL", a, a), Result("s", "BOOL", a, b)])) == 1
