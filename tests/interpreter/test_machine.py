"""Statements, memory, calls and readings, each in the smallest program that shows it (IEC 61131-3, from memory)."""

from __future__ import annotations

import doctest
from dataclasses import replace
from typing import Any

import pytest

import asfound
import interpreter.machine
from interpreter.machine import Machine
from interpreter.readings import ALL, USUAL, Readings


def machine(body: str, own: str = "", before: str = "", after: str = "", readings: Readings = USUAL) -> Machine:
    text = f"{before}\nPROGRAM P\nVAR_OUTPUT y : INT; q : BOOL; END_VAR\nVAR m : INT; n : INT; {own} END_VAR\n{body}\nEND_PROGRAM\n{after}"
    return Machine(asfound.read(text.encode(), "p.st"), "P", readings)


def last(body: str, *args: str, cycles: int = 1, readings: Readings = USUAL, **inputs: object) -> Any:
    found = machine(body, *args, readings=readings)
    for _ in range(cycles - 1):
        found.cycle(inputs)
    return found.cycle(inputs)


GLOBAL = "CONFIGURATION C VAR_GLOBAL g : INT; END_VAR RESOURCE R ON PLC PROGRAM I : P; END_RESOURCE END_CONFIGURATION"
UP = """FUNCTION Up : INT VAR_INPUT v : INT; END_VAR VAR_EXTERNAL g : INT; END_VAR g := g + v; Up := g; END_FUNCTION
FUNCTION Both : INT VAR_IN_OUT a : INT; b : INT; END_VAR VAR c : INT := 1; END_VAR
c := c + 1; a := a + 1; b := b * 2; Both := a + c; END_FUNCTION
FUNCTION_BLOCK Bump VAR_INPUT on : BOOL R_EDGE; END_VAR VAR_IN_OUT x : INT; END_VAR VAR_OUTPUT k : INT := 5; END_VAR
VAR_TEMP t : INT := 2; END_VAR IF on THEN x := x + t; t := 9; k := k + 1; END_IF; END_FUNCTION_BLOCK
"""
PROGRAMS: list[tuple[str, str, int, dict[str, object]]] = [
    ("m := m + 1; y := m;", "", 3, {"out:y": 3}),
    ("CASE m OF 1, 3..5: y := 1; ELSE y := 2; END_CASE; m := m + 1;", "", 4, {"out:y": 1}),
    ("CASE m OF 1, 3..5: y := 1; ELSE y := 2; END_CASE; m := m + 1;", "", 3, {"out:y": 2}),
    ("FOR n := 5 TO 1 BY -2 DO m := m + n; END_FOR; y := m;", "", 1, {"out:y": 9}),
    ("FOR n := 1 TO 9 DO IF n = 4 THEN EXIT; END_IF; IF n = 2 THEN CONTINUE; END_IF; m := m + n; END_FOR; y := m;", "", 1, {"out:y": 4}),
    ("WHILE m < 5 DO m := m + 2; END_WHILE; y := m;", "", 1, {"out:y": 6}),
    ("REPEAT m := m + 2; UNTIL m > 0 END_REPEAT; y := m;", "", 1, {"out:y": 2}),
    ("y := 1; IF y = 1 THEN RETURN; END_IF; y := 2;", "", 1, {"out:y": 1}),
    ("e[2] := 5; e[e[2] - 4] := 7; y := e[1] + e[3];", "e : ARRAY[1..3] OF INT := [2(0), 4];", 1, {"out:y": 11}),
    ("e[1, 2] := 5; y := e[1, 2] + e[2, 1];", "e : ARRAY[1..2, 1..2] OF INT := [1, 2, 3, 4];", 1, {"out:y": 8}),
    ("w.3 := TRUE; y := WORD_TO_INT(w); q := w.0;", "w : WORD := 1;", 1, {"out:y": 9, "out:q": True}),
    ("d := c; c.x := 9; y := d.x + d.z;", "c : Pair := (z := 4); d : Pair;", 1, {"out:y": 7}),
    ("y := Both(m, m); n := m;", "", 1, {"out:y": 4}),
    ("y := Both(b := m, a := n); y := Both(a := n, b := m);", "", 1, {"out:y": 4}),
    ("b(on := TRUE, x := m); b(on := FALSE, x := m); b(on := TRUE, x := m, k => y);", "b : Bump;", 1, {"out:y": 7}),
    ("b(on := TRUE, x := m); b(on := TRUE, x := m); y := m;", "b : Bump;", 1, {"out:y": 2}),
    ("b(on := TRUE, x := e[2]); y := e[2];", "b : Bump; e : ARRAY[1..3] OF INT;", 1, {"out:y": 2}),
    ("b(EN := FALSE, on := TRUE, x := m); y := m; q := b.ENO;", "b : Bump;", 1, {"out:y": 0, "out:q": False}),
    ("lamp := TRUE; y := BYTE_TO_INT(lamps);", "lamp AT %QX4.1 : BOOL; lamps AT %QB4 : BYTE;", 1, {"out:y": 2, "%Q33": True}),
    ("y := s;", "s : INT (3..9);", 1, {"out:y": 3}),
    ("k := ON; IF k = ON THEN y := 1; END_IF; q := k > OFF;", "k : Mode;", 1, {"out:y": 1, "out:q": True}),
]  # fmt: skip
TYPES = "TYPE Pair : STRUCT x : INT := 3; z : INT; END_STRUCT; Mode : (OFF, ON); END_TYPE\n"


