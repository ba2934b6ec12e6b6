"""The actions of one step: paired by name, then by qualifier where exactly one is left on each side."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.analysis.canonical import literal_key
from asfound.analysis.places import Place
from asfound.compare.changes import summed, worded, worded_one_sided
from asfound.compare.context import Scope
from asfound.compare.logic.bodies import compare_bodies
from asfound.compare.logic.sequences import comment_change
from asfound.compare.pairing.alignment import Match, align
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.result import Change
from asfound.language.printer import statements
from asfound.model.program import Association, Step

KINDS = {"main": "main action", "entry": "entry action", "exit": "exit action"}


def compare_actions(scope: Scope, place: Place, old: Step, new: Step, original: Step) -> list[Change]:
    """Changes of what a step does."""
    if old.actions == new.actions:
        return []
    found = align([_key(a) for a in old.actions], [_key(a) for a in new.actions])
    pairs = sorted((*found.kept, *found.moved), key=lambda m: m[1])
    pairs, removed, added = _same_name(old, new, pairs, found.removed, found.added)
    changes: list[Change] = []
    for i, j in pairs:
        changes += _association(scope, place, new.name, (old.actions[i], new.actions[j], original.actions[i]))
    changes += [_one_sided(place, "removed", new.name, original.actions[i]) for i in removed]
    changes += [_one_sided(place, "added", new.name, new.actions[j]) for j in added]
    if found.moved:
        said = f"actions of step {new.name} are listed in another order"
        before, after = (", ".join(a.action for a in s.actions) for s in (original, new))
        changes.append(worded("logic", "moved", "undecided", place, before, after, said, (f"{before} -> {after}",)))
    return changes


def _key(a: Association) -> str:
    return f"{a.action.lower()} {a.qualifier} {_duration(a)} {a.indicator.lower()}"


def _duration(a: Association) -> str:
    return literal_key(a.duration) if a.duration else ""


def _same_name(
    old: Step, new: Step, pairs: list[Match], removed: Sequence[int], added: Sequence[int]
) -> tuple[list[Match], list[int], list[int]]:
    left, right = list(removed), list(added)
    for i in removed:
        same = [j for j in right if new.actions[j].action.lower() == old.actions[i].action.lower()]
        if same:
            pairs.append((i, same[0]))
            left.remove(i)
            right.remove(same[0])
    if len(left) == len(right) == 1 and old.actions[left[0]].qualifier == new.actions[right[0]].qualifier:
        pairs.append((left.pop(), right.pop()))
    return pairs, left, right


def named(a: Association) -> str:
    """``action DO_X``, ``entry action Fill_entry``."""
    return f"{KINDS.get(a.qualifier, 'action')} {a.action or '(inline)'}"


def association_text(a: Association) -> str:
    """An association on one line, an inline body below it."""
    parts = (a.action or "inline action", a.qualifier, a.duration, a.indicator)
    head = " ".join(p for p in parts if p)
    return head if a.body is None else f"{head}\n{statements(a.body.statements, 1)}"


def _place(place: Place, a: Association) -> Place:
    return place.down(named(a), f"action:{a.action}")


def _one_sided(place: Place, kind: str, step: str, a: Association) -> Change:
    qualifier = "" if a.qualifier in KINDS else f" with qualifier {a.qualifier} {a.duration}".rstrip()
    preposition = "to" if kind == "added" else "from"
    said = f"{named(a)} {kind} {preposition} step {step}{qualifier}"
    return worded_one_sided("logic", kind, "behaviour", _place(place, a), association_text(a), said, (said,))


def _association(
    scope: Scope, place: Place, step: str, found: tuple[Association, Association, Association]
) -> list[Change]:
    old, new, original = found
    if old == new:
        return []
    at = _place(place, new)
    texts = association_text(original), association_text(new)
    details = []
    if old.action.lower() != new.action.lower():
        details.append(f"{named(old)} replaced by {new.action or '(inline)'} in step {step}")
    if old.qualifier != new.qualifier:
        details.append(f"qualifier of {named(new)} in step {step}: {old.qualifier} -> {new.qualifier}")
    if _duration(old) != _duration(new):
        details.append(f"time of {named(new)} in step {step}: {old.duration or 'none'} -> {new.duration or 'none'}")
    if old.indicator.lower() != new.indicator.lower():
        details.append(f"indicator: {old.indicator or 'none'} -> {new.indicator or 'none'}")
    changes = [worded("logic", "changed", "behaviour", at, *texts, summed(details), details)] if details else []
    if old.body is not None and new.body is not None and original.body is not None:
        changes += compare_bodies(scope, at, old.body, new.body, original.body)
    elif old.body != new.body:
        said = f"inline code of step {step} {'added' if old.body is None else 'removed'}"
        changes.append(worded("logic", "changed", "behaviour", at, *texts, said, (said,)))
    if old.comment != new.comment:
        said = f"comment: {old.comment or 'none'} -> {new.comment or 'none'}"
        changes.append(comment_change(at, (old.comment,), (new.comment,), (said,)))
    changes += compare_extensions(at, old.extensions, new.extensions)
    if not changes:
        said = "only the spelling differs"
        changes.append(worded("logic", "changed", "documentation", at, *texts, said, (said,)))
    return changes
