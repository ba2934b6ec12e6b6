"""What evaluating an expression can do besides giving a value: fail, or change something.

Whether AND and OR go on once their result is known is left to the compiler, so the order of their operands is a guard:
``(i <> 0) AND (10 / i > 2)``. What can fail or write is therefore neither reordered nor written in another form.
Source: IEC 61131-3:2013 7.3.2 (evaluation of an expression may end early), from memory.
Cost: linear in the size of the expression.
"""

from __future__ import annotations

from enum import IntEnum

from asfound.language.literals import value
from asfound.language.standard import PARTIAL, function
from asfound.language.walk import parts, root
from asfound.model.logic import (
    Dereference,
    Direct,
    Edge,
    Element,
    Expression,
    Invocation,
    Literal,
    Member,
    Operation,
    Temporary,
    Unparsed,
    Variable,
)


class Risk(IntEnum):
    """The worst that can happen."""

    NONE = 0
    FAILS = 1
    WRITES = 2


def risk(expression: Expression, declared: frozenset[str] = frozenset()) -> Risk:
    """The worst that can happen; ``declared`` are folded names that run code of the program, whatever they look like.

    >>> from asfound.language.parser import parse_expression as e
    >>> risk(e("a + b > 3")).name, risk(e("a / b")).name, risk(e("a / 3")).name, risk(e("MyFunction(a)")).name
    ('NONE', 'FAILS', 'NONE', 'WRITES')
    """
    own = _own(expression, declared)
    if own == Risk.WRITES:
        return own
    return max((own, *(risk(part, declared) for part in _evaluated(expression))))


def _evaluated(expression: Expression) -> list[Expression]:
    if isinstance(expression, Invocation):
        return [a.value for a in expression.inputs]
    return parts(expression)


def _own(expression: Expression, declared: frozenset[str]) -> Risk:
    match expression:
        case Variable(name) | Member(_, name):
            return Risk.WRITES if name.lower() in declared else Risk.NONE
        case Literal() | Direct() | Temporary() | Edge():
            return Risk.NONE
        case Operation("/" | "MOD", (_, divisor)):
            return Risk.NONE if _positive(divisor) else Risk.FAILS
        case Operation(operator, _):
            return Risk.FAILS if operator in PARTIAL else Risk.NONE
        case Element(_, indexes):
            return Risk.NONE if all(isinstance(i, Literal) for i in indexes) else Risk.FAILS
        case Dereference():
            return Risk.NONE if root(expression) in ("this", "super") else Risk.FAILS
        case Invocation(Variable(name), inputs, ()) if name.lower() not in declared:
            return _called(name, tuple(a.value for a in inputs))
        case Invocation() | Unparsed():
            return Risk.WRITES
    raise AssertionError(expression)


def _called(name: str, inputs: tuple[Expression, ...]) -> Risk:
    known = function(name)
    if known is None:
        return Risk.WRITES
    if known.operator in ("/", "MOD") and len(inputs) == 2 and _positive(inputs[1]):
        return Risk.NONE
    return Risk.FAILS if known.partial else Risk.NONE


def _positive(divisor: Expression) -> bool:
    if not isinstance(divisor, Literal):
        return False
    kind, content = value(divisor.text)
    return kind in ("int", "real", "duration") and not isinstance(content, str) and content > 0
