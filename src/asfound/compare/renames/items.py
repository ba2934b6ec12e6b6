"""What something without a partner is recognised by (see candidates)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from asfound.analysis.canonical import literal_key
from asfound.analysis.leaves import leaves
from asfound.compare.renames.candidates import Item, Signature, blanked
from asfound.model.program import DataType, GlobalList, Pou, VariableDeclaration

PATHS = ("access", "config")
"""Sections whose names say what they are for: the outside knows an access path by its name, a configured variable is
named by the instance it belongs to."""


def variable_item(v: VariableDeclaration) -> Item:
    """A variable: everything declared but its name and comment has to be equal; an address is an anchor."""
    initial = literal_key(v.initial) if v.initial else ""
    flags = f"{v.constant} {v.retain} {v.persistent} {v.edge}"
    address = v.address.upper()
    content = (v.comment,) if v.comment else ()
    placeholder = address.endswith("*")
    kind = (
        "variable",
        v.section,
        v.type.lower(),
        initial,
        flags,
        address if placeholder else bool(address).__str__(),
    )
    return Item(v.name, kind, "" if placeholder else address, content)


def placed(item: Item, signature: Mapping[str, Signature], places: Mapping[str, str]) -> Item:
    """Something that no statement uses is known by where it is declared."""
    key = item.name.lower()
    return item if signature.get(key) or key not in places else replace(item, content=(*item.content, places[key]))


def pou_items(pous: Sequence[Pou], wild: frozenset[str]) -> list[Item]:
    """POUs: every declaration and every leaf; names that only one side has are left open."""
    return [Item(p.name, (p.kind,), content=tuple(_pou_content(p, wild))) for p in pous]


def _pou_content(pou: Pou, wild: frozenset[str]) -> Iterable[str]:
    own = pou.name.lower()
    if pou.result:
        yield f"result {_open(pou.result, wild)}"
    for v in pou.variables:
        yield f"{v.section} {_open(v.name, wild)} {_open(v.type, wild)}"
    for leaf in leaves(pou):
        yield blanked(leaf.statement, own, wild)


def _open(text: str, wild: frozenset[str]) -> str:
    """Folded, with the words left open that only one side has."""
    return re.sub(r"[^\W\d]\w*", lambda found: "?" if found.group() in wild else found.group(), text.lower())


def type_items(types: Sequence[DataType]) -> list[Item]:
    """Types: members, values and base."""
    return [
        Item(
            t.name, (t.kind,),
            content=(
                t.base.lower(),
                *(f"{m.name} {m.type}".lower() for m in t.members),
                *(f"{v.name.lower()} {v.value}" for v in t.values),
            ),
        )
        for t in types
    ]  # fmt: skip


def list_item(block: GlobalList) -> Item:
    """A list: its variables."""
    content = (f"{v.name} {v.type} {v.address}".lower() for v in block.variables)
    return Item(block.name, (), content=tuple(content))
