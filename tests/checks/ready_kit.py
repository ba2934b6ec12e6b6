"""A small station for which every check is in order, and ways to change one thing of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any
from typing import Literal as Choice

import msgspec

from asfound.checks.readiness.gathering import with_copies
from asfound.checks.readiness.situation import Held, New, Note, Proof, Second, Situation
from asfound.compare.comparison import compare
from asfound.language.documents import parse_program
from asfound.model.copy import Copy, Source
from asfound.model.hardware import AddressRange, Device, Hardware, Module
from asfound.model.panel import Indicator, Light, Panel
from asfound.model.program import Setting
from asfound.model.station import BringsBack, Equipment, Role
from asfound.model.tags import Tag, TagTable
from asfound.model.values import ActualValue, Force

TODAY = "2026-11-17"
NOW = f"{TODAY}T08:35:00+01:00"
YESTERDAY = "2026-11-16T16:00:00+01:00"
PROGRAM = """
PROGRAM Main
VAR RETAIN
  Hours : DINT;
END_VAR
VAR
  Start : BOOL;
  Lamp : BOOL;
END_VAR
Lamp := Start;
END_PROGRAM
"""
PROVED = Proof(2, 100)
Change = Callable[[Situation], Situation]

HARDWARE = Hardware((
    Device("S", modules=(
        Module("CPU", 1, kind="CPU", order_number="X-1", firmware="1.2"),
        Module("DI", 2, order_number="X-2", addresses=(AddressRange("input", 0, 8),)),
    )),
))  # fmt: skip
TAGS = (TagTable("tags", (Tag("Go", "%IX0.0", "BOOL", "start button"),)),)
CARD = Copy(program=parse_program(PROGRAM, "p.st"), hardware=HARDWARE, tables=TAGS)
RUNNING = msgspec.structs.replace(
    CARD,
    values=(ActualValue("Set", "5.2", "5.2", "bar"),),
    sources=(Source("values.csv", "0" * 64, 1, "value-list"), Source("forces.csv", "1" * 64, 1, "force-list")),
)
INDICATORS: dict[str, Role] = {
    "ERR": "fault", "COM": "communication fault", "FRC": "forced", "HALT": "stopped", "RUN": "running",
    "BATT": "battery", "24V": "power", "TEMP": "other",
}  # fmt: skip
EQUIPMENT = Equipment(INDICATORS, {"RUN": "run", "REM": "program/remote"}, BringsBack("card", "card", "card", "manual"))
SEEN = Panel(
    indicators=tuple(
        Indicator(name, role, "lit" if name in ("RUN", "24V") else "dark") for name, role in INDICATORS.items()
    ),
    switch="RUN",
    switch_role="run",
    card="1 kB",
    battery="good",
    voltage="230 V",
    protection="known",
    safety="A1B2",
    serials=(Setting("CPU", "7"),),
)


def held(name: str, copy: Copy, time: str = NOW, proof: Proof = PROVED) -> Held:
    return Held(f"S@1:{name}", time, copy, proof)


COPIES = {name: held(name, RUNNING if name == "running" else CARD) for name in ("running", "card", "office")}
NEW = New("new/", CARD, compare(CARD, CARD))
FINE = replace(
    with_copies(
        Situation("reset", TODAY, notes=(Note("S@2", NOW, SEEN),), second=Second("stick", NOW), equipment=EQUIPMENT),
        COPIES,
    ),
    new=NEW,
)


def copies(**changed: Held | None) -> Change:
    """Other copies, or none of this name."""

    def change(s: Situation) -> Situation:
        found = {name: each for name, each in {**s.held, **changed}.items() if each is not None}
        return with_copies(s, found)

    return change


def running(**fields: Any) -> Change:
    """Another content of the running copy."""
    return lambda s: copies(running=replace(_running(s), copy=msgspec.structs.replace(_running(s).copy, **fields)))(s)


def _running(s: Situation) -> Held:
    assert s.running is not None
    return s.running


def panel(**fields: Any) -> Change:
    """Other things seen today; an empty text was not noted."""

    def change(s: Situation) -> Situation:
        (note,) = s.notes
        return replace(s, notes=(replace(note, panel=msgspec.structs.replace(note.panel, **fields)),))

    return change


def lights(**states: Light | Choice[""]) -> Change:
    """Indicators seen otherwise today; an empty text: not noted. ``V24`` is the one of the supply."""
    named = {name.replace("V24", "24V"): state for name, state in states.items()}

    def change(s: Situation) -> Situation:
        usual = {each.name: each.state for each in SEEN.indicators}
        seen = [Indicator(n, r, found) for n, r in INDICATORS.items() if (found := named.get(n, usual[n]))]
        return panel(indicators=tuple(seen))(s)

    return change


def station(**fields: Any) -> Change:
    """Something else is stated of the station."""

    def change(s: Situation) -> Situation:
        found = replace(s, equipment=msgspec.structs.replace(s.equipment, **fields))
        return with_copies(found, found.held)

    return change


def stated(**fields: str) -> Change:
    """Something else is stated to bring the program back."""
    return station(brings_back=msgspec.structs.replace(EQUIPMENT.brings_back, **fields))


def without(*roles: Role) -> Change:
    """The station has no indicators of these roles."""
    return station(indicators={name: role for name, role in INDICATORS.items() if role not in roles})


def new(text: str = PROGRAM, hardware: Hardware = HARDWARE) -> Change:
    """A download that brings this."""
    brought = msgspec.structs.replace(CARD, program=parse_program(text, "p.st"), hardware=hardware)
    return lambda s: replace(s, new=New("new/", brought, compare(CARD, brought)))


def replaced(**fields: Any) -> Hardware:
    """The hardware with another second module."""
    (device,) = HARDWARE.devices
    modules = (device.modules[0], msgspec.structs.replace(device.modules[1], **fields))
    return Hardware((msgspec.structs.replace(device, modules=modules),))


FORCE = (Force("Go", "TRUE", "%IX0.0"),)