@pytest.mark.parametrize(("body", "own", "cycles", "expected"), PROGRAMS)
@pytest.mark.parametrize("reading", ALL, ids=lambda r: r.name)
def test_programs_that_leave_nothing_open(
    body: str, own: str, cycles: int, expected: dict[str, object], reading: Readings
) -> None:
    found = last(body, own, TYPES + UP, GLOBAL, cycles=cycles, readings=reading)
    assert {k: found.get(k) for k in expected} == expected


def test_an_argument_by_reference_may_be_the_global_that_the_body_uses() -> None:
    block = "FUNCTION_BLOCK W VAR_IN_OUT x : INT; END_VAR VAR_EXTERNAL g : INT; END_VAR x := x + 1; g := g + x; END_FUNCTION_BLOCK\n"
    found = last("f(x := g);", "f : W; END_VAR VAR_EXTERNAL g : INT;", block, GLOBAL)
    assert found["::g"] == 2


def test_operands_left_or_right_first() -> None:
    def y(**choice: bool) -> object:
        own = "END_VAR VAR_EXTERNAL g : INT;"
        return last("y := Up(1) * 10 + g;", own, UP, GLOBAL, readings=replace(USUAL, **choice))["out:y"]

    assert (y(), y(right_first=True)) == (11, 10)


def test_and_that_stops_early_or_not() -> None:
    for complete, count in ((False, 0), (True, 1)):
        own = "END_VAR VAR_EXTERNAL g : INT;"
        found = last("q := FALSE AND Up(1) > 0;", own, UP, GLOBAL, readings=Readings(complete=complete))
        assert found["::g"] == count


def test_a_division_by_zero_stops_or_gives_zero() -> None:
    program = machine("y := 1; y := 10 / m; m := 1;")
    assert program.cycle() == {"stopped": True} and program.cycle() == {"stopped": True}
    assert last("y := 1; y := 10 / m;", readings=Readings(stops=False))["out:y"] == 0
    resumed = machine("y := y + 1; m := 10 / m;", readings=Readings(goes_on=True))
    assert (resumed.cycle()["out:y"], resumed.cycle()["out:y"]) == (1, 2)


def test_an_index_out_of_bounds() -> None:
    own = "e : ARRAY[1..3] OF INT := [3(7)];"
    assert last("y := e[m];", own) == {"stopped": True}
    assert last("e[m] := 1; y := e[m];", own, readings=Readings(stops=False))["out:y"] == 0


def test_a_warm_restart_keeps_what_is_retained() -> None:
    program = machine("m := m + 1; k := k + 1; y := m * 10 + k;", "END_VAR VAR RETAIN k : INT;")
    program.cycle()
    program.restart()
    assert program.cycle()["out:y"] == 12


def test_functions_of_others_are_a_table() -> None:
    program = machine("y := Elsewhere(n); q := Elsewhere(n) = y;", "END_VAR VAR_INPUT v : INT;")
    assert program.cycle()["out:q"] is True
    seen = {machine_of(seed).cycle({"n": n})["out:y"] for seed in range(3) for n in range(3)}
    assert len(seen) > 3


def machine_of(seed: int) -> Machine:
    return Machine(machine("y := Elsewhere(n);").copy, "P", USUAL, seed)


def test_a_ladder_runs_rung_after_rung_with_its_edges() -> None:
    from asfound.language.parser import parse_expression
    from asfound.model.copy import Copy
    from asfound.model.logic import Assign, Edge, Variable
    from asfound.model.program import Body, Network, Pou, Program, VariableDeclaration

    rungs = (
        Network((Assign(Variable("q"), Edge("rising", Variable("a"))),)),
        Network((Assign(Variable("s"), parse_expression("q"), "set"),)),
        Network((Assign(Variable("s"), parse_expression("b"), "reset"),)),
    )
    names = [VariableDeclaration(n, "BOOL", "input") for n in "ab"] + [
        VariableDeclaration(n, "BOOL", "output") for n in "qs"
    ]
    pou = Pou("L", "program", variables=tuple(names), bodies=(Body("LD", networks=rungs),))
    ladder = Machine(Copy(program=Program(pous=(pou,))), "L")
    seen = [ladder.cycle({"a": a, "b": b}) for a, b in ((True, False), (True, False), (False, True), (True, False))]
    assert [s["out:q"] for s in seen] == [True, False, False, True]
    assert [s["out:s"] for s in seen] == [True, True, False, True]


def test_the_example() -> None:
    assert doctest.testmod(interpreter.machine).failed == 0
