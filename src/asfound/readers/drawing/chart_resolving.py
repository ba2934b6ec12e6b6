"""Sequential function charts: the drawing resolved into steps and transitions.

Links are stored at the target. Walking back from each step, jump and transition through divergences and convergences
gives for every transition its source steps and its target steps. Alternatives keep their order: explicit priority,
else from left to right, else document order. A jump wired into a convergence only closes the branch on paper.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import msgspec

from asfound.language.statement_printer import expression as printed
from asfound.model.logic import Literal
from asfound.model.program import ALTERNATIVES, Association, Chart, Extension, Step, Transition
from asfound.readers.residue import flat

STEPS = ("step", "macroStep")


@dataclass(frozen=True)
class Part:
    """One element of a chart: what it is wired from, where it stands, what it says.

    ``kind`` is ``step``, ``macroStep``, ``transition``, ``jumpStep`` (its ``name`` is the target) or
    ``selectionDivergence``, ``simultaneousConvergence`` and so on. ``step`` and ``transition`` hold what the element
    says by itself, without its links; ``extensions`` what any other part says beyond them.
    """

    kind: str
    id: str
    name: str
    sources: tuple[str, ...]
    x: float = 0.0
    y: float = 0.0
    index: int = 0
    step: Step | None = None
    transition: Transition | None = None
    extensions: tuple[Extension, ...] = ()


Parts = Mapping[str, Part]


def chart(
    found: Sequence[Part],
    blocks: Mapping[str, tuple[Association, ...]],
    comments: tuple[str, ...],
    extensions: tuple[Extension, ...],
) -> Chart:
    """The chart drawn by the parts; ``blocks`` are the actions wired to a step, by the number of the step."""
    parts = {part.id: part for part in found}
    doubled = (Extension(path="elements with one number", text=_whole(p)) for p in found if parts[p.id] is not p)
    steps = [_with_actions(p.step, blocks.get(p.id, ())) for p in parts.values() if p.step is not None]
    stray = [a for id, of in blocks.items() if id not in parts or parts[id].step is None for a in of]
    loose = (Extension("action of no step", msgspec.json.encode(a).decode("utf-8"), a.action) for a in stray)
    leftovers = [f"action {a.action} ({a.qualifier}) belongs to no step" for a in stray]
    linked = _transitions(parts, leftovers)
    alternatives = _alternatives(linked)
    ordered = _in_order(steps, alternatives)
    return Chart(
        steps=ordered,
        transitions=_along(ordered, alternatives),
        leftovers=tuple(sorted(leftovers)),
        comments=comments,
        extensions=flat(
            (
                extensions,
                tuple(doubled),
                tuple(loose),
                _doubts(linked),
                _one_name(steps),
                _odd_branches(parts),
                *(p.extensions for p in parts.values()),
            )
        ),
    )


def _with_actions(step: Step, actions: tuple[Association, ...]) -> Step:
    return msgspec.structs.replace(step, actions=(*step.actions, *actions))


def _whole(part: Part) -> str:
    """Everything a part says, for one that cannot be placed in the chart."""
    said = msgspec.json.encode((part.step, part.transition, part.extensions)).decode("utf-8")
    return f"{part.kind} {part.name} {said}"


def _in_order(steps: list[Step], transitions: list[Transition]) -> tuple[Step, ...]:
    """Steps along the chart from the initial one; the order of drawing says nothing."""
    by_name = {s.name: s for s in steps}
    following: dict[str, list[str]] = {}
    for transition in transitions:
        for source in transition.sources:
            following.setdefault(source, []).extend(transition.targets)
    queue = [s.name for s in steps if s.initial] or sorted(by_name)[:1]
    reached: dict[str, None] = {}
    while queue:
        name = queue.pop(0)
        if name in reached or name not in by_name:
            continue
        reached[name] = None
        queue.extend(following.get(name, ()))
    names = [*reached, *sorted(n for n in by_name if n not in reached)]
    doubled = [s for s in steps if by_name[s.name] is not s]
    return (*(by_name[name] for name in names), *doubled)


def _transitions(parts: Parts, leftovers: list[str]) -> list[tuple[Part, Transition]]:
    targets: dict[str, list[str]] = {}
    direct: list[tuple[Part, Transition]] = []
    for part in parts.values():
        if part.kind not in (*STEPS, "jumpStep"):
            continue
        for source in part.sources:
            for origin in _feeding(parts, source, set()):
                if origin.kind == "transition":
                    targets.setdefault(origin.id, []).append(part.name)
                elif part.kind == "jumpStep":
                    direct.append((part, Transition((origin.name,), (part.name,), Literal("TRUE"))))
    read = [
        (part, transition)
        for part in parts.values()
        if part.transition is not None
        for transition in _linked(parts, part, part.transition, targets.get(part.id, []), leftovers)
    ]
    return [*read, *direct]


def _linked(parts: Parts, part: Part, said: Transition, targets: list[str], leftovers: list[str]) -> list[Transition]:
    """A transition with its links: one for each set of steps it may leave."""
    sources = [s for each in part.sources for s in _origins(parts, each, set())]
    if not sources or not targets:
        what = part.name or printed(said.condition)
        leftovers.append(f"transition {what} {'comes from no step' if not sources else 'leads to no step'}")
        sources = sources or [()]
    into = tuple(sorted(dict.fromkeys(targets)))
    return [msgspec.structs.replace(said, sources=one, targets=into) for one in dict.fromkeys(sources)]


def _feeding(parts: Parts, source: str, seen: set[str]) -> list[Part]:
    """Transitions (or steps) that lead into a step, seen through convergences and divergences."""
    part = parts.get(source)
    if part is None or source in seen or part.kind == "jumpStep":
        return []
    if part.kind in ("transition", *STEPS):
        return [part]
    return [origin for each in part.sources for origin in _feeding(parts, each, {*seen, source})]


def _origins(parts: Parts, source: str, seen: set[str]) -> list[tuple[str, ...]]:
    """Step sets from which a transition leaves: one set for each alternative, several steps when they converge."""
    part = parts.get(source)
    if part is None or source in seen or part.kind == "jumpStep":
        return []
    if part.kind in STEPS:
        return [(part.name,)]
    inputs = [_origins(parts, each, {*seen, source}) for each in part.sources]
    if part.kind == "simultaneousConvergence":
        sets: list[tuple[str, ...]] = [()]
        for alternatives in inputs:
            sets = [(*left, *right) for left in sets for right in alternatives] if alternatives else sets
        return [tuple(sorted(s)) for s in sets if s]
    if part.kind == "transition":
        return []
    return [one for alternatives in inputs for one in alternatives]


def _alternatives(found: list[tuple[Part, Transition]]) -> list[Transition]:
    """Transitions in the order in which alternatives are tried: priority, then left to right, then as stored."""

    def key(entry: tuple[Part, Transition]) -> tuple[int, float, int]:
        part, transition = entry
        return (transition.priority or 0, part.x, part.index)

    return [transition for _, transition in sorted(found, key=key)]


def _doubts(found: list[tuple[Part, Transition]]) -> tuple[Extension, ...]:
    """Alternatives of one step that stand in the file in another order than from left to right.

    Nothing in an export says which of the two decides where no priority does, so that a change of either shows.
    """
    by_step: dict[str, list[tuple[Part, Transition]]] = {}
    for part, transition in found:
        for source in transition.sources:
            by_step.setdefault(source, []).append((part, transition))
    unrecognised = []
    for step, entries in by_step.items():
        open_ = [e for e in entries if e[1].priority is None]
        in_file = sorted(open_, key=lambda e: e[0].index)
        if [p.id for p, _ in sorted(open_, key=lambda e: (e[0].x, e[0].index))] != [p.id for p, _ in in_file]:
            told = ", ".join(f"{printed(t.condition)} to {' and '.join(t.targets)}" for _, t in in_file)
            unrecognised.append(Extension(path=ALTERNATIVES.format(step), text=told))
    return tuple(unrecognised)


def _one_name(steps: list[Step]) -> tuple[Extension, ...]:
    """Steps that share a name: a jump to it, and a comparison by name, sees one of them only."""
    by_name: dict[str, list[Step]] = {}
    for step in steps:
        by_name.setdefault(step.name.lower(), []).append(step)
    return tuple(
        Extension(path=f"steps with one name: {name}", text=msgspec.json.encode(found).decode("utf-8"))
        for name, found in sorted(by_name.items())
        if len(found) > 1
    )


LEGAL = {"selectionDivergence": "step", "simultaneousDivergence": "transition", "simultaneousConvergence": "step"}
"""What may feed a branching (IEC 61131-3, table 61 of the 2013 edition); a selection may end in either."""


def _odd_branches(parts: Parts) -> tuple[Extension, ...]:
    """Branchings where the standard has none of that kind, and several steps straight below one transition.

    What they do is not defined, so the kind is kept and compared; drawn as the standard has it, the links say it all.
    """
    unrecognised: list[Extension] = []
    below: dict[str, list[str]] = {}
    for part in parts.values():
        origins = {o.id: o for source in part.sources for o in _above(parts, source, set())}
        if part.kind in LEGAL:
            wrong = [o for o in origins.values() if (o.kind == "transition") != (LEGAL[part.kind] == "transition")]
            for o in wrong:
                path = f"{part.kind} fed by a {'transition' if o.kind == 'transition' else 'step'}"
                unrecognised.append(Extension(path=path, text=_title(o)))
        if part.kind in (*STEPS, "jumpStep"):
            for source in part.sources:
                if parts.get(source) is not None and parts[source].kind == "transition":
                    below.setdefault(source, []).append(part.name)
    unrecognised += [
        Extension(path="steps straight below one transition", text=f"{_title(parts[id])}: {', '.join(sorted(names))}")
        for id, names in below.items()
        if len(names) > 1
    ]
    return tuple(unrecognised)


def _above(parts: Parts, source: str, seen: set[str]) -> list[Part]:
    """The steps and transitions that lead to a place, seen through branchings."""
    part = parts.get(source)
    if part is None or source in seen or part.kind == "jumpStep":
        return []
    if part.kind in ("transition", *STEPS):
        return [part]
    return [o for each in part.sources for o in _above(parts, each, {*seen, source})]


def _title(part: Part) -> str:
    return part.name or (printed(part.transition.condition) if part.transition else "")


def _along(steps: tuple[Step, ...], transitions: list[Transition]) -> tuple[Transition, ...]:
    """Transitions grouped by the step they leave, in the order of the steps; alternatives keep their order."""
    place = {step.name: at for at, step in enumerate(steps)}
    return tuple(sorted(transitions, key=lambda t: min((place.get(s, 0) for s in t.sources), default=len(place))))
