"""Lists of global variables: all lists together are one name space, a variable that changed its list is one change."""

from __future__ import annotations

from collections import Counter

from asfound.analysis.places import Place, list_name, list_place
from asfound.compare.changes import Kind, worded, worded_one_sided
from asfound.compare.context import Context
from asfound.compare.lines import differs, pragmas, told
from asfound.compare.pairing.by_name import by_name
from asfound.compare.parts.declarations import Owner, compare_variables
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.result import Change, Effect
from asfound.language import printer
from asfound.model.program import GlobalList, Program, VariableDeclaration


def compare_globals(context: Context, old: Program, new: Program, original: Program) -> list[Change]:
    """Changes of every list of global variables."""
    if old.globals == new.globals:
        return []
    found = by_name(old.globals, new.globals, list_name)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _list(before, after)
    known = {list_name(before).lower() for before, _, _ in found.pairs}
    one_sided_change: list[tuple[Kind, GlobalList]] = [("removed", original.globals[i]) for _, i in found.removed]
    one_sided_change += [("added", block) for block in found.added]
    for kind, block in one_sided_change:
        if list_name(block).lower() not in known or block.extensions or block.pragmas:
            changes += _whole(kind, block)
    return changes + _split(old, new, known) + _variables(context, old, new, original)


def _split(old: Program, new: Program, known: set[str]) -> list[Change]:
    """Lists of one name that are written as another number of blocks."""
    before, after = (Counter(list_name(b).lower() for b in p.globals) for p in (old, new))
    homes = {list_name(b).lower(): list_place(b) for b in (*reversed(old.globals), *reversed(new.globals))}
    changes = []
    for name in sorted(known):
        if before[name] != after[name]:
            said = f"written as {after[name]} blocks instead of {before[name]}"
            changes.append(worded("declaration", "changed", "documentation", homes[name], None, None, said, (said,)))
    return changes


Group = tuple[list[VariableDeclaration], list[VariableDeclaration], list[VariableDeclaration]]


def _variables(context: Context, old: Program, new: Program, original: Program) -> list[Change]:
    """Every variable at the list that holds it now; one that is gone, at the list that held it."""
    now = {v.name.lower(): list_name(block) for block in reversed(new.globals) for v in block.variables}
    homes = {list_name(block): list_place(block) for block in (*reversed(old.globals), *reversed(new.globals))}
    groups: dict[str, Group] = {}
    changes: list[Change] = []
    for block, was in zip(old.globals, original.globals, strict=True):
        for variable, written in zip(block.variables, was.variables, strict=True):
            home = now.get(variable.name.lower(), list_name(block))
            group = groups.setdefault(home, ([], [], []))
            group[0].append(variable)
            group[2].append(written)
            if home != list_name(block):
                changes.append(_moved(homes[home], variable, list_name(block), home))
    for block in new.globals:
        groups.setdefault(list_name(block), ([], [], []))[1].extend(block.variables)

    def uses(name: str) -> tuple[str, ...]:
        key = name.lower()
        both = context.mod_ref_new, context.mod_ref_old
        found = next((places for u in both if (places := u.of_global.get(key, ()))), ())
        return found or next((places for u in both if (places := u.in_declarations.get(key, ()))), ())

    for home, (before, after, written_before) in sorted(groups.items()):
        changes += compare_variables(Owner(homes[home], uses, sets=context.sets), before, after, written_before)
    return changes


def _moved(place: Place, variable: VariableDeclaration, old: str, new: str) -> Change:
    said = f"{variable.name} moved from list {old} to {new}"
    at = place.down(variable.name, f"variable:{variable.name}")
    return worded("declaration", "moved", "documentation", at, old, new, said, (said,))


def _whole(kind: Kind, block: GlobalList) -> list[Change]:
    said = f"global list {list_name(block)} {kind}"
    effect: Effect = "undecided" if block.extensions or block.pragmas else "documentation"
    return [worded_one_sided("declaration", kind, effect, list_place(block), printer.global_list(block), said, (said,))]


def _list(old: GlobalList, new: GlobalList) -> list[Change]:
    if old == new:
        return []
    at = list_place(new)
    lines = differs("scope", old.scope, new.scope, "undecided", fold=True)
    lines += differs("spelling of the name:", old.name, new.name, "documentation")
    lines += pragmas(old.pragmas, new.pragmas)
    lines += differs("comment:", old.comment, new.comment, "documentation")
    changes = told("declaration", at, f"global list {list_name(new)}", lines)
    return changes + compare_extensions(at, old.extensions, new.extensions)
