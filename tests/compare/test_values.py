"""Actual values and forces: tuned, within a tolerance, held against the program of the other copy."""

from __future__ import annotations

from fractions import Fraction

import pytest

from asfound.compare.comparison import compare
from asfound.compare.result import Change
from asfound.language.documents import parse_program
from asfound.model.copy import Copy, Source
from asfound.model.values import ActualValue, Force


def values(*rows: tuple[str, ...]) -> Copy:
    return Copy(values=tuple(ActualValue(*row) for row in rows))


def only(old: Copy, new: Copy, tolerance: str = "0") -> Change:
    (change,) = compare(old, new, tolerance=Fraction(tolerance)).changes
    return change


def test_a_tuned_value_says_by_how_much_and_what_a_cold_start_brings_back() -> None:
    found = only(values(("SP", "5.2", "5.2", "bar")), values(("SP", "5.8", "5.2", "bar")))
    assert (found.effect, found.summary) == ("behaviour", "SP tuned: 5.2 -> 5.8 bar")
    assert found.details == (
        "actual value 5.2 -> 5.8 bar (+0.6)",
        "differs from the initial value 5.2, which a cold start or a download may bring back",
    )


@pytest.mark.parametrize(
    ("old", "new", "tolerance", "effect", "detail"),
    [
        ("5.2", "5.20", "0", "documentation", "actual value 5.2 -> 5.20 (the same value)"),
        ("5.2", "5.21", "0", "behaviour", "actual value 5.2 -> 5.21 (+0.01)"),
        ("5.2", "5.21", "0.01", "documentation", "actual value 5.2 -> 5.21 (within the stated tolerance)"),
        ("5.2", "5.22", "0.01", "behaviour", "actual value 5.2 -> 5.22 (+0.02)"),
        ("T#90s", "00:01:30", "0", "documentation", "actual value T#90s -> 00:01:30 (the same value)"),
        ("T#8s", "3s", "1000", "behaviour", "actual value T#8s -> 3s (-5s)"),
        (
            "D#2026-03-01",
            "2026-03-01",
            "0",
            "documentation",
            "actual value D#2026-03-01 -> 2026-03-01 (the same value)",
        ),
        ("2026-03-01", "2026-03-02", "0", "behaviour", "actual value 2026-03-01 -> 2026-03-02"),
        ("on", "", "0", "behaviour", "actual value on -> none"),
    ],
)
def test_values_are_compared_as_what_they_mean(old: str, new: str, tolerance: str, effect: str, detail: str) -> None:
    found = only(values(("V", old)), values(("V", new)), tolerance)
    assert (found.effect, found.details[0]) == (effect, detail)


def test_the_same_number_in_another_unit_is_another_value() -> None:
    found = only(values(("V", "5.2", "", "bar")), values(("V", "5.20", "", "mbar")))
    assert found.effect == "behaviour"
    assert "unit bar -> mbar" in found.details


def test_a_stated_tolerance_is_a_limit_of_the_comparison() -> None:
    sides = values(("V", "1.0")), values(("V", "1.1"))
    assert (
        "numbers of value lists count as the same within 0.5, as stated"
        in compare(*sides, tolerance=Fraction("0.5")).limits
    )
    assert compare(*sides).limits == ()


OFFICE = "VAR_GLOBAL SP : REAL := 5.2; Delay : TIME := T#90s; END_VAR\nPROGRAM Main\nVAR Kp : REAL := 1.5; END_VAR\nEND_PROGRAM\n"


def office(text: str = OFFICE) -> Copy:
    return Copy(program=parse_program(text, "p.st"))


def of_values(old: Copy, new: Copy) -> Change:
    (found,) = [c for c in compare(old, new).changes if c.area == "value"]
    return found


def test_values_that_only_runs_know_are_held_against_the_program_of_the_other_copy() -> None:
    running = values(("SP", "5.8", "5.2", "bar"), ("Delay", "00:01:30"), ("main.Kp", "1.5"))
    found = of_values(running, office())
    assert (found.kind, found.effect) == ("removed", "behaviour")
    assert found.summary == "SP tuned: 5.8 bar, the new copy starts with 5.2"
    assert found.details == (
        "SP: 5.8 bar (initial 5.2); the new copy starts with 5.2",
        "Delay: 00:01:30",
        "main.Kp: 1.5",
    )
    back = of_values(office(), running)
    assert (back.kind, back.effect) == ("added", "behaviour")
    assert back.summary == "SP tuned: 5.8 bar, the old copy starts with 5.2"


def test_values_that_the_program_starts_with_act_the_same() -> None:
    found = of_values(values(("SP", "5.20"), ("Delay", "T#90s")), office())
    assert (found.effect, found.summary) == ("equivalent", "the new copy starts with the 2 actual values of the other")
    inside = of_values(office(), values(("MAIN.kp", "1.50"), ("Sp", "5.2"), ("delay", "90s")))
    assert (inside.effect, inside.summary) == (
        "equivalent", "the old copy starts with the 3 actual values of the other",
    )  # fmt: skip


def test_values_that_nobody_declares_stay_undecided_and_tuned_ones_are_named() -> None:
    found = of_values(values(("X", "2", "1"), ("SP", "5.2")), office())
    assert (found.effect, found.summary) == (
        "undecided",
        "2 actual values cannot be compared: the new copy holds no value list; 1 of them tuned: X: 2 (initial 1)",
    )


def test_forces() -> None:
    force = Copy(forces=(Force("Float", "TRUE", "%IX7.0"),))
    none = Copy(sources=(Source("forces.csv", "0" * 64, 1, "force-list"),))
    assert only(none, force).summary == "Float is forced to TRUE"
    assert only(force, none).summary == "Float is no longer forced to TRUE"
    changed = only(force, Copy(forces=(Force("Float", "0", "%IX7.0"),)))
    assert (changed.effect, changed.summary) == ("behaviour", "Float: forced to TRUE -> 0")
    respelled = only(force, Copy(forces=(Force("Float", "1", "%IX7.0"),)))
    assert respelled.effect == "documentation"
