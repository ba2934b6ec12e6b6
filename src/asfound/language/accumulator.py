"""The value in the accumulator of an instruction list: how it grows, and when it may not be evaluated a second time."""

from __future__ import annotations

from asfound.language.addresses import Memory
from asfound.language.instructions import NEGATABLE, SYMBOLS
from asfound.language.standard import function
from asfound.language.walk import names_in, root, walk
from asfound.model.logic import Dereference, Direct, Expression, Invocation, Operation, Temporary, Variable


def impure(value: Expression) -> bool:
    """Whether evaluating twice might differ from evaluating once."""
    return any(
        isinstance(node, Invocation) and not (isinstance(node.function, Variable) and function(node.function.name))
        for node in walk(value)
    )


def touches(target: Expression, value: Expression) -> bool:
    """Whether a value, evaluated again after the target was written, might have changed."""
    if root(target) in names_in(value) or impure(value):
        return True
    nodes = tuple(walk(value))
    if any(isinstance(node, Dereference) for node in (*nodes, *walk(target))):
        return not all(isinstance(node, Temporary) for node in nodes)
    if not root(target).startswith("%"):
        return False
    place = Memory.at(root(target))
    return any(_overlap(place, Memory.at(node.address)) for node in nodes if isinstance(node, Direct))


def _overlap(one: Memory, other: Memory) -> bool:
    """Could both share a bit? How a controller counts words is not known while a file is read."""
    if one.area and other.area and one.area != other.area:
        return False
    return not one.spans or not other.spans or one.meets(other) != "no"


def applied(symbol: str, negated: bool, left: Expression, right: Expression) -> Expression:
    """One instruction as an operation; AND, OR and XOR stay flat."""
    if negated:
        right = Operation("NOT", (right,))
    name = SYMBOLS[symbol]
    if symbol in NEGATABLE:
        return Operation(name, (*_flat(name, left), *_flat(name, right)))
    return Operation(name, (left, right))


def _flat(symbol: str, part: Expression) -> tuple[Expression, ...]:
    return part.operands if isinstance(part, Operation) and part.operator == symbol else (part,)
