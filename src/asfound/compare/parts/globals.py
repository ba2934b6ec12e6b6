"""Lists of global variables: all lists together are one name space, a variable that changed its list is one change."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from asfound.analysis.places import Place, list_name, list_place
from asfound.compare.changes import Kind, change, one_sided_change, one_sided_edit
from asfound.compare.context import Context
from asfound.compare.lines import differs, pragmas, told
from asfound.compare.pairing.by_name import by_name
from asfound.compare.pairing.pair import Pair
from asfound.compare.parts.declarations import Owner, compare_variables
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.result import Change, Effect
from asfound.compare.wording.phrases import edit
from asfound.language import printer
from asfound.model.program import GlobalList, Program, VariableDeclaration


def compare_globals(context: Context, pair: Pair[Program]) -> list[Change]:
    """Changes of every list of global variables."""
    old, new, written = pair
    if old.globals == new.globals:
        return []
    found = by_name(old.globals, new.globals, list_name, written.globals)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _list(before, after)
    known = {list_name(before).lower() for before, _, _ in found.pairs}
    for kind, block in found.alone:
        if list_name(block).lower() not in known or block.extensions or block.pragmas:
            changes += _whole(kind, block)
    return changes + _split(old, new, known) + _variables(context, pair)


def _split(old: Program, new: Program, known: set[str]) -> list[Change]:
    """Lists of one name that are written as another number of blocks."""
    before, after = (Counter(list_name(b).lower() for b in p.globals) for p in (old, new))
    homes = {list_name(b).lower(): list_place(b) for b in (*reversed(old.globals), *reversed(new.globals))}
    changes = []
    for name in sorted(known):
        if before[name] != after[name]:
            edits = [edit("written as blocks", str(before[name]), str(after[name]))]
            changes.append(change("declaration", "changed", homes[name], (None, None), "", edits))
    return changes


def _variables(context: Context, pair: Pair[Program]) -> list[Change]:
    """Every variable at the list that holds it now; one that is gone, at the list that held it."""
    old, new, original = pair
    now = {v.name.lower(): list_name(block) for block in reversed(new.globals) for v in block.variables}
    stays = {(list_name(block).lower(), v.name.lower()): list_name(block)
             for block in new.globals for v in block.variables}  # fmt: skip
    homes = {list_name(block): list_place(block) for block in (*reversed(old.globals), *reversed(new.globals))}
    groups: dict[str, Pair[list[VariableDeclaration]]] = {}
    arrived: dict[str, list[tuple[VariableDeclaration, VariableDeclaration]]] = {}
    moved: dict[tuple[str, str], list[VariableDeclaration]] = {}
    changes: list[Change] = []
    for block, was in zip(old.globals, original.globals, strict=True):
        for variable, written in zip(block.variables, was.variables, strict=True):
            own, name = list_name(block), variable.name.lower()
            home = stays.get((own.lower(), name)) or now.get(name, own)
            if home.lower() == own.lower():
                group = groups.setdefault(home, Pair([], [], []))
                group.old.append(variable)
                group.written.append(written)
            else:
                arrived.setdefault(home, []).append((variable, written))
                moved.setdefault((own, home), []).append(variable)
    for block in new.globals:
        groups.setdefault(list_name(block), Pair([], [], [])).new.extend(block.variables)
    changes += [_moved(homes[home], those, was, home) for (was, home), those in moved.items()]
    for home, those in arrived.items():  # they stand where they stand now: that they moved is told already
        before, after, texts = groups[home]
        stands = {v.name.lower(): at for at, v in enumerate(after)}
        for variable, written in sorted(those, key=lambda pair: stands[pair[0].name.lower()]):
            before.insert(stands[variable.name.lower()], variable)
            texts.insert(stands[variable.name.lower()], written)

    def uses(name: str) -> tuple[str, ...]:
        key = name.lower()
        both = context.users_new, context.users_old
        found = next((places for u in both if (places := u.of_global.get(key, ()))), ())
        return found or next((places for u in both if (places := u.in_declarations.get(key, ()))), ())

    for home, group in sorted(groups.items()):
        changes += compare_variables(Owner(homes[home], uses, sets=context.sets), group)
    return changes


def _moved(place: Place, variables: Sequence[VariableDeclaration], old: str, new: str) -> Change:
    """Those that went from one list to another, told once."""
    texts, names = (old, new), [v.name for v in variables]
    if len(names) == 1:
        edits = [edit("list of variable", old, new, of=names[0])]
        at = place.down(names[0], f"variable:{names[0]}")
        return change("declaration", "moved", at, texts, "", edits)
    head = edit("list of variables", old, new, of=str(len(names)))
    listed = [edit("declared", new=printer.variable(v), of=v.name) for v in variables]
    folded = [name.lower() for name in names]
    return change("declaration", "moved", place, texts, "", [head, *listed], names=folded)


def _whole(kind: Kind, block: GlobalList) -> list[Change]:
    effect: Effect = "undecided" if block.extensions or block.pragmas else "documentation"
    edits = [one_sided_edit("global list", kind, list_name(block), effect=effect)]
    return [one_sided_change("declaration", kind, list_place(block), printer.global_list(block), edits)]


def _list(old: GlobalList, new: GlobalList) -> list[Change]:
    if old == new:
        return []
    at = list_place(new)
    edits = differs("scope of list", old.scope, new.scope, fold=True)
    edits += differs("spelling", old.name, new.name)
    edits += pragmas(old.pragmas, new.pragmas)
    edits += differs("comment", old.comment, new.comment)
    changes = told("declaration", at, f"global list {list_name(new)}", edits)
    return changes + compare_extensions(at, old.extensions, new.extensions)
