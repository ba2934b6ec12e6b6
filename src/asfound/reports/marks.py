"""Which elements of two drawings differ: marks for the old and for the new statements of a network.

Statements are paired when equal, then when they write the same target; inside a pair, operands of one operator are
aligned in order (longest common subsequence), leftovers are paired by the names they use, and what stays alone is
added or removed. An operand that became one branch of an OR keeps its place, so that only the new branch is marked.
Cost: quadratic in the operands of one operator. Weakness: an operand moved past others is shown as removed and added.
This only places signs in a drawing; what changed, and what it means, is said by the comparison.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence
from typing import TypeVar

from asfound.language.readable import expression
from asfound.model.logic import (
    Argument,
    Assign,
    Call,
    Edge,
    Expression,
    Invocation,
    Jump,
    Label,
    Operation,
    Return,
    Statement,
)
from asfound.reports.drawing import Key, Sign

_Thing = TypeVar("_Thing")
_Pairs = list[tuple[int | None, int | None]]
Found = tuple[dict[Key, Sign], dict[Key, Sign]]
_GROUPS = ("AND", "OR", "XOR")


def marks(old: Sequence[Statement], new: Sequence[Statement]) -> Found:
    """Return the marks of the old and of the new network; keys start with the number of the statement."""
    found: Found = ({}, {})
    for left, right in _aligned(
        [_fold(s) for s in old], [_fold(s) for s in new], [_head(s) for s in old], [_head(s) for s in new]
    ):
        if left is None or right is None:
            _alone(left, right, found)
        else:
            _statement(old[left], new[right], (left,), (right,), found)
    return found


def _fold(statement: object) -> str:
    return repr(statement).lower()


def _head(statement: Statement) -> str:
    match statement:
        case Assign():
            return expression(statement.target).lower()
        case Call():
            return expression(statement.instance).lower()
        case Jump(label=name) | Label(name=name):
            return name.lower()
    return type(statement).__name__


def _aligned(old: Sequence[str], new: Sequence[str], old_heads: Sequence[str], new_heads: Sequence[str]) -> _Pairs:
    """Pair equal entries in order, then entries between them with equal heads in order, then one left with one left."""
    pairs: _Pairs = []
    for tag, i, i2, j, j2 in difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if tag == "equal":
            pairs += zip(range(i, i2), range(j, j2), strict=True)
        else:
            pairs += _leftovers(range(i, i2), range(j, j2), old_heads, new_heads)
    return pairs


def _leftovers(
    old: range, new: range, old_heads: Sequence[str], new_heads: Sequence[str]
) -> Iterator[tuple[int | None, int | None]]:
    free = list(new)
    alone: list[int] = []
    for left in old:
        match = next((right for right in free if new_heads[right] == old_heads[left]), None)
        if match is None:
            alone.append(left)
        else:
            free.remove(match)
            yield left, match
    if len(alone) == len(free) == 1:
        yield alone[0], free[0]
        return
    yield from ((left, None) for left in alone)
    yield from ((None, right) for right in free)


def _alone(left: int | None, right: int | None, found: Found) -> None:
    if left is not None:
        found[0][left,] = "-"
    if right is not None:
        found[1][right,] = "+"


def _both(left: Key, right: Key, found: Found) -> None:
    found[0][left] = found[1][right] = "~"


def _statement(old: Statement, new: Statement, left: Key, right: Key, found: Found) -> None:
    if _fold(old) == _fold(new):
        return
    if type(old) is not type(new) or not isinstance(old, Assign | Call | Jump | Return):
        _both(left, right, found)
        return
    _condition(old.condition, getattr(new, "condition", None), left, right, found)
    match old, new:
        case Assign(), Assign():
            if old.kind != new.kind or _fold(old.target) != _fold(new.target):
                _both((*left, "target"), (*right, "target"), found)
            _value(old.value, new.value, (*left, "value"), (*right, "value"), found)
        case Call(), Call():
            _call(old, new, left, right, found)
        case Jump(), Jump() if old.label.lower() != new.label.lower():
            _both((*left, "label"), (*right, "label"), found)


def _condition(old: Expression | None, new: Expression | None, left: Key, right: Key, found: Found) -> None:
    if old is not None and new is not None:
        _value(old, new, (*left, "condition"), (*right, "condition"), found)
    elif old is not None:
        found[0][*left, "condition"] = "-"
    elif new is not None:
        found[1][*right, "condition"] = "+"


def _call(old: Call, new: Call, left: Key, right: Key, found: Found) -> None:
    if old.type.lower() != new.type.lower():
        _both((*left, "type", "box"), (*right, "type", "box"), found)
    if _fold(old.instance) != _fold(new.instance):
        _both((*left, "instance"), (*right, "instance"), found)
    _arguments(old.inputs, new.inputs, (*left, "input"), (*right, "input"), found)
    _arguments(old.outputs, new.outputs, (*left, "output"), (*right, "output"), found)


def _arguments(old: Sequence[Argument], new: Sequence[Argument], left: Key, right: Key, found: Found) -> None:
    before = {argument.name.lower() or number: argument for number, argument in enumerate(old)}
    after = {argument.name.lower() or number: argument for number, argument in enumerate(new)}
    for name, argument in before.items():
        other = after.get(name)
        if other is None:
            found[0][*left, name] = "-"
        elif argument.negated != other.negated:
            _both((*left, name), (*right, name), found)
        else:
            _value(argument.value, other.value, (*left, name), (*right, name), found)
    for name in after:
        if name not in before:
            found[1][*right, name] = "+"


def _value(old: Expression, new: Expression, left: Key, right: Key, found: Found) -> None:
    if _fold(old) == _fold(new):
        return
    if isinstance(old, Operation) and isinstance(new, Operation) and old.operator == new.operator:
        _operands(_parts(old, left), _parts(new, right), found)
    elif isinstance(new, Operation) and new.operator in _GROUPS and _shares(old, new):
        _operands([(old, left)], _parts(new, right), found)
    elif isinstance(old, Operation) and old.operator in _GROUPS and _shares(new, old):
        _operands(_parts(old, left), [(new, right)], found)
    elif isinstance(old, Invocation) and isinstance(new, Invocation) and _signature(old) == _signature(new):
        for number, (before, after) in enumerate(zip(_all(old), _all(new), strict=True)):
            _value(before.value, after.value, (*left, number), (*right, number), found)
    elif isinstance(old, Edge) and isinstance(new, Edge) and old.kind == new.kind:
        _value(old.of, new.of, (*left, 0), (*right, 0), found)
    elif isinstance(old, Operation) and isinstance(new, Operation) and _same_operands(old, new):
        _both((*left, "box"), (*right, "box"), found)
        _operands(_parts(old, left), _parts(new, right), found)
    else:
        _both(left, right, found)


def _same_operands(old: Operation, new: Operation) -> bool:
    """True when only the operator was exchanged (``A AND B`` for ``A OR B``), nothing was rewritten."""
    return len(old.operands) == len(new.operands) and _names(old) == _names(new)


def _all(value: Invocation) -> tuple[Argument, ...]:
    return value.inputs + value.outputs


def _signature(value: Invocation) -> tuple[str, tuple[tuple[str, bool], ...]]:
    """Function and pins: when both are equal, only what is tied to the pins can differ."""
    return _fold(value.function), tuple((argument.name.lower(), argument.negated) for argument in _all(value))


def _parts(value: Operation, key: Key) -> list[tuple[Expression, Key]]:
    return [(operand, (*key, number)) for number, operand in enumerate(value.operands)]


def _shares(one: Expression, group: Operation) -> bool:
    """True when ``one`` is an operand of ``group``, or close to just one of them."""
    if _fold(one) in map(_fold, group.operands):
        return True
    return sum(bool(_names(one) & _names(part)) for part in group.operands) == 1


def _names(value: Expression) -> frozenset[str]:
    """Names, addresses and constants in an expression, folded."""
    if isinstance(value, Operation):
        return frozenset[str]().union(*map(_names, value.operands))
    if isinstance(value, Edge):
        return _names(value.of)
    return frozenset((expression(value).lower(),))


def _operands(old: list[tuple[Expression, Key]], new: list[tuple[Expression, Key]], found: Found) -> None:
    folded = [_fold(value) for value, _ in old], [_fold(value) for value, _ in new]
    for tag, i, i2, j, j2 in difflib.SequenceMatcher(None, *folded, autojunk=False).get_opcodes():
        if tag != "equal":
            _unequal(old[i:i2], new[j:j2], found)


def _unequal(old: list[tuple[Expression, Key]], new: list[tuple[Expression, Key]], found: Found) -> None:
    free = list(new)
    alone: list[tuple[Expression, Key]] = []
    for value, key in old:
        names = _names(value)
        best = max(free, key=lambda other: len(names & _names(other[0])), default=None)
        if best is not None and names & _names(best[0]):
            free.remove(best)
            _value(value, best[0], key, best[1], found)
        else:
            alone.append((value, key))
    while alone and free and len(alone) == len(free):
        (value, key), (other, other_key) = alone.pop(0), free.pop(0)
        _value(value, other, key, other_key, found)
    found[0].update((key, "-") for _, key in alone)
    found[1].update((key, "+") for _, key in free)
