"""What a memory holds when the program starts, and what is proved with it: memories of another form act the same.

The judge is the interpreter of tests/interpreter, from the start of the program over many cycles of random inputs.
"""

from __future__ import annotations

import random

import pytest

import asfound
from asfound.analysis.symbols import Symbols
from asfound.compare.comparison import compare
from asfound.language.documents import parse_program
from asfound.model.copy import Copy
from asfound.prove.first_values import first_value
from asfound.prove.proof_side import Side
from interpreter.machine import Machine

BLOCKS = """
TYPE Flag : BOOL := TRUE; Started : Latch := (q := TRUE); END_TYPE
FUNCTION_BLOCK Latch VAR_INPUT on : BOOL; off : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR
q := (on OR q) AND NOT off; END_FUNCTION_BLOCK
FUNCTION_BLOCK Lit VAR_INPUT on : BOOL; off : BOOL; END_VAR VAR_OUTPUT q : BOOL := TRUE; END_VAR
q := (on OR q) AND NOT off; END_FUNCTION_BLOCK
FUNCTION_BLOCK Kept VAR_INPUT on : BOOL; off : BOOL; END_VAR VAR_OUTPUT RETAIN q : BOOL; END_VAR
q := (on OR q) AND NOT off; END_FUNCTION_BLOCK
FUNCTION_BLOCK Own VAR_INPUT in : BOOL; END_VAR VAR _m : BOOL := TRUE; inner : Latch; t : SR; END_VAR
_m := in; inner(on := in); t(S1 := in); END_FUNCTION_BLOCK
"""


@pytest.mark.parametrize(
    ("key", "declared", "expected"),
    [
        ("h", "VAR h : BOOL; END_VAR", False), ("h", "VAR h : BOOL := TRUE; END_VAR", True),
        ("h", "VAR h : BOOL := 1; END_VAR", True), ("h", "VAR h : BOOL := BOOL#FALSE; END_VAR", False),
        ("h", "VAR h : BOOL := other; END_VAR", None), ("h", "VAR h : INT; END_VAR", None),
        ("h", "VAR RETAIN h : BOOL; END_VAR", None), ("h", "VAR_TEMP h : BOOL; END_VAR", None),
        ("h", "VAR h AT %MX0.0 : BOOL; END_VAR", None), ("h", "VAR_INPUT h : BOOL; END_VAR", None),
        ("other", "VAR h : BOOL; END_VAR", None), ("h[1]", "VAR h : ARRAY[0..3] OF BOOL; END_VAR", None),
        ("h.q1", "VAR h : SR; END_VAR", False), ("h.q1", "VAR h : SR := (Q1 := TRUE); END_VAR", None),
        ("h.q1", "VAR RETAIN h : SR; END_VAR", None), ("h._m", "VAR h : R_TRIG; END_VAR", False),
        ("h.clk", "VAR h : R_TRIG; END_VAR", False), ("h.none", "VAR h : R_TRIG; END_VAR", None),
        ("h.q", "VAR h : Latch; END_VAR", False), ("h.q", "VAR h : Lit; END_VAR", True),
        ("h.q", "VAR h : Kept; END_VAR", None), ("h._m", "VAR h : Own; END_VAR", True),
        ("h.inner.q", "VAR h : Own; END_VAR", False), ("h.t.q1", "VAR h : Own; END_VAR", False),
        ("h", "VAR h : Flag; END_VAR", None), ("h.q", "VAR h : Started; END_VAR", None),
        ("h.q", "VAR h : Nobody; END_VAR", None), ("h._m", "VAR h : Nobody; END_VAR", None),
    ],
)  # fmt: skip
def test_what_a_memory_holds_when_the_program_starts(key: str, declared: str, expected: bool | None) -> None:
    symbols = Symbols(Copy(program=parse_program(f"{BLOCKS}PROGRAM P {declared} END_PROGRAM", "p.st")))
    side = Side((), symbols, symbols.pous["p"])
    assert first_value(key, frozenset({"h"}), side) is expected
    assert first_value(key, frozenset(), side) is None


