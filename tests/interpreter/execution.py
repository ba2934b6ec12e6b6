"""Statements, one after the other."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from asfound.model.logic import (
    Assign,
    Call,
    Case,
    Continue,
    Exit,
    Expression,
    For,
    If,
    Jump,
    Label,
    Remark,
    Repeat,
    Return,
    Span,
    Statement,
    While,
)
from asfound.model.program import Body
from interpreter.cells import Group, Pointer, copied
from interpreter.kinds import WIDTHS, NotRun
from interpreter.numbers import TooLong, Val, wrapped

MOST = 4_000
"""Statements in one cycle, before it is given up."""


class Leave(Exception):
    """Out of a loop, a body or to a label."""

    def __init__(self, goal: str) -> None:
        self.goal = goal


class Execution:
    """Mixed into the machine."""

    def run_body(self, body: Body) -> None:
        """A whole body, in the current frame."""
        if body.chart is not None:
            raise NotRun("a chart")
        try:
            if body.networks:
                self._run_networks(body)
            else:
                self.run(body.statements)
        except Leave as leave:
            if leave.goal != "§return":
                raise NotRun(f"label {leave.goal}") from leave

    def _run_networks(self, body: Body) -> None:
        order = body.order.sequence or tuple(
            (n, s) for n, network in enumerate(body.networks) for s in range(len(network.statements))
        )
        labels = {n.label.lower(): at for at, n in enumerate(body.networks) if n.label}
        at = 0
        while at < len(order):
            network, statement = order[at]
            self.frame.network = network
            try:
                self._execute(body.networks[network].statements[statement])
                at += 1
            except Leave as leave:
                if leave.goal not in labels:
                    raise
                at = next((n for n, (k, _) in enumerate(order) if k >= labels[leave.goal]), len(order))

    def run(self, statements: Sequence[Statement]) -> None:
        at = 0
        labels = {s.name.lower(): n for n, s in enumerate(statements) if isinstance(s, Label)}
        while at < len(statements):
            try:
                self._execute(statements[at])
                at += 1
            except Leave as leave:
                if leave.goal not in labels:
                    raise
                at = labels[leave.goal]

    def _count(self) -> None:
        self.left -= 1
        if self.left < 0:
            raise TooLong

    def _execute(self, s: Statement) -> None:
        self._count()
        match s:
            case Assign():
                self._assign(s)
            case Call():
                self.call(s)
            case If(branches, otherwise):
                self.run(next((b.statements for b in branches if self.truth(b.condition)), otherwise))
            case Case(selector, arms, otherwise):
                given = self.evaluate(selector, "INT").content
                self.run(next((a.statements for a in arms if any(self._fits(given, x) for x in a.labels)), otherwise))
            case For():
                self._for(s)
            case While(condition, inner):
                self._loop(inner, lambda: self.truth(condition), lambda: False)
            case Repeat(inner, until):
                self._loop(inner, lambda: True, lambda: self.truth(until))
            case Jump(label, condition):
                if condition is None or self.truth(condition):
                    raise Leave(label.lower())
            case Return(condition):
                if condition is None or self.truth(condition):
                    raise Leave("§return")
            case Exit() | Continue():
                raise Leave("§exit" if isinstance(s, Exit) else "§continue")
            case Label() | Remark():
                pass
            case _:
                raise NotRun(type(s).__name__)

    def _fits(self, given: Any, label: Expression | Span) -> bool:
        if isinstance(label, Span):
            return bool(self.evaluate(label.low).content <= given <= self.evaluate(label.high).content)
        return bool(given == self.evaluate(label).content)

    # --- assignments

    def _assign(self, s: Assign) -> None:
        if s.condition is not None and not self.truth(s.condition):
            return
        if s.kind in ("reference", "attempt"):
            pointer = self.find(s.target.name)  # type: ignore[union-attr]
            found = self.locate(s.value)
            pointer.to = found.to if isinstance(found, Pointer) else found
            return
        if self.readings.right_first:
            target = self.locate(s.target)
            content = self.evaluate(s.value, _wanted(target))
        else:
            content = self.evaluate(s.value, self._type_of(s.target))
            target = self.locate(s.target)
        if s.kind == "assign":
            self.write(target, content)
        elif content.content:
            self.write(target, Val(s.kind == "set", "BOOL"))

    def _type_of(self, target: Expression) -> str:
        """The type of a target without evaluating its indexes twice; empty when it takes one."""
        from asfound.model.logic import Direct, Member, Variable

        if isinstance(target, Variable | Direct):
            return _wanted(self.locate(target))
        if isinstance(target, Member) and isinstance(target.of, Variable) and self.find(target.of.name) is not None:
            return _wanted(self.locate(target))
        return ""

    def write(self, target: Any, content: Val) -> None:
        """A value, a whole group or a reference into a cell."""
        if isinstance(target, Pointer):
            target.to = content.content.to if isinstance(content.content, Pointer) else content.content
        elif isinstance(target, Group):
            copied(target, content.content, self.readings.stops)
        else:
            target.write(content, self.readings.stops)

    # --- loops

    def _for(self, s: For) -> None:
        variable = self.locate(s.variable)
        number = self.evaluate(s.first, "INT").content
        last = self.evaluate(s.last, "INT").content
        step = self.evaluate(s.step, "INT").content if s.step is not None else 1
        turn, type = 0, variable.kind.name
        while True:
            if turn and self.readings.each_turn:
                last = self.evaluate(s.last, "INT").content
            if (number > last) if step >= 0 else (number < last):
                break
            self.write(variable, Val(number, "?INT"))
            self._count()
            turn += 1
            try:
                self.run(s.statements)
            except Leave as leave:
                if leave.goal == "§exit":
                    return
                if leave.goal != "§continue":
                    raise
            number = variable.read().content + step
            if type in WIDTHS and wrapped(number, type) != number:
                raise TooLong
        if self.readings.past or not turn:
            self.write(variable, Val(number, "?INT"))

    def _loop(self, inner: Sequence[Statement], go: Any, stop: Any) -> None:
        while go():
            self._count()
            try:
                self.run(inner)
            except Leave as leave:
                if leave.goal == "§exit":
                    return
                if leave.goal != "§continue":
                    raise
            if stop():
                return


def _wanted(cell: Any) -> str:
    return cell.kind.name if hasattr(cell, "read") else ""
