"""What two copies know of each other: a block taken for the same one hides whatever differs in it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.compare.context import Context, Scope
from asfound.compare.logic.dependence import dependences
from asfound.language.parser import parse_statements

TEXT = """
FUNCTION_BLOCK Inner VAR_INPUT x : INT; END_VAR VAR_OUTPUT q : INT; END_VAR q := x; END_FUNCTION_BLOCK
FUNCTION_BLOCK Same VAR_INPUT x : INT; END_VAR VAR_OUTPUT q : INT; END_VAR q := x; END_FUNCTION_BLOCK
FUNCTION_BLOCK Block VAR_INPUT x : INT; END_VAR VAR_OUTPUT q : INT; END_VAR VAR i : Inner; END_VAR
i(x := x); q := i.q;
METHOD Go q := 1; END_METHOD
ACTION Act : q := 2; END_ACTION
END_FUNCTION_BLOCK
FUNCTION_BLOCK Outer VAR b : Block; s : Same; n : INT; END_VAR b(); s(); n := 1; END_FUNCTION_BLOCK
FUNCTION Calm : INT VAR_INPUT x : INT; END_VAR Calm := x; END_FUNCTION
FUNCTION_BLOCK Caller VAR n : INT; END_VAR n := Calm(n); END_FUNCTION_BLOCK
FUNCTION_BLOCK Far VAR o : Outer; END_VAR o(); END_FUNCTION_BLOCK
"""
EVERY = {"inner", "same", "block", "outer", "calm", "caller", "far"}


def context(edit: tuple[str, str] = ("", ""), text: str = TEXT) -> Context:
    old, new = (asfound.read(t.encode(), "p.st") for t in (text, text.replace(*edit)))
    return Context(old, new)


@pytest.mark.parametrize(
    ("edit", "differ"),
    [
        (("n := 1", "n := 2"), "far outer"),
        (("q := i.q", "q := i.q + 0"), "block far outer"),
        (("q := 1", "q := 3"), "block far outer"),
        (("q := 2", "q := 3"), "block far outer"),
        (("ACTION Act : q := 2; END_ACTION", ""), "block far outer"),
        (("Inner VAR_INPUT x : INT", "Inner VAR_INPUT x : DINT"), "block far inner outer"),
        (("Inner VAR_INPUT x : INT", "Inner VAR_INPUT x : INT := 1"), "block far inner outer"),
        (("Calm := x", "Calm := x + 1"), "calm caller"),
        (("n : INT", "N : int (* how many *)"), ""),
        (("n := 1", "N := 1 (* once *)"), ""),
        (("END_VAR b()", "END_VAR VAR z : INT; END_VAR b()"), "far outer"),
    ],
)
def test_what_is_the_same_in_both_copies_with_all_it_holds(edit: tuple[str, str], differ: str) -> None:
    assert context(edit).same == EVERY - set(differ.split())


def test_a_block_of_one_copy_alone_is_not_the_same() -> None:
    assert context(("FUNCTION_BLOCK Far VAR", "FUNCTION_BLOCK Near VAR")).same == EVERY - {"far"}


CALLS = """
FUNCTION_BLOCK F VAR x : INT; END_VAR x := g; END_FUNCTION_BLOCK
PROGRAM P VAR f : F; a AT %QW1 : INT; b AT %QW1 : INT; c, d : INT; p : POINTER TO INT; END_VAR
VAR_EXTERNAL g : INT; END_VAR VAR_IN_OUT io : INT; END_VAR VAR_TEMP t : INT; END_VAR
p := ADR(d); f(); END_PROGRAM
CONFIGURATION C VAR_GLOBAL g : INT; END_VAR END_CONFIGURATION
"""


def scope(edit: tuple[str, str] = ("", "")) -> Scope:
    found = context(edit, CALLS)
    return found.inside(found.old.pous["p"], found.new.pous["p"])


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("a", "b", "yes"), ("a", "c", "no"), ("c", "c", "no"), ("?", "c", "no"), ("^", "c", "no"), ("?", "g", "yes"),
        ("^", "?", "yes"), ("d", "^", "yes"), ("a", "?", "yes"), ("io", "?", "yes"), ("_v3", "?", "no"),
        ("_vx", "?", "yes"), ("t", "?", "no"), ("nobody", "?", "yes"), ("io", "g", "yes"), ("%QW1", "a", "yes"),
    ],
)  # fmt: skip
def test_what_may_be_one_memory(one: str, other: str, expected: str) -> None:
    """Code that nobody sees may touch all but what a POU keeps to itself."""
    assert scope().alias(one, other) == scope().alias(other, one) == expected


@pytest.mark.parametrize(("edit", "one"), [(("p := ADR(d);", "p := 0;"), "d"), (("t : INT", "t AT %QW7 : INT"), "t")])
def test_one_copy_is_enough_to_let_it_be_seen(edit: tuple[str, str], one: str) -> None:
    old, new = (asfound.read(text.encode(), "p.st") for text in (CALLS, CALLS.replace(*edit)))
    for found in (Context(old, new), Context(new, old)):
        assert found.inside(found.old.pous["p"], found.new.pous["p"]).alias(one, "?") == "yes"


def test_what_a_statement_touches_in_either_copy() -> None:
    found = scope(("x := g", "g := x")).accesses(parse_statements("f();")[0])
    assert (set(found.reads), set(found.writes)) == ({"f", "g"}, {"f", "g"})


def test_a_call_gets_the_type_of_its_instance_where_one_side_writes_it() -> None:
    (plain,) = parse_statements("f();")
    typed = replace(plain, type="G")
    assert [s.type for s in scope().typed(plain, typed)] == ["F", "G"]  # type: ignore[union-attr]
    assert [s.type for s in scope().typed(typed, plain)] == ["G", "F"]  # type: ignore[union-attr]
    assert scope().typed(plain, plain) == (plain, plain)


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ("C := 1;", "D := c;", [("read before written", "c", "")]),
        ("A := 1;", "B := 2;", [("written last by the first", "A", "B")]),
        ("D := A;", "B := 2;", [("read after written", "A", "B")]),
        ("C := 1;", "D := 2;", []),
        ("C := 1; RETURN;", "D := 2;", [("program flow", "", "")]),
        ("G := 1;", "Else1(C);", [("elsewhere", "G", "")]),
        ("D := 1;", "P^ := 2;", [("referred", "p", "")]),
    ],
)
def test_why_the_order_of_two_matters_is_told_in_the_words_of_the_code(
    first: str, second: str, expected: list[tuple[str, str, str]]
) -> None:
    found = dependences(scope(), parse_statements(first), parse_statements(second))
    assert [(e.field, e.of, e.owner) for e in found] == expected
