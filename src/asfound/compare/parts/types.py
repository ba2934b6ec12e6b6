"""User types: members, values, base. The order of members and of values is behaviour (layout, numbering)."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from asfound.analysis.places import Place
from asfound.analysis.symbols import Symbols
from asfound.analysis.where_used import Users
from asfound.compare.changes import change, effect_of, one_sided_change, one_sided_edit, used
from asfound.compare.context import Context
from asfound.compare.lines import differs, pragmas
from asfound.compare.pairing.alignment import align
from asfound.compare.pairing.pair import Pair
from asfound.compare.parts.declarations import Owner, compare_variables, initial_values
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.result import Change, Edit, Effect
from asfound.compare.wording.phrases import edit
from asfound.language import printer
from asfound.model.program import DataType, EnumValue


def type_place(name: str) -> Place:
    """Place of a user type."""
    return Place(f"type {name}", (f"type:{name}",))


def one_sided(context: Context, kind: str, type: DataType) -> Change:
    """An added or removed type."""
    sides = (context.users_old, context.old), (context.users_new, context.new)
    (users, _), (others, symbols) = sides if kind == "removed" else sides[::-1]
    uses = tuple(dict.fromkeys((*users.of_type(type.name), *_alone(others, symbols, type))))
    effect: Effect = "behaviour" if uses else "equivalent"
    edits = [one_sided_edit("data type", kind, type.name, effect=effect), *(used(uses) or [edit("data type unused")])]
    return one_sided_change("datatype", kind, type_place(type.name), printer.data_type(type), edits)


def _alone(users: Users, symbols: Symbols, type: DataType) -> Iterator[str]:
    """Places of the copy without the type where the name of a value stands alone: for what no export declares."""
    others = {v.name.lower() for t in symbols.types.values() if t.name != type.name for v in t.values}
    known = symbols.globals.keys() | symbols.tags.keys() | others
    yield from (where for v in type.values if (name := v.name.lower()) not in known
                for where in users.of_global.get(name, ()))  # fmt: skip


def compare_type(context: Context, pair: Pair[DataType]) -> list[Change]:
    """Changes between two types of one name."""
    old, new, written = pair
    if old == new:
        return []
    at = type_place(new.name)
    uses = context.users_new.of_type(new.name)
    edits = differs("declared kind", old.kind, new.kind, fold=True)
    edits += differs("base", old.base, new.base, fold=True)
    edits += initial_values(old.initial, new.initial, new.base)
    edits += _values(old.values, new.values)
    edits += differs("namespace", old.namespace, new.namespace)
    edits += pragmas(old.pragmas, new.pragmas)
    edits += differs("comment", old.comment, new.comment)
    edits += differs("spelling", old.name, new.name)
    changes: list[Change] = []
    if edits:
        edits += used(uses) if effect_of(edits) == "behaviour" else ()
        texts = printer.data_type(written), printer.data_type(new)
        changes.append(change("datatype", "changed", at, texts, f"type {new.name}", edits))
    owner = Owner(at, lambda _: uses, "datatype", frozenset(("member",)))
    changes += compare_variables(owner, pair.each(lambda t: t.members))
    return changes + compare_extensions(at, old.extensions, new.extensions)


def _values(old: tuple[EnumValue, ...], new: tuple[EnumValue, ...]) -> list[Edit]:
    if old == new:
        return []
    found = align([v.name.lower() for v in old], [v.name.lower() for v in new])
    edits = [edit("enum value removed", str(i + 1), of=old[i].name) for i in found.removed]
    edits += [edit("enum value added", new=str(j + 1), of=new[j].name) for j in found.added]
    edits += [edit("enum value moved", str(i + 1), str(j + 1), of=new[j].name) for i, j in found.moved]
    for i, j in (*found.kept, *found.moved):
        before, after = old[i], new[j]
        edits += [replace(e, field="enum value", of=after.name) for e in initial_values(before.value, after.value, "")]
        edits += [
            replace(e, field="enum comment", of=after.name) for e in differs("comment", before.comment, after.comment)
        ]
        edits += differs("spelled", before.name, after.name)
    return edits
