"""What a change can touch: from what is read, and from what decides whether something runs, to the outputs."""

from __future__ import annotations

import pytest

import asfound
from asfound.compare.comparison import compare
from asfound.model.copy import Copy

PLANT = """
TYPE Inner : STRUCT one : INT; END_STRUCT END_TYPE
TYPE Outer : STRUCT deep : Inner; END_STRUCT END_TYPE
FUNCTION_BLOCK Valve VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR own : BOOL; lone AT %QX9.0 : BOOL; END_VAR
own := go; q := own;
ACTION Shut : q := FALSE; END_ACTION
END_FUNCTION_BLOCK
PROGRAM P VAR in1 : BOOL := FALSE; v : Valve; a, b, c, d, e, f, g, h, k, w, aside : INT; s : Outer; list : ARRAY[0..9] OF INT; END_VAR
VAR q1 AT %QW1 : INT; q2 AT %QW2 : INT; q3 AT %QW3 : INT; q4 AT %QW4 : INT; q5 AT %QW5 : INT; q6 AT %QX60.0 : BOOL;
q7 AT %QW7 : INT; q8 AT %QW8 : INT; END_VAR VAR_EXTERNAL far : INT; END_VAR
aside := 1;
IF a > 1 THEN q1 := 1; ELSIF b > 1 THEN q2 := 2; ELSE q3 := 3; END_IF;
CASE c OF 1: q4 := 1; ELSE q5 := 2; END_CASE;
WHILE d > 0 DO q7 := q7 + 1; END_WHILE;
FOR e := f TO g DO list[e] := 0; END_FOR;
q8 := list[h];
v(go := in1);
q6 := v.q;
IF k > 5 THEN v.Shut(); END_IF;
far := w;
CASE k OF 9: w := 9; 1: h := 5; END_CASE;
s.deep.one := 1;
%QW20 := s.deep.one;
END_PROGRAM
PROGRAM Seq VAR x, y AT %QX70.0 : BOOL; z AT %QX71.0 : BOOL; go2, stop : BOOL; END_VAR
INITIAL_STEP Idle: END_STEP
STEP Fill: y(N); Open(N); END_STEP
TRANSITION FROM Idle TO Fill := go2; END_TRANSITION
TRANSITION FROM Fill TO Idle := stop; END_TRANSITION
ACTION Open : z := TRUE; END_ACTION
END_PROGRAM
CONFIGURATION C VAR_GLOBAL far : INT; spare : INT; lamp AT %QX80.0 : BOOL; END_VAR
RESOURCE R ON PLC TASK T(INTERVAL := T#1s, PRIORITY := 1); PROGRAM I WITH T : P; PROGRAM J WITH T : Seq; END_RESOURCE
VAR_ACCESS seen : R.I.aside : INT READ_ONLY; END_VAR
END_CONFIGURATION
"""


def plant(*edit: str) -> Copy:
    text = PLANT.replace(*edit) if edit else PLANT
    assert text != PLANT or not edit
    return asfound.read(text.encode(), "p.st")


def reach(old: Copy, new: Copy) -> str:
    """The outputs of every change, once each."""
    return ", ".join(sorted({name for c in compare(old, new).changes for name in c.reach}))


ROWS = {
    ("aside := 1;", "aside := 2;"): "seen (access path R.I.aside)",
    ("a > 1", "a > 2"): "P.q1 (%QW1), P.q2 (%QW2), P.q3 (%QW3)",
    ("b > 1", "b > 2"): "P.q1 (%QW1), P.q2 (%QW2), P.q3 (%QW3)",
    ("q3 := 3;", "q3 := 4;"): "P.q3 (%QW3)",
    ("c OF 1: q4 := 1;", "c OF 1: q4 := 2;"): "P.q4 (%QW4), Valve.lone (%QX9.0)",
    ("CASE c OF", "CASE c + 1 OF"): "P.q4 (%QW4), P.q5 (%QW5), Valve.lone (%QX9.0)",
    ("WHILE d > 0", "WHILE d > 1"): "P.q7 (%QW7)",
    ("FOR e := f TO g", "FOR e := f + 1 TO g"): "P.q8 (%QW8)",
    ("list[h]", "list[h + 1]"): "P.q8 (%QW8)",
    ("go := in1", "go := NOT in1"): "P.q6 (%QX60.0), P.v.q",
    ("own := go;", "own := NOT go;"): "P.q6 (%QX60.0), P.v.q",
    ("q := FALSE;", "q := TRUE;"): "P.q6 (%QX60.0), P.v.q",
    ("k > 5", "k > 6"): "P.q6 (%QX60.0), P.v.q",
    ("far := w;", "far := w + 1;"): "far",
    ("one := 1;", "one := 2;"): "%QW20",
    ("one : INT;", "one : DINT;"): "%QW20",
    ("in1 : BOOL := FALSE", "in1 : BOOL := TRUE"): "P.q6 (%QX60.0), P.v.q",
    ("y(N);", "y(S);"): "Seq.x (%QX70.0), Seq.z (%QX71.0)",
    (":= go2;", ":= NOT go2;"): "Seq.x (%QX70.0), Seq.z (%QX71.0)",
    (":= stop;", ":= NOT stop;"): "Seq.x (%QX70.0), Seq.z (%QX71.0)",
    ("z := TRUE;", "z := FALSE;"): "Seq.z (%QX71.0)",
    ("spare : INT;", "spare : DINT;"): "spare",
    ("T#1s", "T#2s"): "",
    ("c OF 1: q4 := 1;", "c OF 2: q4 := 1;"): "P.q4 (%QW4), P.q5 (%QW5), Valve.lone (%QX9.0)",
    ("ELSIF b > 1 THEN q2 := 2; ", ""): "P.q1 (%QW1), P.q2 (%QW2), P.q3 (%QW3)",
    ("q2 := 2;", "q2 := 3;"): "P.q2 (%QW2)",
    ("9: w := 9; 1: h := 5;", "9: w := 9; 1: h := 6;"): "P.q8 (%QW8)",
}


