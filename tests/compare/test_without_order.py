"""Things that have a name and no order: listed in another one, they are for people alone; and what runs nothing."""

from __future__ import annotations

import pytest

import asfound
from asfound.compare.result import Comparison

PARTS = {
    "actions": ("PROGRAM P VAR x : BOOL; END_VAR x := TRUE; {} END_PROGRAM", "ACTION {0}: x := {1}; END_ACTION"),
    "methods and properties": (
        "FUNCTION_BLOCK P VAR x : BOOL; END_VAR {} END_FUNCTION_BLOCK",
        "METHOD {0} : BOOL {0} := {1}; END_METHOD",
    ),
}


def compared(old: str, new: str) -> Comparison:
    return asfound.compare(*(asfound.read(text.encode(), "p.st") for text in (old, new)))


@pytest.mark.parametrize("word", PARTS)
def test_what_is_called_by_name_has_no_order(word: str) -> None:
    whole, part = PARTS[word]
    one, two, three = part.format("One", "TRUE"), part.format("Two", "FALSE"), part.format("Three", "x")
    found = compared(whole.format(f"{one} {two} {three}"), whole.format(f"{three} {one} {two}"))
    assert [(c.effect, c.kind) for c in found.changes] == [("documentation", "changed")]
    assert found.changes[0].summary.endswith(f"P: {word} listed in another order")


@pytest.mark.parametrize("word", PARTS)
def test_another_order_hides_no_change_and_no_newcomer(word: str) -> None:
    whole, part = PARTS[word]
    one, two, other = part.format("One", "TRUE"), part.format("Two", "FALSE"), part.format("Two", "TRUE")
    swapped = compared(whole.format(f"{one} {two}"), whole.format(f"{other} {one}"))
    assert sorted(c.effect for c in swapped.changes) == ["behaviour", "documentation"]
    added = compared(whole.format(f"{one} {two}"), whole.format(f"{part.format('Zero', 'x')} {one} {two}"))
    assert [c.kind for c in added.changes] == ["added"]


PLANT = (
    "PROGRAM P VAR x : BOOL; END_VAR x := TRUE; END_PROGRAM\nCONFIGURATION C\nRESOURCE R ON PLC\n"
    "TASK T(INTERVAL := T#10ms, PRIORITY := 1);\nPROGRAM I WITH T : P;\nEND_RESOURCE\n{}END_CONFIGURATION\n"
)
EMPTY = "RESOURCE R2 ON PLC\nEND_RESOURCE\n"
RUNS = "RESOURCE R2 ON PLC\nTASK T(INTERVAL := T#10ms, PRIORITY := 1);\nPROGRAM I WITH T : P;\nEND_RESOURCE\n"


@pytest.mark.parametrize(("more", "effect"), [(EMPTY, "documentation"), (RUNS, "behaviour")])
def test_a_resource_in_which_nothing_runs_acts_in_no_way(more: str, effect: str) -> None:
    for old, new in (("", more), (more, "")):
        found = compared(PLANT.format(old), PLANT.format(new))
        assert found.verdict == effect
        assert any(c.summary.startswith("resource R2") for c in found.changes)


IDLE = "TASK Spare(INTERVAL := T#1s, PRIORITY := 9);\n"
EVENT = "TASK Spare(SINGLE := x, PRIORITY := 9);\n"
USED = f"{IDLE}PROGRAM J WITH Spare : P;\n"


@pytest.mark.parametrize(("more", "effect"), [(IDLE, "documentation"), (EVENT, "documentation"), (USED, "behaviour")])
def test_a_task_in_which_no_program_runs_acts_in_no_way(more: str, effect: str) -> None:
    plant = PLANT.format("").replace("END_RESOURCE", "{}END_RESOURCE")
    for old, new in (("", more), (more, "")):
        (first, *_) = (c for c in compared(plant.format(old), plant.format(new)).changes if "task Spare" in c.where)
        assert first.effect == effect
        assert first.details[1:] == (("no program runs in it",) if effect == "documentation" else ())


def test_a_task_counts_where_nothing_shows_what_runs_in_which_or_the_code_names_it() -> None:
    plant = PLANT.format("").replace("END_RESOURCE", "{}END_RESOURCE")
    bare = plant.replace("PROGRAM I WITH T : P;\n", "")
    assert compared(bare.format(""), bare.format(IDLE)).verdict == "behaviour"
    named = plant.replace("x := TRUE;", "x := Start(Spare);")
    assert compared(named.format(""), named.format(IDLE)).verdict == "behaviour"


def test_a_resource_with_idle_tasks_acts_in_no_way() -> None:
    found = compared(PLANT.format(""), PLANT.format(f"RESOURCE R2 ON PLC\n{IDLE}END_RESOURCE\n"))
    assert [(c.effect, c.summary) for c in found.changes] == [("documentation", "resource R2 added")]


BLOCK = "FUNCTION_BLOCK F VAR m : Mode; END_VAR m := HAND; END_FUNCTION_BLOCK "
OWN = "FUNCTION_BLOCK F VAR m : INT; END_VAR m := m + 1; END_FUNCTION_BLOCK "
TYPE = "TYPE Mode : (OFF, HAND); END_TYPE "
PROGRAM = "PROGRAM Q VAR y : BOOL; END_VAR y := NOT y; END_PROGRAM "


@pytest.mark.parametrize(
    "more", [OWN, TYPE, PROGRAM, TYPE + BLOCK, OWN + "FUNCTION_BLOCK G VAR f : F; END_VAR f(); END_FUNCTION_BLOCK "]
)
def test_what_nothing_that_runs_uses_is_for_people(more: str) -> None:
    for old, new in (("", more), (more, "")):
        found = compared(old + PLANT.format(""), new + PLANT.format(""))
        assert found.changes and {c.effect for c in found.changes} == {"documentation"}


@pytest.mark.parametrize(
    ("more", "use"),
    [
        (OWN, ("VAR x : BOOL;", "VAR x : BOOL; f : F;")),
        (TYPE, ("VAR x : BOOL;", "VAR x : BOOL; m : Mode;")),
        (PROGRAM, ("PROGRAM I WITH T : P;", "PROGRAM I WITH T : P;\nPROGRAM J WITH T : Q;")),
        (TYPE, ("x := TRUE;", "x := HAND > 0;")),
    ],
)
def test_what_gets_used_is_told_by_its_use(more: str, use: tuple[str, str]) -> None:
    found = compared(PLANT.format(""), more + PLANT.format("").replace(*use))
    whole = next(c for c in found.changes if c.kind == "added" and c.path[0] in ("F", "type:Mode", "Q"))
    assert whole.effect != "documentation"
    assert len(found.changes) > 1


def test_a_program_counts_where_nothing_shows_what_runs() -> None:
    text = "PROGRAM P VAR x : BOOL; END_VAR x := TRUE; END_PROGRAM "
    assert compared(text, text + PROGRAM).verdict == "behaviour"


def test_a_block_named_like_a_standard_one_counts() -> None:
    timer = "FUNCTION_BLOCK TON VAR m : INT; END_VAR m := m + 1; END_FUNCTION_BLOCK "
    assert compared(PLANT.format(""), timer + PLANT.format("")).verdict == "behaviour"
