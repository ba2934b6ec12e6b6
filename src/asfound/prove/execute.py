"""Statements executed symbolically: one pass, every write under the condition that this part of the body runs.

IF and CASE are exact; a FOR with constant bounds is unrolled; forward jumps, RETURN, EXIT and CONTINUE take the
condition under which they happen out of what follows, up to their goal. The loop variable after the end of a FOR is
uninterpreted: the standard leaves it open. Other loops, jumps backwards or into a branch are refused.
Cost: linear in the text with loops unrolled, formulas are shared.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from asfound.language.elementary import INTEGERS
from asfound.language.walk import walk
from asfound.model.logic import (
    Assign,
    Call,
    Case,
    Continue,
    Direct,
    Edge,
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
    Remark,
    Return,
    Span,
    Statement,
    Temporary,
    Variable,
)
from asfound.model.program import Body
from asfound.prove.calls import Caller
from asfound.prove.encoder import Encoder, Unsupported, Value
from asfound.prove.evaluate import Loop
from asfound.prove.proof_side import Location, Run, Side
from asfound.prove.sorts import bounds

MAX_TURNS = 128


class SymbolicExecutor(Caller):
    """One side of a proof. ``log`` and ``environments`` serve unknown calls (see calls)."""

    def __init__(self, encoder: Encoder, side: Side, label: str, private: frozenset[str] = frozenset()) -> None:
        super().__init__(encoder, side, label, private)
        self.nested = 0
        self.pending: dict[str, Any] = {}
        self.passed: set[str] = set()

    def execute(self, runs: Sequence[Run]) -> None:
        """Run a whole body; every jump must have found its label."""
        try:
            for network, statements in runs:
                self.frame.network = network
                self.run(statements)
        except ReferenceError as problem:
            raise Unsupported(f"{problem} is a reference") from None
        if self.pending:
            raise Unsupported("a jump to a label that is not there")

    def run_body(self, body: Body) -> None:
        """Run the body of a called POU or action; labels and loops of the caller are out of its sight."""
        outer = self.pending, self.passed, self.nested, self.loops, self.frame.network
        self.pending, self.passed, self.nested, self.loops = {}, set(), 0, []
        base = self.frame.network
        for network, statements in runs_of(body):
            self.frame.network = base + network
            self.run(statements)
        if self.pending:
            raise Unsupported("a jump to a label that is not there")
        self.pending, self.passed, self.nested, self.loops, self.frame.network = outer

    def run(self, statements: Sequence[Statement]) -> None:
        """Run statements one after the other."""
        for statement in statements:
            self.encoder.tick()
            self.step(statement)

    def step(self, statement: Statement) -> None:
        """Run one statement."""
        match statement:
            case Assign():
                self._assign(statement)
            case Call():
                self.call(statement)
            case If(branches, otherwise):
                arms = [(b.condition, b.statements) for b in branches]
                self._arms([(lambda c=c: self.boolean(c), s) for c, s in arms], otherwise)
            case Case():
                self._case(statement)
            case For():
                self._for(statement)
            case Jump(label, condition):
                self._leave(condition, label.lower())
            case Return(condition):
                self._leave(condition, "")
            case Label(name):
                self._label(name.lower())
            case Exit() | Continue():
                self._cut(isinstance(statement, Exit))
            case Remark():
                pass
            case _:
                raise Unsupported(f"{type(statement).__name__.upper()} cannot be followed")

    def _assign(self, statement: Assign) -> None:
        outer = self.active
        if statement.kind in ("reference", "attempt"):
            raise Unsupported("a reference is assigned")
        if statement.condition is not None:
            self.active = self.encoder.both(outer, self.boolean(statement.condition))
        if statement.kind == "assign":
            self._plain_assign(statement.target, statement.value)
        else:
            power = self.boolean(statement.value)
            active = self.active
            self.active = self.encoder.both(active, power)
            self.assign(statement.target, Value(self.encoder.truth(statement.kind == "set"), "BOOL"))
        self.active = outer

    def _plain_assign(self, target: Expression, value: Expression) -> None:
        location = self.possible_locations(target)[0][1]
        if location.type and location.bit is None and self.composed(location.type):
            if not isinstance(value, Variable | Member | Element | Direct | Temporary):
                raise Unsupported(f"{location.shown} gets more than one value")
            return self.copied(self.location(target), self.location(value))
        return self.assign(target, self.value(value, self._expected(location, value)))

    def _expected(self, location: Location, value: Expression) -> str:
        """Type of the target; where it is undeclared, that of the value, a BOOL unless it is a number."""
        if location.bit is not None:
            return "BOOL"
        if location.type:
            return self.side.elementary(location.type)
        if location.key in self.found:
            return self.found[location.key]
        found = self.type_of(value)
        return "" if found.startswith("?") or (isinstance(value, Literal) and found != "BOOL") else found or "BOOL"

    def _arms(self, arms: Sequence[tuple[Any, Sequence[Statement]]], otherwise: Sequence[Statement]) -> None:
        """Exclusive branches; each arm has a way to get its condition."""
        encoder, entry, ends, cut = self.encoder, self.active, [], False
        self.nested += 1
        rest = entry
        for condition_of, statements in arms:
            self.active = rest
            condition = condition_of()
            inside = self.active = encoder.both(rest, condition)
            self.run(statements)
            cut |= self.active is not inside
            ends.append(self.active)
            rest = encoder.both(rest, encoder.negated(condition))
        self.active = rest
        self.run(otherwise)
        cut |= self.active is not rest
        ends.append(self.active)
        self.nested -= 1
        self.active = entry
        if cut:
            self.active = encoder.z3.simplify(encoder.z3.Or(ends))

    def _case(self, statement: Case) -> None:
        selector = self.value(statement.selector, self.type_of(statement.selector))
        if selector.type not in INTEGERS and selector.type != "ENUM":
            raise Unsupported("a selector of unknown type")

        def chosen(labels: Sequence[Expression | Span]) -> Any:
            found = self.encoder.false
            for label in labels:
                found = self.encoder.either(found, self._selected(selector, label))
            return found

        self._arms([(lambda a=a: chosen(a.labels), a.statements) for a in statement.arms], statement.otherwise)

    def _selected(self, selector: Value, label: Expression | Span) -> Any:
        def against(operator: str, e: Expression) -> Any:
            if any(isinstance(n, Invocation | Edge) for n in walk(e)):
                raise Unsupported("a label that is no constant")
            return self.numbers.order(operator, selector, self.value(e, selector.type), selector.type)

        if isinstance(label, Span):
            return self.encoder.both(against(">=", label.low), against("<=", label.high))
        return against("=", label)

    def _for(self, statement: For) -> None:
        turns, type = self._turns(statement)
        location = self.location(statement.variable)
        encoder, loop = self.encoder, Loop(self.encoder.false, self.encoder.false)
        self.loops.append(loop)
        self.nested += 1
        for number in turns:
            self.store(location, self.numbers.whole(number, type), encoder.true)
            mark = self.state[location.key]
            self.run(statement.statements)
            if self.state[location.key] is not mark:
                raise Unsupported(f"{location.shown} is written inside its loop")
            self.active = encoder.either(self.active, loop.continued)
            loop.continued = encoder.false
        self.nested -= 1
        self.loops.pop()
        name = f"after FOR {turns.start},{turns.stop},{turns.step}"
        self.store(location, Value(encoder.apply(name, [], encoder.sort(type), type=type), type), encoder.true)
        self.active = encoder.either(self.active, loop.left)

    def _turns(self, statement: For) -> tuple[range, str]:
        type = self.type_of(statement.variable)
        if type not in INTEGERS:
            raise Unsupported("a loop variable of unknown type")
        step = statement.step or Literal("1")
        numbers = [self._bound(e, type) for e in (statement.first, statement.last, step)]
        first, last, by = numbers
        low, high = bounds(type)
        if by == 0 or not low <= last + by <= high:
            raise Unsupported("a loop that may not end")
        turns = range(first, last + (1 if by > 0 else -1), by)
        if len(turns) > MAX_TURNS:
            raise Unsupported(f"a loop of {len(turns)} turns")
        return turns, type

    def _bound(self, e: Expression, type: str) -> int:
        for node in walk(e):
            if isinstance(node, Invocation | Edge):
                raise Unsupported("a loop without constant bounds")
            if isinstance(node, Variable | Direct | Temporary) and not self.location(node).constant:
                raise Unsupported("a loop without constant bounds")
        found = self._constant(self.value(e, type))
        if found is None:
            raise Unsupported("a loop without constant bounds")
        return found

    def _leave(self, condition: Expression | None, goal: str) -> None:
        """Jump to a label further down, or to the end for an empty goal."""
        if goal in self.passed:
            raise Unsupported("a jump backwards")
        if self.loops and goal:
            raise Unsupported("a jump out of a loop")
        taken = self.active if condition is None else self.encoder.both(self.active, self.boolean(condition))
        if goal:
            self.pending[goal] = self.encoder.either(self.pending.get(goal, self.encoder.false), taken)
        self.active = self.encoder.both(self.active, self.encoder.negated(taken))
        if condition is None:
            self.active = self.encoder.false

    def _label(self, name: str) -> None:
        if self.nested or name in self.passed:
            raise Unsupported("a label inside a branch, or twice")
        self.passed.add(name)
        self.active = self.encoder.either(self.active, self.pending.pop(name, self.encoder.false))

    def _cut(self, whole: bool) -> None:
        if not self.loops:
            raise Unsupported("EXIT or CONTINUE outside of a loop")
        loop = self.loops[-1]
        if whole:
            loop.left = self.encoder.either(loop.left, self.active)
        else:
            loop.continued = self.encoder.either(loop.continued, self.active)
        self.active = self.encoder.false

    def store(self, location: Location, content: Value, condition: Any) -> None:
        """Remember writes that unknown code could see."""
        super().store(location, content, condition)
        if location.kind not in ("local", "temp", "hidden"):
            self.log.append((location.key, self.state[location.key]))


def runs_of(body: Body) -> list[Run]:
    """The statements of a body in the order in which they run; a label of a network stands before it."""
    if not body.networks:
        return [Run(0, body.statements)]
    labels = [n for n, network in enumerate(body.networks) if network.label]
    if body.order.sequence:
        if labels:
            raise Unsupported("labels in a diagram with an order of its own")
        return [Run(n, (body.networks[n].statements[s],)) for n, s in body.order.sequence]
    return [
        Run(n, (*((Label(network.label),) if network.label else ()), *network.statements))
        for n, network in enumerate(body.networks)
    ]
