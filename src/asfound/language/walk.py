"""Walking over expressions and statements (see model/tree): parts, rewriting, what a statement reads and writes.

Reading and writing is told by root name: ``Motor.Q[2]`` belongs to ``motor`` (folded, identifiers are
case-insensitive); a direct address to itself. Aliases through overlapping addresses or references are not seen here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from typing import Any, TypeVar, cast

from asfound.model.copy import Copy
from asfound.model.logic import (
    Assign,
    Call,
    CaseArm,
    Dereference,
    Direct,
    Element,
    Expression,
    For,
    Invocation,
    Member,
    Statement,
    Temporary,
    Unparsed,
    Variable,
    Verbatim,
)
from asfound.model.program import Body, Pou
from asfound.model.tree import BODIES, CODE, EXPRESSIONS, POUS, STATEMENTS, Walk

KEPT = 10_000
"""Statements of which it is kept what they read and write: every comparison asks for it many times."""
_INVOCATIONS = Walk[Invocation](Invocation)
_UNREAD = Walk[Verbatim | Unparsed](Verbatim, Unparsed)
N = TypeVar("N", Expression, Statement, Body, Copy)


def every_pou(pous: Iterable[Pou]) -> Iterator[Pou]:
    """POUs, each with its members after it."""
    for pou in pous:
        yield from POUS.all(pou)


def every_body(pou: Pou) -> Iterator[Body]:
    """Every body of a POU: its own, those of actions, transitions, chart steps and members."""
    return BODIES.all(pou)


def parts(expression: Expression) -> list[Expression]:
    """Direct sub-expressions in reading order."""
    return EXPRESSIONS.nearest(expression)


def walk(code: Expression | Statement) -> Iterator[Expression]:
    """Every expression of an expression, that one included, or of a statement, outermost first."""
    return EXPRESSIONS.all(code)


def invocations(code: Expression | Statement) -> Iterator[Invocation]:
    """Every call of a function or method in an expression or a statement, outermost first."""
    return _INVOCATIONS.all(code)


def unread(statement: Statement) -> Iterator[Verbatim | Unparsed]:
    """All of a statement that is text which nobody understood."""
    return _UNREAD.all(statement)


def every_statement(statement: Statement) -> Iterator[Statement]:
    """A statement and those nested in it, outermost first."""
    return STATEMENTS.all(statement)


def expressions(code: Statement | CaseArm) -> list[Expression]:
    """Every expression standing directly in a statement, targets, instances and the labels of CASE included."""
    return [cast(Expression, each) for each in CODE.nearest(code) if type(each) in EXPRESSIONS.kinds]


def everything(statement: Statement) -> list[Expression]:
    """Every whole expression of a statement, nested statements included."""
    return EXPRESSIONS.nearest(statement)


def inner(statement: Statement) -> list[Statement]:
    """Statements nested directly inside a branch or loop, in reading order."""
    return STATEMENTS.nearest(statement)


def levels(expression: Expression) -> int:
    """How deeply an expression is nested; 1 for an operand. Does not recurse itself.

    >>> from asfound.model.logic import Edge
    >>> levels(Edge("rising", Variable("a")))
    2
    """
    deepest, row = 0, [expression]
    while row:
        deepest += 1
        row = [part for node in row for part in parts(node)]
    return deepest


def rewrite(code: N, change: Callable[[Expression], Expression | None]) -> N:
    """A copy in which ``change`` has replaced expressions, outermost first; None keeps one and goes on inside it."""

    def changed(node: Any) -> Any:
        new = change(node) if type(node) in EXPRESSIONS.kinds else None
        return EXPRESSIONS.rebuilt(node, changed) if new is None else new

    new: N = changed(code)
    return new


def root(expression: Expression) -> str:
    """Folded name of the variable that an access belongs to; empty when it is no access."""
    while True:
        match expression:
            case Member(of=of) | Element(of=of) | Dereference(of=of):
                expression = of
            case Variable(name=name):
                return name.lower()
            case Direct(address=address):
                return address.upper()
            case Temporary(number=number):
                return f"_v{number}"
            case Unparsed(text=text):
                return text.lower()
            case _:
                return ""


def names_in(expression: Expression) -> frozenset[str]:
    """Roots of everything an expression reads, function names left out."""
    found: set[str] = set()
    stack = [expression]
    while stack:
        node = stack.pop()
        match node:
            case Invocation(function=function, inputs=inputs, outputs=outputs):
                stack.extend(a.value for a in (*inputs, *outputs))
                if isinstance(function, Member):
                    stack.append(function.of)
            case Variable() | Direct() | Temporary() | Unparsed():
                found.add(root(node))
            case _:
                stack.extend(parts(node))
    return frozenset(found)


def _roles(statement: Statement) -> tuple[list[Expression], list[Expression]]:
    """What stands directly in a statement: expressions that are read, and those that are written."""
    standing = expressions(statement)
    match statement:
        case Assign() | For():
            return standing[1:], standing[:1]
        case Call(inputs=inputs, outputs=outputs):
            first = 1 + len(inputs)
            last = first + len(outputs)
            return standing[1:first] + standing[last:], standing[:1] + standing[first:last]
    return standing, []


@lru_cache(KEPT)
def reads(statement: Statement) -> frozenset[str]:
    """Roots that a statement reads; index expressions of a target count, the target itself does not."""
    found: set[str] = set()
    for each in every_statement(statement):
        read, written = _roles(each)
        for expression in (*read, *(i for e in written for n in walk(e) if isinstance(n, Element) for i in n.indexes)):
            found |= names_in(expression)
        if isinstance(each, Call):
            found.add(root(each.instance))
    return frozenset(found) | _texts(statement)


@lru_cache(KEPT)
def writes(statement: Statement) -> frozenset[str]:
    """Roots that a statement writes; a call writes its instance, for its state changes."""
    return frozenset(map(root, targets(statement))) | _texts(statement)


def targets(statement: Statement) -> Iterator[Expression]:
    """What a statement writes as far as it says so itself: targets, instances, loop variables, outputs of calls.

    What is passed by reference is not among them: only the declaration of what is called says so.
    """
    for each in every_statement(statement):
        yield from _roles(each)[1]
    for node in invocations(statement):
        yield from (a.value for a in node.outputs)


def _texts(statement: Statement) -> frozenset[str]:
    """Text that nobody understood counts as read and written."""
    return frozenset(each.text.lower() for each in every_statement(statement) if isinstance(each, Verbatim))
