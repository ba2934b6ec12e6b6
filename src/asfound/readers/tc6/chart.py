"""Sequential function charts: the drawing resolved into steps and transitions.

Links are stored at the target. Walking back from each step, jump and transition through divergences and convergences
gives for every transition its source steps and its target steps. Alternatives keep their order: explicit priority,
else from left to right, else document order. A jump wired into a convergence only closes the branch on paper.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import msgspec

from asfound.language.parser import parse_expression
from asfound.language.printer import expression as printed
from asfound.model.logic import Assign, Expression, Literal, Operation, Statement, Temporary, Unparsed, Variable
from asfound.model.program import Association, Body, Chart, Extension, Step, Transition
from asfound.readers.drawing.flow import run, series
from asfound.readers.drawing.temporaries import inline, numbered
from asfound.readers.tc6.actions import (
    INITIAL,
    NAME,
    SIMULTANEOUS,
    associations,
    element_facts,
    inline_body,
    same_words,
)
from asfound.readers.tc6.diagram import Diagram, Wire, diagram, position, wires
from asfound.readers.tc6.plate import code, documentation, flag, flat, hollow, rest
from asfound.readers.xml import Element, attribute, local, take, take_all

KINDS = (
    "step",
    "macroStep",
    "transition",
    "jumpStep",
    "selectionDivergence",
    "selectionConvergence",
    "simultaneousDivergence",
    "simultaneousConvergence",
)


@dataclass(frozen=True)
class Part:
    """One element of the chart: what it is wired from, where it stands."""

    kind: str
    id: str
    name: str
    sources: tuple[str, ...]
    x: float
    y: float
    index: int
    element: Element = field(compare=False)


@dataclass
class _Drawing:
    """The parts by id; mutable only while it is being read."""

    parts: dict[str, Part]
    network: Diagram
    odd: list[Extension]
    leftovers: list[str]


def body(element: Element) -> Body:
    """An ``SFC`` body, eaten."""
    found = [_part(each, index) for index, each in enumerate(take_all(element, *KINDS))]
    parts = {part.id: part for part in found}
    odd = [Extension(path="elements with one number", text=f"{p.kind} {p.name}") for p in found if parts[p.id] is not p]
    drawing = _Drawing(parts, Diagram(()), odd, [])
    blocks = associations(take_all(element, "actionBlock"))
    drawing.network = diagram(element)
    steps = _steps(drawing, blocks)
    alternatives = _alternatives(_transitions(drawing))
    comments = tuple(sorted(i.text for i in drawing.network.items if i.kind == "comment"))
    stray = [e for i in drawing.network.items for e in i.extensions]
    ordered = _in_order(steps, alternatives)
    chart = Chart(
        steps=ordered,
        transitions=_along(ordered, alternatives),
        leftovers=tuple(sorted(drawing.leftovers)),
        comments=comments,
        extensions=flat((tuple(drawing.odd), tuple(stray))),
    )
    return Body(language="SFC", chart=chart, extensions=rest(element))


def _part(element: Element, index: int) -> Part:
    kind = local(element)
    x, y = position(element)
    sources = tuple(w.source for point in take_all(element, "connectionPointIn") for w in wires(point))
    name = attribute(element, "targetName" if kind == "jumpStep" else "name").strip()
    if kind.endswith("Divergence") or kind.endswith("Convergence"):
        name = ""
    return Part(kind, attribute(element, "localId"), name, sources, x, y, index, element)


# --- steps ------------------------------------------------------------------------------------------------------


def _steps(drawing: _Drawing, blocks: dict[str, tuple[Association, ...]]) -> list[Step]:
    steps = []
    for part in drawing.parts.values():
        if part.kind not in ("step", "macroStep"):
            continue
        comment, odd = documentation(part.element)
        initial = flag(part.element, "initialStep")
        facts = element_facts(
            part.element, {NAME: same_words(part.name), INITIAL: lambda text, i=initial: (text.upper() == "TRUE") == i}
        )
        inner = take(part.element, "body")
        steps.append(
            Step(
                name=part.name,
                initial=initial,
                macro=part.kind == "macroStep",
                actions=(*facts.associations, *blocks.pop(part.id, ())),
                comment=comment,
                body=inline_body(inner) if inner is not None else None,
                extensions=flat((odd, facts.odd, rest(part.element))),
            )
        )
    for loose in blocks.values():
        drawing.leftovers += [f"action {a.action} ({a.qualifier}) belongs to no step" for a in loose]
    return steps


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


# --- transitions ------------------------------------------------------------------------------------------------


def _transitions(drawing: _Drawing) -> list[tuple[Part, Transition]]:
    targets: dict[str, list[str]] = {}
    direct: list[tuple[Part, Transition]] = []
    for part in drawing.parts.values():
        if part.kind in ("step", "macroStep", "jumpStep"):
            for source in part.sources:
                for origin in _feeding(drawing, source, set()):
                    if origin.kind == "transition":
                        targets.setdefault(origin.id, []).append(part.name)
                    elif part.kind == "jumpStep":
                        always = Transition((origin.name,), (part.name,), Literal("TRUE"))
                        direct.append((part, always))
        if part.kind not in ("step", "macroStep", "transition"):
            drawing.odd += _branching(part)
    read = [
        (part, transition)
        for part in drawing.parts.values()
        if part.kind == "transition"
        for transition in _transition(drawing, part, tuple(dict.fromkeys(targets.get(part.id, ()))))
    ]
    return [*read, *direct]


def _branching(part: Part) -> tuple[Extension, ...]:
    """What a jump, divergence or convergence says beyond its links."""
    simultaneous = part.kind.startswith("simultaneous")
    named = same_words(part.name) if part.kind == "jumpStep" else lambda _: True
    repeats = {NAME: named, SIMULTANEOUS: lambda text: (text.upper() == "TRUE") == simultaneous}
    return (*element_facts(part.element, repeats).odd, *rest(part.element))


def _feeding(drawing: _Drawing, source: str, seen: set[str]) -> list[Part]:
    """Transitions (or steps) that lead into a step, seen through convergences and divergences."""
    part = drawing.parts.get(source)
    if part is None or source in seen or part.kind == "jumpStep":
        return []
    if part.kind in ("transition", "step", "macroStep"):
        return [part]
    return [origin for each in part.sources for origin in _feeding(drawing, each, {*seen, source})]


def _origins(drawing: _Drawing, source: str, seen: set[str]) -> list[tuple[str, ...]]:
    """Step sets from which a transition leaves: one set for each alternative, several steps when they converge."""
    part = drawing.parts.get(source)
    if part is None or source in seen or part.kind == "jumpStep":
        return []
    if part.kind in ("step", "macroStep"):
        return [(part.name,)]
    inputs = [_origins(drawing, each, {*seen, source}) for each in part.sources]
    if part.kind == "simultaneousConvergence":
        sets: list[tuple[str, ...]] = [()]
        for alternatives in inputs:
            sets = [(*left, *right) for left in sets for right in alternatives] if alternatives else sets
        return [tuple(sorted(s)) for s in sets if s]
    if part.kind == "transition":
        return []
    return [one for alternatives in inputs for one in alternatives]


def _transition(drawing: _Drawing, part: Part, targets: tuple[str, ...]) -> list[Transition]:
    sources = [s for each in part.sources for s in _origins(drawing, each, set())]
    condition, statements, odd = _condition(drawing, part.element)
    comment, odd_comment = documentation(part.element)
    priority = str(part.element.attrib.pop("priority", "")).strip()
    facts = element_facts(part.element, {NAME: lambda text: parse_expression(text) == condition})
    read = Transition(
        sources=(),
        targets=tuple(sorted(targets)),
        condition=condition,
        statements=statements,
        name=part.name,
        priority=int(priority) if priority.lstrip("-").isdigit() else None,
        comment=comment,
        extensions=flat((odd, odd_comment, facts.odd, rest(part.element))),
    )
    if not sources or not targets:
        what = part.name or printed(condition)
        drawing.leftovers.append(f"transition {what} {'comes from no step' if not sources else 'leads to no step'}")
        sources = sources or [()]
    return [msgspec.structs.replace(read, sources=one) for one in dict.fromkeys(sources)]


def _condition(drawing: _Drawing, element: Element) -> tuple[Expression, tuple[Statement, ...], tuple[Extension, ...]]:
    """Value of a transition's condition, with the statements of its network and what was odd."""
    holder = take(element, "condition")
    if holder is None:
        return Unparsed(""), (), ()
    negated = flag(holder, "negated")
    value: Expression = Unparsed("")
    statements: tuple[Statement, ...] = ()
    extensions: tuple[Extension, ...] = ()
    for child in take_all(holder):
        match local(child):
            case "reference":
                value = Variable(attribute(child, "name").strip())
                extensions = flat((extensions, rest(child)))
            case "inline":
                value, statements, odd = _inline(child)
                extensions = flat((extensions, odd))
            case "connectionPointIn" | "connection":
                found = wires(child) if local(child) == "connectionPointIn" else _bare_wire(child)
                value, statements = _wired(drawing.network, found)
                extensions = flat((extensions, rest(child)))
            case _:
                holder.append(child)
    if negated:
        value = Operation("NOT", (value,))
    return value, statements, flat((extensions, rest(holder)))


