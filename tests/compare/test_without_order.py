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
