"""What would be lost, in which order it is put back, and what the checks remember of a panel."""

from __future__ import annotations

from dataclasses import replace

import msgspec
import pytest
from ready_kit import (
    CARD,
    FINE,
    FORCE,
    NOW,
    PROGRAM,
    SEEN,
    TODAY,
    YESTERDAY,
    copies,
    held,
    panel,
    replaced,
    running,
    stated,
)  # fmt: skip

from asfound.checks.readiness.losses import AT_RISK, KINDS, losses
from asfound.checks.readiness.situation import PURPOSES, Note, Situation
from asfound.language.documents import parse_program
from asfound.model.hardware import Hardware
from asfound.model.panel import Panel
from asfound.model.values import ActualValue

VALUES = (
    ActualValue("Set", "5.8", "5.2", "bar"),
    ActualValue("Gain", "12", "12.0", "%"),
    ActualValue("Odd", "7"),
)
BRIDGED = parse_program(PROGRAM.replace("Lamp := Start;", "Lamp := Start OR TRUE;\nStart := FALSE;"), "p.st")


def told(s: Situation) -> list[tuple[str, ...]]:
    return [(loss.kind, loss.where, loss.now, loss.after, loss.back) for loss in losses(s)]


def everything(s: Situation) -> Situation:
    card = msgspec.structs.replace(CARD, hardware=replaced(order_number="X-9"))
    return copies(card=held("card", card))(running(values=VALUES, forces=FORCE, program=BRIDGED)(s))


def test_everything_that_a_reset_loses_stands_in_the_order_of_a_restart() -> None:
    """The order is common practice."""
    found = told(everything(FINE))
    back = "write the card before, or download S@1:running after"
    assert found == [
        ("hardware", "device S / slot 2 DI", "module DI replaced: part number X-2 -> X-9", "as the card has it", back),
        ("program", "Main / statement 2", "only running: Start := FALSE;", "gone", back),
        ("program", "Main / statement 1", "Lamp: TRUE removed from OR", "as the card has it", back),
        ("retained data", "Main", "Hours: no value is stored", "the values of the declaration",
         "note the values that matter before; enter them again, or let them count anew"),
        ("retained data", "value list", "1 value as loaded", "the same values", "compare with S@1:running"),
        ("tuned value", "Set", "5.8 bar", "5.2 bar", "enter 5.8 bar again, if it is still right"),
        ("tuned value", "Odd", "7", "not known", "enter 7 again, if it is still right"),
        ("time of day", "clock", "", "may stand still or start anew", "set date and time, check the zone"),
        ("force", "Go (%IX0.0)", "TRUE", "not known: it may be gone, or still there",
         "only if it is still meant, last of all, by whoever answers for it"),
    ]  # fmt: skip
    assert list(dict.fromkeys(kind for kind, *_ in found)) == list(KINDS)


@pytest.mark.parametrize("purpose", PURPOSES)
def test_each_purpose_tells_what_is_at_risk(purpose: str) -> None:
    found = told(replace(everything(FINE), purpose=purpose))  # type: ignore[arg-type]
    assert set(AT_RISK[purpose]) == {kind for kind, *_ in found}  # type: ignore[index]


def test_a_hardware_list_that_only_one_copy_holds_is_not_told_as_lost() -> None:
    card = msgspec.structs.replace(CARD, hardware=Hardware())
    found = [line for line in told(copies(card=held("card", card))(FINE)) if line[0] == "hardware"]
    words = "1 device, 2 modules cannot be compared: the card copy holds no hardware list"
    assert [line[2:4] for line in found] == [(words, "not known")]


def test_what_only_the_card_holds_comes_back() -> None:
    card = msgspec.structs.replace(CARD, program=BRIDGED)
    found = [loss for loss in told(copies(card=held("card", card))(FINE)) if loss[0] == "program"]
    assert ("program", "Main / statement 2", "only on the card: Start := FALSE;", "there again") in [
        f[:4] for f in found
    ]


