"""Lists of global variables: all lists together are one name space, a variable that changed its list is one change."""

from __future__ import annotations

from asfound.compare.changes import change, strongest, summed
from asfound.compare.context import Context
from asfound.compare.declarations import Owner, compare_variables
from asfound.compare.extensions import compare_extensions
from asfound.compare.named import by_name
from asfound.compare.places import Place
from asfound.compare.result import Change, Effect
from asfound.language import printer
from asfound.model.program import GlobalList, Program


def list_name(block: GlobalList) -> str:
    """What a list is paired by: its name, or its scope when it has none."""
    return block.name or f"globals of {block.scope}"


def list_place(block: GlobalList) -> Place:
    """Place of a global list."""
    return Place(list_name(block), (f"globals:{list_name(block)}",))


def compare_globals(context: Context, old: Program, new: Program, original: Program) -> list[Change]:
    """Changes of every list of global variables."""
    if old.globals == new.globals:
        return []
    found = by_name(old.globals, new.globals, list_name)
    changes: list[Change] = []
    for before, after, index in found.pairs:
        changes += _list(context, before, after, original.globals[index])
    for block, index in found.removed:
        empty = GlobalList(block.name, block.scope, ())
        changes += _whole("removed", original.globals[index])
        changes += _list(context, _only_variables(block), empty, _only_variables(original.globals[index]))
    for block in found.added:
        empty = GlobalList(block.name, block.scope, ())
        changes += _whole("added", block)
        changes += _list(context, empty, _only_variables(block), empty)
    return changes


def _only_variables(block: GlobalList) -> GlobalList:
    return GlobalList(block.name, block.scope, block.variables)


def _whole(kind: str, block: GlobalList) -> list[Change]:
    said = f"global list {list_name(block)} {kind}"
    effect: Effect = "behaviour" if block.variables else "documentation"
    if block.extensions:
        effect = strongest((effect, "undecided"))
    if kind == "added":
        text = printer.global_list(block)
        return [change("declaration", "added", effect, list_place(block), None, text, said, (said,))]
    text = printer.global_list(block)
    return [change("declaration", "removed", effect, list_place(block), text, None, said, (said,))]


def _list(context: Context, old: GlobalList, new: GlobalList, original: GlobalList) -> list[Change]:
    if old == new:
        return []
    at = list_place(new)
    lines: list[tuple[Effect, str]] = []
    if old.scope != new.scope:
        lines.append(("undecided", f"scope {old.scope or 'none'} -> {new.scope or 'none'}"))
    if old.name != new.name:
        lines.append(("documentation", f"spelling of the name: {old.name} -> {new.name}"))
    if old.pragmas != new.pragmas:
        lines.append(
            ("undecided", f"pragmas: {', '.join(old.pragmas) or 'none'} -> {', '.join(new.pragmas) or 'none'}")
        )
    if old.comment != new.comment:
        lines.append(("documentation", f"comment: {old.comment or 'none'} -> {new.comment or 'none'}"))
    changes: list[Change] = []
    if lines:
        details = [line for _, line in lines]
        said = f"global list {list_name(new)}: {summed(details)}"
        changes.append(change("declaration", "changed", strongest(e for e, _ in lines), at, None, None, said, details))

    def uses(name: str) -> tuple[str, ...]:
        key = name.casefold()
        return context.uses_new.of_global.get(key, ()) or context.uses_old.of_global.get(key, ())

    changes += compare_variables(Owner(at, uses), old.variables, new.variables, original.variables)
    return changes + compare_extensions(at, old.extensions, new.extensions)
