"""What a person states of a station once, for no export tells it: indicators, mode switch, what comes back.

No maker's controller is the model: names are those printed on the device, each with a role from a small list.
"""

from __future__ import annotations

from typing import Literal as Choice
from typing import get_args

from asfound.model.logic import Node

Role = Choice["fault", "communication fault", "running", "stopped", "forced", "battery", "power", "other"]
"""What a lit indicator means: ``battery`` a low or missing backup battery, ``power`` that a supply is there."""
ROLES: tuple[Role, ...] = get_args(Role)
FAULTS: tuple[Role, ...] = ("fault", "communication fault")

Position = Choice["run", "stop", "program/remote", "other", "none"]
"""What a position of the mode switch does: in ``program/remote`` a tool may change the mode; ``none``: no switch."""
POSITIONS: tuple[Position, ...] = get_args(Position)

Place = Choice["card", "built-in", "nothing"]
"""Where the program comes from; ``built-in`` is non-volatile memory of the controller itself."""
PLACES: tuple[Place, ...] = get_args(Place)

Operation = Choice["reset", "restart", "firmware"]
OPERATIONS: tuple[Operation, ...] = get_args(Operation)
OPERATION_WORDS: dict[Operation, str] = {
    "reset": "a memory reset",
    "restart": "a restart of the supply",
    "firmware": "a firmware update",
}
PLACE_WORDS: dict[Place | Choice[""], str] = {
    "card": "the card",
    "built-in": "built-in non-volatile memory",
    "nothing": "nothing",
    "": "not known",
}


class BringsBack(Node, frozen=True):
    """Where the program comes from after each operation, empty when nobody stated it; ``source`` is who says so."""

    reset: Choice["", "card", "built-in", "nothing"] = ""
    restart: Choice["", "card", "built-in", "nothing"] = ""
    firmware: Choice["", "card", "built-in", "nothing"] = ""
    source: str = ""

    def after(self, operation: Operation) -> Place | Choice[""]:
        """Where the program comes from after one operation."""
        found: Place | Choice[""] = getattr(self, operation)
        return found

    def told(self) -> str:
        """What brings the program back, in words.

        >>> BringsBack(reset="card", restart="built-in", source="maker's manual").told()
        "after a memory reset the card; after a restart of the supply built-in non-volatile memory; after a firmware \
update not known (according to: maker's manual)"
        """
        if not (self.reset or self.restart or self.firmware):
            return "not known"
        said = (f"after {OPERATION_WORDS[each]} {PLACE_WORDS[self.after(each)]}" for each in OPERATIONS)
        return f"{'; '.join(said)} (according to: {self.source or 'nobody named'})"


NOT_STATED = BringsBack()


class Equipment(Node, frozen=True):
    """Names as printed on the device. An empty table says that there are none; None: nobody stated it."""

    indicators: dict[str, Role] | None = None
    switch: dict[str, Position] | None = None
    brings_back: BringsBack = BringsBack()
