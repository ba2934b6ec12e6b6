"""Differences between two expressions: contacts and branches in a ladder, operands anywhere else.

Walks both trees at once. Operands of AND and OR that are equal on both sides cancel out; what is left is added in
series (AND) or in parallel (OR), removed, or paired by likeness and looked into.
Cost: product of the operand counts of one operation that differ; operations are small.
Rejected: a difference of the printed texts, which says nothing about the circuit.
Known weakness: a rung factored in another way is told as several operands removed and added.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from asfound.analysis.canonical import Key, folded
from asfound.compare.context import Scope
from asfound.compare.result import Edit
from asfound.compare.wording.fields import short
from asfound.compare.wording.phrases import edit
from asfound.language.readable import expression as text
from asfound.language.standard import ARITHMETIC, COMPARISONS
from asfound.language.walk import names_in, walk
from asfound.model.logic import (
    Argument,
    Direct,
    Edge,
    Element,
    Expression,
    Invocation,
    Literal,
    Member,
    Operation,
    Temporary,
    Variable,
)


def shown(expression: Expression) -> str:
    """Text of an expression, shortened, for one line."""
    return short(text(expression))


def form(expression: Expression) -> tuple[str, Expression] | None:
    """How an operand is used and the operand itself; None when it is no single contact."""
    match expression:
        case Operation("NOT", (Edge(kind, of),)) if _is_access(of):
            return f"negated {kind}", of
        case Operation("NOT", (of,)) if _is_access(of):
            return "closed", of
        case Edge(kind, of) if _is_access(of):
            return kind, of
    return ("open", expression) if _is_access(expression) else None


def _is_access(expression: Expression) -> bool:
    return isinstance(expression, Variable | Member | Element | Direct | Temporary)


def _part(expression: Expression, ladder: bool) -> tuple[str, str, str]:
    """What an operand is called, its text, and of a contact the form in which it is drawn."""
    found = form(expression)
    if not ladder:
        return "operand" if found else "expression", shown(expression), ""
    if found is None:
        return "branch" if isinstance(expression, Operation) else "element", shown(expression), ""
    return "contact", shown(found[1]), found[0]


def differences(scope: Scope, old: Expression, new: Expression) -> tuple[Edit, ...]:
    """What a person would say; empty when both mean the same up to the order of operands."""
    if scope.key(old) == scope.key(new):
        return ()
    if isinstance(old, Operation) and isinstance(new, Operation) and old.operator == new.operator:
        if old.operator in ("AND", "OR", "XOR"):
            return _operands(scope, old.operator, old.operands, new.operands)
        if old.operator not in COMPARISONS | ARITHMETIC:
            return _each(scope, zip(old.operands, new.operands, strict=True))
    found = _form(scope, old, new) or _joined(scope, old, new) or _inside(scope, old, new)
    return found or (replaced(scope, old, new),)


def _each(scope: Scope, pairs: Iterable[tuple[Expression, Expression]]) -> tuple[Edit, ...]:
    return tuple(e for a, b in pairs for e in differences(scope, a, b))


def replaced(scope: Scope, old: Expression, new: Expression) -> Edit:
    """The plain edit when nothing finer is known."""
    if isinstance(old, Literal) and isinstance(new, Literal):
        return edit("literal", old.text, new.text)
    if not (form(old) and form(new)):
        return edit("expression", shown(old), shown(new))
    (what, before, was), (_, after, now) = _part(old, scope.ladder), _part(new, scope.ladder)
    drawn = () if {was, now} <= {"", "open"} else (edit("form of contact", was, now),)
    return edit(what, before, after, inner=drawn)


def _form(scope: Scope, old: Expression, new: Expression) -> tuple[Edit, ...]:
    """The same operand, used in another way."""
    before, after = form(old), form(new)
    if before is None or after is None or folded(before[1]) != folded(after[1]):
        return ()
    if scope.ladder:
        return (edit("form of contact", before[0], after[0], of=shown(after[1])),)
    return (edit("form of operand", shown(old), shown(new)),)


def _joined(scope: Scope, old: Expression, new: Expression) -> tuple[Edit, ...]:
    """One side is the other with something added in series or in parallel."""
    if isinstance(new, Operation) and new.operator in ("AND", "OR") and _holds(scope, new, old):
        return _operands(scope, new.operator, (old,), new.operands)
    if isinstance(old, Operation) and old.operator in ("AND", "OR") and _holds(scope, old, new):
        return _operands(scope, old.operator, old.operands, (new,))
    return ()


def _holds(scope: Scope, whole: Operation, piece: Expression) -> bool:
    return scope.key(piece) in map(scope.key, whole.operands)


def _operands(scope: Scope, operator: str, old: Sequence[Expression], new: Sequence[Expression]) -> tuple[Edit, ...]:
    common, left, right = cancelled(scope.key, old, new)
    pairs, left, right = paired(left, right)
    found = list(_each(scope, pairs))
    beside = [edit("beside", of=shown(common[0]))] if len(common) == 1 and not pairs else []
    for what, name, drawn in (_part(e, scope.ladder) for e in right):
        found.append(edit(f"{what} added", new=name, of=drawn, owner=operator, inner=beside))
    for what, name, drawn in (_part(e, scope.ladder) for e in left):
        found.append(edit(f"{what} removed", old=name, of=drawn, owner=operator))
    return tuple(found) or (edit("operands reordered", of=operator),)


def cancelled(
    key: Key, old: Sequence[Expression], new: Sequence[Expression]
) -> tuple[list[Expression], list[Expression], list[Expression]]:
    """Operands on both sides, only in old, only in new; order kept."""
    waiting: dict[str, list[Expression]] = {}
    for expression in new:
        waiting.setdefault(key(expression), []).append(expression)
    common, left = [], []
    for expression in old:
        same = waiting.get(key(expression))
        if same:
            common.append(same.pop(0))
        else:
            left.append(expression)
    right = [e for e in new if any(e is w for w in waiting[key(e)])]
    return common, left, right


def paired(
    left: Sequence[Expression], right: Sequence[Expression]
) -> tuple[list[tuple[Expression, Expression]], list[Expression], list[Expression]]:
    """Leftover operands that belong together: they share a name or a form; a single one on each side always do."""
    if len(left) == len(right) == 1:
        return [(left[0], right[0])], [], []
    scored = sorted(
        (-likeness(a, b), i, j) for i, a in enumerate(left) for j, b in enumerate(right) if likeness(a, b) >= 0.4
    )
    used_left: set[int] = set()
    used_right: set[int] = set()
    pairs = []
    for _, i, j in scored:
        if i not in used_left and j not in used_right:
            used_left.add(i)
            used_right.add(j)
            pairs.append((left[i], right[j]))
    return (
        pairs,
        [e for i, e in enumerate(left) if i not in used_left],
        [e for j, e in enumerate(right) if j not in used_right],
    )


def another_way(old: Expression, new: Expression) -> Edit:
    """Why two expressions with equal canonical keys are written differently."""
    turned = [sum(isinstance(n, Operation) and n.operator == "NOT" for n in walk(e)) for e in (old, new)]
    return edit("order of operands" if turned[0] == turned[1] else "way of negations")


def likeness(old: Expression, new: Expression) -> float:
    """Shared names over all names."""
    before, after = names_in(old), names_in(new)
    return len(before & after) / len(before | after) if before | after else 0.0


def _inside(scope: Scope, old: Expression, new: Expression) -> tuple[Edit, ...]:
    match old, new:
        case Operation(a, before), Operation(b, after) if a == b:
            what = "comparison" if a in COMPARISONS else "calculation"
            return _one_call(scope, before, after) or (edit(what, shown(old), shown(new)),)
        case Operation(a, _), Operation(b, _) if {a, b} <= COMPARISONS:
            return (edit("comparison", shown(old), shown(new)),)
        case Operation(a, _), Operation(b, _) if {a, b} <= ARITHMETIC:
            return (edit("calculation", shown(old), shown(new)),)
        case Operation("NOT", (of,)), _ if scope.key(of) == scope.key(new):
            return (edit("negation removed", of=shown(new)),)
        case _, Operation("NOT", (of2,)) if scope.key(of2) == scope.key(old):
            return (edit("negation added", of=shown(old)),)
        case Edge(kind, of), Edge(kind2, of2) if kind == kind2:
            return differences(scope, of, of2)
        case Invocation(function, inputs, outputs), Invocation(function2, inputs2, outputs2):
            fed = pins(scope, inputs, inputs2, shown(function2))
            if folded(function) != folded(function2):
                return (edit("function", shown(function), shown(function2)), *fed)
            return fed + outgoing(outputs, outputs2, shown(function2))
    return ()


def _one_call(scope: Scope, old: Sequence[Expression], new: Sequence[Expression]) -> tuple[Edit, ...]:
    """The difference inside a call of one function, when nothing else differs between the operands."""
    differing = [(a, b) for a, b in zip(old, new, strict=False) if scope.key(a) != scope.key(b)]
    if len(old) != len(new) or len(differing) != 1:
        return ()
    before, after = differing[0]
    same = (
        isinstance(before, Invocation)
        and isinstance(after, Invocation)
        and folded(before.function) == folded(after.function)
    )
    return differences(scope, before, after) if same else ()


def pins(
    scope: Scope, old: Sequence[Argument], new: Sequence[Argument], owner: str, preset: str = ""
) -> tuple[Edit, ...]:
    """Differences of the inputs of a block; ``preset`` names the pin that holds its preset."""
    before, after = named(old), named(new)
    found: list[Edit] = []
    for key in sorted({*before, *after}):
        first, second = before.get(key), after.get(key)
        was, now = (None if a is None else shown(a.value) for a in (first, second))
        pin = "preset" if key == preset.lower() else "input"
        name = (second or first).name or key  # type: ignore[union-attr]
        if first is None or second is None:
            found.append(edit(f"{pin} {'connected' if second else 'disconnected'}", was, now, of=name, owner=owner))
            continue
        inside = differences(scope, first.value, second.value)
        if inside == (replaced(scope, first.value, second.value),) and not isinstance(first.value, Literal):
            found.append(edit(f"{pin} fed", was, now, of=name, owner=owner))
        else:
            found += [edit(pin, of=name, owner=owner, inner=(each,)) for each in inside]
    return tuple(found)


def outgoing(old: Sequence[Argument], new: Sequence[Argument], owner: str) -> tuple[Edit, ...]:
    """Differences of the outputs of a block."""
    before, after = named(old), named(new)
    found = []
    for key in sorted({*before, *after}):
        first, second = before.get(key), after.get(key)
        was, now = _written(first), _written(second)
        if was.lower() != now.lower():
            name = (second or first).name or key  # type: ignore[union-attr]
            found.append(edit("output", was or None, now or None, of=name, owner=owner))
    return tuple(found)


def _written(argument: Argument | None) -> str:
    return "" if argument is None else f"{'NOT ' if argument.negated else ''}{shown(argument.value)}"


def named(arguments: Sequence[Argument]) -> dict[str, Argument]:
    """Arguments by folded name, positional ones by their number from 1."""
    return {(a.name.lower() or str(n + 1)): a for n, a in enumerate(arguments)}
