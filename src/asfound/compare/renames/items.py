"""What something without a partner is recognised by (see candidates)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from asfound.analysis.canonical import literal_key
from asfound.analysis.leaves import leaves
from asfound.compare.renames.candidates import Item, blanked
from asfound.model.program import DataType, Pou, VariableDeclaration


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


def pou_items(pous: Sequence[Pou], wild: frozenset[str]) -> list[Item]:
    """POUs: every declaration and every leaf."""
    return [Item(p.name, (p.kind,), content=tuple(_pou_content(p, wild))) for p in pous]


def _pou_content(pou: Pou, wild: frozenset[str]) -> Iterable[str]:
    own = pou.name.lower()
    for v in pou.variables:
        yield f"{v.section} {v.name.lower()} {'?' if v.type.lower() in wild else v.type.lower()}"
    for leaf in leaves(pou):
        yield blanked(leaf.statement, own, wild - {own})


def type_items(types: Sequence[DataType]) -> list[Item]:
    """Types: members, values and base."""
    return [
        Item(
            t.name, (t.kind,),
            content=(
                t.base.lower(),
                *(f"{m.name.lower()} {m.type.lower()}" for m in t.members),
                *(f"{v.name.lower()} {v.value}" for v in t.values),
            ),
        )
        for t in types
    ]  # fmt: skip
