"""The small pairs of ../shared/pairs/once that ask for an answer: what each must give stands in its README.

External source: ../shared/pairs (written beside the project, some of them run with an independent compiler).
"""

from __future__ import annotations

from pathlib import Path

import pytest

import asfound
from asfound.compare.result import Comparison

PAIRS = Path(__file__).parents[2].parent / "shared" / "pairs" / "once"
pytestmark = pytest.mark.skipif(not PAIRS.is_dir(), reason="../shared is not here")


def compared(name: str) -> Comparison:
    old, new = (
        asfound.read((PAIRS / f"{name}.{side}.st").read_bytes(), f"{name}.{side}.st") for side in ("old", "new")
    )
    return asfound.compare(old, new)


@pytest.mark.parametrize(
    ("name", "inputs", "assumed", "reach"),
    [
        ("conversion_beside_inverted_contact", {"alarm"}, {"REAL_TO_INT(r) > 5"}, "P.m (%QX0.0)"),
        ("selector_inverted_around_move", {"a", "b"}, set(), ""),
        ("unknown_function_beside_contact", {"a (%IX0.0)"}, {"Elsewhere(level)"}, "P.x (%QX0.1)"),
        ("unknown_function_only", set(), {"Elsewhere(level)", "Elsewhere(level + 1)"}, "P.x (%QX0.1)"),
        ("real_condition_plain_case", {"t (%ID0)"}, set(), "P.q (%QX0.0)"),
        ("words_numbered_by_word", {"a (%IW0)", "c (%IW2)", "d (%IW3)"}, set(), "P.z (%QW1)"),
        ("words_numbered_by_byte", {"a (%IW0)", "c (%IW4)", "d (%IW6)"}, set(), "P.z (%QW2)"),
    ],
)
def test_behaviour_with_a_case_and_nothing_else(name: str, inputs: set[str], assumed: set[str], reach: str) -> None:
    (change,) = compared(name).changes
    assert change.effect == "behaviour"
    assert change.witness is not None and change.witness.moment == "cycle"
    assert set(change.witness.inputs) <= inputs and set(change.witness.assumed) == assumed
    assert change.witness.old != change.witness.new
    assert change.reach == ((reach,) if reach else ())


def test_a_plain_number_lies_between_the_limits() -> None:
    (change,) = compared("real_condition_plain_case").changes
    assert change.witness is not None
    number = float(change.witness.inputs["t (%ID0)"])
    assert 40 < number <= 45 and number == int(number)


@pytest.mark.parametrize(
    ("name", "effects"),
    [
        ("guarded_division_swapped", {"undecided"}),
        ("moved_past_a_call_by_reference", {"behaviour"}),
        ("moved_past_a_block_that_writes_by_reference", {"behaviour"}),
        ("mirrored_comparison_with_a_writing_call", {"behaviour", "undecided"}),
        ("user_function_named_like_a_conversion", {"behaviour"}),
        ("sum_compared_or_narrowed_first", {"behaviour", "undecided"}),
    ],
)
def test_what_is_not_equivalent(name: str, effects: set[str]) -> None:
    (change,) = compared(name).changes
    assert change.effect in effects
    assert change.reach, "what is not known to act the same says what it can touch"


def test_a_statement_moved_with_its_comment_is_one_move() -> None:
    (change,) = compared("statement_moved_with_its_comment").changes
    assert (change.kind, change.effect, change.where) == ("moved", "behaviour", "P / statement 1")
    assert change.summary == "statement 2 moved to statement 1: p := q;"
    assert "q is now read before it is written" in change.details
    assert change.witness is not None and change.reach == ("P.p (%QX0.1)",)


def test_compilers_differ_in_the_width_of_a_sum() -> None:
    assert any("width" in limit for limit in compared("sum_compared_or_narrowed_first").limits)


@pytest.mark.parametrize("way", ["word", "byte"])
def test_how_words_are_counted_is_said_with_its_reason(way: str) -> None:
    said = [limit for limit in compared(f"words_numbered_by_{way}").limits if f"by {way}" in limit]
    assert len(said) == 1 and "%IW" in said[0]


def test_three_variables_that_became_global_are_one_change_and_the_new_address_is_another() -> None:
    moved, lamp = sorted(compared("locals_became_globals").changes, key=lambda c: c.effect, reverse=True)
    assert (moved.effect, moved.kind, moved.summary) == (
        "equivalent", "moved", "3 local variables of P became global, in C"
    )  # fmt: skip
    assert (lamp.effect, lamp.kind, lamp.where) == ("behaviour", "readdressed", "C / lamp")
    assert lamp.summary.startswith("lamp: address %QX0.1 -> %QX0.2")


@pytest.mark.parametrize("name", ["action_without_colon", "elseif_for_elsif"])
def test_another_spelling_is_told_once_and_changes_nothing(name: str) -> None:
    found = [asfound.read(PAIRS / f"{name}.{side}.st") for side in ("old", "new")]
    assert compared(name).changes == ()
    assert sum(len(copy.findings) for copy in found) == 1
