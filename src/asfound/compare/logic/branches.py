"""Branches and loops that belong together, compared part by part, so that a change is told where it is.

Arms of an IF are aligned by their conditions, arms of a CASE by their labels. A nested change carries its own place.
Cost: see alignment. Known weakness: the order of two ELSIF arms counts as behaviour even if they exclude each other.
"""

from __future__ import annotations

from asfound.analysis.canonical import labels_key
from asfound.analysis.leaves import labels
from asfound.analysis.places import Place
from asfound.compare.changes import change, one_sided_change, one_sided_edit
from asfound.compare.context import Scope
from asfound.compare.logic.expressions import another_way, differences
from asfound.compare.logic.sequences import compare_statements, scorer
from asfound.compare.logic.statements import HEAD, judge
from asfound.compare.pairing.alignment import align
from asfound.compare.pairing.pair import Pair
from asfound.compare.result import Change, Edit
from asfound.compare.wording.fields import short
from asfound.compare.wording.phrases import edit
from asfound.language.readable import expression as text
from asfound.language.readable import statements
from asfound.model.logic import (
    Assign,
    Branch,
    Case,
    CaseArm,
    Expression,
    For,
    If,
    Literal,
    Repeat,
    While,
)

Loop = For | While | Repeat


def condition_changes(
    scope: Scope,
    place: Place,
    pair: Pair[Expression],
    what: str = "condition",
    of: str = "",
) -> list[Change]:
    """Changes of a condition, a selector or a bound."""
    old, new, written = pair
    if old == new:
        return []
    effect, witness = judge(scope, (Assign(HEAD, old),), (Assign(HEAD, new),))
    if effect == "documentation":
        found: tuple[Edit, ...] = (edit("spelling alone"),)
    else:
        found = differences(scope, old, new) or (another_way(old, new),)
    edits = [edit(what, of=of, inner=(each,)) for each in found]
    if effect == "equivalent" and scope.key(old) != scope.key(new):
        edits.insert(1, edit("proved"))
    return [change("logic", "changed", place, (text(written), text(new)), "", edits, effect=effect, witness=witness)]


def compare_if(scope: Scope, place: Place, pair: Pair[If]) -> list[Change]:
    """Changes inside an IF."""
    old, new, written = pair
    left = [scope.key(b.condition) for b in old.branches]
    right = [scope.key(b.condition) for b in new.branches]
    groups_old = [(If((b,)),) for b in old.branches]
    groups_new = [(If((b,)),) for b in new.branches]
    found = align(left, right, scorer(groups_old, groups_new), 0.3)
    changes: list[Change] = []
    for i, j in (*found.kept, *found.moved, *found.changed):
        at = place.down(f"IF branch {j + 1}", f"branch:{j + 1}", f"branch:{i + 1}")
        inside = Pair(old.branches[i], new.branches[j], written.branches[i])
        changes += condition_changes(scope, at, inside.each(lambda b: b.condition))
        changes += compare_statements(scope, at, inside.each(lambda b: b.statements))
    for i, j in (*found.moved, *found.crossed):
        at = place.down(f"IF branch {j + 1}", f"branch:{j + 1}", f"branch:{i + 1}")
        after = text(new.branches[j].condition)
        changes.append(change("logic", "moved", at, (None, after), "", (edit("order of branches"),)))
    changes += [_branch(place, "removed", i, written.branches[i]) for i in found.removed]
    changes += [_branch(place, "added", j, new.branches[j]) for j in found.added]
    at = place.down("ELSE", "else")
    return changes + compare_statements(scope, at, pair.each(lambda s: s.otherwise))


def _branch(place: Place, kind: str, index: int, branch: Branch) -> Change:
    at = place.down(f"IF branch {index + 1}", f"branch:{index + 1}")
    said = one_sided_edit(f"IF branch {kind}", kind, short(text(branch.condition)))
    return one_sided_change("logic", kind, at, statements((If((branch,)),)), (said,))


def compare_case(scope: Scope, place: Place, pair: Pair[Case]) -> list[Change]:
    """Changes inside a CASE."""
    old, new, written = pair
    changes = condition_changes(scope, place, pair.each(lambda s: s.selector), "selector")
    left, right = [labels_key(a.labels) for a in old.arms], [labels_key(a.labels) for a in new.arms]
    found = align(left, right, scorer([a.statements for a in old.arms], [a.statements for a in new.arms]))
    for i, j in (*found.kept, *found.moved, *found.changed):
        at = _arm_place(place, new.arms[j], old.arms[i])
        inside = Pair(old.arms[i], new.arms[j], written.arms[i])
        if inside.old.labels != inside.new.labels:
            changes.append(_labels(at, inside.written, inside.new, left[i] == right[j]))
        changes += compare_statements(scope, at, inside.each(lambda a: a.statements))
    changes += [_arm(place, "removed", written.arms[i]) for i in found.removed]
    changes += [_arm(place, "added", new.arms[j]) for j in found.added]
    for i, j in (*found.moved, *found.crossed):
        at = _arm_place(place, new.arms[j], old.arms[i])
        changes.append(change("logic", "moved", at, (None, labels(new.arms[j])), "", (edit("order of arms"),)))
    at = place.down("ELSE", "else")
    return changes + compare_statements(scope, at, pair.each(lambda s: s.otherwise))


def _labels(at: Place, old: CaseArm, new: CaseArm, same: bool) -> Change:
    texts = labels(old), labels(new)
    said = edit("labels", *texts, effect="documentation" if same else "behaviour")
    return change("logic", "changed", at, texts, "", (said,))


def _arm_place(place: Place, arm: CaseArm, old: CaseArm | None = None) -> Place:
    return place.down(f"CASE {short(labels(arm), 40)}", f"arm:{labels(arm)}", f"arm:{labels(old or arm)}")


def _arm(place: Place, kind: str, arm: CaseArm) -> Change:
    piece = f"{labels(arm)}:\n{statements(arm.statements, 1)}"
    said = one_sided_edit(f"CASE arm {kind}", kind, short(labels(arm)))
    return one_sided_change("logic", kind, _arm_place(place, arm), piece, (said,))


def compare_loop(scope: Scope, place: Place, pair: Pair[Loop]) -> list[Change]:
    """Changes inside a loop; a step left out is a step of one."""
    heads: list[Change] = []
    for (what, a), (_, b), (_, was) in zip(*map(_heads, pair), strict=True):
        heads += condition_changes(scope, place, Pair(a, b, was), what)
    at = place.down("loop", "loop")
    return heads + compare_statements(scope, at, pair.each(lambda s: s.statements))


def _heads(loop: Loop) -> list[tuple[str, Expression]]:
    match loop:
        case For(variable, first, last, step, _):
            bounds = [("loop variable", variable), ("first value", first), ("last value", last)]
            return [*bounds, ("step width", step or Literal("1"))]
        case While(condition, _) | Repeat(_, condition):
            return [("loop condition", condition)]
    return []
