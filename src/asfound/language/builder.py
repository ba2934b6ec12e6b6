# ruff: noqa: D102 (each method is the rule of the same name)
"""What each rule of grammar.lark becomes. Lark calls these while it parses, so no syntax tree is ever built."""

from __future__ import annotations

import re
from typing import Any

from asfound.language import addresses, literals
from asfound.language.evaluation import risk
from asfound.language.grammar_input import TooDeep
from asfound.model import logic as m

PRECEDENCE = {
    "OR": 0, "XOR": 1, "AND": 2, "=": 3, "<>": 3, "<": 4, ">": 4, "<=": 4, ">=": 4, "+": 5, "-": 5,
    "*": 6, "/": 6, "MOD": 6, "**": 7,
}  # fmt: skip
"""IEC 61131-3:2013 table 71 (from memory), weakest first; NOT and the signs bind tighter."""
NARY = frozenset(("AND", "OR", "XOR"))
TRUE, FALSE = m.Literal("TRUE"), m.Literal("FALSE")
MAX_CHAIN = 150
"""Longest chain of binary operators, which nest to the left."""

_KINDS: dict[str, Any] = {"S": "set", "R": "reset", "REF": "reference", "?": "attempt"}


def fold(operands: list[m.Expression], operators: list[str]) -> m.Expression:
    """One expression from ``a op b op c``, by precedence, from the left; AND, OR, XOR become one flat operation."""
    if not operators:
        return operands[0]
    lowest = min(PRECEDENCE[operator] for operator in operators)
    parts: list[m.Expression] = []
    between: list[str] = []
    start = 0
    for at, operator in enumerate([*operators, ""]):
        if not operator or PRECEDENCE[operator] == lowest:
            parts.append(fold(operands[start : at + 1], operators[start:at]))
            between.append(operator)
            start = at + 1
    return flat(between[0], parts) if between[0] in NARY else _left(parts, between)


def _left(parts: list[m.Expression], between: list[str]) -> m.Expression:
    if len(parts) > MAX_CHAIN:
        raise TooDeep
    result = parts[0]
    for operator, part in zip(between, parts[1:], strict=False):
        result = m.Operation(operator, (result, part))
    return result


def flat(operator: str, parts: list[m.Expression]) -> m.Operation:
    """An AND, OR or XOR whose operands are not of the same operator."""
    operands: list[m.Expression] = []
    for part in parts:
        if isinstance(part, m.Operation) and part.operator == operator:
            operands.extend(part.operands)
        else:
            operands.append(part)
    return m.Operation(operator, tuple(operands))


def operator_name(text: str) -> str:
    """``&`` and ``and`` are ``AND``."""
    return "AND" if text == "&" else text.upper()


def is_operator_call(operator: str, inputs: tuple[m.Argument, ...], outputs: tuple[m.Argument, ...]) -> bool:
    """Whether ``AND(a, b)`` means the same as ``a AND b``: two or more inputs, unnamed or named IN1, IN2, ...

    A function takes all its inputs, an operator may stop early: a guard before what can fail or write is kept apart.
    """
    names = [argument.name.upper() for argument in inputs]
    plain = not any(names) or names == [f"IN{number}" for number in range(1, len(names) + 1)]
    enough = len(inputs) == 2 if operator == "MOD" else len(inputs) >= 2
    guards = operator in ("AND", "OR") and any(risk(argument.value) for argument in inputs[1:])
    return plain and enough and not outputs and operator in ("AND", "OR", "XOR", "MOD") and not guards


Arguments = tuple[tuple[m.Argument, ...], tuple[m.Argument, ...]]


