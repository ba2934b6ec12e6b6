"""Sequential function charts: each object read into a part, for readers.drawing.chart_resolving.

The page of facts does not spell out charts; objects and attributes are those of the older format in this one's
spelling (``SfcObject xsi:type="Step"``, ``name``, ``initialStep``, ``targetName``). Anything else is kept and compared.
"""

from __future__ import annotations

from asfound.model.logic import Expression, Operation, Statement, Unparsed, Variable
from asfound.model.program import Association, Body
from asfound.readers.drawing.chart_resolving import STEPS, Part, chart
from asfound.readers.drawing.conditions import beside, in_place, kept, wired
from asfound.readers.drawing.drawn_items import Diagram, connected
from asfound.readers.exchange.chart import (
    ELEMENTS,
    Condition,
    Inside,
    actions,
    association,
    branching,
    step,
    transition,
    written,
)
from asfound.readers.exchange.positions import position
from asfound.readers.iec61131_10.bodies import one_body
from asfound.readers.iec61131_10.diagram import (
    KINDS,
    Drawn,
    Outputs,
    doubled,
    ends,
    grouped,
    item,
    outputs,
    wires,
)
from asfound.readers.iec61131_10.residue import RESIDUE, rest, take_kind
from asfound.readers.residue import Unrecognised, flag, flat, hollow
from asfound.readers.xml import Element, attribute, children, take, take_all

PARTS = {RESIDUE.name(kind): kind for kind in ELEMENTS}

Actions = dict[str, tuple[Association, ...]]


def body(element: Element) -> Body:
    """An ``SFC`` body, consumed."""
    groups, objects = grouped(element, (*PARTS, "ActionBlock", *KINDS))
    known = outputs(objects)
    numbered = list(enumerate(objects))
    items = [item(drawn, number, known) for number, drawn in numbered if drawn.kind in KINDS]
    network = connected(items)
    blocks: Actions = {}
    for _, drawn in numbered:
        if drawn.kind == "ActionBlock":
            _associations(drawn.element, known, blocks)
    conditions = [
        c for _, drawn in numbered if drawn.kind == "Transition" for c in children(drawn.element, "Condition")
    ]
    points = [p for c in conditions for p in children(c, "ConnectionPointIn")]
    used = [w for p in points for w in ends(p, known)]
    parts = [_part(drawn, number, known, network) for number, drawn in numbered if drawn.kind in PARTS]
    comments = [i.text for i in items if i.kind == "comment"] + [g.comment for g in groups if g.comment]
    stray = flat(
        (*(i.extensions for i in items), *(g.extensions for g in groups), doubled(known), beside(network, used))
    )
    read = chart(parts, blocks, tuple(sorted(comments)), stray)
    return Body(language="SFC", chart=read, extensions=rest(element))


def _part(drawn: Drawn, number: int, known: Outputs, network: Diagram) -> Part:
    element, kind = drawn.element, PARTS[drawn.kind]
    x, y = position(element, "RelPosition")
    sources = tuple(w.source for point in children(element, "ConnectionPointIn") for w in wires(point, known))
    name = attribute(element, "targetName" if kind == "jumpStep" else "name").strip()
    given = (str(number), name, sources, x, y, number)
    if kind in STEPS:
        inside = _inside(take(element, "MainBody") if kind == "macroStep" else None)
        return Part(kind, *given, step=step(element, kind, name, inside, RESIDUE))
    if kind == "transition":
        read = transition(element, name, _condition(element, known, network), RESIDUE)
        return Part(kind, *given, transition=read)
    if kind != "jumpStep":
        given = (str(number), "", *given[2:])
    return Part(kind, *given, extensions=branching(element, kind, given[1], RESIDUE))


def _inside(holder: Element | None) -> Inside:
    """The body in a holder that may be missing."""
    return one_body(holder) if holder is not None else (None, ())


# --- transitions ------------------------------------------------------------------------------------------------


def _condition(element: Element, known: Outputs, network: Diagram) -> Condition:
    holder = take(element, "Condition")
    if holder is None:
        return Unparsed(""), (), ()
    negated = flag(holder, "negated")
    value: Expression = Unparsed("")
    statements: tuple[Statement, ...] = ()
    unrecognised: Unrecognised = ()
    said = take_all(holder, "Reference", "Inline", "ConnectionPointIn")
    holder.extend(said[1:])  # a second way to say the condition is kept as it is
    for child in said[:1]:
        match child.tag.rpartition("}")[2]:
            case "Reference":
                value = Variable(attribute(child, "name").strip())
            case "Inline":
                value, statements, more = _inline(child)
                unrecognised = flat((unrecognised, more))
                continue
            case _:
                value, statements = wired(network, wires(child, known))
        unrecognised = flat((unrecognised, rest(child)))
    if negated:
        value = Operation("NOT", (value,))
    return value, statements, flat((unrecognised, rest(holder)))


def _inline(child: Element) -> Condition:
    """A condition written in place: a lone ST expression, or a small body that computes it."""
    inner = take(child, "BodyContent")
    holder = child if inner is None else inner
    text = take(holder, "ST")
    if text is not None:
        value = written(text)
        if inner is None:
            return value, (), flat((hollow(text), rest(child)))
        take_kind(inner, "ST")
        return value, (), flat((hollow(text), rest(inner), rest(child)))
    if inner is not None:
        child.append(inner)
    read, more = one_body(child)
    return (*in_place(read), flat((kept(read), more)))


# --- actions ----------------------------------------------------------------------------------------------------


def _associations(block: Element, known: Outputs, found: Actions) -> None:
    """Adds the actions of an ``ActionBlock`` to those of the step it is wired to."""
    points = list(children(block, "ConnectionPointIn"))
    steps = [w.source for point in points for w in wires(point, known)]
    position(block, "RelPosition")
    read = actions(block, _association, RESIDUE)
    for number in steps or [""]:
        found[number] = (*found.get(number, ()), *read)


def _association(element: Element) -> Association:
    return association(element, _inside(take(element, "Inline")), RESIDUE)
