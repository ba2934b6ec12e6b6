"""Sequential function charts: each object read into a part (readers.drawing.chart resolves them into a chart).

The page of facts does not spell out charts; objects and attributes are those of the older format in this one's
spelling (``SfcObject xsi:type="Step"``, ``name``, ``initialStep``, ``targetName``). Anything else is kept and compared.
"""

from __future__ import annotations

import msgspec

from asfound.language.literals import canonical
from asfound.language.parser import parse_expression
from asfound.model.logic import Expression, Operation, Statement, Unparsed, Variable
from asfound.model.program import Association, Body, Extension, Step, Transition
from asfound.readers.drawing.chart import STEPS, Part, chart
from asfound.readers.drawing.conditions import wired
from asfound.readers.drawing.diagram import Diagram, connected
from asfound.readers.exchange.positions import position
from asfound.readers.extra.elements import (
    INITIAL,
    NAME,
    QUALIFIER,
    SIMULTANEOUS,
    element_facts,
    same_flag,
    same_qualifier,
    same_words,
)
from asfound.readers.iec61131_10.bodies import one_body
from asfound.readers.iec61131_10.objects import (
    KINDS,
    Drawn,
    Outputs,
    doubled,
    grouped,
    item,
    outputs,
    wires,
)
from asfound.readers.iec61131_10.plate import PLATE, documentation, rest, take_kind
from asfound.readers.plate import code, flag, flat, hollow, whole_number
from asfound.readers.xml import Element, attribute, children, take, take_all

PARTS = {
    "Step": "step",
    "MacroStep": "macroStep",
    "Transition": "transition",
    "JumpStep": "jumpStep",
    "SelectionDivergence": "selectionDivergence",
    "SelectionConvergence": "selectionConvergence",
    "SimultaneousDivergence": "simultaneousDivergence",
    "SimultaneousConvergence": "simultaneousConvergence",
}

Actions = dict[str, tuple[Association, ...]]
Odd = tuple[Extension, ...]


def body(element: Element) -> Body:
    """An ``SFC`` body, eaten."""
    groups, objects = grouped(element, (*PARTS, "ActionBlock", *KINDS))
    known = outputs(objects)
    numbered = list(enumerate(objects))
    items = [item(drawn, number, known) for number, drawn in numbered if drawn.kind in KINDS]
    network = connected(items)
    blocks: Actions = {}
    for _, drawn in numbered:
        if drawn.kind == "ActionBlock":
            _associations(drawn.element, known, blocks)
    parts = [_part(drawn, number, known, network) for number, drawn in numbered if drawn.kind in PARTS]
    comments = [i.text for i in items if i.kind == "comment"] + [g.comment for g in groups if g.comment]
    stray = flat((*(i.extensions for i in items), *(g.extensions for g in groups), doubled(known)))
    read = chart(parts, blocks, tuple(sorted(comments)), stray)
    return Body(language="SFC", chart=read, extensions=rest(element))


def _part(drawn: Drawn, number: int, known: Outputs, network: Diagram) -> Part:
    element, kind = drawn.element, PARTS[drawn.kind]
    x, y = position(element, "RelPosition")
    sources = tuple(w.source for point in children(element, "ConnectionPointIn") for w in wires(point, known))
    name = attribute(element, "targetName" if kind == "jumpStep" else "name").strip()
    given = (str(number), name, sources, x, y, number)
    if kind in STEPS:
        return Part(kind, *given, step=_step(element, kind, name))
    if kind == "transition":
        return Part(kind, *given, transition=_transition(element, name, known, network))
    if kind != "jumpStep":
        given = (str(number), "", *given[2:])
    return Part(kind, *given, extensions=_branching(element, kind, given[1]))


def _step(element: Element, kind: str, name: str) -> Step:
    comment, odd = documentation(element)
    initial = flag(element, "initialStep")
    repeats = {NAME: same_words(name), INITIAL: same_flag(initial)}
    facts = element_facts(element, repeats, PLATE)
    inside, more = _one(take(element, "MainBody") if kind == "macroStep" else None)
    return Step(
        name=name,
        initial=initial,
        macro=kind == "macroStep",
        actions=facts.associations,
        comment=comment,
        body=inside,
        extensions=flat((odd, facts.odd, more, rest(element))),
    )


