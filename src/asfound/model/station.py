"""What a person states of a station once, for no export tells it: indicators, mode switch, what comes back.

No maker's controller is the model: names are those printed on the device, each with a role from a small list.
"""

from __future__ import annotations

from typing import Literal as Choice
from typing import get_args

import msgspec

from asfound.model.logic import Node

Role = Choice["power", "running", "stopped", "fault", "communication fault", "forced", "battery", "other"]
"""What a lit indicator means: ``battery`` a low or missing backup battery, ``power`` that a supply is there."""
ROLES: tuple[Role, ...] = get_args(Role)
FAULTS: tuple[Role, ...] = ("fault", "communication fault")

Position = Choice["run", "stop", "program/remote", "other", "none"]
"""What a position of the mode switch does: in ``program/remote`` a tool may change the mode; ``none``: no switch."""

SwitchRole = Choice["run", "stop", "program/remote", "other"]
"""What a position of a switch that is there can do."""
SWITCH_ROLES: tuple[SwitchRole, ...] = get_args(SwitchRole)

Keeper = Choice["card", "built-in", "battery", "nothing"]
"""What brings the program back: a card, cartridge, stick or disk; non-volatile memory; memory held by a battery."""
KEEPERS: tuple[Keeper, ...] = get_args(Keeper)

Interruption = Choice["reset", "restart", "firmware"]
INTERRUPTIONS: tuple[Interruption, ...] = get_args(Interruption)
INTERRUPTION_WORDS: dict[Interruption, str] = {
    "reset": "a memory reset",
    "restart": "power off and on",
    "firmware": "a firmware update",
}
KEEPER_WORDS: dict[Keeper | Choice[""], str] = {
    "card": "the card",
    "built-in": "built-in non-volatile memory",
    "battery": "memory held by a battery",
    "nothing": "nothing",
    "": "not known",
}


class BringsBack(Node, frozen=True):
    """Where the program comes from after each operation, empty when nobody stated it; ``source`` is who says so."""

    reset: Choice["", "card", "built-in", "battery", "nothing"] = ""
    restart: Choice["", "card", "built-in", "battery", "nothing"] = ""
    firmware: Choice["", "card", "built-in", "battery", "nothing"] = ""
    source: str = ""

    def after(self, operation: Interruption) -> Keeper | Choice[""]:
        """Where the program comes from after one operation."""
        found: Keeper | Choice[""] = getattr(self, operation)
        return found

    def told(self) -> str:
        """What brings the program back, in words.

        >>> BringsBack(reset="card", restart="built-in", source="maker's manual").told()
        "after a memory reset the card; after power off and on built-in non-volatile memory; after a firmware \
update not known (according to: maker's manual)"
        """
        if not (self.reset or self.restart or self.firmware):
            return "not known"
        said = (f"after {INTERRUPTION_WORDS[each]} {KEEPER_WORDS[self.after(each)]}" for each in INTERRUPTIONS)
        return f"{'; '.join(said)} (according to: {self.source or 'nobody named'})"


NOT_STATED = BringsBack()


Lack = Choice["card", "battery", "clock", "forces", "safety program"]
LACKS: tuple[Lack, ...] = get_args(Lack)


class Lacks(Node, frozen=True):
    """``[lacks]``: what the controller does not have and need not be asked for."""

    card: bool = False
    battery: bool = False
    clock: bool = False
    forces: bool = False
    safety_program: bool = msgspec.field(name="safety program", default=False)

    def names(self) -> tuple[Lack, ...]:
        """All that it lacks."""
        return tuple(name for name in LACKS if getattr(self, name.replace(" ", "_")))


class Equipment(Node, frozen=True):
    """Names as printed on the device. An empty table says that there are none; None: nobody stated it."""

    indicators: dict[str, Role] | None = None
    switch: dict[str, SwitchRole] | None = None
    brings_back: BringsBack = BringsBack()
    lacks: tuple[Lack, ...] = ()
