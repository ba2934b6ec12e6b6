"""What a declaration does by itself: an output that starts TRUE is on although no statement uses it.

IEC 61131-3:2013 6.5.1.2 (start values) and 6.4.4.4 (a subrange starts with its lowest value), from memory.
"""

from __future__ import annotations

import pytest

import asfound
from asfound.compare.result import Comparison

PROGRAM = """
TYPE On : BOOL := TRUE; END_TYPE TYPE Off : BOOL; END_TYPE TYPE Low : INT (5..10); END_TYPE
TYPE Pair : STRUCT one : INT; two : INT := 3; END_STRUCT END_TYPE TYPE None : STRUCT one, two : INT; END_STRUCT END_TYPE
TYPE Mode : (idle, busy); END_TYPE
PROGRAM P VAR {} a AT %IX0.0 : BOOL; END_VAR VAR q AT %QX9.1 : BOOL; END_VAR q := a; END_PROGRAM
"""
GLOBALS = """
PROGRAM P VAR a AT %IX0.0 : BOOL; q AT %QX9.1 : BOOL; END_VAR q := a; END_PROGRAM
CONFIGURATION C VAR_GLOBAL {} z : BOOL; END_VAR END_CONFIGURATION
"""


def compared(frame: str, old: str, new: str) -> Comparison:
    return asfound.compare(*(asfound.read(frame.format(text).encode(), "p.st") for text in (old, new)))


@pytest.mark.parametrize(
    ("declared", "shown"),
    [
        ("horn AT %QX0.0 : BOOL := TRUE;", "horn (%QX0.0)"),
        ("horn AT %QX0.0 : BOOL := 1;", "horn (%QX0.0)"),
        ("horn AT %QX0.0 : On;", "horn (%QX0.0)"),
        ("speed AT %QW0 : INT := 5;", "speed (%QW0)"),
        ("speed AT %QW0 : INT (5..10);", "speed (%QW0)"),
        ("speed AT %QW0 : Low;", "speed (%QW0)"),
        ("both AT %QW0 : Pair;", "both (%QW0)"),
        ("both AT %QW0 : ARRAY[0..1] OF On;", "both (%QW0)"),
        ("mode AT %QW0 : Mode := busy;", "mode (%QW0)"),
    ],
)
@pytest.mark.parametrize("came", [True, False])
def test_an_output_that_starts_otherwise_reaches_the_machine(declared: str, shown: str, came: bool) -> None:
    found = compared(PROGRAM, *(("", declared) if came else (declared, "")))
    assert [(c.effect, c.reach) for c in found.changes] == [("behaviour", (f"P.{shown}",))]


@pytest.mark.parametrize(
    "declared",
    [
        "horn AT %QX0.0 : BOOL;",
        "horn AT %QX0.0 : BOOL := FALSE;",
        "horn AT %QX0.0 : Off;",
        "button AT %IX0.2 : BOOL := TRUE;",
        "speed AT %QW0 : INT := 0;",
        "speed AT %QW0 : INT (0..10);",
        "both AT %QW0 : None;",
        "mode AT %QW0 : Mode;",
        "plain : BOOL := TRUE;",
    ],
)
def test_what_starts_with_zero_is_as_good_as_not_declared(declared: str) -> None:
    assert compared(PROGRAM, declared, "").verdict == "equivalent"


def test_a_global_output_and_memory() -> None:
    (change,) = compared(GLOBALS, "horn AT %QX0.0 : BOOL := TRUE;", "").changes
    assert (change.effect, change.reach) == ("behaviour", ("horn (%QX0.0)",))
    assert compared(GLOBALS, "", "flag AT %MX0.0 : BOOL := TRUE;").verdict == "behaviour"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("horn AT %QX0.0 : BOOL := TRUE;", "horn AT %QX0.0 : BOOL;"),
        ("horn AT %QX0.0 : BOOL := TRUE;", "horn AT %QX0.0 : BOOL := FALSE;"),
        ("horn AT %QX0.0 : On;", "horn AT %QX0.0 : Off;"),
    ],
)
def test_another_start_value_reaches_the_output(old: str, new: str) -> None:
    (change,) = compared(PROGRAM, old, new).changes
    assert (change.effect, change.reach) == ("behaviour", ("P.horn (%QX0.0)",))


SUBRANGE = """
TYPE Small : {0}; END_TYPE
PROGRAM P VAR i : {1}; y AT %QW2 : INT; a : BOOL; END_VAR IF a THEN i := i + 1; END_IF; y := i; END_PROGRAM
"""


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (("INT (0..10)", "INT (0..10)"), ("INT (0..10)", "INT")),
        (("INT (0..10)", "Small"), ("INT (0..10)", "INT")),
        (("INT (0..10)", "Small"), ("INT", "Small")),
        (("INT (0..10)", "Small"), ("INT (0..20)", "Small")),
    ],
)
def test_a_subrange_is_not_its_base(old: tuple[str, str], new: tuple[str, str]) -> None:
    texts = (SUBRANGE.format(*types).encode() for types in (old, new))
    (change,) = asfound.compare(*(asfound.read(t, "p.st") for t in texts)).changes
    assert (change.effect, change.reach) == ("behaviour", ("P.y (%QW2)",))
