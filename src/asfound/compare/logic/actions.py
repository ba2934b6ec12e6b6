"""The actions of one step: paired by name, then by qualifier where exactly one is left on each side."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.analysis.canonical import literal_key
from asfound.analysis.places import Place
from asfound.compare.changes import change, one_sided_change
from asfound.compare.context import Scope
from asfound.compare.logic.bodies import compare_bodies
from asfound.compare.logic.sequences import comment_change
from asfound.compare.pairing.alignment import Match, align
from asfound.compare.pairing.pair import Pair
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit
from asfound.language.readable import statements
from asfound.model.program import Association, Step

KINDS = {"main": "main action", "entry": "entry action", "exit": "exit action"}


def compare_actions(scope: Scope, place: Place, pair: Pair[Step]) -> list[Change]:
    """Changes of what a step does."""
    old, new, written = pair
    if old.actions == new.actions:
        return []
    found = align([_key(a) for a in old.actions], [_key(a) for a in new.actions])
    pairs = sorted((*found.kept, *found.moved), key=lambda m: m[1])
    pairs, removed, added = _same_name(old, new, pairs, found.removed, found.added)
    changes: list[Change] = []
    for i, j in pairs:
        changes += _association(scope, place, new.name, Pair(old.actions[i], new.actions[j], written.actions[i]))
    changes += [_one_sided(place, "removed", new.name, written.actions[i]) for i in removed]
    changes += [_one_sided(place, "added", new.name, new.actions[j]) for j in added]
    if found.moved:
        before, after = (", ".join(a.action for a in s.actions) for s in (written, new))
        edits = edit("order of actions", of=new.name), edit("actions", before, after)
        changes.append(change("logic", "moved", place, (before, after), "", edits))
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
    qualifier = "" if a.qualifier in KINDS else f"{a.qualifier} {a.duration}".rstrip()
    field = f"action {kind}"
    said = edit(field, of=named(a), owner=step, inner=[edit("qualifier", new=qualifier)] if qualifier else [])
    return one_sided_change("logic", kind, _place(place, a), association_text(a), (said,))


def _association(scope: Scope, place: Place, step: str, pair: Pair[Association]) -> list[Change]:
    old, new, written = pair
    if old == new:
        return []
    at = _place(place, new)
    texts = association_text(written), association_text(new)
    edits = []
    if old.action.lower() != new.action.lower():
        edits.append(edit("action of step", named(old), new.action or "(inline)", owner=step))
    if old.qualifier != new.qualifier:
        edits.append(edit("qualifier of action", old.qualifier, new.qualifier, of=named(new), owner=step))
    if _duration(old) != _duration(new):
        edits.append(edit("time of action", old.duration, new.duration, of=named(new), owner=step))
    if old.indicator.lower() != new.indicator.lower():
        edits.append(edit("indicator", old.indicator, new.indicator))
    changes = [change("logic", "changed", at, texts, "", edits)] if edits else []
    if old.body is not None and new.body is not None and written.body is not None:
        changes += compare_bodies(scope, at, Pair(old.body, new.body, written.body))
    elif old.body != new.body:
        said = edit(f"inline code {'added' if old.body is None else 'removed'}", of=step)
        changes.append(change("logic", "changed", at, texts, "", (said,)))
    if old.comment != new.comment:
        said = edit("comment", old.comment, new.comment)
        changes.append(comment_change(at, (old.comment,), (new.comment,), (said,)))
    changes += compare_extensions(at, old.extensions, new.extensions)
    if not changes:
        changes.append(change("logic", "changed", at, texts, "", (edit("spelling alone"),), effect="documentation"))
    return changes
