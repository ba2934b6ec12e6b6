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
    ("go := in1", "go := NOT in1"): "P.q6 (%QX60.0), Valve.q",
    ("own := go;", "own := NOT go;"): "P.q6 (%QX60.0), Valve.q",
    ("q := FALSE;", "q := TRUE;"): "P.q6 (%QX60.0), Valve.q",
    ("k > 5", "k > 6"): "P.q6 (%QX60.0), Valve.q",
    ("far := w;", "far := w + 1;"): "far",
    ("one := 1;", "one := 2;"): "%QW20",
    ("one : INT;", "one : DINT;"): "%QW20",
    ("in1 : BOOL := FALSE", "in1 : BOOL := TRUE"): "P.q6 (%QX60.0), Valve.q",
    ("y(N);", "y(S);"): "Seq.x (%QX70.0), Seq.y (%QX70.0), Seq.z (%QX71.0)",
    (":= go2;", ":= NOT go2;"): "Seq.x (%QX70.0), Seq.y (%QX70.0), Seq.z (%QX71.0)",
    (":= stop;", ":= NOT stop;"): "Seq.x (%QX70.0), Seq.y (%QX70.0), Seq.z (%QX71.0)",
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
