"""Tables made by hand from the timing diagrams and bodies of IEC 61131-3 (tables 43 to 46, from memory)."""

from __future__ import annotations

import pytest

import asfound
from interpreter.machine import Machine

S = 1000


def rows(type: str, call: str, outputs: str, steps: list[tuple[float, dict[str, object], tuple[object, ...]]]) -> None:
    inputs = "a : BOOL; b : BOOL; c : BOOL; d : BOOL;"
    text = f"PROGRAM P VAR_INPUT {inputs} END_VAR VAR x : {type}; END_VAR x({call}); END_PROGRAM"
    machine = Machine(asfound.read(text.encode(), "p.st"), "P")
    for at, (elapsed, given, expected) in enumerate(steps):
        machine.cycle(given, elapsed)
        assert tuple(machine.get(f"x.{o}") for o in outputs.split()) == expected, at


def ms(number: int) -> int:
    return number * 1_000_000


def test_on_delay() -> None:
    rows("TON", "IN := a, PT := T#5s", "Q ET", [
        (10, {"a": False}, (False, 0)), (10, {"a": True}, (False, 0)), (4 * S, {}, (False, ms(4000))),
        (1 * S, {}, (True, ms(5000))), (9 * S, {}, (True, ms(5000))), (10, {"a": False}, (False, 0)),
        (10, {"a": True}, (False, 0)), (4 * S, {"a": False}, (False, 0)), (2 * S, {"a": True}, (False, 0)),
    ])  # fmt: skip


def test_off_delay() -> None:
    rows("TOF", "IN := a, PT := T#5s", "Q ET", [
        (10, {"a": False}, (False, 0)), (10, {"a": True}, (True, 0)), (10, {"a": False}, (True, 0)),
        (4 * S, {}, (True, ms(4000))), (1 * S, {}, (False, ms(5000))), (1 * S, {}, (False, ms(5000))),
        (10, {"a": True}, (True, 0)), (10, {"a": False}, (True, 0)), (4 * S, {"a": True}, (True, 0)),
        (10, {"a": False}, (True, 0)), (4 * S, {}, (True, ms(4000))),
    ])  # fmt: skip


def test_pulse() -> None:
    rows("TP", "IN := a, PT := T#5s", "Q ET", [
        (10, {"a": False}, (False, 0)), (10, {"a": True}, (True, 0)), (1 * S, {"a": False}, (True, ms(1000))),
        (1 * S, {"a": True}, (True, ms(2000))), (3 * S, {}, (False, ms(5000))), (9 * S, {}, (False, ms(5000))),
        (10, {"a": False}, (False, 0)), (10, {"a": True}, (True, 0)), (9 * S, {"a": False}, (False, 0)),
    ])  # fmt: skip


def test_counter_up() -> None:
    rows("CTU", "CU := a, R := b, PV := 2", "Q CV", [
        (10, {"a": True}, (False, 1)), (10, {}, (False, 1)), (10, {"a": False}, (False, 1)), (10, {"a": True}, (True, 2)),
        (10, {"b": True}, (False, 0)), (10, {"a": False}, (False, 0)), (10, {"a": True}, (False, 0)),
        (10, {"b": False}, (False, 0)), (10, {"a": False}, (False, 0)), (10, {"a": True}, (False, 1)),
    ])  # fmt: skip


def test_counter_down() -> None:
    rows("CTD", "CD := a, LD := b, PV := 2", "Q CV", [
        (10, {"b": True}, (False, 2)), (10, {"b": False, "a": True}, (False, 1)), (10, {"a": False}, (False, 1)),
        (10, {"a": True}, (True, 0)), (10, {"a": False}, (True, 0)), (10, {"a": True}, (True, -1)),
    ])  # fmt: skip


def test_counter_up_and_down() -> None:
    rows("CTUD", "CU := a, CD := b, R := c, LD := d, PV := 2", "QU QD CV", [
        (10, {"a": True}, (False, False, 1)), (10, {"a": False, "b": True}, (False, True, 0)),
        (10, {"b": False}, (False, True, 0)), (10, {"a": True, "b": True}, (False, True, 0)),
        (10, {"d": True}, (True, False, 2)), (10, {"c": True}, (False, True, 0)),
    ])  # fmt: skip


@pytest.mark.parametrize(
    ("type", "call", "table"),
    [
        ("SR", "S1 := a, R := b", {(0, 0, 0): 0, (0, 0, 1): 1, (0, 1, 0): 0, (0, 1, 1): 0, (1, 0, 0): 1, (1, 1, 0): 1, (1, 1, 1): 1}),
        ("RS", "S := a, R1 := b", {(0, 0, 0): 0, (0, 0, 1): 1, (0, 1, 0): 0, (0, 1, 1): 0, (1, 0, 0): 1, (1, 1, 0): 0, (1, 1, 1): 0}),
    ],
)  # fmt: skip
def test_bistables(type: str, call: str, table: dict[tuple[int, int, int], int]) -> None:
    text = f"PROGRAM P VAR_INPUT a : BOOL; b : BOOL; END_VAR VAR x : {type}; END_VAR x({call}); END_PROGRAM"
    for (a, b, before), after in table.items():
        machine = Machine(asfound.read(text.encode(), "p.st"), "P")
        machine.cycle({"a": bool(a), "b": bool(b), "x.Q1": bool(before)})
        assert machine.get("x.Q1") == bool(after), (a, b, before)


def test_edges() -> None:
    rows("R_TRIG", "CLK := a", "Q", [
        (10, {}, (False,)), (10, {"a": True}, (True,)), (10, {}, (False,)), (10, {"a": False}, (False,)),
        (10, {"a": True}, (True,)),
    ])  # fmt: skip
    rows("F_TRIG", "CLK := a", "Q", [
        (10, {"a": True}, (False,)), (10, {"a": False}, (True,)), (10, {}, (False,)), (10, {"a": True}, (False,)),
    ])  # fmt: skip