HEAD = "VAR_INPUT a : BOOL; b : BOOL; END_VAR VAR_OUTPUT x : BOOL; END_VAR VAR"
SR, RS = "t(S1 := a, R := b); x := t.Q1;", "t(S := a, R1 := b); x := t.Q1;"
RISING, FALLING = "t(CLK := a); x := t.Q;", "t(CLK := a); x := t.Q;"
LATCHED = "t(on := a, off := b); x := t.q;"
PAIRS = [
    ("t : SR;", SR, "m : BOOL;", "m := a OR (NOT b AND m); x := m;", "equivalent"),
    ("t : SR;", SR, "m : BOOL;", "IF a THEN m := TRUE; ELSIF b THEN m := FALSE; END_IF; x := m;", "equivalent"),
    ("t : SR;", SR, "m : BOOL := TRUE;", "m := a OR (NOT b AND m); x := m;", "behaviour"),
    ("t : SR;", SR, "m : BOOL;", "m := NOT b AND (a OR m); x := m;", "behaviour"),
    ("t : RS;", RS, "m : BOOL;", "IF b THEN m := FALSE; ELSIF a THEN m := TRUE; END_IF; x := m;", "equivalent"),
    ("t : RS;", RS, "t : SR;", SR, "behaviour"),
    ("t : R_TRIG;", RISING, "m : BOOL;", "x := a AND NOT m; m := a;", "equivalent"),
    ("t : R_TRIG;", RISING, "m : BOOL := TRUE;", "x := a AND NOT m; m := a;", "behaviour"),
    ("t : F_TRIG;", FALLING, "m : BOOL;", "x := NOT a AND NOT m; m := NOT a;", "equivalent"),
    ("t : F_TRIG;", FALLING, "m : BOOL := TRUE;", "x := NOT a AND NOT m; m := NOT a;", "behaviour"),
    ("t : Latch;", LATCHED, "m : BOOL;", "m := (a OR m) AND NOT b; x := m;", "equivalent"),
    ("t : Lit;", LATCHED, "m : BOOL := TRUE;", "m := (a OR m) AND NOT b; x := m;", "equivalent"),
    ("t : Lit;", LATCHED, "m : BOOL;", "m := (a OR m) AND NOT b; x := m;", "behaviour"),
    ("t : Kept;", LATCHED, "m : BOOL;", "m := (a OR m) AND NOT b; x := m;", "behaviour"),
    ("t : Latch;", LATCHED, "t : RS;", RS, "behaviour"),  # a name of both sides is not followed
    ("t : Latch;", LATCHED, "u : RS;", "u(S := a, R1 := b); x := u.Q1;", "equivalent"),
    ("t : SR;", SR, "m : Flag;", "m := a OR (NOT b AND m); x := m;", "behaviour"),  # starts with TRUE
    ("t : RS;", RS, "u : Started;", "u(on := a, off := b); x := u.q;", "behaviour"),
    ("t : Own;", "t(in := a); x := t._m;", "m : BOOL;", "x := m; m := a;", "behaviour"),
]  # fmt: skip


def program(declared: str, body: str) -> Copy:
    return asfound.read(f"{BLOCKS}PROGRAM P {HEAD} {declared} END_VAR {body} END_PROGRAM".encode(), "p.st")


@pytest.mark.parametrize(
    "path", ["VAR_CONFIG R.I.m : BOOL := TRUE; END_VAR", "VAR_ACCESS A : R.I.m : BOOL READ_WRITE; END_VAR"]
)
def test_a_memory_that_a_path_reaches_belongs_to_others_too(path: str) -> None:
    """It is started or written from outside (IEC 61131-3:2013 6.8.2, from memory)."""
    around = f"CONFIGURATION C RESOURCE R ON D PROGRAM I : P; END_RESOURCE {path} END_CONFIGURATION"
    bodies = ("t : SR;", SR), ("m : BOOL;", "m := a OR (NOT b AND m); x := m;")
    old, new = (
        asfound.read(f"PROGRAM P {HEAD} {own} END_VAR {body} END_PROGRAM {around}".encode(), "p.st")
        for own, body in bodies
    )
    for one, two in ((old, new), (new, old)):
        assert all(c.effect != "equivalent" for c in compare(one, two).changes if c.area == "logic")


@pytest.mark.parametrize(("was", "body", "now", "other", "expected"), PAIRS)
def test_a_memory_of_another_form_is_followed_from_the_start(
    was: str, body: str, now: str, other: str, expected: str
) -> None:
    old, new = program(was, body), program(now, other)
    for one, two in ((old, new), (new, old)):
        effects = {c.effect for c in compare(one, two).changes if c.effect != "documentation"}
        assert ("equivalent" if effects == {"equivalent"} else "behaviour") == expected
    if expected == "equivalent":
        drawn = random.Random(7)
        machines = Machine(old, "P"), Machine(new, "P")
        for _ in range(200):
            inputs = {"a": drawn.random() < 0.5, "b": drawn.random() < 0.3}
            first, second = (machine.cycle(inputs) for machine in machines)
            assert first == second
