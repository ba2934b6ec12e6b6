"""Hardware: devices by name, modules by place and name, their addresses, channels, network nodes and settings.

Devices whose names only one side knows are paired by the modules in their slots (how: :mod:`.alike`).
Modules below one parent are paired three times: same name and slot, then same name (moved), then same slot (replaced).
What is left over anywhere is paired once more by name and order number (moved to another rack or device) where exactly
one module on each side is so called. Cost: linear per parent, plus what is left over.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from msgspec.structs import replace

from asfound.analysis.places import Place, module_place
from asfound.compare.changes import Kind, change, effect_of, one_sided_change, one_sided_edit
from asfound.compare.lines import differs, reordered, settings, told
from asfound.compare.pairing.by_content import by_common_parts
from asfound.compare.pairing.by_name import by_name
from asfound.compare.parts.channels import compare_channels, compare_nodes
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.parts.one_sided_lists import comparable, counted, holds, one_sided_list
from asfound.compare.result import Change, Edit
from asfound.compare.wording.phrases import edit
from asfound.model.copy import Copy
from asfound.model.hardware import AddressRange, Device, Hardware, Module, Subnet
from asfound.model.program import Setting

TITLES = ("Project", "ProjectTitle")
"""Settings of the whole that only people read: what the engineering project is called."""
EXCHANGED = ("order number", "type", "firmware")
"""Fields that tell by what a module was replaced."""
Loose = list[tuple[Kind, Place, Module]]
"""Modules that one side of their parent does not have: removed or added, unless they moved to another parent."""


def compare_hardware(old: Hardware, new: Hardware) -> list[Change]:
    """Changes of the whole hardware configuration."""
    if old == new:
        return []
    changes: list[Change] = []
    loose: Loose = []
    devices = by_name(old.devices, new.devices, lambda d: d.name)
    for before, after, _ in devices.pairs:
        changes += _device(before, after, loose)
    renamed = renamed_devices(devices.gone, devices.come)
    for before, after in renamed:
        changes.append(_called_otherwise(before, after))
        changes += _device(replace(before, name=after.name), after, loose)
    names = {before.name: after.name for before, after in renamed}
    known = [device for pair in renamed for device in pair]
    alone = [(kind, device) for kind, device in devices.alone if device not in known]
    changes += [_one_sided(kind, _device_place(d), "device", d.name, module_text(d)) for kind, d in alone]
    changes += _moved(loose)
    subnets = by_name(old.subnets, new.subnets, lambda s: s.name)
    for first, second, _ in subnets.pairs:
        changes += _subnet(replace(first, settings=_follow(first.settings, names)), second)
    changes += [_one_sided(kind, _subnet_place(s), "subnet", s.name, s.kind) for kind, s in subnets.alone]
    at = Place("hardware", ("hardware",))
    edits = settings("setting", _follow(old.settings, names), new.settings, ordered=True)
    edits = [replace(e, effect="documentation") if e.of in TITLES else e for e in edits]
    edits += reordered("devices", [names.get(d.name, d.name) for d in old.devices], [d.name for d in new.devices])
    edits += reordered("networks", [s.name for s in old.subnets], [s.name for s in new.subnets])
    return changes + told("hardware", at, "hardware", edits) + compare_extensions(at, old.extensions, new.extensions)


def compare_hardware_lists(old: Copy, new: Copy) -> list[Change]:
    """Changes of the hardware of two copies; modules and networks that only one of them lists are one undecided one."""
    if comparable("hardware", old, new):
        return compare_hardware(old.hardware, new.hardware)
    holder, other = (old, new) if holds(old, "hardware") else (new, old)
    if holder.hardware == other.hardware:  # a list that is there and empty
        return []
    nothing = other.hardware == Hardware()
    found = one_sided_list("hardware", old, new, _counted(holder.hardware), _lines(holder.hardware, whole=nothing))
    if nothing:
        return [found]
    rest = [replace(copy.hardware, devices=(), subnets=()) for copy in (old, new)]
    return [found, *compare_hardware(*rest)]


def _counted(hardware: Hardware) -> str:
    modules = sum(_count(device.modules) for device in hardware.devices)
    sizes = (("device", len(hardware.devices)), ("module", modules), ("network", len(hardware.subnets)))
    return ", ".join(counted(size, what) for what, size in sizes if size) or "hardware list"


def _count(modules: Sequence[Module]) -> int:
    return sum(1 + _count(module.modules) for module in modules)


def _lines(hardware: Hardware, *, whole: bool) -> list[str]:
    """Everything listed; what is said of the whole project too, where nothing else compares it."""
    lines = [line for device in hardware.devices for line in module_text(device).splitlines()]
    lines += [f"network {subnet.name} {subnet.kind}".rstrip() for subnet in hardware.subnets]
    if whole:
        lines += [f"setting {each.name}: {each.value}" for each in hardware.settings]
        lines += [f"data that is not interpreted: {each.path} {each.name}".rstrip() for each in hardware.extensions]
    return lines


def renamed_devices(gone: Sequence[Device], come: Sequence[Device]) -> list[tuple[Device, Device]]:
    """Devices whose names only one side knows, paired by the modules that are in the same slots."""
    sides = [[d for d in side if [e.name for e in side].count(d.name) == 1] for side in (gone, come)]
    return by_common_parts(sides[0], sides[1], lambda d: d.name, lambda d: plugged(d.modules))


def plugged(modules: Sequence[Module], above: tuple[int | None, ...] = ()) -> Iterator[tuple[object, ...]]:
    """What is where: slots from the outermost inwards, then what is plugged in there."""
    for module in modules:
        at = (*above, module.slot)
        if module.order_number or module.type_name:
            yield (*at, module.order_number, module.type_name)
        yield from plugged(module.modules, at)


def _follow(settings: Sequence[Setting], names: Mapping[str, str]) -> tuple[Setting, ...]:
    """Settings that say below which device something stands, as if it had been called so before."""
    return tuple(
        replace(each, value="/".join(names.get(step, step) for step in each.value.split("/")))
        if each.name.rpartition("/")[2] == "@below"
        else each
        for each in settings
    )


def _called_otherwise(old: Device, new: Device) -> Change:
    """Where a device is on a network others may reach it by its name; else only people do."""
    networked = any(_on_network(module) for module in (*old.modules, *new.modules))
    edits = [edit("device name", old.name, new.name, effect="undecided" if networked else "documentation")]
    edits += [edit("reached by name")] if networked else []
    return change("hardware", "renamed", _device_place(new), (old.name, new.name), "", edits)


def _on_network(module: Module) -> bool:
    return bool(module.nodes) or any(_on_network(inner) for inner in module.modules)


def _device_place(device: Device) -> Place:
    return Place(f"device {device.name}", (f"device:{device.name}",))


def _subnet_place(subnet: Subnet) -> Place:
    return Place(f"network {subnet.name}", (f"subnet:{subnet.name}",))


def module_text(thing: Device | Module) -> str:
    """A device or module on a few lines, what is plugged in below it."""
    if isinstance(thing, Device):
        head = f"device {thing.name} {thing.type_name}".rstrip()
    else:
        slot = f"slot {thing.slot} " if thing.slot is not None else ""
        parts = (thing.name, thing.type_name, thing.order_number, thing.firmware and f"firmware {thing.firmware}")
        head = slot + " ".join(p for p in parts if p)
    inside = "\n".join(module_text(m) for m in thing.modules)
    return head + "".join(f"\n  {line}" for line in inside.splitlines())


def _one_sided(kind: Kind, at: Place, field: str, name: str, text: str, of: str = "") -> Change:
    return one_sided_change("hardware", kind, at, text, [one_sided_edit(field, kind, name, of=of)])


def _subnet(old: Subnet, new: Subnet) -> list[Change]:
    at = _subnet_place(new)
    edits = differs("device spelling", old.name, new.name)
    edits += differs("kind", old.kind, new.kind)
    edits += settings("setting", old.settings, new.settings, ordered=True)
    return told("hardware", at, f"network {new.name}", edits) + compare_extensions(at, old.extensions, new.extensions)


def _device(old: Device, new: Device, loose: Loose) -> list[Change]:
    if old == new:
        return []
    at = _device_place(new)
    edits = differs("device spelling", old.name, new.name)
    edits += differs("type", old.type_name, new.type_name)
    edits += differs("device comment", old.comment, new.comment)
    edits += differs("folder", old.folder, new.folder)
    edits += settings("setting", old.settings, new.settings, ordered=True)
    edits += _order(old.modules, new.modules)
    changes = told("hardware", at, f"device {new.name}", edits)
    changes += _modules(at, old.modules, new.modules, loose)
    return changes + compare_extensions(at, old.extensions, new.extensions)


def paired_modules(
    old: Sequence[Module], new: Sequence[Module]
) -> tuple[list[tuple[Module, Module]], list[Module], list[Module]]:
    """Pairs, then what only one side has."""
    left, right = list(old), list(new)
    pairs: list[tuple[Module, Module]] = []
    keys: tuple[Callable[[Module], object], ...] = (
        lambda m: (m.name.lower(), m.slot),
        lambda m: m.name.lower(),
        lambda m: m.slot,
    )
    for key in keys:
        for module in tuple(left):
            same = [m for m in right if key(m) == key(module) and key(m) is not None]
            rivals = [m for m in left if key(m) == key(module)]
            if same and (len(same) == len(rivals) == 1 or key is keys[0]):
                pairs.append((module, same[0]))
                left.remove(module)
                right.remove(same[0])
    return pairs, left, right


def _order(old: Sequence[Module], new: Sequence[Module]) -> list[Edit]:
    """Modules of one parent in another order; one in another slot says more."""
    if any(before.slot != after.slot for before, after in paired_modules(old, new)[0]):
        return []
    number = {id(after): str(n) for n, after in enumerate(new)}
    partner = {id(before): number[id(after)] for before, after in paired_modules(old, new)[0]}
    before = [partner[id(module)] for module in old if id(module) in partner]
    return reordered("modules", before, sorted(before, key=int))


def _modules(place: Place, old: Sequence[Module], new: Sequence[Module], loose: Loose) -> list[Change]:
    pairs, removed, added = paired_modules(old, new)
    changes: list[Change] = []
    for before, after in pairs:
        changes += _module(place, before, after, loose)
    loose += [("removed", place, m) for m in removed]
    loose += [("added", place, m) for m in added]
    return changes


def _moved(loose: Loose) -> list[Change]:
    """What became of the modules that their parent has on one side only."""
    changes: list[Change] = []
    partners: dict[tuple[str, str], dict[Kind, list[tuple[Place, Module]]]] = {}
    for kind, place, module in loose:
        key = module.name.lower(), module.order_number or module.type_name
        partners.setdefault(key, {}).setdefault(kind, []).append((place, module))
    for (_, identity), sides in partners.items():
        gone, come = sides.get("removed", []), sides.get("added", [])
        if identity and len(gone) == len(come) == 1:
            changes += _elsewhere(*gone[0], *come[0])
            continue
        for kind, several in sides.items():
            changes += [_lone_module(kind, *each) for each in several]
    return changes


def _elsewhere(before: Place, old: Module, after: Place, new: Module) -> list[Change]:
    """A module that is plugged in below another parent now, and what differs besides."""
    words = [f"{place.where} / slot {_number(m.slot)}" for place, m in ((before, old), (after, new))]
    texts = module_text(old), module_text(new)
    at = module_place(after, new)
    inner: Loose = []
    changes = [change("hardware", "moved", at, texts, "", [edit("module moved", *words, of=new.name)])]
    changes += _module(after, old, new, inner, elsewhere=True)
    return changes + _moved(inner)


def _lone_module(kind: Kind, place: Place, module: Module) -> Change:
    field, slot = ("module", "") if module.slot is None else ("module in slot", str(module.slot))
    return _one_sided(kind, module_place(place, module), field, module.name, module_text(module), slot)


def _module(place: Place, old: Module, new: Module, loose: Loose, *, elsewhere: bool = False) -> list[Change]:
    """What differs of one module; of one that is told as moved ``elsewhere``, all but its slot."""
    if old == new:
        return []
    at = module_place(place, new)
    replaced = old.order_number != new.order_number or old.type_name != new.type_name
    moved = old.slot != new.slot and not elsewhere
    edits = [edit("slot", *(None if m.slot is None else str(m.slot) for m in (old, new)))] if moved else []
    edits += differs("order number", old.order_number, new.order_number)
    edits += differs("type", old.type_name, new.type_name)
    edits += differs("kind", old.kind, new.kind)
    edits += differs("firmware", old.firmware, new.firmware)
    edits += differs("built in", "built in" * old.built_in, "built in" * new.built_in)
    edits += differs("name", old.name, new.name)
    edits += differs("comment", old.comment, new.comment)
    edits += settings("setting", old.settings, new.settings, ordered=True)
    edits += _order(old.modules, new.modules)
    if replaced:
        inner = [e for e in edits if e.field in EXCHANGED]
        headline = edit("replaced", inner=inner, effect=effect_of(inner))
        edits = [headline, *(e for e in edits if e.field not in EXCHANGED)]
    kind: Kind = "moved" if moved and not replaced else "changed"
    subject = f"module {new.name}{' replaced' if replaced else ''}"
    changes = told("hardware", at, subject, edits, (module_text(old), module_text(new)), kind)
    changes += _addresses(at, old, new)
    changes += compare_channels(at, old.channels, new.channels)
    changes += compare_nodes(at, old.nodes, new.nodes)
    changes += _modules(at, old.modules, new.modules, loose)
    return changes + compare_extensions(at, old.extensions, new.extensions)


def _number(slot: int | None) -> str:
    return "unknown" if slot is None else str(slot)


def _addresses(place: Place, old: Module, new: Module) -> list[Change]:
    before, after = _ranges(old.addresses), _ranges(new.addresses)
    if old.addresses == new.addresses:
        return []
    if sorted(before) == sorted(after):
        edits = [edit("order of addresses", of=new.name)]
        return [change("hardware", "changed", place, (None, None), "", edits)]
    texts = ", ".join(before), ", ".join(after)
    lengths = [[(r.direction, r.length) for r in m.addresses] for m in (old, new)]
    edits = differs("addresses shifted" if lengths[0] == lengths[1] else "addresses changed", *texts)
    return [change("hardware", "readdressed", place, texts, "", [replace(e, of=new.name) for e in edits])]


def _ranges(ranges: Sequence[AddressRange]) -> list[str]:
    return [f"{r.direction or 'unknown'} from byte {_number(r.start)}, {_number(r.length)} bits" for r in ranges]
