"""Differences between two expressions in the words of the trade.

Walks both trees at once. Operands of AND and OR that are equal on both sides cancel out; what is left is added in
series (AND) or in parallel (OR), removed, or paired by likeness and looked into.
Cost: product of the operand counts of one operation that differ; operations are small.
Rejected: a difference of the printed texts, which says nothing about the circuit.
Known weakness: a rung factored in another way is told as several operands removed and added.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from asfound.analysis.canonical import canonical, folded
from asfound.language.printer import expression as text
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

LONG = 100
_JOINTS = {"AND": ("in series with", "in series"), "OR": ("in parallel to", "in parallel")}
_FORMS = {
    "open": "normally open",
    "closed": "normally closed",
    "rising": "rising edge",
    "falling": "falling edge",
}


@dataclass(frozen=True)
class Words:
    """How the parts of an expression are called: in a ladder, or anywhere else."""

    ladder: bool = False

    @property
    def operand(self) -> str:
        """``contact`` or ``operand``."""
        return "contact" if self.ladder else "operand"

    def joint(self, operator: str, partner: str = "") -> str:
        """``in parallel to LOW_SUCTION``, or outside a ladder ``by OR to LOW_SUCTION``."""
        if not self.ladder or operator not in _JOINTS:
            return f"by {operator} to {partner}" if partner else f"by {operator}"
        with_partner, alone = _JOINTS[operator]
        return f"{with_partner} {partner}" if partner else alone


def short(words: str, length: int = LONG) -> str:
    """At most ``length`` characters on one line."""
    line = " ".join(words.split())
    return line if len(line) <= length else line[: length - 1].rstrip() + "…"


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


def part(expression: Expression, words: Words) -> str:
    """``contact X``, ``normally closed contact X``, ``NOT X``, or the text in full."""
    found = form(expression)
    if not words.ladder:
        return f"operand {shown(expression)}" if found else shown(expression)
    if found is None:
        return f"branch {shown(expression)}" if isinstance(expression, Operation) else shown(expression)
    kind, of = found
    return f"{_FORMS.get(kind, kind)} contact {shown(of)}" if kind != "open" else f"contact {shown(of)}"


def differences(old: Expression, new: Expression, words: Words) -> tuple[str, ...]:
    """What a person would say; empty when both mean the same up to the order of operands."""
    if canonical(old) == canonical(new):
        return ()
    if isinstance(old, Operation) and isinstance(new, Operation) and old.operator == new.operator:
        if old.operator in ("AND", "OR", "XOR"):
            return _operands(old.operator, old.operands, new.operands, words)
        if old.operator not in COMPARISONS | ARITHMETIC and len(old.operands) == len(new.operands):
            return _each(zip(old.operands, new.operands, strict=True), words)
    found = _form(old, new, words) or _joined(old, new, words) or _inside(old, new, words)
    return found or (replaced(old, new, words),)


def _each(pairs: Iterable[tuple[Expression, Expression]], words: Words) -> tuple[str, ...]:
    return tuple(line for a, b in pairs for line in differences(a, b, words))


def replaced(old: Expression, new: Expression, words: Words) -> str:
    """The plain words when nothing finer is known."""
    if isinstance(old, Literal) and isinstance(new, Literal):
        return f"{old.text} -> {new.text}"
    if form(old) and form(new):
        bare = part(old, words).removeprefix("operand "), part(new, words).removeprefix("operand ")
        return f"{words.operand} {bare[0].removeprefix('contact ')} replaced by {bare[1].removeprefix('contact ')}"
    return f"{shown(old)} replaced by {shown(new)}"


def _form(old: Expression, new: Expression, words: Words) -> tuple[str, ...]:
    """The same operand, used in another way."""
    before, after = form(old), form(new)
    if before is None or after is None or folded(before[1]) != folded(after[1]):
        return ()
    if words.ladder:
        return (f"{shown(after[1])}: {_FORMS.get(before[0], before[0])} -> {_FORMS.get(after[0], after[0])}",)
    return (f"{shown(old)} -> {shown(new)}",)


def _joined(old: Expression, new: Expression, words: Words) -> tuple[str, ...]:
    """One side is the other with something added in series or in parallel."""
    if isinstance(new, Operation) and new.operator in ("AND", "OR") and _holds(new, old):
        return _operands(new.operator, (old,), new.operands, words)
    if isinstance(old, Operation) and old.operator in ("AND", "OR") and _holds(old, new):
        return _operands(old.operator, old.operands, (new,), words)
    return ()


def _holds(whole: Operation, piece: Expression) -> bool:
    return canonical(piece) in map(canonical, whole.operands)


def _operands(operator: str, old: Sequence[Expression], new: Sequence[Expression], words: Words) -> tuple[str, ...]:
    common, left, right = cancelled(old, new)
    pairs, left, right = paired(left, right)
    lines = list(_each(pairs, words))
    partner = shown(common[0]) if len(common) == 1 and len(pairs) == 0 else ""
    lines += [f"{part(e, words)} added {words.joint(operator, partner)}" for e in right]
    away = {"AND": "from the series", "OR": "from the parallel branches"} if words.ladder else {}
    lines += [f"{part(e, words)} removed {away.get(operator, f'from {operator}')}" for e in left]
    return tuple(lines) or (f"operands of {operator} reordered",)


def cancelled(
    old: Sequence[Expression], new: Sequence[Expression]
) -> tuple[list[Expression], list[Expression], list[Expression]]:
    """Operands on both sides, only in old, only in new; order kept."""
    waiting: dict[str, list[Expression]] = {}
    for expression in new:
        waiting.setdefault(canonical(expression), []).append(expression)
    common, left = [], []
    for expression in old:
        same = waiting.get(canonical(expression))
        if same:
            common.append(same.pop(0))
        else:
            left.append(expression)
    right = [e for e in new if any(e is w for w in waiting[canonical(e)])]
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


def another_way(old: Expression, new: Expression) -> str:
    """Why two expressions with equal canonical keys are written differently."""
    turned = [sum(isinstance(n, Operation) and n.operator == "NOT" for n in walk(e)) for e in (old, new)]
    return "operands in another order" if turned[0] == turned[1] else "negations written in another way"


def likeness(old: Expression, new: Expression) -> float:
    """Shared names over all names."""
    before, after = names_in(old), names_in(new)
    return len(before & after) / len(before | after) if before | after else 0.0


def _inside(old: Expression, new: Expression, words: Words) -> tuple[str, ...]:
    match old, new:
        case Operation(a, before), Operation(b, after) if a == b and a not in ("NOT", "AND", "OR", "XOR"):
            return _one_call(before, after, words) or (
                f"{'comparison ' if a in COMPARISONS else ''}{shown(old)} -> {shown(new)}",
            )
        case Operation(a, _), Operation(b, _) if {a, b} <= COMPARISONS:
            return (f"comparison {shown(old)} -> {shown(new)}",)
        case Operation(a, _), Operation(b, _) if {a, b} <= ARITHMETIC:
            return (f"{shown(old)} -> {shown(new)}",)
        case Operation("NOT", (of,)), Operation("NOT", (of2,)):
            return differences(of, of2, words)
        case Operation("NOT", (of,)), _ if canonical(of) == canonical(new):
            return (f"negation of {shown(new)} removed",)
        case _, Operation("NOT", (of2,)) if canonical(of2) == canonical(old):
            return (f"{shown(old)} negated",)
        case Edge(kind, of), Edge(kind2, of2) if kind == kind2:
            return differences(of, of2, words)
        case Invocation(function, inputs, outputs), Invocation(function2, inputs2, outputs2):
            if folded(function) != folded(function2):
                head = (f"function {shown(function)} replaced by {shown(function2)}",)
                return head + pins(inputs, inputs2, shown(function2), words)
            return pins(inputs, inputs2, shown(function2), words) + outgoing(outputs, outputs2, shown(function2))
    return ()


def _one_call(old: Sequence[Expression], new: Sequence[Expression], words: Words) -> tuple[str, ...]:
    """The difference inside a call of one function, when nothing else differs between the operands."""
    differing = [(a, b) for a, b in zip(old, new, strict=False) if canonical(a) != canonical(b)]
    if len(old) != len(new) or len(differing) != 1:
        return ()
    before, after = differing[0]
    same = (
        isinstance(before, Invocation)
        and isinstance(after, Invocation)
        and folded(before.function) == folded(after.function)
    )
    return differences(before, after, words) if same else ()


def pins(
    old: Sequence[Argument], new: Sequence[Argument], owner: str, words: Words, preset: str = ""
) -> tuple[str, ...]:
    """Differences of the inputs of a block; ``preset`` names the pin that holds its preset."""
    before, after = named(old), named(new)
    lines: list[str] = []
    for key in sorted({*before, *after}):
        first, second = before.get(key), after.get(key)
        given = second or first
        assert given is not None
        pin = f"{'preset' if key == preset.lower() else 'input'} {given.name or key} of {owner}"
        if first is None and second is not None:
            lines.append(f"{pin} connected to {shown(second.value)}")
        elif second is None and first is not None:
            lines.append(f"{pin} no longer connected (was {shown(first.value)})")
        elif first is not None and second is not None:
            found = differences(first.value, second.value, words)
            plain = found == (replaced(first.value, second.value, words),) and not isinstance(first.value, Literal)
            if plain:
                lines.append(f"{pin} now fed by {shown(second.value)} (was {shown(first.value)})")
            else:
                lines += [f"{pin}: {line}" for line in found]
    return tuple(lines)


def outgoing(old: Sequence[Argument], new: Sequence[Argument], owner: str) -> tuple[str, ...]:
    """Differences of the outputs of a block."""
    before, after = named(old), named(new)
    lines = []
    for key in sorted({*before, *after}):
        first, second = before.get(key), after.get(key)
        was, now = _written(first), _written(second)
        if was.lower() != now.lower():
            name = (second or first).name  # type: ignore[union-attr]
            lines.append(f"output {name or key} of {owner}: {was or 'nothing'} -> {now or 'nothing'}")
    return tuple(lines)


def _written(argument: Argument | None) -> str:
    return "" if argument is None else f"{'NOT ' if argument.negated else ''}{shown(argument.value)}"


def named(arguments: Sequence[Argument]) -> dict[str, Argument]:
    """Arguments by folded name, positional ones by their number from 1."""
    return {(a.name.lower() or str(n + 1)): a for n, a in enumerate(arguments)}
