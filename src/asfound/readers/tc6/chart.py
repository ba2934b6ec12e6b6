"""Sequential function charts: each element read into a part, for readers.drawing.chart_resolving."""

from __future__ import annotations

from asfound.model.logic import Expression, Operation, Statement, Unparsed, Variable
from asfound.model.program import Body, Extension
from asfound.readers.drawing.chart_resolving import STEPS, Part, chart
from asfound.readers.drawing.conditions import beside, in_place, kept, wired
from asfound.readers.drawing.drawn_items import Diagram, Wire
from asfound.readers.exchange.chart import ELEMENTS, Condition, branching, step, transition, written
from asfound.readers.exchange.positions import position
from asfound.readers.residue import flag, flat, hollow
from asfound.readers.tc6.diagram import diagram, wires
from asfound.readers.tc6.residue import RESIDUE, rest
from asfound.readers.tc6.step_actions import associations, inline_body, inside
from asfound.readers.xml import Element, attribute, children, local, take, take_all


def body(element: Element) -> Body:
    """An ``SFC`` body, consumed."""
    drawn = take_all(element, *ELEMENTS)
    blocks = associations(take_all(element, "actionBlock"))
    network = diagram(element)
    used = [Wire(w.get("refLocalId", "").strip(), "") for t in drawn if local(t) == "transition"
            for c in children(t, "condition") for w in c.iter("{*}connection")]  # fmt: skip
    parts = [_part(each, index, network) for index, each in enumerate(drawn)]
    comments = tuple(sorted(i.text for i in network.items if i.kind == "comment"))
    stray = tuple(e for i in network.items for e in i.extensions)
    stray = flat((stray, beside(network, used)))
    return Body(language="SFC", chart=chart(parts, blocks, comments, stray), extensions=rest(element))


def _part(element: Element, index: int, network: Diagram) -> Part:
    kind = local(element)
    x, y = position(element, "position")
    id = attribute(element, "localId")
    sources = tuple(w.source for point in children(element, "connectionPointIn") for w in wires(point))
    name = attribute(element, "targetName" if kind == "jumpStep" else "name").strip()
    if kind in STEPS:
        own = step(element, kind, name, inside(element, "body"), RESIDUE)
        return Part(kind, id, name, sources, x, y, index, step=own)
    if kind == "transition":
        read = transition(element, name, _condition(network, element), RESIDUE)
        return Part(kind, id, name, sources, x, y, index, transition=read)
    if kind != "jumpStep":
        name = ""
    return Part(kind, id, name, sources, x, y, index, extensions=branching(element, kind, name, RESIDUE))


def _condition(network: Diagram, element: Element) -> Condition:
    """TC6 1.x puts ``connection`` straight into ``condition``."""
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
                value, statements, unrecognised = _inline(child)
                extensions = flat((extensions, unrecognised))
            case "connectionPointIn":
                value, statements = wired(network, wires(child))
                extensions = flat((extensions, rest(child)))
            case _:
                holder.append(child)
    if negated:
        value = Operation("NOT", (value,))
    return value, statements, flat((extensions, rest(holder)))


def _inline(child: Element) -> Condition:
    """A condition written in place: a lone ST expression, or a small body that computes it."""
    text = take(child, "ST")
    if text is not None:
        return written(text), (), flat((hollow(text), rest(child)))
    inner = inline_body(child)
    return (*in_place(inner), kept(inner))
