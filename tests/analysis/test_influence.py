"""From what to what each leaf leads: a flow that is lost hides an output that a change can reach."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.influence import Flow
from asfound.analysis.symbols import Symbols

TEXT = """
INTERFACE Moves METHOD Go END_METHOD END_INTERFACE
FUNCTION Twice : INT VAR_INPUT v : INT; END_VAR VAR_OUTPUT o : INT; END_VAR VAR_IN_OUT io : INT; END_VAR
Twice := v; END_FUNCTION
FUNCTION_BLOCK Valve VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT q : BOOL; lamp AT %QX4.0 : BOOL; END_VAR
VAR_IN_OUT n : INT; END_VAR
q := go;
METHOD Open : BOOL VAR_INPUT a : INT; END_VAR n := a; END_METHOD
ACTION Act : q := TRUE; END_ACTION
END_FUNCTION_BLOCK
FUNCTION_BLOCK Line
VAR v : Valve; w : Valve; r : REF_TO Valve; t : TON; f : Foreign; x, y, z, i : INT; b, c : BOOL; list : ARRAY[1..9] OF INT;
END_VAR VAR_EXTERNAL far : INT; END_VAR
{}
ACTION Act : x := y; END_ACTION
METHOD Deed VAR_INPUT k : INT; END_VAR z := k; END_METHOD
END_FUNCTION_BLOCK
FUNCTION_BLOCK User VAR_IN_OUT u : Valve; END_VAR u(go := TRUE); END_FUNCTION_BLOCK
FUNCTION_BLOCK Owner VAR a : Valve; us : User; b : BOOL; END_VAR us(u := a); b := us.u.q; END_FUNCTION_BLOCK
CONFIGURATION C VAR_GLOBAL far : INT; gv : Valve; END_VAR END_CONFIGURATION
"""


def flow(code: str) -> Flow:
    return Flow(Symbols(asfound.read(TEXT.format(code).encode(), "p.st")))


def told(refs: frozenset[tuple[str, ...]]) -> str:
    return " ".join(sorted(".".join(ref) or "-" for ref in refs))


def steps(code: str, own: str = "statement:") -> list[tuple[list[str], str]]:
    """The flows of the leaves of the body, and what each writes."""
    found = flow(code)
    return [
        ([f"{told(a)} > {told(b)}" for a, b in step.flows], told(step.writes))
        for step in found.steps(found.symbols.pous["line"])
        if step.path[1].startswith(own)
    ]


@pytest.mark.parametrize(
    ("code", "flows", "writes"),
    [
        ("x := y + far;", [".far y > x", "§run > x"], "x"),
        ("x := 1;", ["§run > x"], "x"),
        ("list[i] := y;", ["i y > list", "§run > list"], "list"),
        ("x := list[i + y];", ["i list y > x", "§run > x"], "x"),
        ("x := list[list[i]];", ["i list > x", "§run > x"], "x"),
        ("%QX0.0 := v.q;", ["v.q > .%QX0.0", "§run > .%QX0.0"], ".%QX0.0"),
        ("b := v.lamp;", [".%QX4.0 > b", "§run > b"], "b"),
        ("r^.go := b;", ["b > >valve.go", "§run > >valve.go"], ">valve.go"),
        ("b := r^.q;", ["*valve.q > b", "§run > b"], "b"),
        ("v(go := b);", ["b > v.go", "§run > v v.go v.§run"], "v v.go v.§run"),
        ("v(go := b, q => c);", ["b > v.go", "v.q > c", "§run > c v v.go v.§run"], "c v v.go v.§run"),
        ("v(n := x);", ["x > v.n", "v.n > x", "v.n > v v.§run", "§run > v v.n v.§run x"], "v v.n v.§run x"),
        ("v(lamp => b);", [".%QX4.0 > b", "§run > b v v.§run"], "b v v.§run"),
        ("gv(go := b);", ["b > .gv.go", "§run > .gv .gv.go .gv.§run"], ".gv .gv.go .gv.§run"),
        ("r^(go := b);",
         ["b > >valve.go", "§run > >valve.go >valve.§run r"], ">valve.go >valve.§run r"),
        ("t(IN := b, Q => c);", ["b > t", "b t > c", "§run > c t"], "c t"),
        ("f(in := b, out => c);", ["b > f", "b f > c", "§run > c f"], "c f"),
        ("x := Twice(y);", ["y > x:twice.v", "x:twice.twice > x", "§run > x x:twice.v x:twice.§run"],
         "x x:twice.v x:twice.§run"),
        ("x := Twice(v := y, o => z);",
         ["y > x:twice.v", "x:twice.o > z", "x:twice.twice > x", "§run > x x:twice.v x:twice.§run z"],
         "x x:twice.v x:twice.§run z"),
        ("x := Twice(io := y);",
         ["y > x:twice.io", "x:twice.io > y", "x:twice.io > x:twice.§run", "x:twice.twice > x",
          "§run > x x:twice.io x:twice.§run y"], "x x:twice.io x:twice.§run y"),
        ("Twice(v := y);", ["y > twice:twice.v", "§run > twice:twice.v twice:twice.§run"],
         "twice:twice.v twice:twice.§run"),
        ("list[1] := Twice(v := y);",
         ["y > list:twice.v", "list:twice.twice > list", "§run > list list:twice.v list:twice.§run"],
         "list list:twice.v list:twice.§run"),
        ("x := ABS(y);", ["y > x", "§run > x"], "x"),
        ("x := Elsewhere(y);", ["y > x", "§run > x"], "x"),
        ("b := v.Open(x);", ["x > v.open.a", "v.open > b", "§run > b v.open v.open.a"], "b v.open v.open.a"),
        ("v.Act();", ["§run > v.act"], "v.act"),
        ("Act();", ["§run > act"], "act"),
        ("Deed(k := x);", ["x > deed.k", "§run > deed deed.k"], "deed deed.k"),
        ("x := NOT y AND z;", ["y z > x", "§run > x"], "x"),
    ],
)  # fmt: skip
def test_from_what_to_what_a_statement_leads(code: str, flows: list[str], writes: str) -> None:
    assert steps(code) == [(flows, writes)]


def test_conditions_decide_all_that_a_leaf_writes() -> None:
    assert steps("IF b AND list[i] > 0 THEN x := y; END_IF; z := y;") == [
        ([], ""),
        (["y > x", "b i list §run > x"], "x"),
        (["y > z", "§run > z"], "z"),
    ]
    assert steps("FOR i := x TO y DO z := 1; END_FOR;") == [
        (["x y > i", "§run > i"], "i"),
        (["x y §run > z"], "z"),
    ]


def test_a_return_decides_all_that_a_pou_writes() -> None:
    assert steps("IF b THEN RETURN; END_IF; x := y;") == [
        ([], ""),
        (["b §run §steer > §steer"], "§steer"),
        (["y > x", "§run §steer > x"], "x"),
    ]


def test_actions_and_methods_run_when_they_are_called() -> None:
    assert steps("x := 1;", "action:") == [(["y > x", "act > x"], "x")]
    assert steps("x := 1;", "method:") == [(["deed.k > z", "deed > z"], "z")]


def test_what_is_called_and_handed_over_is_remembered() -> None:
    found = flow("x := Twice(Twice(y)); z := ABS(y); IF Twice(1) > 0 THEN y := 1; END_IF;")
    for name in ("line", "owner", "user"):
        list(found.steps(found.symbols.pous[name]))
    assert found.called == {"line": {"x:twice": "twice", ":twice": "twice"}}
    assert found.handed == {"owner": {(("us", "u"), ("a",)): None}}
    assert found.given == {"owner": {("user", "u")}}