def _bare_wire(child: Element) -> tuple[Wire, ...]:
    """TC6 1.x puts ``connection`` straight into ``condition``."""
    return (Wire(attribute(child, "refLocalId"), attribute(child, "formalParameter")),)


def _inline(child: Element) -> tuple[Expression, tuple[Statement, ...], tuple[Extension, ...]]:
    """A condition written in place: a lone ST expression, or a small body that computes it."""
    text = take(child, "ST")
    if text is not None:
        written = code(text).strip().removeprefix(":=").strip().rstrip(";").strip()
        return parse_expression(written), (), flat((hollow(text), rest(child)))
    inner = inline_body(child)
    found = inner.statements or tuple(s for n in inner.networks for s in n.statements)
    return Unparsed(f"inline {inner.language}"), found, inner.extensions


def _wired(network: Diagram, found: tuple[Wire, ...]) -> tuple[Expression, tuple[Statement, ...]]:
    flow = run(network, (), found)
    value = series(flow.power(found))
    runs = inline(flow.runs)
    if not runs:
        return value, ()
    last = Assign(Temporary(0), value)
    *before, final = numbered([*(r.statement for r in runs), last])
    assert isinstance(final, Assign)
    return final.value, tuple(before)


def _alternatives(found: list[tuple[Part, Transition]]) -> list[Transition]:
    """Transitions in the order in which alternatives are tried: priority, then left to right, then as stored."""

    def key(entry: tuple[Part, Transition]) -> tuple[int, float, int]:
        part, transition = entry
        return (transition.priority or 0, part.x, part.index)

    return [transition for _, transition in sorted(found, key=key)]


def _along(steps: tuple[Step, ...], transitions: list[Transition]) -> tuple[Transition, ...]:
    """Transitions grouped by the step they leave, in the order of the steps; alternatives keep their order."""
    place = {step.name: at for at, step in enumerate(steps)}
    return tuple(sorted(transitions, key=lambda t: min((place.get(s, 0) for s in t.sources), default=len(place))))
