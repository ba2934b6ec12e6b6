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
from asfound.readers.residue import Residue, Unrecognised, code, flag, flat, whole_number
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

Inside = tuple[Body | None, Unrecognised]
"""The body in an element that may have none, and what is beyond it."""
Condition = tuple[Expression, tuple[Statement, ...], Unrecognised]
"""Value of a transition's condition, with the statements of its network and what was unrecognised."""


def step(element: Element, kind: str, name: str, inside: Inside, residue: Residue) -> Step:
    """A step or macro step, consumed."""
    comment, unrecognised = residue.documentation(element)
    initial = flag(element, "initialStep")
    facts = element_facts(element, {NAME: same_words(name), INITIAL: same_flag(initial)}, residue)
    body, more = inside
    return Step(
        name=name,
        initial=initial,
        macro=kind == "macroStep",
        actions=facts.associations,
        comment=comment,
        body=body,
        extensions=flat((unrecognised, facts.unrecognised, more, residue.rest(element))),
    )


def branching(element: Element, kind: str, name: str, residue: Residue) -> Unrecognised:
    """What a jump, divergence or convergence says beyond its links."""
    simultaneous = kind.startswith("simultaneous")
    named = same_words(name) if kind == "jumpStep" else lambda _: True
    repeats = {NAME: named, SIMULTANEOUS: same_flag(simultaneous)}
    return (*element_facts(element, repeats, residue).unrecognised, *residue.rest(element))


def transition(element: Element, name: str, condition: Condition, residue: Residue) -> Transition:
    """A transition whose condition has been taken, consumed."""
    value, statements, unrecognised = condition
    comment, unrecognised_comment = residue.documentation(element)
    priority = whole_number(str(element.get("priority", "")))
    if priority is not None:
        del element.attrib["priority"]
    facts = element_facts(element, {NAME: lambda text: parse_expression(text) == value}, residue)
    return Transition(
        sources=(),
        targets=(),
        condition=value,
        statements=statements,
        name=name,
        priority=priority,
        comment=comment,
        extensions=flat((unrecognised, unrecognised_comment, facts.unrecognised, residue.rest(element))),
    )


def written(text: Element) -> Expression:
    """The expression of a condition written as structured text, taken; some write it as the end of an assignment."""
    return parse_expression(code(text).strip().removeprefix(":=").strip().rstrip(";").strip())


def actions(block: Element, association: Callable[[Element], Association], residue: Residue) -> list[Association]:
    """What an action block ties to its step, consumed; what else the block says is told with its last action."""
    name = residue.name("actionBlock")
    read = [association(each) for each in take_all(block, residue.name("action"))]
    comment, unrecognised = residue.documentation(block)
    if comment:
        unrecognised = (*unrecognised, Extension(path=f"{name}/{residue.name('documentation')}", text=comment))
    left = flat((unrecognised, residue.rest(block)))
    if left:
        last = read.pop() if read else Association(action="")
        read.append(msgspec.structs.replace(last, extensions=flat((last.extensions, left))))
    return read


def association(element: Element, inside: Inside, residue: Residue) -> Association:
    """One action of a block, consumed."""
    qualifier = attribute(element, "qualifier").strip() or "N"
    duration = canonical(attribute(element, "duration").strip(), "TIME")
    indicator = attribute(element, "indicator").strip()
    reference = take(element, residue.name("reference"))
    name = attribute(reference, "name").strip() if reference is not None else ""
    comment, unrecognised = residue.documentation(element)
    facts = element_facts(element, {NAME: same_words(name), QUALIFIER: same_qualifier(qualifier, duration)}, residue)
    body, more = inside
    left = residue.rest(reference) if reference is not None else ()
    return Association(
        action=name,
        qualifier=qualifier,
        duration=duration,
        indicator=indicator,
        comment=comment,
        body=body,
        extensions=flat((unrecognised, facts.unrecognised, more, left, residue.rest(element))),
    )
