"""What calls write: through VAR_IN_OUT, through globals, through what they call; in moves, reach, uses and findings.

IEC 61131-3:2013 6.5.2.2 and 6.6.1.2 (VAR_IN_OUT is passed by reference, the caller's variable is read and written),
from memory.
"""

from __future__ import annotations

from itertools import permutations

import pytest

import asfound
from asfound.analysis.crossreference import cross_reference
from asfound.checks.usage import outputs_written_twice
from asfound.compare.result import Change
from asfound.model.copy import Copy

PLANT = """
FUNCTION Inc : INT VAR_IN_OUT x : INT; END_VAR x := x + 1; Inc := x; END_FUNCTION
FUNCTION Twice : INT VAR_INPUT x : INT; END_VAR Twice := x * 2; END_FUNCTION
FUNCTION CountAll : BOOL VAR_INPUT a : BOOL; END_VAR VAR_EXTERNAL total : INT; END_VAR
total := total + 1; CountAll := a; END_FUNCTION
FUNCTION Look : INT VAR_INPUT a : BOOL; END_VAR VAR_EXTERNAL total : INT; END_VAR Look := total; END_FUNCTION
FUNCTION_BLOCK Add1 VAR_INPUT p : INT; END_VAR VAR_IN_OUT x : INT; END_VAR x := x + p; END_FUNCTION_BLOCK
FUNCTION_BLOCK Outer VAR_EXTERNAL total : INT; END_VAR VAR h : Add1; END_VAR h(p := 1, x := total); END_FUNCTION_BLOCK
FUNCTION_BLOCK Later EXTENDS Outer VAR z : INT; END_VAR z := 1; END_FUNCTION_BLOCK
FUNCTION_BLOCK Steps VAR_EXTERNAL total : INT; END_VAR VAR z : INT; END_VAR z := 1;
ACTION Up : total := total + 1; END_ACTION END_FUNCTION_BLOCK
FUNCTION_BLOCK Derived EXTENDS Motor END_FUNCTION_BLOCK
FUNCTION_BLOCK Lost EXTENDS NotThere END_FUNCTION_BLOCK
FUNCTION_BLOCK Motor
METHOD Peek : BOOL VAR_INPUT x : INT; END_VAR Peek := x > 1; END_METHOD
METHOD Bump : BOOL VAR_IN_OUT x : INT; END_VAR x := x + 1; END_METHOD
END_FUNCTION_BLOCK
FUNCTION_BLOCK Far VAR_INPUT p : REF_TO INT; END_VAR p^ := 1; END_FUNCTION_BLOCK
TYPE Pair : STRUCT one, two : INT; END_STRUCT END_TYPE
PROGRAM P
VAR_EXTERNAL total : INT; END_VAR
VAR f : Add1; r : POINTER TO INT; o : Outer; later : Later; steps : Steps; derived : Derived; lost : Lost; k : Motor; far : Far; lib : FromElsewhere; m, n, i : INT; y AT %QW2 : INT; q AT %QX0.0 : BOOL;
a : ARRAY[0..3] OF INT; s : Pair; b : BOOL; own : INT; END_VAR
{}
END_PROGRAM
CONFIGURATION C VAR_GLOBAL total : INT; END_VAR
RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM I WITH T : P; END_RESOURCE END_CONFIGURATION
"""


def plant(body: str) -> Copy:
    return asfound.read(PLANT.format(body).encode(), "p.st")


def moved(first: str, second: str) -> Change:
    (change,) = asfound.compare(plant(f"{first} {second}"), plant(f"{second} {first}")).changes
    assert change.kind == "moved"
    return change


@pytest.mark.parametrize(
    ("call", "name"),
    [
        ("f(p := 1, x := m);", "m"),
        ("f(1, m);", "m"),
        ("n := Inc(x := m);", "m"),
        ("n := Inc(m);", "m"),
        ("n := 3 + Twice(x := Inc(m));", "m"),
        ("IF Inc(x := m) > 3 THEN q := TRUE; END_IF;", "m"),
        ("IF b THEN f(p := 1, x := m); ELSE f(p := 2, x := m); END_IF;", "m"),
        ("CASE Inc(m) OF 1: q := TRUE; END_CASE;", "m"),
        ("WHILE Inc(m) < 5 DO q := TRUE; END_WHILE;", "m"),
        ("f(p := Inc(m), x := n);", "m"),
        ("f(p := 1, x := a[1]);", "a"),
        ("f(p := 1, x := a[i]);", "a"),
        ("f(p := 1, x := s.one);", "s"),
        ("k.Bump(x := m);", "m"),
        ("q := k.Bump(m);", "m"),
        ("o();", "total"),
        ("later();", "total"),
        ("steps.Up();", "total"),
        ("derived.Bump(x := m);", "m"),
        ("q := CountAll(b);", "total"),
        ("IF CountAll(b) THEN q := TRUE; END_IF;", "total"),
        ("a[Inc(m)] := 3;", "m"),
        ("lib(p := 1, out => m);", "m"),
        ("n := Elsewhere(p := 1, out => m);", "m"),
    ],
)
@pytest.mark.parametrize("where", ["before", "after"])
def test_what_a_call_writes_is_a_write(call: str, name: str, where: str) -> None:
    read = {"a": "y := a[1];", "s": "y := s.one;"}.get(name, f"y := {name};")
    change = moved(*((read, call) if where == "before" else (call, read)))
    said = "read before it is written" if where == "after" else "read after it is written"
    assert change.effect == "behaviour"
    assert f"{name} is now {said}" in change.details


