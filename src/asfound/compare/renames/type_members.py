"""Renames of members of structures and of values of enumerations.

A member is known by its type, by the statements that use it and by where it stands; a value by its number, which has to
be the same. Cost: linear in the types that differ, and in the program when a name of them came or went.
"""

from __future__ import annotations

from asfound.analysis.leaves import leaves
from asfound.compare.pairing.by_name import by_name
from asfound.compare.renames.candidates import Item, Signature, matched, places, signatures
from asfound.compare.renames.items import variable_item
from asfound.model.copy import Copy
from asfound.model.program import DataType


def member_renames(old: Copy, new: Copy) -> dict[str, dict[str, str]]:
    """Renames inside every pair of types that have one name, by that name (folded)."""
    pairs = by_name(old.program.types, new.program.types, lambda t: t.name).pairs
    concerned = [(a, b) for a, b, _ in pairs if a.kind == b.kind]
    names = _one_sided(concerned)
    if not names:
        return {}
    uses = _uses(old, names), _uses(new, names)
    return {before.name.lower(): found for before, after in concerned if (found := _names(before, after, uses))}


def _uses(copy: Copy, names: frozenset[str]) -> dict[str, Signature]:
    return signatures((leaf for pou in copy.program.pous for leaf in leaves(pou)), names, names)


def _one_sided(pairs: list[tuple[DataType, DataType]]) -> frozenset[str]:
    """Folded names of members and values that one of two types has alone."""
    names = [[{i.name.lower() for i in _items(type)} for type in pair] for pair in pairs]
    return frozenset().union(*(ours ^ theirs for ours, theirs in names))


def _names(old: DataType, new: DataType, uses: tuple[dict[str, Signature], dict[str, Signature]]) -> dict[str, str]:
    ours, theirs = _items(old), _items(new)
    both = {i.name.lower() for i in ours} & {i.name.lower() for i in theirs}
    where = places([i.name for i in ours], [i.name for i in theirs])
    left, right = (
        [
            Item(i.name, i.kind, i.anchor, (*i.content, stands.get(i.name.lower(), "")))
            for i in items
            if i.name.lower() not in both
        ]
        for items, stands in zip((ours, theirs), where, strict=True)
    )
    return matched(left, right, *uses)


def _items(type: DataType) -> list[Item]:
    if type.kind == "enum":
        return [Item(v.name, ("value",), number) for v, number in zip(type.values, _numbers(type), strict=True)]
    return [variable_item(v) for v in type.members]


def _numbers(type: DataType) -> list[str]:
    """What each value stands for: what is said, or how far it stands behind the last for which something is."""
    found: list[str] = []
    said, behind = "", 0
    for value in type.values:
        said, behind = (value.value, 0) if value.value else (said, behind)
        found.append(f"{said} + {behind}")
        behind += 1
    return found
