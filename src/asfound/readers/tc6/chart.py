"""Sequential function charts: each element read into a part (readers.drawing.chart resolves them into a chart)."""

from __future__ import annotations

from asfound.language.parser import parse_expression
from asfound.model.logic import Expression, Operation, Statement, Unparsed, Variable
from asfound.model.program import Body, Extension, Step, Transition
from asfound.readers.drawing.chart import STEPS, Part, chart
from asfound.readers.drawing.conditions import wired
from asfound.readers.drawing.diagram import Diagram
from asfound.readers.exchange.positions import position
from asfound.readers.extra.elements import INITIAL, NAME, SIMULTANEOUS, element_facts, same_flag, same_words
from asfound.readers.plate import code, flag, flat, hollow, whole_number
from asfound.readers.tc6.actions import associations, inline_body
from asfound.readers.tc6.diagram import diagram, wires
from asfound.readers.tc6.plate import PLATE, documentation, rest
from asfound.readers.xml import Element, attribute, children, local, take, take_all

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


def body(element: Element) -> Body:
    """An ``SFC`` body, eaten."""
    drawn = take_all(element, *KINDS)
    blocks = associations(take_all(element, "actionBlock"))
    network = diagram(element)
    parts = [_part(each, index, network) for index, each in enumerate(drawn)]
    comments = tuple(sorted(i.text for i in network.items if i.kind == "comment"))
    stray = tuple(e for i in network.items for e in i.extensions)
    return Body(language="SFC", chart=chart(parts, blocks, comments, stray), extensions=rest(element))


def _part(element: Element, index: int, network: Diagram) -> Part:
    kind = local(element)
    x, y = position(element, "position")
    id = attribute(element, "localId")
    sources = tuple(w.source for point in children(element, "connectionPointIn") for w in wires(point))
    name = attribute(element, "targetName" if kind == "jumpStep" else "name").strip()
    if kind in STEPS:
        return Part(kind, id, name, sources, x, y, index, step=_step(element, kind, name))
    if kind == "transition":
        return Part(kind, id, name, sources, x, y, index, transition=_transition(element, name, network))
    if kind != "jumpStep":
        name = ""
    return Part(kind, id, name, sources, x, y, index, extensions=_branching(element, kind, name))


def _step(element: Element, kind: str, name: str) -> Step:
    comment, odd = documentation(element)
    initial = flag(element, "initialStep")
    facts = element_facts(element, {NAME: same_words(name), INITIAL: same_flag(initial)}, PLATE)
    inner = take(element, "body")
    return Step(
        name=name,
        initial=initial,
        macro=kind == "macroStep",
        actions=facts.associations,
        comment=comment,
        body=inline_body(inner) if inner is not None else None,
        extensions=flat((odd, facts.odd, rest(element))),
    )


def _branching(element: Element, kind: str, name: str) -> tuple[Extension, ...]:
    """What a jump, divergence or convergence says beyond its links."""
    simultaneous = kind.startswith("simultaneous")
    named = same_words(name) if kind == "jumpStep" else lambda _: True
    repeats = {NAME: named, SIMULTANEOUS: same_flag(simultaneous)}
    return (*element_facts(element, repeats, PLATE).odd, *rest(element))


def _transition(element: Element, name: str, network: Diagram) -> Transition:
    """What a transition says by itself; its links are resolved later."""
    condition, statements, odd = _condition(network, element)
    comment, odd_comment = documentation(element)
    priority = whole_number(str(element.get("priority", "")))
    if priority is not None:
        del element.attrib["priority"]
    facts = element_facts(element, {NAME: lambda text: parse_expression(text) == condition}, PLATE)
    return Transition(
        sources=(),
        targets=(),
        condition=condition,
        statements=statements,
        name=name,
        priority=priority,
        comment=comment,
        extensions=flat((odd, odd_comment, facts.odd, rest(element))),
    )


def _condition(network: Diagram, element: Element) -> tuple[Expression, tuple[Statement, ...], tuple[Extension, ...]]:
    """Value of a transition's condition, with the statements of its network and what was odd.

    TC6 1.x puts ``connection`` straight into ``condition``.
    """
    holder = take(element, "condition")
    if holder is None:
        return Unparsed(""), (), ()
    negated = flag(holder, "negated")
    value: Expression = Unparsed("")
    statements: tuple[Statement, ...] = ()
    extensions: tuple[Extension, ...] = ()
    bare = wires(holder)
    if bare:
        value, statements = wired(network, bare)
    said = bool(bare)
    for child in take_all(holder):
        if said:  # a second way to say the condition is kept as it is
            holder.append(child)
            continue
        said = local(child) in ("reference", "inline", "connectionPointIn")
        match local(child):
            case "reference":
                value = Variable(attribute(child, "name").strip())
                extensions = flat((extensions, rest(child)))
            case "inline":
                value, statements, odd = _inline(child)
                extensions = flat((extensions, odd))
            case "connectionPointIn":
                value, statements = wired(network, wires(child))
                extensions = flat((extensions, rest(child)))
            case _:
                holder.append(child)
    if negated:
        value = Operation("NOT", (value,))
    return value, statements, flat((extensions, rest(holder)))


def _inline(child: Element) -> tuple[Expression, tuple[Statement, ...], tuple[Extension, ...]]:
    """A condition written in place: a lone ST expression, or a small body that computes it."""
    text = take(child, "ST")
    if text is not None:
        written = code(text).strip().removeprefix(":=").strip().rstrip(";").strip()
        return parse_expression(written), (), flat((hollow(text), rest(child)))
    inner = inline_body(child)
    found = inner.statements or tuple(s for n in inner.networks for s in n.statements)
    return Unparsed(f"inline {inner.language}"), found, inner.extensions