def _one(holder: Element | None) -> tuple[Body | None, Odd]:
    """The body in a holder that may be missing, and what is beyond it."""
    return one_body(holder) if holder is not None else (None, ())


def _branching(element: Element, kind: str, name: str) -> Odd:
    """What a jump, divergence or convergence says beyond its links."""
    simultaneous = kind.startswith("simultaneous")
    named = same_words(name) if kind == "jumpStep" else lambda _: True
    repeats = {NAME: named, SIMULTANEOUS: same_flag(simultaneous)}
    return (*element_facts(element, repeats, PLATE).odd, *rest(element))


# --- transitions ------------------------------------------------------------------------------------------------


def _transition(element: Element, name: str, known: Outputs, network: Diagram) -> Transition:
    """What a transition says by itself; its links are resolved later."""
    condition, statements, odd = _condition(element, known, network)
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


def _condition(element: Element, known: Outputs, network: Diagram) -> tuple[Expression, tuple[Statement, ...], Odd]:
    """Value of a transition's condition, with the statements of its network and what was odd."""
    holder = take(element, "Condition")
    if holder is None:
        return Unparsed(""), (), ()
    negated = flag(holder, "negated")
    value: Expression = Unparsed("")
    statements: tuple[Statement, ...] = ()
    odd: Odd = ()
    said = take_all(holder, "Reference", "Inline", "ConnectionPointIn")
    holder.extend(said[1:])  # a second way to say the condition is kept as it is
    for child in said[:1]:
        match child.tag.rpartition("}")[2]:
            case "Reference":
                value = Variable(attribute(child, "name").strip())
            case "Inline":
                value, statements, more = _inline(child)
                odd = flat((odd, more))
            case _:
                value, statements = wired(network, wires(child, known))
        odd = flat((odd, rest(child)))
    if negated:
        value = Operation("NOT", (value,))
    return value, statements, flat((odd, rest(holder)))


def _inline(child: Element) -> tuple[Expression, tuple[Statement, ...], Odd]:
    """A condition written in place: a lone ST expression, or a small body that computes it."""
    inner = take(child, "BodyContent")
    holder = child if inner is None else inner
    text = take(holder, "ST")
    if text is not None:
        written = code(text).strip().removeprefix(":=").strip().rstrip(";").strip()
        if inner is None:
            return parse_expression(written), (), hollow(text)
        take_kind(inner, "ST")
        return parse_expression(written), (), flat((hollow(text), rest(inner)))
    if inner is not None:
        child.append(inner)
    read, more = one_body(child)
    found = read.statements or tuple(s for n in read.networks for s in n.statements)
    return Unparsed(f"inline {read.language}"), found, flat((read.extensions, more))


# --- actions ----------------------------------------------------------------------------------------------------


def _associations(block: Element, known: Outputs, found: Actions) -> None:
    """Adds the actions of an ``ActionBlock`` to those of the step it is wired to."""
    points = list(children(block, "ConnectionPointIn"))
    steps = [w.source for point in points for w in wires(point, known)]
    comment, odd = documentation(block)
    if comment:
        odd = (*odd, Extension(path="ActionBlock/Documentation", text=comment))
    position(block, "RelPosition")
    read = [_association(each) for each in take_all(block, "Action")]
    left = flat((odd, rest(block)))
    if left:
        last = read.pop() if read else Association(action="")
        read.append(msgspec.structs.replace(last, extensions=flat((last.extensions, left))))
    for step in steps or [""]:
        found[step] = (*found.get(step, ()), *read)


def _association(element: Element) -> Association:
    qualifier = attribute(element, "qualifier").strip() or "N"
    duration = canonical(attribute(element, "duration").strip(), "TIME")
    indicator = attribute(element, "indicator").strip()
    reference, inline = take(element, "Reference"), take(element, "Inline")
    name = attribute(reference, "name").strip() if reference is not None else ""
    comment, odd = documentation(element)
    inside, more = _one(inline)
    facts = element_facts(element, {NAME: same_words(name), QUALIFIER: same_qualifier(qualifier, duration)}, PLATE)
    return Association(
        action=name,
        qualifier=qualifier,
        duration=duration,
        indicator=indicator,
        comment=comment,
        body=inside,
        extensions=flat((odd, facts.odd, more, rest(reference) if reference is not None else (), rest(element))),
    )
