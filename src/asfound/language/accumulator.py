"""The value in the accumulator of an instruction list: how it grows, and when it may not be evaluated a second time."""

from __future__ import annotations

from asfound.language import addresses
from asfound.language.instructions import NEGATABLE, SYMBOLS
from asfound.language.signatures import is_standard_function
from asfound.language.walk import names_in, root, walk
from asfound.model.logic import Dereference, Direct, Expression, Invocation, Operation, Temporary, Variable


def impure(value: Expression) -> bool:
    """Whether evaluating twice might differ from evaluating once."""
    return any(
        isinstance(node, Invocation)
        and not (isinstance(node.function, Variable) and is_standard_function(node.function.name))
        for node in walk(value)
    )


def touches(target: Expression, value: Expression) -> bool:
    """Whether a value, evaluated again after the target was written, might have changed."""
    if root(target) in names_in(value) or impure(value):
        return True
    nodes = tuple(walk(value))
    if any(isinstance(node, Dereference) for node in (*nodes, *walk(target))):
        return not all(isinstance(node, Temporary) for node in nodes)
    place = addresses.parse(root(target))
    read = [addresses.parse(node.address) for node in nodes if isinstance(node, Direct)]
    return place is not None and any(other is None or _overlap(place, other) for other in read)


def _overlap(one: addresses.Address, other: addresses.Address) -> bool:
    if one.area != other.area:
        return False
    ours, theirs = addresses.bits(one), addresses.bits(other)
    return ours is None or theirs is None or (ours.start < theirs.stop and theirs.start < ours.stop)


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
