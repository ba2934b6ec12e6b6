"""A plant in which names are other ones: one change for each, followed everywhere, and nothing else."""

from __future__ import annotations

import re

import pytest

import asfound
from asfound.compare.result import Comparison

PLANT = """
TYPE Mode : (OFF, HAND, AUTO); END_TYPE
TYPE Way : Mode := Mode#HAND; END_TYPE
TYPE Pair : STRUCT one, two : INT; how : Mode := Mode#AUTO; END_STRUCT END_TYPE
TYPE Both : STRUCT first : Pair := (one := 1, two := 2); rest : ARRAY[0..3] OF Pair; END_STRUCT END_TYPE
FUNCTION Scale : INT VAR_INPUT raw : INT; END_VAR Scale := raw * 3 + 1; END_FUNCTION
FUNCTION_BLOCK Pump
VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT runs : BOOL; END_VAR
VAR m : Mode := Mode#HAND; s : Pair; n : ARRAY[0..1] OF Mode := [Mode#OFF, AUTO]; END_VAR
VAR ptr : POINTER TO Pair; ref : REFERENCE TO Both; END_VAR
METHOD Reset : BOOL VAR_INPUT hard : BOOL; END_VAR VAR done : BOOL; END_VAR
done := hard; THIS^.go := hard; s.one := 0; Reset := done;
END_METHOD
PROPERTY Speed : INT GET Speed := s.one; END_GET SET s.two := Speed; END_SET END_PROPERTY
runs := go AND NOT (m = Mode#OFF); IF m = HAND THEN s.one := Scale(raw := s.two); END_IF;
ptr := ADR(s); ptr^.one := 5; ref.first.two := ptr^.two; ref.rest[1].how := AUTO; Reset(hard := go);
CASE m OF OFF: s.two := 1; AUTO: s.two := 2; END_CASE;
ACTION Stop : runs := FALSE; go := TRUE; END_ACTION
END_FUNCTION_BLOCK
FUNCTION_BLOCK Fast EXTENDS Pump VAR count : INT; END_VAR
count := count + 1; runs := go; SUPER^.Stop(); THIS^.runs := SUPER^.Reset(hard := go); SUPER^(); s.one := 7;
END_FUNCTION_BLOCK
PROGRAM Main VAR p : Pump; k : INT; f : Fast; b : Both; row : ARRAY[0..TOP] OF INT; END_VAR
VAR RETAIN hours : INT; END_VAR VAR_EXTERNAL door : BOOL; END_VAR
p(go := door AND lamp, runs => lamp); k := Scale(hours); p.Stop(); hours := hours + k; C.lamp := p.runs; f(go := door);
b.first.one := p.s.two; b.rest[k].how := Mode#AUTO; IF f.Reset(hard := lamp) THEN p.Speed := k; k := f.Speed; END_IF;
f.m := AUTO; row[0] := TOP;
END_PROGRAM
PROGRAM Seq VAR x : BOOL; pmp : Pump; END_VAR
INITIAL_STEP Idle: END_STEP
STEP Fill: Open(N); x(S); pmp.Stop(N); END_STEP
TRANSITION FROM Idle TO Fill := x; END_TRANSITION
TRANSITION FROM Fill TO Idle := Fill.X AND door; END_TRANSITION
ACTION Open : x := NOT door; END_ACTION
END_PROGRAM
CONFIGURATION C
VAR_GLOBAL door AT %IX1.0 : BOOL; lamp AT %QX1.0 : BOOL; level : INT := 5; last : Mode := Mode#OFF; all : Both; END_VAR
VAR_GLOBAL CONSTANT TOP : INT := 4; END_VAR
RESOURCE Cpu ON PLC
TASK Quick(INTERVAL := T#10ms, PRIORITY := 1); TASK Event(SINGLE := door, PRIORITY := 2);
PROGRAM First WITH Quick : Main; PROGRAM Second WITH Event : Seq;
END_RESOURCE
END_CONFIGURATION
"""
NAMES = (
    "Mode OFF HAND AUTO Way Pair one two how Both rest Scale raw Pump go runs m s n ptr ref Reset hard done Speed Stop "
    "Fast count Main p k f b row hours door pmp Idle Fill Open Seq C lamp level last all TOP Cpu Quick Event Second"
).split()
"""Every name that stands for one thing; ``first`` and ``First``, ``x`` and ``X`` stand for two."""


