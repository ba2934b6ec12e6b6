"""Two sequential charts: steps by name, transitions by the steps they join, actions by step and name.

The order of transitions matters only among those that leave one step (they are tried in that order); the order in
which steps and other transitions are listed is drawing.
Cost: linear, plus alignment of what several transitions between the same steps share.
Known weakness: two transitions between the same steps whose conditions both changed are paired by likeness.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from asfound.analysis.canonical import Key, sequence_key
from asfound.analysis.leaves import name_of
from asfound.analysis.places import Place
from asfound.compare.changes import change, one_sided_change, one_sided_edit
from asfound.compare.context import Scope
from asfound.compare.logic.actions import compare_actions
from asfound.compare.logic.bodies import compare_bodies
from asfound.compare.logic.branches import condition_changes
from asfound.compare.logic.expressions import shown
from asfound.compare.logic.sequences import comment_change, comment_edits, compare_statements, scorer
from asfound.compare.logic.statements import line, unreadable
from asfound.compare.pairing.alignment import Match, align
from asfound.compare.pairing.pair import Pair
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.result import Change, Edit, Effect
from asfound.compare.wording.phrases import edit
from asfound.language.readable import expression as text
from asfound.model.logic import Branch as Arm
from asfound.model.logic import If
from asfound.model.program import Body, Chart, Step, Transition


def compare_charts(scope: Scope, place: Place, pair: Pair[Chart]) -> list[Change]:
    """Changes between two charts."""
    old, new, written = pair
    if old == new:
        return []
    changes = _steps(scope, place, pair)
    pairs, removed, added = paired_transitions(scope.key, old.transitions, new.transitions)
    for i, j in pairs:
        changes += _transition(scope, place, Pair(old.transitions[i], new.transitions[j], written.transitions[i]))
    changes += [_one_sided(place, "removed", written.transitions[i]) for i in removed]
    changes += [_one_sided(place, "added", new.transitions[j]) for j in added]
    changes += _alternatives(place, old, new, pairs)
    for what, before, after in (
        ("comment", old.comments, new.comments),
        ("drawn", old.leftovers, new.leftovers),
    ):
        if sorted(before) != sorted(after):
            changes.append(comment_change(place, before, after, comment_edits(before, after, what)))
    changes += compare_extensions(place, old.extensions, new.extensions)
    return changes or _drawing(place, old, new)


def _drawing(place: Place, old: Chart, new: Chart) -> list[Change]:
    texts = "\n".join(s.name for s in old.steps), "\n".join(s.name for s in new.steps)
    return [change("logic", "changed", place, texts, "", (edit("listing of chart"),))]


def _steps(scope: Scope, place: Place, pair: Pair[Chart]) -> list[Change]:
    before = {s.name.lower(): (s, was) for s, was in zip(pair.old.steps, pair.written.steps, strict=True)}
    after = {s.name.lower(): s for s in pair.new.steps}
    changes: list[Change] = []
    for key in sorted({*before, *after}):
        if key not in after:
            changes.append(_one_step(place, "removed", before[key][1]))
        elif key not in before:
            changes.append(_one_step(place, "added", after[key]))
        else:
            changes += _step(scope, place, Pair(before[key][0], after[key], before[key][1]))
    return changes


def step_place(place: Place, name: str) -> Place:
    """Place of a step of a chart."""
    return place.down(f"step {name}", f"step:{name}")


def step_text(step: Step) -> str:
    """A step and its actions, one a line."""
    head = ("initial step " if step.initial else "step ") + step.name
    lines = [f"  {a.action or 'inline action'} {a.qualifier} {a.duration}".rstrip() for a in step.actions]
    return "\n".join([head, *lines])


def _one_step(place: Place, kind: str, step: Step) -> Change:
    actions = ", ".join(a.action or "an inline action" for a in step.actions)
    said = one_sided_edit(f"step {kind}", kind, actions, of=step.name)
    return one_sided_change("logic", kind, step_place(place, step.name), step_text(step), (said,))


def _step(scope: Scope, place: Place, pair: Pair[Step]) -> list[Change]:
    old, new, written = pair
    if old == new:
        return []
    at = step_place(place, new.name)
    changes: list[Change] = []
    edits = []
    for what, was, now in (("initial step", old.initial, new.initial), ("macro step", old.macro, new.macro)):
        if was != now:
            edits.append(edit(f"{what} {'added' if now else 'removed'}", of=new.name))
    if edits:
        changes.append(change("logic", "changed", at, (step_text(written), step_text(new)), "", edits))
    elif old.name != new.name:
        changes.append(change("logic", "changed", at, (written.name, new.name), "", (edit("spelling of name"),)))
    if old.comment != new.comment:
        said = edit("comment", old.comment, new.comment)
        changes.append(comment_change(at, (old.comment,), (new.comment,), (said,)))
    changes += compare_actions(scope, at, pair)
    match pair.each(lambda s: s.body):
        case Pair(Body() as before, Body() as after, Body() as known):
            changes += compare_bodies(scope, at, Pair(before, after, known))
        case Pair(before, after) if before != after:
            sides = (None if body is None else "" for body in (before, after))
            changes.append(change("logic", "changed", at, (None, None), "", (edit("body of macro step", *sides),)))
    return changes + compare_extensions(at, old.extensions, new.extensions)


def paired_transitions(
    key: Key, old: Sequence[Transition], new: Sequence[Transition]
) -> tuple[list[Match], list[int], list[int]]:
    """Pairs with the same steps first, then with the same condition and one end in common."""
    pairs: list[Match] = []
    left, right = list(range(len(old))), list(range(len(new)))
    for ends in (_joined, _leaving, _entering):
        groups_old, groups_new = _grouped(old, left, ends), _grouped(new, right, ends)
        for name in sorted(groups_old.keys() & groups_new.keys()):
            ours, theirs = groups_old[name], groups_new[name]
            found = align(
                [_condition_key(key, old[i]) for i in ours],
                [_condition_key(key, new[j]) for j in theirs],
                scorer([_as_if(old[i]) for i in ours], [_as_if(new[j]) for j in theirs]) if ends is _joined else None,
                0.0,
            )
            pairs += [(ours[i], theirs[j]) for i, j in (*found.kept, *found.moved, *found.changed)]
        left = [i for i in left if i not in {p[0] for p in pairs}]
        right = [j for j in right if j not in {p[1] for p in pairs}]
    return sorted(pairs, key=lambda p: (p[1], p[0])), left, right


def _ends(names: Sequence[str]) -> str:
    return ",".join(sorted(n.lower() for n in names))


def _joined(t: Transition) -> str:
    return f"{_ends(t.sources)}>{_ends(t.targets)}"


def _leaving(t: Transition) -> str:
    return _ends(t.sources)


def _entering(t: Transition) -> str:
    return _ends(t.targets)


def _grouped(
    transitions: Sequence[Transition], indexes: Sequence[int], key: Callable[[Transition], str]
) -> dict[str, list[int]]:
    groups: dict[str, list[int]] = {}
    for i in indexes:
        groups.setdefault(key(transitions[i]), []).append(i)
    return groups


def _condition_key(key: Key, t: Transition) -> str:
    return f"{key(t.condition)} {sequence_key(t.statements, key)}"


def _as_if(t: Transition) -> tuple[If, ...]:
    return (If((Arm(t.condition, t.statements),)),)


def transition_place(place: Place, transition: Transition, old: Transition | None = None) -> Place:
    """Place of a transition, named by its steps."""
    name, was = name_of(transition), name_of(old or transition)
    return place.down(f"transition {name}", f"transition:{name}", f"transition:{was}")


def transition_text(t: Transition) -> str:
    """A transition on one line."""
    priority = f" (priority {t.priority})" if t.priority is not None else ""
    return f"{name_of(t)}{priority}: {text(t.condition)}"


def _one_sided(place: Place, kind: str, t: Transition) -> Change:
    said = one_sided_edit(f"transition {kind}", kind, shown(t.condition), of=name_of(t))
    edits = (said, *(one_sided_edit(f"transition code {kind}", kind, line(s)) for s in t.statements))
    effect: Effect = "undecided" if any(map(unreadable, t.statements)) else "behaviour"
    return one_sided_change("logic", kind, transition_place(place, t), transition_text(t), edits, effect=effect)


def _transition(scope: Scope, place: Place, pair: Pair[Transition]) -> list[Change]:
    old, new, written = pair
    if old == new:
        return []
    at = transition_place(place, new, old)
    texts = transition_text(written), transition_text(new)
    changes: list[Change] = []
    edits: list[Edit] = []
    was, now = ((", ".join(t.sources), ", ".join(t.targets)) for t in (old, new))
    if _ends(old.sources) != _ends(new.sources):
        edits.append(edit("source of transition", was[0], now[0], of=now[1]))
    if _ends(old.targets) != _ends(new.targets):
        edits.append(edit("target of transition", was[1], now[1], of=now[0]))
    if old.priority != new.priority:
        edits.append(
            edit("priority of transition", *(None if p is None else str(p) for p in (old.priority, new.priority)))
        )
    if edits:
        changes.append(change("logic", "changed", at, texts, "", edits))
    changes += condition_changes(scope, at, pair.each(lambda t: t.condition), "condition of transition", name_of(new))
    changes += compare_statements(scope, at, pair.each(lambda t: t.statements))
    about = [edit(what, a, b) for what, a, b in
             (("name of transition", old.name, new.name), ("comment", old.comment, new.comment)) if a != b]  # fmt: skip
    if about:
        changes.append(comment_change(at, (old.name, old.comment), (new.name, new.comment), about))
    changes += compare_extensions(at, old.extensions, new.extensions)
    if not changes and (old.sources, old.targets) != (new.sources, new.targets):
        changes.append(change("logic", "changed", at, texts, "", (edit("listing of steps"),)))
    return changes


def _alternatives(place: Place, old: Chart, new: Chart, pairs: Sequence[Match]) -> list[Change]:
    """Steps that two transitions leave in another order than before."""
    changes: list[Change] = []
    leaving: dict[str, list[Match]] = {}
    for i, j in pairs:
        for name in new.transitions[j].sources:
            if name.lower() in {s.lower() for s in old.transitions[i].sources}:
                leaving.setdefault(name.lower(), []).append((i, j))
    for name, found in sorted(leaving.items()):
        if [i for i, _ in found] == sorted(i for i, _ in found):
            continue
        before = [transition_text(old.transitions[i]) for i, _ in sorted(found)]
        after = [transition_text(new.transitions[j]) for _, j in found]
        step = next(s.name for s in new.steps if s.name.lower() == name) if new.steps else name
        texts = "\n".join(before), "\n".join(after)
        edits = (edit("order of alternatives", of=step), *(edit("now tried", new=each) for each in after))
        changes.append(change("logic", "moved", step_place(place, step), texts, "", edits))
    return changes
