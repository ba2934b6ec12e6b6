"""Elements of a sequential function chart, each by itself; the links between them are resolved later."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from asfound.language.literals import canonical
from asfound.language.parser import parse_expression
from asfound.model.logic import Expression, Statement
from asfound.model.program import Association, Body, Extension, Step, Transition
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
from asfound.readers.residue import Odd, Plate, code, flag, flat, whole_number
from asfound.readers.xml import Element, attribute, take, take_all

ELEMENTS = (
    "step",
    "macroStep",
    "transition",
    "jumpStep",
    "selectionDivergence",
    "selectionConvergence",
    "simultaneousDivergence",
    "simultaneousConvergence",
)
"""Elements of a chart in the words of the older format."""

Inside = tuple[Body | None, Odd]
"""The body in an element that may have none, and what is beyond it."""
Condition = tuple[Expression, tuple[Statement, ...], Odd]
"""Value of a transition's condition, with the statements of its network and what was odd."""


def step(element: Element, kind: str, name: str, inside: Inside, plate: Plate) -> Step:
    """A step or macro step, eaten."""
    comment, odd = plate.documentation(element)
    initial = flag(element, "initialStep")
    facts = element_facts(element, {NAME: same_words(name), INITIAL: same_flag(initial)}, plate)
    body, more = inside
    return Step(
        name=name,
        initial=initial,
        macro=kind == "macroStep",
        actions=facts.associations,
        comment=comment,
        body=body,
        extensions=flat((odd, facts.odd, more, plate.rest(element))),
    )


def branching(element: Element, kind: str, name: str, plate: Plate) -> Odd:
    """What a jump, divergence or convergence says beyond its links."""
    simultaneous = kind.startswith("simultaneous")
    named = same_words(name) if kind == "jumpStep" else lambda _: True
    repeats = {NAME: named, SIMULTANEOUS: same_flag(simultaneous)}
    return (*element_facts(element, repeats, plate).odd, *plate.rest(element))


def transition(element: Element, name: str, condition: Condition, plate: Plate) -> Transition:
    """A transition whose condition has been taken, eaten."""
    value, statements, odd = condition
    comment, odd_comment = plate.documentation(element)
    priority = whole_number(str(element.get("priority", "")))
    if priority is not None:
        del element.attrib["priority"]
    facts = element_facts(element, {NAME: lambda text: parse_expression(text) == value}, plate)
    return Transition(
        sources=(),
        targets=(),
        condition=value,
        statements=statements,
        name=name,
        priority=priority,
        comment=comment,
        extensions=flat((odd, odd_comment, facts.odd, plate.rest(element))),
    )


def written(text: Element) -> Expression:
    """The expression of a condition written as structured text, taken; some write it as the end of an assignment."""
    return parse_expression(code(text).strip().removeprefix(":=").strip().rstrip(";").strip())


def actions(block: Element, association: Callable[[Element], Association], plate: Plate) -> list[Association]:
    """What an action block ties to its step, eaten; what is odd about the block is told with its last action."""
    name = plate.name("actionBlock")
    read = [association(each) for each in take_all(block, plate.name("action"))]
    comment, odd = plate.documentation(block)
    if comment:
        odd = (*odd, Extension(path=f"{name}/{plate.name('documentation')}", text=comment))
    left = flat((odd, plate.rest(block)))
    if left:
        last = read.pop() if read else Association(action="")
        read.append(msgspec.structs.replace(last, extensions=flat((last.extensions, left))))
    return read


def association(element: Element, inside: Inside, plate: Plate) -> Association:
    """One action of a block, eaten."""
    qualifier = attribute(element, "qualifier").strip() or "N"
    duration = canonical(attribute(element, "duration").strip(), "TIME")
    indicator = attribute(element, "indicator").strip()
    reference = take(element, plate.name("reference"))
    name = attribute(reference, "name").strip() if reference is not None else ""
    comment, odd = plate.documentation(element)
    facts = element_facts(element, {NAME: same_words(name), QUALIFIER: same_qualifier(qualifier, duration)}, plate)
    body, more = inside
    left = plate.rest(reference) if reference is not None else ()
    return Association(
        action=name,
        qualifier=qualifier,
        duration=duration,
        indicator=indicator,
        comment=comment,
        body=body,
        extensions=flat((odd, facts.odd, more, left, plate.rest(element))),
    )
