"""Channels and network nodes of a module: by number and name."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.analysis.places import Place
from asfound.compare.changes import Kind, worded, worded_one_sided
from asfound.compare.lines import Lines, differs, settings, told
from asfound.compare.pairing.by_name import by_name
from asfound.compare.result import Change
from asfound.model.hardware import Channel, NetworkNode


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
        changes.append(worded("hardware", "moved", "documentation", place, None, None, said, (said,)))
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
        lines += differs(what, before, after, effect)  # type: ignore[arg-type]
    lines += settings(old.settings, new.settings, "setting", "behaviour")
    if not lines:
        lines.append(("documentation", "settings listed in another order"))
    at = _place(place, new)
    return told("hardware", at, at.where.rpartition(" / ")[2], lines, (old.tag or None, new.tag or None))


def _text(number: int | None) -> str:
    return "" if number is None else str(number)


def _one_sided(place: Place, kind: Kind, channel: Channel) -> Change:
    at = _place(place, channel)
    said = f"{at.where.rpartition(' / ')[2]} {kind}" + (f" (tag {channel.tag})" if channel.tag else "")
    text = channel.tag or channel.name
    return worded_one_sided("hardware", kind, "behaviour", at, text, said, (said,))


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
        changes.append(worded_one_sided("hardware", kind, "behaviour", at, node.address, said, (said,)))
    if not changes:
        said = "network interfaces listed in another order"
        changes.append(worded("hardware", "moved", "documentation", place, None, None, said, (said,)))
    return changes


def _node(place: Place, old: NetworkNode, new: NetworkNode) -> list[Change]:
    if old == new:
        return []
    lines = differs("network address", old.address, new.address, "behaviour")
    lines += differs("network", old.network, new.network, "behaviour")
    lines += differs("kind", old.kind, new.kind, "behaviour")
    lines += settings(old.settings, new.settings, "setting", "behaviour")
    lines += differs("spelling of the name:", old.name, new.name, "documentation")
    if not lines:
        lines.append(("documentation", "settings listed in another order"))
    at = place.down(f"interface {new.name}", f"node:{new.name}")
    return told("hardware", at, f"interface {new.name}", lines, (old.address, new.address))
