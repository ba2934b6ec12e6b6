"""Channels and network nodes of a module: by number and name."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.compare.changes import Kind, change, strongest, summed
from asfound.compare.named import by_name
from asfound.compare.places import Place
from asfound.compare.result import Change, Effect
from asfound.compare.settings import differing_settings
from asfound.model.hardware import Channel, NetworkNode

Lines = list[tuple[Effect, str]]


def compare_channels(place: Place, old: Sequence[Channel], new: Sequence[Channel]) -> list[Change]:
    """One change per channel."""
    if old == new:
        return []
    found = by_name(old, new, _identity)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _channel(place, before, after)
    changes += [_one_sided(place, "removed", c) for c, _ in found.removed]
    changes += [_one_sided(place, "added", c) for c in found.added]
    if not changes:
        said = "channels listed in another order"
        changes.append(change("hardware", "moved", "documentation", place, None, None, said, (said,)))
    return changes


def _identity(channel: Channel) -> str:
    return f"{channel.direction} {channel.number}" if channel.number is not None else channel.name


def _place(place: Place, channel: Channel) -> Place:
    name = channel.name if channel.number is None else str(channel.number)
    words = f"{channel.direction} channel {name}".strip()
    return place.down(words, f"channel:{channel.direction}:{name}")


def _channel(place: Place, old: Channel, new: Channel) -> list[Change]:
    if old == new:
        return []
    lines: Lines = []
    for what, before, after, effect in (
        ("tag", old.tag, new.tag, "behaviour"),
        ("kind", old.kind, new.kind, "behaviour"),
        ("direction", old.direction, new.direction, "behaviour"),
        ("length", _text(old.length), _text(new.length), "behaviour"),
        ("number", _text(old.number), _text(new.number), "behaviour"),
        ("name", old.name, new.name, "documentation"),
    ):
        if before != after:
            lines.append((effect, f"{what} {before or 'none'} -> {after or 'none'}"))  # type: ignore[arg-type]
    lines += [("behaviour", f"setting {line}") for line in differing_settings(old.settings, new.settings)]
    if not lines:
        lines.append(("documentation", "settings listed in another order"))
    at = _place(place, new)
    details = [line for _, line in lines]
    said = f"{at.where.rpartition(' / ')[2]}: {summed(details)}"
    effect = strongest(e for e, _ in lines)
    return [change("hardware", "changed", effect, at, old.tag or None, new.tag or None, said, details)]


def _text(number: int | None) -> str:
    return "" if number is None else str(number)


def _one_sided(place: Place, kind: Kind, channel: Channel) -> Change:
    at = _place(place, channel)
    said = f"{at.where.rpartition(' / ')[2]} {kind}" + (f" (tag {channel.tag})" if channel.tag else "")
    text = channel.tag or channel.name
    before, after = (None, text) if kind == "added" else (text, None)
    return change("hardware", kind, "behaviour", at, before, after, said, (said,))


def compare_nodes(place: Place, old: Sequence[NetworkNode], new: Sequence[NetworkNode]) -> list[Change]:
    """One change per network interface."""
    if old == new:
        return []
    found = by_name(old, new, lambda n: n.name)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _node(place, before, after)
    for node, kind in (*((n, "removed") for n, _ in found.removed), *((n, "added") for n in found.added)):
        at = place.down(f"interface {node.name}", f"node:{node.name}")
        said = f"network interface {node.name} {kind} ({node.address or 'no address'})"
        if kind == "added":
            changes.append(change("hardware", "added", "behaviour", at, None, node.address, said, (said,)))
        else:
            changes.append(change("hardware", "removed", "behaviour", at, node.address, None, said, (said,)))
    if not changes:
        said = "network interfaces listed in another order"
        changes.append(change("hardware", "moved", "documentation", place, None, None, said, (said,)))
    return changes


def _node(place: Place, old: NetworkNode, new: NetworkNode) -> list[Change]:
    if old == new:
        return []
    lines: Lines = []
    if old.address != new.address:
        lines.append(("behaviour", f"network address {old.address or 'none'} -> {new.address or 'none'}"))
    if old.network != new.network:
        lines.append(("behaviour", f"network {old.network or 'none'} -> {new.network or 'none'}"))
    if old.kind != new.kind:
        lines.append(("behaviour", f"kind {old.kind or 'none'} -> {new.kind or 'none'}"))
    lines += [("behaviour", f"setting {line}") for line in differing_settings(old.settings, new.settings)]
    if old.name != new.name:
        lines.append(("documentation", f"spelling of the name: {old.name} -> {new.name}"))
    if not lines:
        lines.append(("documentation", "settings listed in another order"))
    at = place.down(f"interface {new.name}", f"node:{new.name}")
    details = [line for _, line in lines]
    effect = strongest(e for e, _ in lines)
    said = f"interface {new.name}: {summed(details)}"
    return [change("hardware", "changed", effect, at, old.address, new.address, said, details)]
