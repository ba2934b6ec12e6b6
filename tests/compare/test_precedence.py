"""What is said of two statements that changed places: which variable is now read or written in the other order."""

from __future__ import annotations

import pytest

import asfound
from asfound.compare.result import Change

FRAME = """
FUNCTION_BLOCK Block
VAR_IN_OUT p : INT; q : INT; r : BOOL; END_VAR
VAR a, b, c, d : INT; bit AT %MX10.3 : BOOL; word AT %MW10 : WORD; far AT %MW12 : WORD; ref : REF_TO INT; w : WORD; x : BOOL; END_VAR
VAR_EXTERNAL lamp : BOOL; END_VAR
{0}
{1}
END_FUNCTION_BLOCK
CONFIGURATION Plant VAR_GLOBAL lamp AT %QX4.1 : BOOL; END_VAR END_CONFIGURATION
"""


def moved(first: str, second: str) -> Change:
    """The one change when two statements change places."""
    old, new = (asfound.read(FRAME.format(*s).encode(), "b.st") for s in ((first, second), (second, first)))
    (change,) = asfound.compare(old, new).changes
    assert change.kind == "moved"
    return change


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        ("a := b;", "c := a;", "a is now read before it is written"),
        ("c := a;", "a := b;", "a is now read after it is written"),
        ("a := b;", "a := c;", "a is now written last by what was written first"),
        ("bit := x;", "w := word;", "bit, which may be the same memory as word, is now read before it is written"),
        ("%MW10 := w;", "x := bit;", "%MW10, which may be the same memory as bit, is now read before it is written"),
        ("%QW4 := w;", "x := lamp;", "%QW4, which may be the same memory as lamp, is now read before it is written"),
        ("p := a;", "b := q;", "p, which may be the same memory as q, is now read before it is written"),
        ("ref^ := a;", "b := c;", "what ref refers to may be touched by the other"),
    ],
)
def test_a_dependency_is_named(first: str, second: str, said: str) -> None:
    change = moved(first, second)
    assert (change.effect, said in change.details) == ("behaviour", True), change.details


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("a := b;", "c := d;"),
        ("a := b;", "c := b;"),
        ("%MX12.0 := x;", "w := word;"),
        ("%IX10.3 := x;", "w := word;"),
        ("p := a;", "x := r;"),
    ],
)
def test_independent_statements_may_change_places(first: str, second: str) -> None:
    """Other areas, other bytes, and VAR_IN_OUT of another type are other memory."""
    change = moved(first, second)
    assert (change.effect, change.details) == ("equivalent", ("nothing it passes is affected",))


def test_a_jump_that_is_passed_always_matters() -> None:
    old = FRAME.format("a := b; IF x THEN JMP out; END_IF; c := d;", "out: d := 1;")
    new = FRAME.format("IF x THEN JMP out; END_IF; a := b; c := d;", "out: d := 1;")
    changes = asfound.compare(asfound.read(old.encode(), "b.st"), asfound.read(new.encode(), "b.st")).changes
    assert "behaviour" in {c.effect for c in changes}


def test_reach_goes_through_shared_memory() -> None:
    text = """
PROGRAM Main
VAR x : BOOL; lamp AT %QX4.1 : BOOL; flag AT %MX11.7 : BOOL; END_VAR
%MW10 := SEL(x, 0, 5);
lamp := flag;
END_PROGRAM
"""
    old, new = asfound.read(text.encode(), "m.st"), asfound.read(text.replace("0, 5", "0, 6").encode(), "m.st")
    (change,) = asfound.compare(old, new).changes
    assert change.reach == ("Main.lamp (%QX4.1)",)


def test_reach_names_what_other_stations_read() -> None:
    """VAR_ACCESS makes a variable visible to other stations (IEC 61131-3:2013 6.5.2.2, from memory)."""
    text = """
PROGRAM Main VAR x : BOOL; y : INT; END_VAR VAR_EXTERNAL g : INT; END_VAR x := y > 3; g := y * 2; END_PROGRAM
CONFIGURATION Plant
VAR_GLOBAL g : INT; END_VAR
RESOURCE Cpu ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM P WITH T : Main; END_RESOURCE
VAR_ACCESS remote : Cpu.P.x : BOOL READ_ONLY; level : Cpu.g : INT READ_WRITE; END_VAR
END_CONFIGURATION
"""
    for old, new, reach in (
        ("y > 3", "y > 4", "remote (access path Cpu.P.x)"),
        ("y * 2", "y * 3", "level (access path Cpu.g)"),
    ):
        copies = (asfound.read(t.encode(), "m.st") for t in (text, text.replace(old, new)))
        (change,) = asfound.compare(*copies).changes
        assert change.reach == (reach,)
