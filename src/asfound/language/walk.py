"""Walking over expressions and statements: parts, rewriting, and what a statement reads and writes.

Reading and writing is told by root name: ``Motor.Q[2]`` belongs to ``motor`` (folded, identifiers are
case-insensitive); a direct address to itself. Aliases through overlapping addresses or references are not seen here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

import msgspec

from asfound.model.logic import (
    Argument,
    Assign,
    Branch,
    Call,
    Case,
    Dereference,
    Direct,
    Edge,
    Element,
    Expression,
    For,
    If,
    Invocation,
    Jump,
    Member,
    Operation,
    Repeat,
    Return,
    Span,
    Statement,
    Temporary,
    Unparsed,
    Variable,
    Verbatim,
    While,
)
from asfound.model.program import Body, Pou


def every_pou(pous: Iterable[Pou]) -> Iterator[Pou]:
    """POUs, each with its members after it."""
    for pou in pous:
        yield pou
        yield from every_pou(pou.members)


def every_body(pou: Pou) -> Iterator[Body]:
    """Every body of a POU, outermost first: its own, those of actions, transitions, members and chart steps."""
    waiting = [*pou.bodies, *(a.body for a in (*pou.actions, *pou.transitions))]
    while waiting:
        body = waiting.pop(0)
        yield body
        for step in body.chart.steps if body.chart is not None else ():
            inside = (step.body, *(association.body for association in step.actions))
            waiting += [each for each in inside if each is not None]
    for member in pou.members:
        yield from every_body(member)


def parts(expression: Expression) -> tuple[Expression, ...]:
    """Direct sub-expressions in reading order."""
    match expression:
        case Operation(operands=operands):
            return operands
        case Edge(of=of) | Member(of=of) | Dereference(of=of):
            return (of,)
        case Element(of=of, indexes=indexes):
            return (of, *indexes)
        case Invocation(function=function, inputs=inputs, outputs=outputs):
            return (function, *(a.value for a in inputs), *(a.value for a in outputs))
    return ()


def walk(expression: Expression) -> Iterator[Expression]:
    """The expression and everything inside it, outermost first."""
    stack = [expression]
    while stack:
        node = stack.pop()
        yield node
        stack.extend(reversed(parts(node)))


def levels(expression: Expression) -> int:
    """How deeply an expression is nested; 1 for an operand. Does not recurse itself.

    >>> levels(Operation("NOT", (Variable("a"),)))
    2
    """
    deepest, row = 0, [expression]
    while row:
        deepest += 1
        row = [part for node in row for part in parts(node)]
    return deepest


def rewrite(expression: Expression, change: Callable[[Expression], Expression | None]) -> Expression:
    """A copy in which ``change`` has replaced nodes, outermost first; None keeps a node and goes on inside it."""
    new = change(expression)
    if new is not None:
        return new
    match expression:
        case Operation(operator=operator, operands=operands):
            return Operation(operator, tuple(rewrite(o, change) for o in operands))
        case Edge(kind=kind, of=of):
            return Edge(kind, rewrite(of, change))
        case Member(of=of, name=name):
            return Member(rewrite(of, change), name)
        case Dereference(of=of):
            return Dereference(rewrite(of, change))
        case Element(of=of, indexes=indexes):
            return Element(rewrite(of, change), tuple(rewrite(i, change) for i in indexes))
        case Invocation(function=function, inputs=inputs, outputs=outputs):
            return Invocation(rewrite(function, change), _arguments(inputs, change), _arguments(outputs, change))
    return expression


def _arguments(
    arguments: tuple[Argument, ...], change: Callable[[Expression], Expression | None]
) -> tuple[Argument, ...]:
    return tuple(msgspec.structs.replace(a, value=rewrite(a.value, change)) for a in arguments)


def rewrite_statement(statement: Statement, change: Callable[[Expression], Expression | None]) -> Statement:
    """A copy of a statement with its expressions rewritten; CASE and loops are left as they are."""
    match statement:
        case Assign(target=target, value=value, kind=kind, condition=condition):
            return Assign(rewrite(target, change), rewrite(value, change), kind, _maybe(condition, change))
        case Call():
            return msgspec.structs.replace(
                statement,
                instance=rewrite(statement.instance, change),
                inputs=_arguments(statement.inputs, change),
                outputs=_arguments(statement.outputs, change),
                condition=_maybe(statement.condition, change),
            )
        case If(branches=branches, otherwise=otherwise):
            arms = (Branch(rewrite(b.condition, change), _every(b.statements, change)) for b in branches)
            return If(tuple(arms), _every(otherwise, change))
        case Jump(label=label, condition=condition):
            return Jump(label, _maybe(condition, change))
        case Return(condition=condition):
            return Return(_maybe(condition, change))
    return statement


def _every(
    statements: tuple[Statement, ...], change: Callable[[Expression], Expression | None]
) -> tuple[Statement, ...]:
    return tuple(rewrite_statement(statement, change) for statement in statements)


def _maybe(expression: Expression | None, change: Callable[[Expression], Expression | None]) -> Expression | None:
    return None if expression is None else rewrite(expression, change)


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


def reads(statement: Statement) -> frozenset[str]:
    """Roots that a statement reads; index expressions of a target count, the target itself does not."""
    match statement:
        case Assign(target=target, value=value, condition=condition):
            return names_in(value) | _read_inside(target) | (names_in(condition) if condition else frozenset())
        case Call(instance=instance, inputs=inputs, outputs=outputs, condition=condition):
            found = {root(instance)} | _read_inside(instance) | (names_in(condition) if condition else frozenset())
            for argument in inputs:
                found |= names_in(argument.value)
            for argument in outputs:
                found |= _read_inside(argument.value)
            return frozenset(found)
        case Jump(condition=condition) | Return(condition=condition):
            return names_in(condition) if condition else frozenset()
        case If(branches=branches):
            return _all(names_in(b.condition) for b in branches) | _all(reads(s) for s in inner(statement))
        case Case(selector=selector, arms=arms):
            labels = (
                names_in(x)
                for arm in arms
                for label in arm.labels
                for x in ((label.low, label.high) if isinstance(label, Span) else (label,))
            )
            return names_in(selector) | _all(labels) | _all(reads(s) for s in inner(statement))
        case For(first=first, last=last, step=step):
            bounds = names_in(first) | names_in(last) | (names_in(step) if step else frozenset())
            return bounds | _all(reads(s) for s in inner(statement))
        case While(condition=condition):
            return names_in(condition) | _all(reads(s) for s in inner(statement))
        case Repeat(until=until):
            return names_in(until) | _all(reads(s) for s in inner(statement))
        case Verbatim(text=text):
            return frozenset({text.lower()})
    return frozenset()


def writes(statement: Statement) -> frozenset[str]:
    """Roots that a statement writes; a call writes its instance, for its state changes."""
    return frozenset(root(target) for target in targets(statement)) | _texts(statement)


def targets(statement: Statement) -> Iterator[Expression]:
    """What a statement writes as far as it says so itself: targets, instances, loop variables, outputs of calls.

    What is passed by reference is not among them: only the declaration of what is called says so.
    """
    match statement:
        case Assign(target=target):
            yield target
        case Call(instance=instance, outputs=outputs):
            yield instance
            yield from (a.value for a in outputs)
        case For(variable=variable):
            yield variable
    for expression in expressions(statement):
        for node in walk(expression):
            if isinstance(node, Invocation):
                yield from (a.value for a in node.outputs)
    for nested in inner(statement):
        yield from targets(nested)


def _texts(statement: Statement) -> frozenset[str]:
    """Text that nobody understood counts as written."""
    own = frozenset({statement.text.lower()}) if isinstance(statement, Verbatim) else frozenset()
    return own | _all(_texts(s) for s in inner(statement))


def expressions(statement: Statement) -> Iterator[Expression]:
    """Every expression standing directly in a statement, targets and instances included."""
    match statement:
        case Assign(target, content, _, condition):
            yield from (target, content)
            yield from (condition,) if condition is not None else ()
        case Call(instance, _, inputs, outputs, condition):
            yield instance
            yield from (a.value for a in (*inputs, *outputs))
            yield from (condition,) if condition is not None else ()
        case Jump(_, condition) | Return(condition):
            yield from (condition,) if condition is not None else ()
        case If(branches, _):
            yield from (b.condition for b in branches)
        case Case(selector, _, _) | While(selector, _) | Repeat(_, selector):
            yield selector
        case For(variable, first, last, step, _):
            yield from (variable, first, last)
            yield from (step,) if step is not None else ()


def everything(statement: Statement) -> Iterator[Expression]:
    """Every expression of a statement, nested statements included."""
    yield from expressions(statement)
    for nested in inner(statement):
        yield from everything(nested)


def inner(statement: Statement) -> tuple[Statement, ...]:
    """Statements nested directly inside a branch or loop, in reading order."""
    match statement:
        case If(branches=branches, otherwise=otherwise):
            return (*(s for b in branches for s in b.statements), *otherwise)
        case Case(arms=arms, otherwise=otherwise):
            return (*(s for arm in arms for s in arm.statements), *otherwise)
        case For(statements=statements) | While(statements=statements) | Repeat(statements=statements):
            return statements
    return ()


def _read_inside(target: Expression) -> frozenset[str]:
    return _all(names_in(i) for node in walk(target) if isinstance(node, Element) for i in node.indexes)


def _all(groups: Iterator[frozenset[str]]) -> frozenset[str]:
    return frozenset().union(*groups)