@pytest.mark.parametrize("edit", ROWS, ids=" -> ".join)
def test_what_an_edit_can_touch(edit: tuple[str, str]) -> None:
    assert reach(plant(), plant(*edit)) == ROWS[edit]
    assert reach(plant(*edit), plant()) == ROWS[edit], "what was removed is followed as well"


YARD = """
FUNCTION_BLOCK Cylinder VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT extend : BOOL; END_VAR VAR t : TON; held : BOOL; END_VAR
held := go; extend := held AND t.Q;
METHOD Retract VAR_INPUT now : BOOL; END_VAR extend := NOT now; END_METHOD
END_FUNCTION_BLOCK
FUNCTION_BLOCK Press VAR_INPUT start : BOOL; END_VAR VAR ram, door : Cylinder; END_VAR
ram(go := start); door(go := ram.extend);
END_FUNCTION_BLOCK
FUNCTION Half : INT VAR_INPUT whole : INT; END_VAR Half := whole / 2; END_FUNCTION
FUNCTION_BLOCK Lamps VAR_IN_OUT shown : Cylinder; END_VAR VAR_OUTPUT lit : BOOL; END_VAR lit := shown.held; END_FUNCTION_BLOCK
PROGRAM Yard
VAR a, b, c, x, y, z : BOOL; i, j, m, n : INT; left, right : Press; lone : Cylinder; lamps : Lamps; END_VAR
VAR lamp AT %QX1.0 : BOOL; horn AT %QX1.1 : BOOL; bell AT %QX1.2 : BOOL; speed AT %QW10 : INT; flow AT %QW20 : INT; END_VAR
left(start := a); right(start := b); lone(go := c); lamps(shown := lone);
lamp := left.door.extend;
horn := right.ram.extend;
IF lone.held THEN bell := x; END_IF;
speed := Half(i); flow := Half(j);
IF y THEN lone.Retract(now := z); END_IF;
END_PROGRAM
"""


def ways(old: str, new: str, text: str = YARD) -> list[str]:
    """Each way to an output of the one change that an edit of a text makes."""
    first, second = (asfound.read(t.encode(), "p.st") for t in (text, text.replace(old, new)))
    (change,) = (c for c in compare(first, second).changes if c.effect == "behaviour")
    shown = [f"{' -> '.join(r.way) or r.name}{f' {r.at}' if r.at else ''}" for r in change.reached]
    return [*shown, *(f"also {name}" for name in change.reach[len(change.reached) :])]


@pytest.mark.parametrize(
    ("edit", "told"),
    [
        (  # one of two equal machines: the other one, of the same types, is not named
            ("left(start := a)", "left(start := NOT a)"),
            ["Yard.left.start -> Yard.left.ram.go -> Yard.left.ram.held -> Yard.left.ram.extend -> "
             "Yard.left.door.go -> Yard.left.door.held -> Yard.left.door.extend -> Yard.lamp %QX1.0",
             "also Yard.left.ram.extend", "also Yard.left.door.extend"],
        ),
        (  # the code of a type: every instance of it, nearest first; a condition reads a variable of an instance
            ("held := go;", "held := NOT go;"),
            ["Yard.lone.held -> Yard.bell %QX1.2",
             "Yard.right.ram.held -> Yard.right.ram.extend -> Yard.horn %QX1.1",
             "Yard.left.door.held -> Yard.left.door.extend -> Yard.lamp %QX1.0",
             *(f"also Yard.{n}" for n in ("left.door.extend", "left.ram.extend", "lone.extend", "right.door.extend",
                                          "right.ram.extend", "lamps.lit"))],
        ),
        (("Half(i)", "Half(i + 1)"), ["Yard.speed %QW10"]),  # each call of a function by itself
        (("whole / 2", "whole / 4"), ["Yard.Half -> Yard.flow %QW20", "Yard.Half -> Yard.speed %QW10"]),
        (("now := z", "now := NOT z"), ["Yard.lone.Retract.now -> Yard.lone.extend"]),
    ],
    ids=["one machine", "a type", "a function", "in a function", "a method"],
)  # fmt: skip
def test_which_one_and_the_way_to_it(edit: tuple[str, str], told: list[str]) -> None:
    assert ways(*edit) == told