@pytest.mark.parametrize(
    ("call", "other"),
    [
        ("n := Elsewhere(m);", "y := m;"),
        ("n := Elsewhere(3);", "y := total;"),
        ("lib(p := m);", "y := m;"),
        ("far(p := REF(m));", "y := m;"),
        ("far(p := ADR(m));", "y := m;"),
        ("Elsewhere(m);", "y := m;"),
        ("lost();", "y := total;"),
        ("lost.Bump(m);", "y := m;"),
    ],
)
def test_what_nobody_can_see_is_undecided(call: str, other: str) -> None:
    assert moved(call, other).effect == "undecided"
    assert moved(other, call).effect == "undecided"


@pytest.mark.parametrize(
    ("call", "other"),
    [
        ("f(p := 1, x := m);", "y := n;"),
        ("f(p := n, x := m);", "y := n;"),
        ("n := Twice(m);", "y := m;"),
        ("n := INT_TO_UINT(m);", "y := m;"),
        ("n := Look(b);", "y := total;"),
        ("q := k.Peek(m);", "y := m;"),
        ("far(p := REF(m));", "i := own;"),
        ("far(p := ADR(m));", "i := own;"),
        ("r := ADR(m);", "i := own;"),
        ("steps();", "y := total;"),
        ("n := SIZEOF(m);", "y := m;"),
        ("n := Elsewhere(m);", "i := own;"),
        ("CASE m OF 1: f(p := 1, x := n); END_CASE;", "y := m;"),
    ],
)
def test_what_is_only_read_may_be_passed(call: str, other: str) -> None:
    assert moved(call, other).effect == "equivalent"
    assert moved(other, call).effect == "equivalent"


def test_an_in_out_may_be_the_global_that_the_body_uses() -> None:
    block = """
FUNCTION_BLOCK B VAR_IN_OUT x : INT; z : REAL; END_VAR VAR_EXTERNAL total : INT; whole : Pair; END_VAR
VAR y, own : INT; END_VAR {} END_FUNCTION_BLOCK
TYPE Pair : STRUCT one, two : INT; END_STRUCT END_TYPE
CONFIGURATION C VAR_GLOBAL total : INT; whole : Pair; END_VAR END_CONFIGURATION
"""
    for pair, effect in (
        (("x := 1;", "y := total;"), "behaviour"),
        (("x := 1;", "y := whole.two;"), "behaviour"),
        (("x := 1;", "y := own;"), "equivalent"),
        (("z := 1.0;", "y := total;"), "equivalent"),
    ):
        for two in permutations(pair):
            texts = (block.format(" ".join(order)) for order in (two, two[::-1]))
            (change,) = asfound.compare(*(asfound.read(t.encode(), "b.st") for t in texts)).changes
            assert change.effect == effect, (two, change.details)


def test_reach_goes_through_what_is_passed_by_reference() -> None:
    body = "f(p := {}, x := m); y := m;"
    (change,) = asfound.compare(plant(body.format(1)), plant(body.format(2))).changes
    assert change.reach == ("P.y (%QW2)",)


def test_reach_begins_inside_a_block_that_writes_by_reference() -> None:
    texts = PLANT.format("o(); y := total;"), PLANT.format("o(); y := total;").replace("x + p", "x - p")
    (change,) = asfound.compare(*(asfound.read(t.encode(), "p.st") for t in texts)).changes
    assert change.reach == ("P.y (%QW2)",)


def test_what_a_whole_block_can_touch() -> None:
    """Its path is one step long."""
    old = PLANT.format("o(); y := total;")
    outer = old[old.index("FUNCTION_BLOCK Outer") : old.index("FUNCTION_BLOCK Motor")]
    copies = (asfound.read(text.encode(), "p.st") for text in (old, old.replace(outer, "")))
    assert [c.reach for c in asfound.compare(*copies).changes if c.path == ("Outer",)] == [("P.y (%QW2)",)]


def test_reach_goes_through_a_method() -> None:
    texts = (
        PLANT.format("k.Bump(x := m); y := m;"),
        PLANT.format("k.Bump(x := m); y := m;").replace("x + 1; E", "x + 2; E"),
    )
    (change,) = asfound.compare(*(asfound.read(t.encode(), "p.st") for t in texts)).changes
    assert change.reach == ("P.y (%QW2)",)


@pytest.mark.parametrize("call", ["f(p := 1, x := m);", "n := Inc(m);", "IF k.Bump(m) THEN n := 1; END_IF;"])
def test_where_says_read_and_written(call: str) -> None:
    found = cross_reference(plant(call), "m")
    assert [use.access for use in found.uses if use.where.startswith("P / statement 1")] == ["written", "read"]
    (only,) = [u.access for u in cross_reference(plant("f(p := m, x := n);"), "m").uses if "statement" in u.where]
    assert only == "read"


def test_a_second_writer_of_an_output_is_found() -> None:
    found = list(outputs_written_twice(plant("y := 1; f(p := 1, x := y);")))
    assert [f.text for f in found] == ["output y (%QW2) is written in 2 places"]
    assert not list(outputs_written_twice(plant("y := 1; f(p := y, x := n);")))


@pytest.mark.parametrize(("value", "effect"), [("one", "behaviour"), ("other", "documentation"), ("far", "equivalent")])
def test_a_type_whose_value_stands_alone_in_a_statement_is_used(value: str, effect: str) -> None:
    """Before, the name was another thing that no export declares; ``far`` is a global variable in both."""
    program = (
        "VAR_GLOBAL far : INT; END_VAR PROGRAM P VAR m : INT; q : BOOL; END_VAR q := m = one OR m = far; END_PROGRAM"
    )
    texts = program, f"TYPE M : (zero, {value}); END_TYPE {program}"
    old, new = (asfound.read(text.encode(), "p.st") for text in texts)
    for pair in ((old, new), (new, old)):
        assert [c.effect for c in asfound.compare(*pair).changes] == [effect]
