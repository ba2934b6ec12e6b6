"""Channels and network nodes of a module: by number and name."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.analysis.places import Place
from asfound.compare.changes import Kind, change, one_sided_change, one_sided_edit
from asfound.compare.lines import differs, settings, told
from asfound.compare.pairing.by_name import by_name
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit
from asfound.model.hardware import Channel, NetworkNode


def compare_channels(place: Place, old: Sequence[Channel], new: Sequence[Channel]) -> list[Change]:
    """One change per channel."""
    if old == new:
        return []
    found = by_name(old, new, _identity)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _channel(place, before, after)
    changes += [_one_sided(place, kind, channel) for kind, channel in found.alone]
    if not changes:
        changes.append(change("hardware", "moved", place, (None, None), "", [edit("order of channels")]))
    return changes


def _identity(channel: Channel) -> str:
    return f"{channel.direction} {channel.number}" if channel.number is not None else channel.name


def _place(place: Place, channel: Channel) -> Place:
    return place.down(_words(channel), f"channel:{channel.direction}:{_name(channel)}")


def _words(channel: Channel) -> str:
    return f"{channel.direction} channel {_name(channel)}".strip()


def _name(channel: Channel) -> str:
    return channel.name if channel.number is None else str(channel.number)


def _channel(place: Place, old: Channel, new: Channel) -> list[Change]:
    if old == new:
        return []
    edits = differs("tag", old.tag, new.tag)
    edits += differs("kind", old.kind, new.kind)
    edits += differs("direction", old.direction, new.direction)
    edits += differs("length", _text(old.length), _text(new.length))
    edits += differs("number", _text(old.number), _text(new.number))
    edits += differs("name", old.name, new.name)
    edits += settings("setting", old.settings, new.settings, ordered=True)
    edits = edits or [edit("order of settings")]
    return told("hardware", _place(place, new), _words(new), edits, (old.tag or None, new.tag or None))


def _text(number: int | None) -> str:
    return "" if number is None else str(number)


def _one_sided(place: Place, kind: Kind, channel: Channel) -> Change:
    edits = [one_sided_edit("channel", kind, _words(channel), of=channel.tag)]
    return one_sided_change("hardware", kind, _place(place, channel), channel.tag or channel.name, edits)


def compare_nodes(place: Place, old: Sequence[NetworkNode], new: Sequence[NetworkNode]) -> list[Change]:
    """One change per network interface."""
    if old == new:
        return []
    found = by_name(old, new, lambda n: n.name)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _node(place, before, after)
    for kind, node in found.alone:
        at = place.down(f"interface {node.name}", f"node:{node.name}")
        edits = [one_sided_edit("interface", kind, node.name, of=node.address)]
        changes.append(one_sided_change("hardware", kind, at, node.address, edits))
    if not changes:
        changes.append(change("hardware", "moved", place, (None, None), "", [edit("order of interfaces")]))
    return changes


def _node(place: Place, old: NetworkNode, new: NetworkNode) -> list[Change]:
    if old == new:
        return []
    edits = differs("network address", old.address, new.address)
    edits += differs("network", old.network, new.network)
    edits += differs("kind", old.kind, new.kind)
    edits += settings("setting", old.settings, new.settings, ordered=True)
    edits += differs("spelling", old.name, new.name)
    edits = edits or [edit("order of settings")]
    at = place.down(f"interface {new.name}", f"node:{new.name}")
    return told("hardware", at, f"interface {new.name}", edits, (old.address, new.address))
