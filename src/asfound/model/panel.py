"""What a person sees on the front of a controller, and knows about it. An empty text was not noted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Literal as Choice
from typing import get_args

from asfound.model.logic import Node
from asfound.model.program import Setting
from asfound.model.station import Equipment, Position, Role
from asfound.model.visible import visible

Light = Choice["lit", "flashing", "dark"]
LIGHTS: tuple[Light, ...] = get_args(Light)
BATTERIES = ("good", "low", "none")
PROTECTIONS = ("none", "known", "unknown")
MODES = ("run", "stop", "other")

_Earlier = Choice["", "lit", "flashing", "dark", "absent"]
EARLIER: dict[str, Role] = {
    "system_fault": "fault",
    "bus_fault": "communication fault",
    "force": "forced",
    "stop": "stopped",
    "run": "running",
    "supply": "power",
}
"""Fields of notes that were stored before indicators had names of their own: read, never written."""


class Indicator(Node, frozen=True):
    """An indicator as it was seen; ``name`` is printed on the device."""

    name: str
    role: Role
    state: Light


class Panel(Node, frozen=True):
    """``card`` is a size such as ``256 kB``, or ``none``; ``safety`` the signature of a safety program, or ``none``.

    ``switch`` is the position of the mode switch in the words of the device, or ``none``, and ``switch_role`` what it
    does; ``mode`` is the operating mode as a tool shows it. ``protection`` says whether somebody here knows the
    passwords; a password itself is never stored. ``explanation`` says why a fault indicator is lit. ``serials`` are
    serial numbers, each after what it belongs to.
    """

    system_fault: _Earlier = ""
    bus_fault: _Earlier = ""
    force: _Earlier = ""
    stop: _Earlier = ""
    run: _Earlier = ""
    supply: _Earlier = ""
    explanation: str = ""
    switch: str = ""
    card: str = ""
    battery: Choice["", "good", "low", "none"] = ""
    voltage: str = ""
    protection: Choice["", "none", "known", "unknown"] = ""
    safety: str = ""
    serials: tuple[Setting, ...] = ()
    indicators: tuple[Indicator, ...] = ()
    switch_role: Position | Choice[""] = ""
    mode: Choice["", "run", "stop", "other"] = ""

    def seen(self) -> tuple[Indicator, ...]:
        """All indicators that were seen, those of earlier notes among them."""
        earlier = ((name, role, getattr(self, name)) for name, role in EARLIER.items())
        found = (Indicator(_words(name), role, state) for name, role, state in earlier if state in LIGHTS)
        return (*found, *self.indicators)

    def lacking(self) -> tuple[str, ...]:
        """Indicators of an earlier note that the controller does not have."""
        return tuple(_words(name) for name in EARLIER if getattr(self, name) == "absent")

    def position(self) -> Position | Choice[""]:
        """What the mode switch is set to do; empty when it was not noted."""
        if self.switch_role or not self.switch:
            return self.switch_role
        earlier: dict[str, Position] = {"run": "run", "stop": "stop", "absent": "none"}
        return earlier.get(self.switch, "other")

    def lines(self) -> tuple[str, ...]:
        """Everything noted, one ``what: how`` each on one line, in a fixed order."""
        return tuple(visible(f"{name}: {text}") for name, text in self._told() if text)

    def _told(self) -> Iterator[tuple[str, str]]:
        yield from ((f"indicator {each.name} ({each.role})", each.state) for each in self.indicators)
        for name in self.__struct_fields__:
            if name == "switch" and self.switch_role not in ("", self.switch.lower()):
                yield name, f"{self.switch} ({self.switch_role})"
            elif isinstance(text := getattr(self, name), str) and name != "switch_role":
                yield _words(name), text
        yield from ((f"serial number of {each.name}", each.value) for each in self.serials)


def known(equipment: Equipment, panels: Iterable[Panel]) -> Mapping[str, Role] | None:
    """Indicators and their roles: as stated, else all of these panels, oldest first; None when nothing is known."""
    if equipment.indicators is not None:
        return equipment.indicators
    found: dict[str, Role] = {}
    for panel in panels:
        found |= {each.name: each.role for each in panel.seen()}
        found = {name: role for name, role in found.items() if name not in panel.lacking()}
    return found or None


def _words(field: str) -> str:
    return field.replace("_", " ")
