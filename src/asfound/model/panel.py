"""What a person sees on the front of a controller, and knows about it. An empty text was not noted.

``absent`` means that this controller has no such thing.

The indicators and their colours are common practice of modular controllers: system fault and bus fault red, force and
stop yellow, run and supply green.
"""

from __future__ import annotations

from typing import Literal as Choice

from asfound.model.logic import Node
from asfound.model.program import Setting
from asfound.model.visible import visible

INDICATORS = ("system fault", "bus fault", "force", "stop", "run", "supply")
LIGHTS = ("lit", "flashing", "dark", "absent")
SWITCHES = ("run", "stop", "memory reset", "absent")
BATTERIES = ("good", "low", "none")
PROTECTIONS = ("none", "known", "unknown")

Light = Choice["", "lit", "flashing", "dark", "absent"]


class Panel(Node, frozen=True):
    """``card`` is a size such as ``256 kB``, or ``none``; ``safety`` the signature of a safety program, or ``none``.

    ``protection`` says whether somebody here knows the passwords; a password itself is never stored. ``explanation``
    says why a fault indicator is lit. ``serials`` are serial numbers, each after what it belongs to.
    """

    system_fault: Light = ""
    bus_fault: Light = ""
    force: Light = ""
    stop: Light = ""
    run: Light = ""
    supply: Light = ""
    explanation: str = ""
    switch: Choice["", "run", "stop", "memory reset", "absent"] = ""
    card: str = ""
    battery: Choice["", "good", "low", "none"] = ""
    voltage: str = ""
    protection: Choice["", "none", "known", "unknown"] = ""
    safety: str = ""
    serials: tuple[Setting, ...] = ()

    def light(self, indicator: str) -> Light:
        """How one of :data:`INDICATORS` was seen."""
        found: Light = getattr(self, indicator.replace(" ", "_"))
        return found

    def lines(self) -> tuple[str, ...]:
        """Everything noted, one ``what: how`` each on one line, in a fixed order."""
        texts = [(name.replace("_", " "), getattr(self, name)) for name in self.__struct_fields__ if name != "serials"]
        texts += [(f"serial number of {each.name}", each.value) for each in self.serials]
        return tuple(visible(f"{name}: {text}") for name, text in texts if text)
