"""User types: members, values, base. The order of members and of values is behaviour (layout, numbering)."""

from __future__ import annotations

from asfound.analysis.places import Place
from asfound.compare.changes import listed, strongest, summed, worded, worded_one_sided
from asfound.compare.context import Context
from asfound.compare.lines import Lines, differs, pragmas
from asfound.compare.pairing.alignment import align
from asfound.compare.parts.declarations import Owner, compare_variables, initial_values
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.result import Change, Effect
from asfound.language import printer
from asfound.model.program import DataType, EnumValue


def type_place(name: str) -> Place:
    """Place of a user type."""
    return Place(f"type {name}", (f"type:{name}",))


def one_sided(context: Context, kind: str, type: DataType) -> Change:
    """An added or removed type."""
    uses = (context.mod_ref_new if kind == "added" else context.mod_ref_old).of_type(type.name)
    effect: Effect = "behaviour" if uses else "equivalent"
    said, details = f"type {type.name} {kind}", listed(uses) or ("not used by this program",)
    return worded_one_sided("datatype", kind, effect, type_place(type.name), printer.data_type(type), said, details)


def compare_type(context: Context, old: DataType, new: DataType, original: DataType) -> list[Change]:
    """Changes between two types of one name."""
    if old == new:
        return []
    at = type_place(new.name)
    uses = context.mod_ref_new.of_type(new.name)
    lines: Lines = differs("kind:", old.kind, new.kind, "behaviour", fold=True)
    lines += differs("base:", old.base, new.base, "behaviour", fold=True)
    lines += initial_values(old.initial, new.initial, new.base)
    lines += _values(old.values, new.values)
    lines += differs("namespace:", old.namespace, new.namespace, "undecided")
    lines += pragmas(old.pragmas, new.pragmas)
    lines += differs("comment:", old.comment, new.comment, "documentation")
    lines += differs("spelling of the name:", old.name, new.name, "documentation")
    changes: list[Change] = []
    if lines:
        effect = strongest(e for e, _ in lines)
        details = [line for _, line in lines]
        said = f"type {new.name}: {summed(details)}"
        details += listed(uses) if effect == "behaviour" else ()
        texts = printer.data_type(original), printer.data_type(new)
        changes.append(worded("datatype", "changed", effect, at, *texts, said, details))
    owner = Owner(at, lambda _: uses, "datatype", frozenset(("member",)))
    changes += compare_variables(owner, old.members, new.members, original.members)
    return changes + compare_extensions(at, old.extensions, new.extensions)


def _values(old: tuple[EnumValue, ...], new: tuple[EnumValue, ...]) -> Lines:
    if old == new:
        return []
    found = align([v.name.lower() for v in old], [v.name.lower() for v in new])
    lines: Lines = [("behaviour", f"value {old[i].name} removed") for i in found.removed]
    lines += [("behaviour", f"value {new[j].name} added at place {j + 1}") for j in found.added]
    lines += [("behaviour", f"value {new[j].name} moved from place {i + 1} to {j + 1}") for i, j in found.moved]
    for i, j in (*found.kept, *found.moved):
        before, after = old[i], new[j]
        if before.value != after.value:
            lines += [
                (e, f"value {after.name}: {before.value or 'none'} -> {after.value or 'none'}")
                for e, _ in initial_values(before.value, after.value, "")
            ]
        if before.comment != after.comment:
            lines.append(("documentation", f"comment of {after.name}: {before.comment} -> {after.comment}"))
        if before.name != after.name:
            lines.append(("documentation", f"spelling: {before.name} -> {after.name}"))
    return lines
