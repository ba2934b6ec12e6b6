"""A small interpreter of ST bodies, written apart from the proof engine: what a controller does, scan by scan.

Integers wrap at their declared width or saturate, as one wishes: makes differ. A division by zero stops the scan.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from asfound.language.literals import value as literal_value
from asfound.language.statement_printer import expression as text
from asfound.model.logic import (
    Assign,
    Call,
    Case,
    Continue,
    Element,
    Exit,
    Expression,
    For,
    If,
    Invocation,
    Jump,
    Label,
    Literal,
    Member,
    Operation,
    Remark,
    Return,
    Span,
    Statement,
    Variable,
)

WIDTHS = {
    "SINT": (8, True),
    "INT": (16, True),
    "USINT": (8, False),
    "UINT": (16, False),
    "BYTE": (8, False),
    "WORD": (16, False),
}


class Leave(Exception):
    def __init__(self, goal: str) -> None:
        self.goal = goal


class Fault(Exception):
    """A division by zero."""


def wrapped(number: int, type: str) -> int:
    width, signed = WIDTHS[type]
    number &= (1 << width) - 1
    return number - (1 << width) if signed and number >> (width - 1) else number


def saturated(number: int, type: str) -> int:
    width, signed = WIDTHS[type]
    low, high = (-(1 << (width - 1)), (1 << (width - 1)) - 1) if signed else (0, (1 << width) - 1)
    return min(max(number, low), high)


@dataclass
class Controller:
    types: dict[str, str]
    state: dict[str, object]
    beyond: Callable[[int, str], int] = wrapped
    blocks: dict[str, Callable[[Controller, str], None]] = field(default_factory=dict)

    def key(self, e: Expression) -> str:
        match e:
            case Variable(name):
                return name.casefold()
            case Member(of, name):
                return f"{self.key(of)}.{name.casefold()}"
            case Element(of, indexes):
                return f"{self.key(of)}[{','.join(str(self.value(i)) for i in indexes)}]"
        raise AssertionError(e)

    def type_of(self, e: Expression) -> str:
        match e:
            case Variable() | Member() | Element():
                return self.types[self.key(e)]
            case Operation("NEG" | "+" | "-" | "*" | "/" | "MOD" | "AND" | "OR" | "XOR" | "NOT", operands):
                found = {self.type_of(o) for o in operands} - {""}
                return max(found, key=lambda t: WIDTHS.get(t, (0, 0))) if found else ""
            case Invocation(_, inputs, _):
                found = {self.type_of(a.value) for a in inputs} - {"", "BOOL"}
                return max(found, key=lambda t: WIDTHS.get(t, (0, 0))) if found else ""
        return ""

    def value(self, e: Expression):
        match e:
            case Literal(content):
                return literal_value(content)[1]
            case Variable() | Member() | Element():
                return self.state[self.key(e)]
            case Operation(operator, operands):
                return self.operation(e, operator, [self.value(o) for o in operands])
            case Invocation(Variable(name), inputs, _):
                return self.function(name.upper(), [self.value(a.value) for a in inputs])
        raise AssertionError(text(e))

    def function(self, name: str, args):
        match name:
            case "SEL":
                return args[2] if args[0] else args[1]
            case "MIN":
                return min(args)
            case "MAX":
                return max(args)
            case "LIMIT":
                return min(max(args[1], args[0]), args[2])
        raise AssertionError(name)

    def operation(self, e: Expression, operator: str, v):
        if operator in ("=", "<>", "<", "<=", ">", ">="):
            a, b = v
            return {"=": a == b, "<>": a != b, "<": a < b, "<=": a <= b, ">": a > b, ">=": a >= b}[operator]
        type = self.type_of(e)
        if operator in ("AND", "OR", "XOR", "NOT"):
            if type in WIDTHS:
                mask = (1 << WIDTHS[type][0]) - 1
                found = v[0]
                for x in v[1:]:
                    found = {"AND": found & x, "OR": found | x, "XOR": found ^ x}[operator]
                return (~found & mask) if operator == "NOT" else found
            if operator == "NOT":
                return not v[0]
            return {"AND": all(v), "OR": any(v), "XOR": sum(v) % 2 == 1}[operator]
        exact = self.exact(operator, v)
        return self.beyond(exact, type) if type in WIDTHS else exact

    def exact(self, operator: str, v) -> int:
        match operator:
            case "NEG":
                return -v[0]
            case "+":
                return v[0] + v[1]
            case "-":
                return v[0] - v[1]
            case "*":
                return v[0] * v[1]
        if v[1] == 0:
            raise Fault
        quotient = abs(v[0]) // abs(v[1]) * (1 if (v[0] < 0) == (v[1] < 0) else -1)
        return quotient if operator == "/" else v[0] - quotient * v[1]

    def scan(self, statements: tuple[Statement, ...]) -> dict[str, object]:
        """The state after one scan; a fault is a state of its own."""
        try:
            self.run_from(statements)
        except Fault:
            return {"fault": True}
        return self.state

    def run_from(self, statements: tuple[Statement, ...]) -> None:
        at = 0
        while at < len(statements):
            try:
                self.run(statements[at:])
                return
            except Leave as leave:
                labels = [
                    n for n, s in enumerate(statements) if isinstance(s, Label) and s.name.casefold() == leave.goal
                ]
                if not labels:
                    return
                at = labels[0]

    def run(self, statements: tuple[Statement, ...]) -> None:
        for statement in statements:
            self.one(statement)

    def one(self, s: Statement) -> None:
        match s:
            case Assign(target, content, kind, condition):
                if condition is None or self.value(condition):
                    self.assign(target, self.value(content), kind)
            case If(branches, otherwise):
                taken = next((b.statements for b in branches if self.value(b.condition)), otherwise)
                self.run(taken)
            case Case(selector, arms, otherwise):
                given = self.value(selector)
                self.run(next((a.statements for a in arms if any(self.fits(given, x) for x in a.labels)), otherwise))
            case For(variable, first, last, step, inner):
                by = self.value(step) if step else 1
                for number in range(self.value(first), self.value(last) + (1 if by > 0 else -1), by):
                    self.state[self.key(variable)] = number
                    try:
                        self.run(inner)
                    except Leave as leave:
                        if leave.goal == "§exit":
                            return
                        if leave.goal != "§continue":
                            raise
                self.state[self.key(variable)] = 99
            case Jump(label, condition):
                if condition is None or self.value(condition):
                    raise Leave(label.casefold())
            case Return(condition):
                if condition is None or self.value(condition):
                    raise Leave("§return")
            case Exit() | Continue():
                raise Leave("§exit" if isinstance(s, Exit) else "§continue")
            case Call(instance, _, inputs, _, _):
                for a in inputs:
                    self.state[f"{self.key(instance)}.{a.name.casefold()}"] = self.value(a.value)
                self.blocks[self.key(instance)](self, self.key(instance))
            case Label() | Remark():
                pass
            case _:
                raise AssertionError(s)

    def fits(self, given, label: Expression | Span) -> bool:
        if isinstance(label, Span):
            return self.value(label.low) <= given <= self.value(label.high)
        return given == self.value(label)

    def assign(self, target: Expression, content, kind: str) -> None:
        key = self.key(target)
        if kind == "assign":
            self.state[key] = self.beyond(content, self.types[key]) if self.types[key] in WIDTHS else content
        elif content:
            self.state[key] = kind == "set"
