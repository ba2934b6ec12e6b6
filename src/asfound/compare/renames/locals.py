"""Renames inside one POU: variables, actions, and the steps of its charts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from msgspec.structs import replace

from asfound.analysis.leaves import Leaf, leaves, of_body
from asfound.analysis.places import top
from asfound.analysis.symbols import Symbols
from asfound.analysis.where_used import names_of
from asfound.compare.pairing.by_name import by_name
from asfound.compare.renames.candidates import Item, Signature, blanked, matched, places, signatures
from asfound.compare.renames.items import placed, pou_items, variable_item
from asfound.compare.renames.texts import Map
from asfound.model.copy import Copy
from asfound.model.program import Body, Chart, Pou

_NOTHING: frozenset[str] = frozenset()


@dataclass
class Locals:
    """Renames by the path of the POU (folded), by POU and action for steps of an action's chart."""

    shared: frozenset[str]
    """Folded names of global variables, for which external declarations stand, and others with others."""
    names: dict[str, dict[str, str]] = field(default_factory=dict)
    charts: dict[tuple[str, str], dict[str, str]] = field(default_factory=dict)


def local_renames(old: Copy, new: Copy) -> Locals:
    """Renames inside every pair of POUs, members included."""
    shared = {name for copy in map(Symbols, (old, new)) for name in (*copy.globals, *copy.tags)}
    found = Locals(frozenset(shared))
    for before, after, _ in by_name(old.program.pous, new.program.pous, lambda p: p.name).pairs:
        if before != after:
            _pou(found, before, after, before.name.lower())
    return found


def _pou(found: Locals, old: Pou, new: Pou, path: str) -> None:
    names = _names(old, new, found.shared)
    if names:
        found.names[path] = names
    partner = {a.name.lower(): a for a in new.actions}
    for action in old.actions:
        other = partner.get(names.get(action.name.lower(), action.name).lower())
        if other is not None and action.body != other.body:
            _chart(found, (old, new), action.name, (action.body, other.body))
    under_new_names = [replace(m, name=names.get(m.name.lower(), m.name)) for m in old.members]
    pairs = by_name(under_new_names, new.members, lambda m: f"{m.kind} {m.name}", old.members).pairs
    for member, other_member, written in pairs:
        if member != other_member:
            _pou(found, member, other_member, f"{path}.{written.name.lower()}")


def _names(old: Pou, new: Pou, shared: frozenset[str]) -> dict[str, str]:
    variables = by_name(old.variables, new.variables, lambda v: v.name)
    actions = by_name(old.actions, new.actions, lambda a: a.name)
    members = by_name(old.members, new.members, lambda m: m.name)
    main = _steps(old.bodies), _steps(new.bodies)
    gone, come = (
        [v for v in side if v.section != "external" or v.name.lower() not in shared]
        for side in (variables.gone, variables.come)
    )
    left = [variable_item(v) for v in gone] + [Item(a.name, ("action",)) for a in actions.gone]
    right = [variable_item(v) for v in come] + [Item(a.name, ("action",)) for a in actions.come]
    left += [Item(n, ("step",)) for n in main[0] if n.lower() not in _folded(main[1])]
    right += [Item(n, ("step",)) for n in main[1] if n.lower() not in _folded(main[0])]
    wild = _folded(m.name for m in (*members.gone, *members.come))
    left, right = left + pou_items(members.gone, wild), right + pou_items(members.come, wild)
    if not left or not right:
        return {}
    declared = places([v.name for v in old.variables], [v.name for v in new.variables])
    return _matched(left, right, (list(leaves(old)), list(leaves(new))), declared)


def _chart(found: Locals, pous: tuple[Pou, Pou], action: str, bodies: tuple[Body, Body]) -> None:
    before, after = _steps((bodies[0],)), _steps((bodies[1],))
    left = [Item(n, ("step",)) for n in before if n.lower() not in _folded(after)]
    right = [Item(n, ("step",)) for n in after if n.lower() not in _folded(before)]
    if not left or not right:
        return
    at = top(pous[1].name).down(f"action {action}", f"action:{action}")
    groups = list(of_body(bodies[0], at, ())), list(of_body(bodies[1], at, ()))
    names = _matched(left, right, groups)
    if names:
        found.charts[pous[0].name.lower(), action.lower()] = names


def _matched(
    left: list[Item], right: list[Item], groups: tuple[list[Leaf], list[Leaf]],
    declared: tuple[Map, Map] = ({}, {}),
) -> dict[str, str]:  # fmt: skip
    gone, come = _folded(i.name for i in left), _folded(i.name for i in right)
    used_old, used_new = _used(groups[0]), _used(groups[1])
    left = [i for i in left if i.name.lower() not in used_new]
    right = [i for i in right if i.name.lower() not in used_old]
    wild = gone | come
    ours = _with_bodies(signatures(groups[0], gone, wild), groups[0], left, wild)
    theirs = _with_bodies(signatures(groups[1], come, wild), groups[1], right, wild)
    left = [placed(i, ours, declared[0]) for i in left]
    right = [placed(i, theirs, declared[1]) for i in right]
    return matched(left, right, ours, theirs)


def _with_bodies(
    found: dict[str, Signature], group: list[Leaf], items: list[Item], wild: frozenset[str]
) -> Mapping[str, Signature]:
    """An action is recognised by its code as well."""
    names = {f"action:{i.name}": i.name.lower() for i in items if i.kind == ("action",)}
    for leaf in group:
        for part in leaf.place.path:
            if part in names:
                found.setdefault(names[part], Counter())[f"inside {blanked(leaf.statement, '', wild)}"] += 1
    return found


def _used(group: list[Leaf]) -> frozenset[str]:
    return frozenset(name for leaf in group for name in names_of(leaf, _NOTHING))


def _folded(names: Iterable[str]) -> frozenset[str]:
    return frozenset(n.lower() for n in names)


def _steps(bodies: Iterable[Body]) -> list[str]:
    charts: list[Chart] = [b.chart for b in bodies if b.chart is not None]
    return [step.name for chart in charts for step in chart.steps]
