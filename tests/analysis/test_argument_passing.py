"""How each argument of a call arrives: a reference that passes for a value hides that the call writes."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.argument_passing import Calling, Passing, by_reference, calls
from asfound.analysis.symbols import Symbols
from asfound.language.parser import parse_expression, parse_statements
from asfound.language.statement_printer import expression as text
from asfound.model.logic import Call, Literal
from asfound.model.program import Pou

TEXT = """
TYPE Pair : STRUCT one : INT; END_STRUCT END_TYPE
TYPE Way : REF_TO INT; END_TYPE
INTERFACE Moves METHOD Go END_METHOD END_INTERFACE
FUNCTION Three : INT VAR_INPUT a : INT; END_VAR VAR_OUTPUT o : INT; END_VAR VAR_IN_OUT io : INT; END_VAR
VAR x : INT; END_VAR Three := a; END_FUNCTION
FUNCTION Refs : INT VAR_INPUT r : REF_TO INT; p : POINTER TO INT; q : REFERENCE TO INT; m : Moves; w : Way; v : INT;
END_VAR VAR_IN_OUT rr : REF_TO INT; END_VAR Refs := v; END_FUNCTION
FUNCTION Lost EXTENDS Nowhere : INT VAR_INPUT a : INT; END_VAR Lost := a; END_FUNCTION
FUNCTION_BLOCK Base VAR_INPUT first : INT; END_VAR VAR held : INT; END_VAR held := first;
METHOD Low VAR_IN_OUT lo : INT; END_VAR lo := 1; END_METHOD
METHOD Both VAR_INPUT bi : INT; END_VAR held := bi; END_METHOD
ACTION Act : held := 2; END_ACTION END_FUNCTION_BLOCK
FUNCTION_BLOCK Top EXTENDS Base VAR_IN_OUT second : INT; END_VAR VAR own : BOOL; END_VAR second := 1;
METHOD Both VAR_IN_OUT bo : INT; END_VAR bo := held; END_METHOD
END_FUNCTION_BLOCK
FUNCTION_BLOCK Circle EXTENDS Round VAR_INPUT c : INT; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK Round EXTENDS Circle VAR_INPUT r : INT; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK Astray EXTENDS Nowhere VAR_INPUT a : INT; END_VAR END_FUNCTION_BLOCK
PROGRAM P VAR x, y : INT; t : Top; f : Foreign; ton1 : TON; lost : Astray; ring : Circle; i : Moves; END_VAR x := 1;
END_PROGRAM
"""
SYMBOLS = Symbols(asfound.read(TEXT.replace("Lost EXTENDS Nowhere", "Lost").encode(), "p.st"))
PASSING = Passing(SYMBOLS)
POUS = SYMBOLS.pous


def ways(code: str, pou: str = "p") -> list[str]:
    (statement,) = parse_statements(code)
    found = PASSING.passed(statement, POUS[pou])
    return [" ".join(w for w in (text(p.argument.value), p.how, p.block, p.pin) if w) for p in found]


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("x := Three(a := x, io := y);", ["x value three a", "y reference three io"]),
        ("x := Three(x);", ["x value three a"]),
        ("x := Three(1, y);", ["1 value three a", "y reference three io", "y written three o"]),
        ("x := Three(1, x, y);", ["1 value three a", "x reference three io", "x written three o", "y reference three io"]),
        ("x := Three(nothing := y);", ["y unknown"]),
        ("x := Three(EN := y > 0, io := y);", ["y > 0 value", "y reference three io"]),
        ("x := Three(A := x);", ["x value three a"]),
        ("x := ADD(x, y);", ["x value", "y value"]),
        ("x := Elsewhere(y);", ["y unknown"]),
        ("x := ADR(y);", ["y address"]),
        ("x := REF(y);", ["y address"]),
        ("x := SIZEOF(y);", ["y value"]),
        ("t(first := x, second := y);", ["x value top first", "y reference top second"]),
        ("t(x, y);", ["x value top first", "y reference top second"]),
        ("t.Low(lo := y);", ["y reference low lo"]),
        ("t.Both(y);", ["y reference both bo"]),
        ("t.Act(y);", ["y value"]),
        ("f(in := x);", ["x unknown"]),
        ("ton1(IN := x > 0);", ["x > 0 value"]),
        ("lost(a := x);", ["x value astray a"]),
        ("lost(x);", ["x unknown"]),
        ("x := Refs(r := x, p := x, q := x, m := i, w := x, v := x);",
         ["x unknown refs r", "x unknown refs p", "x unknown refs q", "i unknown refs m", "x unknown refs w",
          "x value refs v"]),
        ("x := Refs(rr := y);", ["y reference refs rr"]),
        ("IF Three(io := x) > 0 THEN y := Three(io := y); END_IF;", ["x reference three io", "y reference three io"]),
    ],
)  # fmt: skip
def test_how_an_argument_arrives(code: str, expected: list[str]) -> None:
    assert ways(code) == expected


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("THIS^.Both(own);", ["own reference both bo"]),
        ("SUPER^.Both(own);", ["own value both bi"]),
        ("THIS^.Low(own);", ["own reference low lo"]),
        ("THIS^.Nothing(own);", ["own unknown"]),
        ("Both(own);", ["own reference both bo"]),
        ("Act(own);", ["own value"]),
    ],
)
def test_own_and_inherited_methods_are_told_apart(code: str, expected: list[str]) -> None:
    assert ways(code, "top") == expected


def test_a_block_without_a_base_has_no_super() -> None:
    assert ways("SUPER^.Both(held);", "base") == ["held unknown"]


@pytest.mark.parametrize(
    ("access", "type", "expected"),
    [
        ("Three", "", "Three"), ("t", "", "Top"), ("nobody", "", "unknown"), ("nobody", "Top", "Top"),
        ("nobody", "TON", "plain"), ("nobody", "Pair", "plain"), ("nobody", "Foreign", "unknown"), ("ABS", "", "plain"),
        ("TON", "", "plain"), ("adr", "", "address"), ("t.Both", "", "Both"), ("t.Act", "", "plain"),
        ("x[1]", "", "unknown"), ("f.Do", "", "unknown"), ("i.Go", "", "Go"), ("x.Nothing", "Top", "Top"), ("x[1]", "Top", "Top"), ("x.ADD", "", "plain"),
    ],
)  # fmt: skip
def test_what_a_call_runs(access: str, type: str, expected: str) -> None:
    found = PASSING.callee(Calling(parse_expression(access), type, (), ()), POUS["p"])
    assert (found.name if isinstance(found, Pou) else found) == expected


def test_what_stands_for_a_transition_runs_nothing() -> None:
    assert PASSING.callee(Calling(Literal(""), "Top", (), ()), None) == "plain"
    assert list(calls(Call(Literal(""), "§transition"))) == []


def test_calls_without_a_pou_around_them_are_known_by_their_name() -> None:
    (statement,) = parse_statements("x := Three(io := x) + Act(y);")
    assert [p.how for p in PASSING.passed(statement, None)] == ["reference", "unknown"]


def test_every_call_of_a_statement() -> None:
    (statement,) = parse_statements("IF Three(io := x) > 0 THEN t(first := ABS(y), o => x); END_IF;")
    found = [(text(c.function), [a.name for a in c.inputs], [a.name for a in c.outputs]) for c in calls(statement)]
    assert found == [("t", ["first"], ["o"]), ("Three", ["io"], []), ("ABS", [""], [])]


@pytest.mark.parametrize(
    ("pou", "chain", "pins", "whole"),
    [
        ("base", ["Base"], ["first"], True),
        ("top", ["Top", "Base"], ["first", "second"], True),
        ("three", ["Three"], ["a", "o", "io"], True),
        ("circle", ["Circle", "Round"], ["r", "c"], False),
        ("astray", ["Astray"], ["a"], False),
    ],
)
def test_what_a_block_inherits(pou: str, chain: list[str], pins: list[str], whole: bool) -> None:
    assert [p.name for p in PASSING.chain(POUS[pou])] == chain
    assert ([v.name for v in PASSING.pins(POUS[pou])[0]], PASSING.pins(POUS[pou])[1]) == (pins, whole)


def test_a_method_sees_its_own_variables_those_of_its_block_and_of_the_base() -> None:
    both = POUS["top"].members[0]
    assert PASSING.owner(both) is POUS["top"] and PASSING.owner(POUS["top"]) is POUS["top"]
    assert PASSING.seen(both) == {"first": "INT", "held": "INT", "second": "INT", "own": "BOOL", "bo": "INT"}
    assert PASSING.seen(both) is PASSING.seen(both)


def test_what_leads_elsewhere() -> None:
    types = ("REF_TO INT", "POINTER TO INT", "REFERENCE TO INT", "reference to INT", "Way", "Moves", "INT", "Top")
    assert [PASSING.refers(type) for type in types] == [True] * 6 + [False] * 2


def test_arguments_that_are_written_through_a_pin() -> None:
    (statement,) = parse_statements("x := Three(1, x, y) + Elsewhere(z);")
    assert [text(e) for e in by_reference(PASSING.passed(statement, POUS["p"]))] == ["x", "x", "y"]
