"""Programs walked side by side: what is one thing under another name, and what is never taken for it."""

from __future__ import annotations

import re

import pytest

import asfound
from asfound.compare.renames.in_parallel import names_in_parallel
from asfound.compare.result import Comparison

PLANT = """
TYPE Side : (LEFT, RIGHT, MIDDLE); END_TYPE
TYPE Gear : (FIRST, SECOND, REVERSE); END_TYPE
FUNCTION_BLOCK Lamp
VAR lit, dark, blink : BOOL; END_VAR
ACTION Both : lit := TRUE; END_ACTION
ACTION None : dark := TRUE; END_ACTION
ACTION Some : blink := TRUE; END_ACTION
END_FUNCTION_BLOCK
PROGRAM Main
VAR where : Side; gear : Gear; lamp : Lamp; one, two, three, four : BOOL; END_VAR
one := two AND three; four := one OR where = RIGHT; three := gear = REVERSE AND one; two := NOT four AND three;
lamp.Both(); lamp.Some(blink := one); IF four THEN lamp.None(); END_IF; {native(one, four);}
END_PROGRAM
"""
NAMES = (
    "Side LEFT RIGHT MIDDLE Gear FIRST SECOND REVERSE Lamp lit dark blink Both None Some Main where gear_ lamp_ "
    "one two three four"
).split()


def compared(*edits: tuple[str, str]) -> Comparison:
    """The plant with ``edits``, and then every name another one, against the plant."""
    old, text = (re.sub(r"\b(gear|lamp)\b", r"\1_", PLANT) for _ in range(2))
    for before, after in edits:
        assert before in text
        text = text.replace(before, after)
    for name in NAMES:
        text = re.sub(rf"\b{name}\b", f"{name}9", text)
    return asfound.compare(*(asfound.read(each.encode(), "p.st") for each in (old, text)))


def renames(found: Comparison) -> set[str]:
    return {
        c.edits[0].old or "" for c in found.changes if c.kind == "renamed" and c.edits[0].new == f"{c.edits[0].old}9"
    }


def others(found: Comparison) -> list[str]:
    return [f"{c.effect} {c.where}: {c.summary}" for c in found.changes if c.kind != "renamed" and not c.follows_from]


def test_every_name_is_told_once_also_in_code_that_is_not_interpreted() -> None:
    found = compared()
    assert renames(found) == set(NAMES)
    assert len(found.changes) == len(NAMES)


def test_another_order_of_types_and_actions_does_not_mix_them_up() -> None:
    side, gear = ("TYPE Side : (LEFT, RIGHT, MIDDLE); END_TYPE\n", "TYPE Gear : (FIRST, SECOND, REVERSE); END_TYPE\n")
    both, none = ("ACTION Both : lit := TRUE; END_ACTION\n", "ACTION None : dark := TRUE; END_ACTION\n")
    found = compared((side + gear, gear + side), (both + none, none + both))
    assert renames(found) == set(NAMES)
    assert {c.effect for c in found.changes if c.kind != "renamed"} <= {"documentation"}


def test_an_operand_that_is_another_one_is_told_under_the_new_names() -> None:
    found = compared(("four := one OR", "four := three OR"))
    assert renames(found) == set(NAMES)
    assert others(found) == ["behaviour Main9 / statement 2: four9: operand one9 replaced by three9"]


def test_another_value_is_told_under_the_new_names() -> None:
    found = compared(("where = RIGHT", "where = LEFT"))
    assert renames(found) == set(NAMES)
    (told,) = others(found)
    assert told.startswith("behaviour Main9 / statement 2")


def test_what_is_inserted_between_renamed_declarations_is_the_new_one() -> None:
    found = compared(("one, two,", "one, spare, two,"), ("two := NOT four", "two := spare OR NOT four"))
    assert renames(found) == set(NAMES)
    assert len([c for c in found.changes if c.kind == "added" and c.edits and "spare" in c.summary]) == 1


def test_two_small_blocks_are_no_rename() -> None:
    text = "PROGRAM {0} VAR {1} : BOOL; END_VAR {1} := NOT {1}; END_PROGRAM"
    pair = text.format("Heating", "hot"), text.format("Lighting", "dark")
    found = asfound.compare(*(asfound.read(each.encode(), "p.st") for each in pair))
    assert sorted(c.kind for c in found.changes) == ["added", "removed"]


def test_a_block_put_in_the_place_of_another_is_no_rename() -> None:
    block = "FUNCTION_BLOCK {0} VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT on : BOOL; END_VAR {1} END_FUNCTION_BLOCK "
    use = "PROGRAM P VAR b : {0}; x : BOOL; END_VAR b(go := x); x := b.on; END_PROGRAM"
    first = block.format("Direct", "on := go;") + use.format("Direct")
    second = block.replace("VAR_OUTPUT", "VAR t : TON; n : INT; k : INT; END_VAR VAR_OUTPUT").format(
        "Delayed", "t(IN := go, PT := T#5s); n := n + 1; IF n > 9 THEN n := 0; k := k + 1; END_IF; on := t.Q;"
    ) + use.format("Delayed")
    found = asfound.compare(*(asfound.read(each.encode(), "p.st") for each in (first, second)))
    assert not [c for c in found.changes if c.kind == "renamed"]
    assert found.verdict == "behaviour"


def test_a_name_that_both_sides_use_is_not_taken_for_another_one() -> None:
    text = "PROGRAM P VAR {0} : BOOL; END_VAR out := {0} AND {1}; lamp := NOT {0} OR {1}; END_PROGRAM"
    pair = text.format("ready", "spare"), text.format("spare", "spare")
    found = asfound.compare(*(asfound.read(each.encode(), "p.st") for each in pair))
    assert not [c for c in found.changes if c.kind == "renamed"]


def test_code_that_is_not_interpreted_and_keeps_the_old_name_is_told() -> None:
    text = "PROGRAM P VAR {0}, b : BOOL; END_VAR b := {0} OR b; {{native({1}, 'a')}} b := {0}; END_PROGRAM"
    old, followed, left = (asfound.read(text.format(*each).encode(), "p.st") for each in ("aa", "cc", "ca"))
    assert [c.summary for c in asfound.compare(old, followed).changes] == ["variable a renamed to c"]
    assert asfound.compare(old, left).verdict == "undecided"


def test_a_quote_inside_of_a_string_does_not_end_it() -> None:
    text = "PROGRAM P VAR {0}, b : BOOL; END_VAR b := {0} OR b; {{native({0}, 'it$'s {0}')}} b := {0}; END_PROGRAM"
    old, new = (asfound.read(text.format(name).encode(), "p.st") for name in "ac")
    assert asfound.compare(old, new).verdict == "undecided"


PROGRAM = "PROGRAM P VAR {0} : INT; o : INT; END_VAR o := {0} + 1; o := {0} * 2; o := {1}; END_PROGRAM"


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        (("a", "5"), ("b", "5"), {"p": {"a": "b"}}),
        (("a", "b"), ("b", "b"), {}),
        (("a", "a"), ("b", "a"), {}),
    ],
)
def test_a_name_that_stands_for_something_else_on_the_other_side_is_none(
    old: tuple[str, str], new: tuple[str, str], found: dict[str, dict[str, str]]
) -> None:
    copies = (asfound.read(PROGRAM.format(*names).encode(), "p.st") for names in (old, new))
    assert names_in_parallel(*copies).locals == found
