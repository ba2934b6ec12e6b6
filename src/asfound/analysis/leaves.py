"""A POU as a flat list of leaves: every simple statement, and every head of a branch, loop, step or transition.

A leaf is written as a simple statement whatever it was, so that names are found, replaced and counted in one way:
the condition of a branch becomes a jump, an action association a call of the action by its step, a transition a call
that writes its target steps. ``conditions`` decide whether the leaf runs at all.
Cost: linear in the size of the POU.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from asfound.analysis.places import Place, noun, top
from asfound.language.readable import expression as text
from asfound.language.walk import expressions, names_in
from asfound.model.logic import (
    Argument,
    Call,
    Case,
    CaseArm,
    Expression,
    For,
    If,
    Jump,
    Literal,
    Member,
    Remark,
    Repeat,
    Span,
    Statement,
    Variable,
    While,
)
from asfound.model.program import Association, Body, Chart, Pou, Step, Transition

NOBODY = Literal("")
"""Instance of the calls that stand for a transition: it belongs to no variable."""


Conditions = tuple[Expression, ...]


class Leaf(NamedTuple):
    """``statement`` is never a branch or a loop."""

    place: Place
    statement: Statement
    conditions: Conditions

    @property
    def guards(self) -> frozenset[str]:
        """Folded names in the conditions."""
        return frozenset().union(*map(names_in, self.conditions))


def leaves(pou: Pou, place: Place | None = None) -> Iterator[Leaf]:
    """Every leaf of a POU, its actions, named transitions and members, in reading order."""
    yield from (leaf for leaf, _ in declared_leaves(pou, place))


def declared_leaves(pou: Pou, place: Place | None = None) -> Iterator[tuple[Leaf, Pou]]:
    """Every leaf of a POU with the POU or member whose declarations it sees first."""
    place = place or top(pou.name)
    yield from ((leaf, pou) for leaf in _own(pou, place))
    for member in pou.members:
        yield from declared_leaves(member, place.down(f"{member.kind} {member.name}", f"{member.kind}:{member.name}"))


def _own(pou: Pou, place: Place) -> Iterator[Leaf]:
    for number, body in enumerate(pou.bodies):
        inside = place if len(pou.bodies) == 1 else place.down(f"worksheet {number + 1}", f"worksheet:{number + 1}")
        yield from of_body(body, inside, ())
    for action in pou.actions:
        conditions: Conditions = (Variable(action.name),)
        yield from of_body(action.body, place.down(f"action {action.name}", f"action:{action.name}"), conditions)
    for named in pou.transitions:
        inside = place.down(f"transition {named.name}", f"transition:{named.name}")
        yield from of_body(named.body, inside, ())


def of_body(body: Body, place: Place, conditions: Conditions) -> Iterator[Leaf]:
    """Leaves of one body."""
    yield from of_statements(body.statements, place, conditions)
    for number, network in enumerate(body.networks):
        inside = place.network(number, noun(body))
        for statement in network.statements:
            yield from of_statement(statement, inside, conditions)
    if body.chart is not None:
        yield from _of_chart(body.chart, place, conditions)


def of_statements(statements: Iterable[Statement], place: Place, conditions: Conditions) -> Iterator[Leaf]:
    """Leaves of a statement list, numbered without the remarks."""
    counted = (s for s in statements if not isinstance(s, Remark))
    for number, statement in enumerate(counted):
        yield from of_statement(statement, place.statement(number), conditions)


def of_statement(statement: Statement, place: Place, conditions: Conditions) -> Iterator[Leaf]:
    """Leaves of one statement; what is nested carries the conditions around it."""
    match statement:
        case If(branches, otherwise):
            for number, branch in enumerate(branches):
                inside = place.down(f"IF branch {number + 1}", f"branch:{number + 1}")
                yield Leaf(inside, Jump("§if", branch.condition), conditions)
                conditions = (*conditions, branch.condition)
                yield from of_statements(branch.statements, inside, conditions)
            yield from of_statements(otherwise, place.down("ELSE", "else"), conditions)
        case Case(selector, arms, otherwise):
            yield Leaf(place, Jump("§case", selector), conditions)
            conditions = (*conditions, selector)
            for number, arm in enumerate(arms):
                inside = place.down(f"CASE arm {number + 1}", f"arm:{labels(arm)}")
                yield Leaf(inside, _heads("§arm", expressions(arm)), conditions)
                yield from of_statements(arm.statements, inside, conditions)
            yield from of_statements(otherwise, place.down("ELSE", "else"), conditions)
        case For(variable, first, last, step, statements):
            yield Leaf(place, _heads("§for", (first, last, *((step,) if step else ())), (variable,)), conditions)
            conditions = (*conditions, first, last)
            yield from of_statements(statements, place.down("loop", "loop"), conditions)
        case While(condition, statements) | Repeat(statements, condition):
            yield Leaf(place, Jump("§loop", condition), conditions)
            yield from of_statements(statements, place.down("loop", "loop"), (*conditions, condition))
        case Remark():
            pass
        case _:
            yield Leaf(place, statement, conditions)


Path = tuple[str, ...]


def by_place(found: Iterable[Leaf]) -> dict[Path, list[Leaf]]:
    """The leaves at each path and inside of it."""
    index: dict[Path, list[Leaf]] = {}
    for leaf in found:
        path = leaf.place.path
        for length in range(1, len(path) + 1):
            index.setdefault(path[:length], []).append(leaf)
    return index


def labels(arm: CaseArm) -> str:
    """The labels of a CASE arm as written."""
    return ", ".join(f"{text(x.low)}..{text(x.high)}" if isinstance(x, Span) else text(x) for x in arm.labels)


def _heads(type: str, read: Iterable[Expression], written: Iterable[Expression] = ()) -> Call:
    return Call(NOBODY, type, tuple(Argument("", e) for e in read), tuple(Argument("", e) for e in written))


def _of_chart(chart: Chart, place: Place, conditions: Conditions) -> Iterator[Leaf]:
    for step in chart.steps:
        yield from _of_step(step, place.down(f"step {step.name}", f"step:{step.name}"), conditions)
    for transition in chart.transitions:
        words = f"transition {name_of(transition)}"
        inside = place.down(words, f"transition:{name_of(transition)}")
        for statement in transition.statements:
            yield from of_statement(statement, inside, conditions)
        read = (*map(Variable, transition.sources), transition.condition)
        yield Leaf(inside, _heads("§transition", read, map(Variable, transition.targets)), conditions)


def _of_step(step: Step, place: Place, conditions: Conditions) -> Iterator[Leaf]:
    inside = (*conditions, Variable(step.name))
    for association in step.actions:
        yield Leaf(place, associated(association, step.name), conditions)
        if association.body is not None:
            yield from of_body(association.body, place, inside)
    if step.body is not None:
        yield from of_body(step.body, place, inside)


def associated(association: Association, step: str) -> Call:
    """An association as a call of its action by its step."""
    type = f"§action {association.qualifier} {association.duration} {association.indicator}"
    action = dotted(association.action) if association.action else NOBODY
    return Call(action, type, (Argument("", Variable(step)),))


def dotted(name: str) -> Expression:
    """``Motor.Stop`` as an access."""
    first, *rest = name.split(".")
    access: Expression = Variable(first)
    for part in rest:
        access = Member(access, part)
    return access


def name_of(transition: Transition) -> str:
    """``A, B -> C``: how a transition is called by the steps it joins."""
    return f"{', '.join(transition.sources)} -> {', '.join(transition.targets)}"
