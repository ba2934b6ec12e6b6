"""The table of checks: what each is called and how much it weighs for each purpose; the verdict.

The verdict is a function of the table alone: ready when no mandatory check is open and the cautions are confirmed. A
check that does not apply never stands in the way; an advised one is told and does not either.
Every check is common practice of the trade; no standard is cited to users that was not looked up.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal as Choice

from asfound.checks.readiness import coming_back, download, seen_on_panel, stored_copies
from asfound.checks.readiness.outcome import Evidence, Outcome, State
from asfound.checks.readiness.situation import PURPOSES, Purpose, Situation
from asfound.model.logic import Node

Level = Choice["mandatory", "advised", "off"]
LEVELS: tuple[Level, ...] = ("mandatory", "advised", "off")
_LETTERS: dict[str, Level] = {"M": "mandatory", "a": "advised", "-": "off"}
PRACTICE = "common practice"


@dataclass(frozen=True, slots=True)
class Check:
    """``levels`` has one letter for each of :data:`PURPOSES`: M mandatory, a advised, - off."""

    name: str
    title: str
    run: Callable[[Situation], Outcome]
    levels: str
    source: str = PRACTICE

    def level(self, purpose: Purpose) -> Level:
        """The level when the settings of the station say nothing."""
        return _LETTERS[self.levels[PURPOSES.index(purpose)]]


CHECKS = (  #                                            reset, download, firmware, battery
    Check("running-today", "Running copy of today", stored_copies.current, "MMMM"),
    Check("restorable", "Restore tried", stored_copies.restorable, "MMMM"),
    Check("way-back", "Way back", stored_copies.way_back, "MMMM"),
    Check("second-place", "Second place", stored_copies.second_place, "MMMM"),
    Check("documentation", "Names and comments", stored_copies.documentation, "MMMa"),
    Check("agreement", "Running, card, office", stored_copies.agreement, "MaMM"),
    Check("comes-back", "What comes back", coming_back.comes_back, "MaMa"),
    Check("card-fits", "Card fits the rack", stored_copies.card_fits, "M-MM"),
    Check("values", "Actual values", stored_copies.values, "MMMM"),
    Check("forces", "Forces", seen_on_panel.forces, "MMMa"),
    Check("indicators", "Indicators", seen_on_panel.indicators, "MMMM"),
    Check("switch", "Mode switch", seen_on_panel.switch, "MaMa"),
    Check("hardware", "Hardware and firmware", stored_copies.hardware, "MMMa"),
    Check("card", "Memory card", seen_on_panel.card, "MaMa"),
    Check("battery", "Battery", seen_on_panel.battery, "aaaM"),
    Check("protection", "Passwords", seen_on_panel.protection, "MMMa"),
    Check("safety", "Safety program", seen_on_panel.safety, "MMMM"),
    Check("voltage", "Supply voltage", seen_on_panel.voltage, "a-a-"),
    Check("serials", "Serial numbers", seen_on_panel.serials, "--a-"),
    Check("inspection", "Inspection", stored_copies.inspection, "aaa-"),
    Check("changes", "What it changes", download.changes, "-M--"),
    Check("compatible", "Fits the rack", download.compatible, "-M--"),
    Check("stop", "Without a stop", download.stop, "-a--"),
)
NAMES = tuple(check.name for check in CHECKS)


class Line(Node, frozen=True, omit_defaults=False):
    """One check as it turned out."""

    check: str
    title: str
    level: Level
    state: State
    text: str
    evidence: tuple[Evidence, ...]
    todo: str
    source: str


def judge(s: Situation, levels: Mapping[str, Level] | None = None) -> tuple[Line, ...]:
    """All checks of the purpose that are not off, in the order of the table."""
    given = levels or {}
    chosen = [(check, given.get(check.name, check.level(s.purpose))) for check in CHECKS]
    return tuple(_line(check, level, check.run(s)) for check, level in chosen if level != "off")


def _line(check: Check, level: Level, found: Outcome) -> Line:
    return Line(check.name, check.title, level, found.state, found.text, found.evidence, found.todo, check.source)


def reasons(lines: Iterable[Line]) -> tuple[str, ...]:
    """Names of the checks that stand in the way."""
    return tuple(line.check for line in lines if line.level == "mandatory" and line.state == "open")


def verdict(lines: Iterable[Line], *, understood: bool) -> Choice["ready", "not ready"]:
    """Ready when nothing stands in the way and the cautions are confirmed."""
    return "ready" if understood and not reasons(lines) else "not ready"
