"""Values read from a running controller, and forces: paired by name."""

from __future__ import annotations

from asfound.compare.canonical import literal_key
from asfound.compare.changes import change, strongest, summed
from asfound.compare.named import by_name
from asfound.compare.places import Place
from asfound.compare.result import Change, Effect
from asfound.compare.settings import differing_settings
from asfound.model.copy import Copy
from asfound.model.values import ActualValue, Force

Lines = list[tuple[Effect, str]]


def compare_values(old: Copy, new: Copy) -> list[Change]:
    """Changes of actual values; a value that only one side knows is undecided."""
    if old.values == new.values:
        return []
    if not old.values or not new.values:
        return [_only_one_side(old, new)]
    found = by_name(old.values, new.values, lambda v: v.name)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _value(before, after)
    for value, kind in (*((v, "removed") for v, _ in found.removed), *((v, "added") for v in found.added)):
        said = f"actual value of {value.name} {'no longer' if kind == 'removed' else 'now'} recorded: {_text(value)}"
        at = _place(value.name)
        details = ("nothing to compare it with",)
        if kind == "added":
            changes.append(change("value", "added", "undecided", at, None, _text(value), said, details))
        else:
            changes.append(change("value", "removed", "undecided", at, _text(value), None, said, details))
    return changes


def _only_one_side(old: Copy, new: Copy) -> Change:
    """One of the copies carries no actual values at all: they were not read there."""
    lines = [f"{v.name}: {_text(v)}" for v in sorted((*old.values, *new.values), key=lambda v: v.name.casefold())]
    at = Place("values", ("values",))
    side = "new" if old.values else "old"
    said = f"{len(lines)} actual values cannot be compared: the {side} copy holds none"
    listed = "\n".join(lines)
    if old.values:
        return change("value", "removed", "undecided", at, listed, None, said, lines)
    return change("value", "added", "undecided", at, None, listed, said, lines)


def _place(name: str) -> Place:
    return Place(f"value {name}", (f"value:{name}",))


def _text(value: ActualValue) -> str:
    return f"{value.actual} {value.unit}".strip()


def _same(old: str, new: str) -> bool:
    return bool(old and new) and literal_key(old) == literal_key(new)


def _value(old: ActualValue, new: ActualValue) -> list[Change]:
    if old == new:
        return []
    lines: Lines = []
    if old.actual != new.actual:
        same = _same(old.actual, new.actual) and old.unit == new.unit
        unit = f" {new.unit}" if new.unit else ""
        words = f"actual value {old.actual or 'none'} -> {new.actual or 'none'}{unit}"
        lines.append(("documentation", f"{words} (the same value)") if same else ("behaviour", words))
    if old.initial != new.initial:
        same = _same(old.initial, new.initial)
        words = f"initial value {old.initial or 'none'} -> {new.initial or 'none'}"
        lines.append(("documentation" if same else "behaviour", words))
    if old.unit != new.unit:
        lines.append(("undecided", f"unit {old.unit or 'none'} -> {new.unit or 'none'}"))
    lines += [("undecided", f"column {line}") for line in differing_settings(old.settings, new.settings)]
    if old.comment != new.comment:
        lines.append(("documentation", f"comment: {old.comment or 'none'} -> {new.comment or 'none'}"))
    if old.name != new.name:
        lines.append(("documentation", f"spelling of the name: {old.name} -> {new.name}"))
    if not lines:
        return []
    details = [line for _, line in lines]
    tuned = lines[0][1].startswith("actual value") and lines[0][0] == "behaviour"
    values = f"{old.actual or 'none'} -> {new.actual or 'none'} {new.unit}".strip()
    said = f"{new.name} tuned: {values}" if tuned else f"{new.name}: {summed(details)}"
    effect = strongest(e for e, _ in lines)
    return [change("value", "changed", effect, _place(new.name), _text(old), _text(new), said, details)]


def compare_forces(old: Copy, new: Copy) -> list[Change]:
    """Changes of forces."""
    if old.forces == new.forces:
        return []
    found = by_name(old.forces, new.forces, _forced)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _force(before, after)
    for force, _ in found.removed:
        said = f"{_forced(force)} is no longer forced to {force.value}"
        at = _force_place(force)
        changes.append(change("force", "removed", "behaviour", at, _force_text(force), None, said, (said,)))
    for force in found.added:
        said = f"{_forced(force)} is forced to {force.value}"
        at = _force_place(force)
        changes.append(change("force", "added", "behaviour", at, None, _force_text(force), said, (said,)))
    return changes


def _forced(force: Force) -> str:
    return force.name or force.address


def _force_place(force: Force) -> Place:
    return Place(f"force {_forced(force)}", (f"force:{_forced(force)}",))


def _force_text(force: Force) -> str:
    at = f" AT {force.address}" if force.address else ""
    return f"{force.name}{at} := {force.value}".strip()


def _force(old: Force, new: Force) -> list[Change]:
    if old == new:
        return []
    lines: Lines = []
    if old.value != new.value:
        same = _same(old.value, new.value)
        lines.append(("documentation" if same else "behaviour", f"forced to {old.value} -> {new.value}"))
    if old.address != new.address:
        lines.append(("behaviour", f"address {old.address or 'none'} -> {new.address or 'none'}"))
    lines += [("undecided", f"column {line}") for line in differing_settings(old.settings, new.settings)]
    if old.comment != new.comment:
        lines.append(("documentation", f"comment: {old.comment or 'none'} -> {new.comment or 'none'}"))
    if old.name != new.name:
        lines.append(("documentation", f"spelling of the name: {old.name} -> {new.name}"))
    if not lines:
        return []
    details = [line for _, line in lines]
    effect, said = strongest(e for e, _ in lines), f"{_forced(new)}: {summed(details)}"
    texts = _force_text(old), _force_text(new)
    return [change("force", "changed", effect, _force_place(new), *texts, said, details)]