HEAD = "PROGRAM P VAR a, b, c : BOOL; p AT %QX0.1 : BOOL; q AT %QX0.1 : BOOL; r AT %QX0.2 : BOOL; END_VAR "
BASE = """
FUNCTION_BLOCK Base VAR_OUTPUT q : BOOL; END_VAR METHOD Open VAR_INPUT wide : BOOL; END_VAR q := wide; END_METHOD END_FUNCTION_BLOCK
FUNCTION_BLOCK Derived EXTENDS Base VAR_INPUT go : BOOL; END_VAR THIS^.Open(wide := go); END_FUNCTION_BLOCK
PROGRAM P VAR one, two : Derived; lamp AT %QX1.0 : BOOL; horn AT %QX1.1 : BOOL; a : BOOL; ref : REF_TO Derived; END_VAR
one(go := a); lamp := one.q; horn := two.q; ref := REF(two);
ref^.Open(wide := a);
END_PROGRAM
"""
RUNS = """
PROGRAM P VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR q := go; END_PROGRAM
CONFIGURATION C RESOURCE R ON PLC TASK T(INTERVAL := T#1s, PRIORITY := 1);
PROGRAM First WITH T : P; PROGRAM Second WITH T : P; END_RESOURCE END_CONFIGURATION
"""


@pytest.mark.parametrize(
    ("text", "edit", "told"),
    [
        (HEAD + "q := a; b := p; END_PROGRAM", ("q := a", "q := c"), ["P.p %QX0.1"]),  # one address, two names
        (  # a piece that stands at another number now begins where it is, not at the number of another one
            HEAD + "r := c; q := a; END_PROGRAM", ("r := c; q := a", "b := c; r := c; q := NOT a"), ["P.p %QX0.1"],
        ),
        (HEAD + "IF a THEN RETURN; END_IF; r := c; END_PROGRAM", ("IF a", "IF NOT a"), ["P -> P.r %QX0.2"]),
        (BASE, ("one(go := a)", "one(go := NOT a)"),
         ["P.one.go -> P.one.Open.wide -> P.one.q -> P.lamp %QX1.0"]),
        (BASE, ("ref^.Open(wide := a)", "ref^.Open(wide := NOT a)"),
         ["P.two.Open.wide -> P.two.q -> P.horn %QX1.1", "P.one.Open.wide -> P.one.q -> P.lamp %QX1.0"]),
        (RUNS, ("q := go", "q := NOT go"), ["First.q", "Second.q"]),
    ],
    ids=["two names", "moved on", "a return", "inherited", "through a reference", "two runs"],
)  # fmt: skip
def test_what_is_one_and_what_is_not(text: str, edit: tuple[str, str], told: list[str]) -> None:
    first, second = (asfound.read(t.encode(), "p.st") for t in (text, text.replace(*edit)))
    found = [c for c in compare(first, second).changes if c.effect == "behaviour"]
    assert [f"{' -> '.join(r.way)}{f' {r.at}' if r.at else ''}" for c in found for r in c.reached] == told


CIRCLE = """FUNCTION_BLOCK F VAR_INPUT g : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR_IN_OUT x : F; END_VAR
x(g := g, x := x); q := {}x.q;
END_FUNCTION_BLOCK
PROGRAM P VAR f : F; h : F; a AT %IX0.0 : BOOL; o AT %QX0.0 : BOOL; END_VAR
f(g := a, x := h); o := f.q;
END_PROGRAM
"""


def test_a_block_that_is_handed_to_itself_ends_and_is_told() -> None:
    old, new = (asfound.read(CIRCLE.format(word).encode(), "p.st") for word in ("", "NOT "))
    found = asfound.compare(old, new)
    assert [c.reach[0] for c in found.changes] == ["P.o (%QX0.0)"]
    assert any("handed on to blocks in a circle" in limit for limit in found.limits)


OWN = """FUNCTION_BLOCK V VAR_INPUT i : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR q := {}; END_FUNCTION_BLOCK
FUNCTION_BLOCK W VAR v : V; row : ARRAY[0..1] OF V; END_VAR VAR_OUTPUT o : BOOL; END_VAR
v(); row[1](); o := {}; END_FUNCTION_BLOCK
PROGRAM P VAR w : W; out AT %QX0.0 : BOOL; END_VAR w(); out := w.o; END_PROGRAM
"""


@pytest.mark.parametrize("pin", ["v.q", "THIS^.v.q", "THIS.v.q", "row[1].q", "THIS^.row[1].q"])
def test_a_pin_behind_the_own_instance_leads_on(pin: str) -> None:
    old, new = (asfound.read(OWN.format(value, pin).encode(), "p.st") for value in ("i", "NOT i"))
    (change,) = asfound.compare(old, new).changes
    assert change.reach[0] == "P.out (%QX0.0)"
