"""POUs that belong together: attributes, declarations, bodies, actions, members.

Everything nested is paired by folded name. Cost: equal POUs cost one comparison of two structs.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import zip_longest

from asfound.analysis.places import Place, top
from asfound.analysis.where_used import declared_uses
from asfound.compare.changes import one_sided_change, one_sided_edit, used
from asfound.compare.context import Context, Scope
from asfound.compare.lines import differs, pragmas, reordered, told
from asfound.compare.logic.bodies import compare_bodies, one_body
from asfound.compare.pairing.by_name import by_name
from asfound.compare.pairing.pair import Pair
from asfound.compare.parts.declarations import Owner, compare_variables
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit
from asfound.language import printer
from asfound.model.program import Action, Body, Pou

POSITIONAL = frozenset(("function", "method"))


def title(pou: Pou) -> str:
    """``function block Pump``."""
    return f"{_kind(pou)} {pou.name}"


def _kind(pou: Pou) -> str:
    return pou.kind.replace("_", " ")


def one_sided(context: Context, kind: str, pou: Pou, place: Place | None = None) -> Change:
    """An added or removed POU."""
    at = place or top(pou.name)
    uses = (context.users_new if kind == "added" else context.users_old).of_type(pou.name)
    edits = [one_sided_edit("block", kind, pou.name, of=_kind(pou)), *(used(uses) or [edit("block unused")])]
    return one_sided_change("logic", kind, at, printer.pou(pou), edits)


def compare_pou(context: Context, pair: Pair[Pou], place: Place | None = None) -> list[Change]:
    """Changes between two POUs."""
    old, new, _ = pair
    if old == new:
        return []
    at = place or top(new.name)
    scope = context.inside(old, new)
    changes = _attributes(at, old, new)
    changes += compare_variables(_owner(context, at, old, new), pair.each(lambda p: p.variables))
    changes += _bodies(scope, at, pair.each(lambda p: p.bodies))
    changes += _actions(scope, at, "action", pair.each(lambda p: p.actions))
    changes += _actions(scope, at, "transition", pair.each(lambda p: p.transitions))
    changes += _members(context, at, pair)
    changes += compare_extensions(at, old.extensions, new.extensions)
    return changes


def _owner(context: Context, at: Place, old: Pou, new: Pou) -> Owner:
    found = ((context.users_new, new), (context.users_old, old))

    def uses(name: str) -> tuple[str, ...]:
        """Where a declared name is used; in the copy that does not declare it, the name means something else."""
        declared = [(u, p) for u, p in found if any(v.name.lower() == name.lower() for v in p.variables)]
        stated = next((places for u, p in declared if (places := u.of_local(p, name, at))), ())
        bounds = (declared_uses(p.variables, at.where).get(name.lower(), ()) for _, p in declared)
        return stated or next((places for places in bounds if places), ())

    ordered = new.kind in POSITIONAL or any(p.name.lower() in u.positional for u, p in found)
    return Owner(at, uses, ordered=frozenset(("input", "in_out")) if ordered else frozenset(), sets=context.sets)


def _attributes(at: Place, old: Pou, new: Pou) -> list[Change]:
    edits = differs("declared kind", old.kind, new.kind, fold=True)
    edits += differs("result", old.result, new.result, fold=True)
    edits += differs("extends", old.extends, new.extends, fold=True)
    edits += differs("implements", ", ".join(old.implements), ", ".join(new.implements), fold=True)
    edits += differs("modifiers", ", ".join(old.modifiers), ", ".join(new.modifiers), fold=True)
    edits += differs("namespace", old.namespace, new.namespace)
    edits += pragmas(old.pragmas, new.pragmas)
    edits += differs("comment", old.comment, new.comment)
    edits += differs("spelling", old.name, new.name)
    edits += [e for word, names in _NAMED.items() for e in reordered(word, names(old), names(new))]
    return told("declaration", at, title(new), edits)


_NAMED: dict[str, Callable[[Pou], list[str]]] = {
    "actions": lambda p: [a.name for a in p.actions],
    "transitions": lambda p: [a.name for a in p.transitions],
    "methods and properties": lambda p: [_member_key(m) for m in p.members],
}
"""What is called by its name: the order in which it is listed is for people alone."""


def _bodies(scope: Scope, at: Place, pair: Pair[Sequence[Body]]) -> list[Change]:
    changes: list[Change] = []
    bodies = list(zip_longest(*pair, fillvalue=Body("")))
    both = min(len(pair.old), len(pair.new))
    for n, each in enumerate(bodies):
        inside = at.down(f"worksheet {n + 1}", f"worksheet:{n + 1}") if len(bodies) > 1 else at
        if n < both:
            changes += compare_bodies(scope, inside, Pair(*each))
        else:
            side = ("added", each[1]) if len(pair.new) > both else ("removed", each[2])
            changes.append(one_body(*side, inside, "worksheet" if len(bodies) > 1 else "body"))
    return changes


def _actions(scope: Scope, place: Place, word: str, pair: Pair[Sequence[Action]]) -> list[Change]:
    """Changes of the actions of a POU, also of several with one name."""
    found = by_name(pair.old, pair.new, lambda a: a.name, pair.written)
    changes = [change for each in found.pairs for change in _action(scope, place, word, each)]
    return changes + [_one_action(place, word, kind, action) for kind, action in found.alone]


def _action(scope: Scope, place: Place, word: str, pair: Pair[Action]) -> list[Change]:
    first, second, _ = pair
    at = place.down(f"{word} {second.name}", f"{word}:{second.name}")
    about = differs("action name", first.name, second.name) + differs("comment", first.comment, second.comment)
    changes = told("logic", at, f"{word} {second.name}", about)
    changes += compare_bodies(scope, at, pair.each(lambda a: a.body))
    return changes + compare_extensions(at, first.extensions, second.extensions)


def _one_action(place: Place, word: str, kind: str, action: Action) -> Change:
    at = place.down(f"{word} {action.name}", f"{word}:{action.name}")
    edits = [one_sided_edit("action", kind, action.name, of=word)]
    return one_sided_change("logic", kind, at, printer.body(action.body), edits)


def _members(context: Context, at: Place, pair: Pair[Pou]) -> list[Change]:
    old, new, written = pair.each(lambda p: p.members)
    found = by_name(old, new, _member_key, written)

    def inside(member: Pou) -> Place:
        return at.down(f"{member.kind} {member.name}", f"{member.kind}:{member.name}")

    changes = [change for each in found.pairs for change in compare_pou(context, each, inside(each.new))]
    return changes + [one_sided(context, kind, member, inside(member)) for kind, member in found.alone]


def _member_key(pou: Pou) -> str:
    return f"{pou.kind} {pou.name}"