class Builder:
    """Callbacks by rule name; ``c`` are the children that the grammar keeps."""

    def statements(self, c: list[Any]) -> tuple[m.Statement, ...]:
        return tuple(child for child in c if child is not None)

    def assign(self, c: list[Any]) -> m.Assign:
        return m.Assign(c[0], c[1])

    def latch(self, c: list[Any]) -> m.Assign:
        return m.Assign(c[0], c[2], _KINDS[c[1].value[:-1].upper()])

    def typed_assign(self, c: list[Any]) -> m.Assign:
        return m.Assign(c[1], c[2], c[0].value)

    def call(self, c: list[Any]) -> m.Call:
        return m.Call(c[0], "", *c[1])

    def typed_call(self, c: list[Any]) -> m.Call:
        called = c[1]
        if type(called) is not m.Call:
            raise ValueError("only a call has a type")
        return m.Call(called.instance, c[0].value, called.inputs, called.outputs, called.condition)

    def jump(self, c: list[Any]) -> m.Jump:
        return m.Jump(c[0].value)

    def leave(self, c: list[Any]) -> m.Return:
        return m.Return()

    def exit_loop(self, c: list[Any]) -> m.Exit:
        return m.Exit()

    def next_turn(self, c: list[Any]) -> m.Continue:
        return m.Continue()

    def label(self, c: list[Any]) -> m.Label:
        return m.Label(c[0].value)

    def remark(self, c: list[Any]) -> m.Remark:
        return m.Remark(c[0].value if c[0].exact else comment_text(c[0].value))

    def verbatim(self, c: list[Any]) -> m.Verbatim:
        return m.Verbatim(c[0].value)

    def nothing(self, c: list[Any]) -> None:
        return None

    def elsif(self, c: list[Any]) -> m.Branch:
        return m.Branch(c[0], c[1])

    def choice(self, c: list[Any]) -> m.If:
        return m.If((m.Branch(c[0], c[1]), *c[2:-1]), c[-1])

    def one_line(self, c: list[Any]) -> Any:
        """What the normal form writes on one line: a statement with a condition; TRUE or FALSE then is a coil."""
        condition, inside, *more = c
        if more != [()] or len(inside) != 1 or not isinstance(inside[0], m.Assign | m.Call | m.Jump | m.Return):
            return self.choice(c)
        only = inside[0]
        if isinstance(only, m.Assign) and only.kind == "assign" and only.value in (TRUE, FALSE):
            return m.Assign(only.target, condition, "set" if only.value == TRUE else "reset")
        return self.guarded([condition, only])

    def guarded(self, c: list[Any]) -> Any:
        condition, statement = c
        kind = type(statement)
        if kind is m.Assign:
            return m.Assign(statement.target, statement.value, statement.kind, condition)
        if kind is m.Call:
            return m.Call(statement.instance, statement.type, statement.inputs, statement.outputs, condition)
        if kind is m.Jump:
            return m.Jump(statement.label, condition)
        if kind is m.Return:
            return m.Return(condition)
        raise ValueError("only one simple statement can be guarded")

    def case(self, c: list[Any]) -> m.Case:
        return m.Case(c[0], tuple(c[1:-1]), c[-1])

    def arm(self, c: list[Any]) -> m.CaseArm:
        return m.CaseArm(tuple(c[:-1]), c[-1])

    def span(self, c: list[Any]) -> m.Span:
        return m.Span(c[0], c[1])

    def count(self, c: list[Any]) -> m.For:
        return m.For(*c)

    def by(self, c: list[Any]) -> m.Expression | None:
        return c[0] if c else None

    def otherwise(self, c: list[Any]) -> tuple[m.Statement, ...]:
        return c[0] if c else ()

    def while_loop(self, c: list[Any]) -> m.While:
        return m.While(c[0], c[1])

    def repeat(self, c: list[Any]) -> m.Repeat:
        return m.Repeat(c[0], c[1])

    def chain(self, c: list[Any]) -> m.Expression:
        operators = [operator_name(token.value) for token in c[1::2]]
        return fold(c[0::2], operators)

    def infix(self, c: list[Any]) -> Any:
        return c[0]

    def invert(self, c: list[Any]) -> m.Operation:
        return m.Operation("NOT", (c[0],))

    def signed(self, c: list[Any]) -> m.Expression:
        return m.Operation("NEG", (c[1],)) if c[0].value == "-" else c[1]

    def literal(self, c: list[Any]) -> m.Literal:
        return m.Literal(c[0].value if c[0].exact else literals.canonical(c[0].value))

    def operator_call(self, c: list[Any]) -> m.Expression:
        operator = operator_name(c[0].value)
        inputs, outputs = c[1]
        if not is_operator_call(operator, inputs, outputs):
            return m.Invocation(m.Variable(operator), inputs, outputs)
        values = [argument.value for argument in inputs]
        return flat(operator, values) if operator in NARY else m.Operation(operator, tuple(values))

    def edge(self, c: list[Any]) -> m.Edge:
        return m.Edge("rising" if c[0].value == "R_EDGE" else "falling", c[1])

    def variable(self, c: list[Any]) -> m.Variable:
        return m.Variable(c[0].value)

    def direct(self, c: list[Any]) -> m.Direct:
        return m.Direct(c[0].value if c[0].exact else addresses.canonical(c[0].value))

    def temporary(self, c: list[Any]) -> m.Temporary:
        number, _, origin = c[0].value.removeprefix("_v").partition("\n")
        return m.Temporary(int(number), origin)

    def unparsed(self, c: list[Any]) -> m.Unparsed:
        return m.Unparsed(c[0].value)

    def inside(self, c: list[Any]) -> m.Expression:
        return c[0]  # type: ignore[no-any-return]

    def member(self, c: list[Any]) -> m.Member:
        name = c[1].value
        return m.Member(c[0], name.upper() if name[:1] == "%" and not c[1].exact else name)

    def dereference(self, c: list[Any]) -> m.Dereference:
        return m.Dereference(c[0])

    def element(self, c: list[Any]) -> m.Element:
        return m.Element(c[0], tuple(c[1:]))

    def invocation(self, c: list[Any]) -> m.Invocation:
        return m.Invocation(c[0], *c[1])

    def arguments(self, c: list[Any]) -> Arguments:
        inputs = tuple(argument for way, argument in c if way == "in")
        return inputs, tuple(argument for way, argument in c if way == "out")

    def positional(self, c: list[Any]) -> tuple[str, m.Argument]:
        return "in", m.Argument("", c[0])

    def named(self, c: list[Any]) -> tuple[str, m.Argument]:
        return "in", m.Argument(c[0].value, c[1])

    def unconnected(self, c: list[Any]) -> tuple[str, None]:
        return "", None

    def output(self, c: list[Any]) -> tuple[str, m.Argument]:
        return "out", m.Argument(c[0].value, c[1])

    def negated_output(self, c: list[Any]) -> tuple[str, m.Argument]:
        return "out", m.Argument(c[0].value, c[1], True)


def comment_text(text: str) -> str:
    """What a comment says: without its delimiters, white space collapsed.

    >>> comment_text("(*  two\\n words *)")
    'two words'
    """
    inside = text[2:] if text.startswith("//") else text[2:-2]
    return re.sub(r"\s+", " ", inside).strip()