def renamed(*names: str) -> Comparison:
    text = PLANT
    for name in names:
        text = re.sub(rf"(?<![%\w]){name}\b", f"{name}_new", text)
    return asfound.compare(*(asfound.read(each.encode(), "p.st") for each in (PLANT, text)))


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_one_change_followed_everywhere(name: str) -> None:
    (change,) = renamed(name).changes
    assert (change.kind, change.effect) == ("renamed", "equivalent")
    assert change.summary.endswith(f" {name} renamed to {name}_new")


def test_every_name_at_once_is_one_change_each() -> None:
    changes = renamed(*NAMES).changes
    assert {(c.kind, c.effect) for c in changes} == {("renamed", "equivalent")}
    assert sorted(c.edits[0].new or "" for c in changes) == sorted(f"{name}_new" for name in NAMES)


@pytest.mark.parametrize(
    ("old", "new"), [("s.one := 0;", "s.two := 0;"), ("ptr^.one := 5", "ptr^.two := 5"), ("f.m := AUTO", "f.m := HAND")]
)
def test_another_member_or_value_is_no_rename(old: str, new: str) -> None:
    text = re.sub(r"\bone\b", "eins", PLANT.replace(old, new))
    found = asfound.compare(*(asfound.read(each.encode(), "p.st") for each in (PLANT, text)))
    assert sorted(c.effect for c in found.changes) == ["behaviour", "equivalent"]
    assert {c.summary for c in found.changes if c.kind == "renamed"} == {"member one renamed to eins"}


SHAPES = "TYPE Mode : ({}); END_TYPE PROGRAM P VAR m : Mode; x : BOOL; END_VAR x := m = {}; END_PROGRAM"


def test_a_value_with_another_number_is_another_one() -> None:
    pair = (SHAPES.format("OFF, HAND", "HAND"), SHAPES.format("OFF, OTHER, LAST", "LAST"))
    found = asfound.compare(*(asfound.read(each.encode(), "p.st") for each in pair))
    assert found.verdict == "behaviour"
    assert [c.summary for c in found.changes if c.kind == "renamed"] == ["value HAND renamed to OTHER"]


def test_a_value_that_two_enumerations_have_is_not_guessed() -> None:
    text = "TYPE Mode : (OFF, {0}); END_TYPE TYPE Other : (NO, HAND); END_TYPE PROGRAM P x := {1}; END_PROGRAM"
    pair = (text.format("HAND", "HAND"), text.format("MANUAL", "HAND"))
    found = asfound.compare(*(asfound.read(each.encode(), "p.st") for each in pair))
    assert [(c.kind, c.summary) for c in found.changes] == [("renamed", "value HAND renamed to MANUAL")]


def test_a_name_that_hides_an_inherited_one_is_its_own() -> None:
    text = (
        "FUNCTION_BLOCK A VAR v : INT; END_VAR v := v + 1; END_FUNCTION_BLOCK "
        "FUNCTION_BLOCK B VAR v : INT; a : A; END_VAR METHOD M VAR v : INT; END_VAR v := 2; END_METHOD "
        "v := a.v; END_FUNCTION_BLOCK"
    )
    other = text.replace("A VAR v : INT; END_VAR v := v + 1;", "A VAR w : INT; END_VAR w := w + 1;").replace(
        "a.v", "a.w"
    )
    (change,) = asfound.compare(*(asfound.read(each.encode(), "p.st") for each in (text, other))).changes
    assert change.summary == "variable v renamed to w"
