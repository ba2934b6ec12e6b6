"""What the checks look at: the latest copies, what was noted, where else it is held. Frozen, gathered once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal as Choice

from asfound.analysis.numbering import together
from asfound.compare.result import Comparison
from asfound.compare.side_by_side import Copies
from asfound.model.copy import Copy
from asfound.model.panel import Light, Panel, known
from asfound.model.station import FAULTS, Equipment, Interruption, Keeper, Lack, Role

Purpose = Choice["reset", "download", "firmware", "battery"]
PURPOSES: tuple[Purpose, ...] = ("reset", "download", "firmware", "battery")
INTERRUPTION_OF: dict[Purpose, Interruption] = {
    "reset": "reset",
    "download": "restart",
    "firmware": "firmware",
    "battery": "restart",
}
"""A download is judged by what the next restart brings back, a battery change by what a failing supply would."""


@dataclass(frozen=True, slots=True)
class Proof:
    """A restore that was really made: ``files`` and ``size`` (bytes) that were compared, and what was wrong."""

    files: int
    size: int
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class Held:
    """A stored copy. ``reference`` is ``booster-1@2:running``, ``time`` ISO 8601 with zone."""

    reference: str
    time: str
    copy: Copy
    proof: Proof = Proof(0, 0, "it was not tried")


@dataclass(frozen=True, slots=True)
class Note:
    """What a person saw; ``reference`` is ``booster-1@3``."""

    reference: str
    time: str
    panel: Panel


@dataclass(frozen=True, slots=True)
class Second:
    """Another archive that holds the station; ``lacking`` are references of records that it lacks."""

    address: str
    time: str
    lacking: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class New:
    """What a download would bring, compared with the running copy."""

    reference: str
    copy: Copy
    comparison: Comparison


@dataclass(frozen=True, slots=True)
class Situation:
    """Everything the checks judge. ``today`` is a day, YYYY-MM-DD; ``notes`` the oldest first.

    ``side`` sets the copies side by side and is there when at least two are held; ``equipment`` is stated of
    the station.
    """

    purpose: Purpose
    today: str
    running: Held | None = None
    card: Held | None = None
    office: Held | None = None
    notes: tuple[Note, ...] = ()
    second: Second | None = None
    side: Copies | None = None
    new: New | None = None
    equipment: Equipment = field(default_factory=Equipment)

    @property
    def held(self) -> dict[str, Held]:
        """The copies there are, by name."""
        found = {"running": self.running, "card": self.card, "office": self.office}
        return {name: held for name, held in found.items() if held is not None}

    def is_today(self, time: str) -> bool:
        """Whether a time is of today, in its own zone."""
        return time[:10] == self.today

    def seen(self, what: str, *, ever: bool = False) -> tuple[str, Note] | None:
        """What was noted last about a field of the panel today (or ``ever``), and where."""
        for note in reversed(self.notes):
            text = getattr(note.panel, what)
            if text and (ever or self.is_today(note.time)):
                return text, note
        return None

    def explained(self) -> tuple[str, Note] | None:
        """Why a fault indicator is lit: only what was said with the indicators or after them counts."""
        for note in reversed(self.notes):
            if not self.is_today(note.time):
                return None
            if note.panel.explanation:
                return note.panel.explanation, note
            if any(each.role in FAULTS for each in note.panel.seen()):
                return None
        return None

    def indicators(self) -> Mapping[str, Role] | None:
        """Names and roles: as stated for the station, else all that were ever noted; None when nothing is known."""
        return known(self.equipment, (note.panel for note in self.notes))

    def lights(self, names: Iterable[str]) -> dict[str, tuple[Light, Note]]:
        """How these indicators were seen last today; one that was not is left out."""
        found: dict[str, tuple[Light, Note]] = {}
        today = [note for note in self.notes if self.is_today(note.time)]
        for note in today:
            found |= {each.name: (each.state, note) for each in note.panel.seen()}
        return {name: found[name] for name in names if name in found}

    def has_no_switch(self) -> bool:
        """Whether the controller has no mode switch, by what is stated of the station, else by the last note of one."""
        if self.equipment.switch is not None:
            return not self.equipment.switch
        found = self.seen("switch", ever=True)
        return found is not None and found[1].panel.position() == "none"

    @property
    def interruption(self) -> Interruption:
        """What the program has to outlast."""
        return INTERRUPTION_OF[self.purpose]

    @property
    def brings_back(self) -> Keeper | Choice[""]:
        """What is stated to bring the program back afterwards."""
        return self.equipment.brings_back.after(self.interruption)

    def by_card(self) -> bool:
        """Whether the card may be what comes back: stated, or not known."""
        return self.brings_back in ("", "card")

    def without_card(self) -> bool:
        """Whether somebody noted today that there is no memory card."""
        found = self.seen("card")
        return self.lacks("card") or (found is not None and found[0] == "none")

    def lacks(self, what: Lack) -> bool:
        """Whether it is stated that the controller does not have this."""
        return what in self.equipment.lacks

    def limits(self) -> Iterator[str]:
        """What a judgement of this situation cannot vouch for."""
        yield "whether an upload can be loaded again is not known here: try it where it does no harm, or ask its maker"
        yield "what happened to the controller after the last record is not known here"
        if self.running is None:
            yield "no running copy is stored: what would be lost is not known"
        for name, held in self.held.items():
            yield from (f"{name}: {limit}" for limit in held.copy.limits)
        if counted := together([held.copy for held in self.held.values()]).sentence():
            yield counted