@pytest.mark.parametrize(
    ("seen", "after"),
    [("none", "nothing: there is no card"), ("1 kB", "not known: no card copy is stored")],
)
def test_without_a_card_nothing_is_said_to_come_back(seen: str, after: str) -> None:
    found = losses(panel(card=seen)(copies(card=None)(FINE)))
    assert [(loss.where, loss.after) for loss in found if loss.kind == "program"] == [("all of it", after)]


UNKNOWN = "not known: what brings it back is not stated"


@pytest.mark.parametrize(
    ("place", "card", "expected"),
    [
        ("card", "1 kB", ["gone"]),
        ("", "1 kB", ["gone, if the card comes back", UNKNOWN]),
        ("", "none", ["gone, if the card comes back", f"{UNKNOWN}, and there is no card"]),
        ("built-in", "1 kB", ["what built-in memory holds; no copy of that is stored"]),
        ("nothing", "1 kB", ["nothing comes back"]),
    ],
)
def test_what_is_lost_depends_on_what_is_stated_to_bring_the_program_back(
    place: str, card: str, expected: list[str]
) -> None:
    longer = PROGRAM.replace("Lamp := Start;", "Lamp := Start;\nStart := FALSE;")
    s = stated(reset=place)(panel(card=card)(running(program=parse_program(longer, "p.st"))(FINE)))
    assert [loss.after for loss in losses(s) if loss.kind == "program"] == expected


def test_a_retained_variable_counts_as_stored_only_under_its_own_name() -> None:
    for name, listed in (("Main.Hours", False), ("main.hours", False), ("Hours", True), ("Other.Hours", True)):
        found = losses(running(values=(ActualValue(name, "9", "0"),))(FINE))
        assert any(loss.now == "Hours: no value is stored" for loss in found) == listed, name


def test_without_a_running_copy_the_table_says_that_it_knows_nothing() -> None:
    s = copies(running=None)(FINE)
    assert [loss.kind for loss in losses(s)] == ["time of day"]
    assert "no running copy is stored: what would be lost is not known" in s.limits()


# --- what was seen ----------------------------------------------------------------------------------------------


def noted(*notes: tuple[str, Panel]) -> Situation:
    return Situation("reset", TODAY, notes=tuple(Note(f"S@{n}", time, seen) for n, (time, seen) in enumerate(notes, 1)))


def test_a_later_note_adds_to_an_earlier_one_of_the_day() -> None:
    s = noted((NOW, SEEN), (NOW, Panel(battery="low")))
    assert [(s.seen(field) or ("", None))[0] for field in ("battery", "switch")] == ["low", "RUN"]
    assert s.seen("battery")[1].reference == "S@2"  # type: ignore[index]


def test_what_was_seen_yesterday_does_not_count_today() -> None:
    s = noted((YESTERDAY, SEEN))
    assert s.seen("switch") is None
    assert (s.seen("voltage", ever=True) or ("",))[0] == "230 V"
    assert not noted((YESTERDAY, Panel(card="none"))).without_card()


@pytest.mark.parametrize(
    ("notes", "explained"),
    [
        ([(NOW, Panel(system_fault="lit", explanation="fan"))], True),
        ([(NOW, Panel(system_fault="lit")), (NOW, Panel(explanation="fan"))], True),
        ([(NOW, Panel(explanation="fan")), (NOW, Panel(system_fault="lit"))], False),
        ([(NOW, Panel(explanation="fan")), (NOW, Panel(bus_fault="lit"))], False),
        ([(YESTERDAY, Panel(system_fault="lit", explanation="fan")), (NOW, Panel(system_fault="lit"))], False),
        ([(YESTERDAY, Panel(explanation="fan"))], False),
    ],
)
def test_a_fault_is_explained_only_with_it_or_after_it(notes: list[tuple[str, Panel]], explained: bool) -> None:
    assert (noted(*notes).explained() is not None) == explained
