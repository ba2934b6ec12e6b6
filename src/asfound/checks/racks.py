"""Racks and networks: gaps, two modules in one slot, network addresses used twice, compact or modular."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from asfound.analysis.overlaps import bytes_of, modules_of
from asfound.analysis.places import Place
from asfound.checks.findings import Finding, finding
from asfound.model.copy import Copy
from asfound.model.hardware import Device, Module


def slots(copy: Copy) -> Iterator[Finding]:
    """Slots without a module between others, and slots with two."""
    for device in copy.hardware.devices:
        top = Place(f"device {device.name}", (f"device:{device.name}",))
        owners = [(device.modules, top), *((m.modules, place) for m, place, _ in modules_of(device))]
        for modules, place in owners:
            yield from _slots([m for m in modules if m.slot is not None and not m.built_in], place)


def _slots(modules: Sequence[Module], where: Place) -> Iterator[Finding]:
    by_slot: dict[int, list[str]] = {}
    for module in modules:
        by_slot.setdefault(module.slot or 0, []).append(module.name)
    for slot, names in sorted(by_slot.items()):
        if len(names) > 1:
            text = f"slot {slot} holds {' and '.join(names)}"
            yield finding("slots", "warning", where, text, "usually only one can be plugged in there")
    taken = sorted(by_slot)
    gaps = [(a + 1, b - 1) for a, b in pairwise(taken) if b > a + 1]
    if gaps:
        words = ", ".join(str(a) if a == b else f"{a} to {b}" for a, b in gaps)
        text = (
            f"no module in slot {words}"
            if len(gaps) == 1 and gaps[0][0] == gaps[0][1]
            else f"no module in slots {words}"
        )
        reason = "a spare place, a wide module, or a module missing from the list"
        yield finding("slots", "note", where, text, reason)


def networks(copy: Copy) -> Iterator[Finding]:
    """Two interfaces with one address on one network, or where the export does not say which network it is."""
    found: dict[str, dict[str, list[tuple[Place, str]]]] = {}
    spelled: dict[str, str] = {}
    for device in copy.hardware.devices:
        for module, place, _ in modules_of(device):
            for node in module.nodes:
                if node.address.strip():
                    spelled.setdefault(node.network.lower(), node.network)
                    at = place.down(node.name, f"node:{node.name}")
                    told = at, f"{at.where}: {node.address} {node.network}".rstrip()
                    found.setdefault(_plain(node.address), {}).setdefault(node.network.lower(), []).append(told)
    for address, on in sorted(found.items()):
        for network, places in sorted(on.items()):
            if len(places) > 1:
                named = f" on {spelled[network]}" if network else ""
                text = f"network address {address}{named} is used {len(places)} times"
                reason = "two stations that answer to one address disturb each other"
                yield finding("network", "error", places[0][0], text, reason, [told for _, told in places])
        if "" in on and len(on) > 1:
            text = f"network address {address} is used again by an interface that is tied to no network"
            reason = "on one network the two would disturb each other; the export does not say where it is plugged in"
            everyone = [told for _, places in sorted(on.items()) for _, told in places]
            yield finding("network", "warning", on[""][0][0], text, reason, everyone)


def _plain(address: str) -> str:
    """A network address without leading zeros, in lower case."""
    return re.sub(r"\b0+(?=[0-9])", "", address.strip().lower()) if re.fullmatch(r"[0-9.]+", address.strip()) else (
        address.strip().lower()
    )  # fmt: skip


def build(copy: Copy) -> Iterator[Finding]:
    """Whether a controller is compact, with inputs and outputs built in, or modular."""
    for device in copy.hardware.devices:
        for module, place, _ in modules_of(device):
            if module.kind.lower() == "cpu":
                yield _build(device, module, place)


def _build(device: Device, cpu: Module, where: Place) -> Finding:
    inside = [cpu, *(m for m, _, _ in modules_of(Device("", modules=cpu.modules)) if m.built_in)]
    points = {"input": 0, "output": 0}
    evidence = []
    for module in inside:
        for part in module.addresses:
            if part.direction and part.length and part.start is not None:
                channels = sum(c.direction == part.direction for c in module.channels)
                points[part.direction] += channels or part.length
                area = "I" if part.direction == "input" else "Q"
                span = range(part.start * 8, part.start * 8 + part.length)
                evidence.append(f"{module.name}: {bytes_of(area, span)}")
    plugged = sum(1 for m, _, _ in modules_of(device) if m.slot is not None and not m.built_in and m.addresses)
    if not any(points.values()):
        text = f"{cpu.name} is modular: no inputs or outputs are built in, {plugged} plugged modules have addresses"
        reason = "every input and output hangs on a module that can be replaced by itself"
        return finding("build", "note", where, text, reason)
    text = f"{cpu.name} is compact: {points['input']} inputs and {points['output']} outputs are built in"
    reason = "a broken input or output usually means a new controller, and the program with it"
    return finding("build", "note", where, text, reason, evidence)
