"""A executor that goes on where a statement or an expression cannot be followed, to look for a case.

What cannot be followed becomes a free value: equal for the same text over equal values of the names in it, and known by
that text, so that a case can say which value it needs. Of what such a piece does besides, nothing is assumed: so this
executor finds cases and never calls two sides equal.
Cost: as for a executor, and a copy of its state for every expression that fails.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from msgspec.structs import replace

from asfound.analysis.canonical import Canonical, folded, statement_key
from asfound.analysis.mod_ref import STAYS
from asfound.language.readable import expression as text
from asfound.language.walk import every_statement, invocations, names_in, reads, writes
from asfound.model.logic import (
    Assign,
    Call,
    Edge,
    Expression,
    For,
    Invocation,
    Repeat,
    Statement,
    Variable,
    Verbatim,
    While,
)
from asfound.prove.calls import PASSED, enterable
from asfound.prove.encoder import Hidden, TooLarge, Unordered, Unsupported, Value
from asfound.prove.execute import SymbolicExecutor
from asfound.prove.proof_side import Location, Side
from asfound.prove.sorts import KNOWN

_FAILS = (Unsupported, ReferenceError)
STOPS = (TooLarge, Unordered, Hidden)
"""What ends an attempt."""


def _leads_away(statement: Statement) -> bool:
    """Whether leaving a statement out would change which others run."""
    return any(not isinstance(each, (*STAYS, Verbatim)) for each in every_statement(statement))


def _standard(side: Side, e: Invocation) -> bool:
    return isinstance(e.function, Variable) and side.symbols.function(e.function.name) is not None


class FreeValueExecutor(SymbolicExecutor):
    """As SymbolicExecutor, but never at a loss; only the limit on the work stops it."""

    def followed(self, e: Expression, want: str) -> Value:
        """As in the evaluator, or a free value."""
        before = self._snapshot(isinstance(e, Invocation | Edge))
        try:
            return super().followed(e, want)
        except STOPS:
            raise
        except _FAILS:
            self._restore(before)
        found = self.type_of(e)
        type = want if want in KNOWN else found if found in KNOWN else ""
        given = self._values_of(sorted(names_in(e)))
        for target in (a.value for a in e.outputs) if isinstance(e, Invocation) else ():
            self._lose(target, folded(e), given)
        term = self.encoder.apply(f"text {folded(e)}", given, self.encoder.sort(type), type=type, shown=text(e))
        return Value(term, type)

    def type_of(self, e: Expression) -> str:
        """As in the evaluator, empty where that fails: so the operand that cannot be followed is the free value."""
        try:
            return super().type_of(e)
        except STOPS:
            raise
        except _FAILS:
            return ""

    def may_be_skipped(self, what: str) -> None:
        """A case holds whether it is skipped or not (see skipped)."""

    def skipped(self, operand: Expression, operands: Sequence[Expression]) -> Any:
        """An open choice of the compiler for all that calls something, the same for the same text."""
        if all(_standard(self.side, n) for n in invocations(operand)):
            return self.encoder.false
        name = f"skipped {folded(operand)} of {' '.join(map(folded, operands))}"
        self.encoder.skips.append(self.encoder.z3.Const(name, self.encoder.sort("BOOL")))
        return self.encoder.skips[-1]

    def invoked(self, e: Invocation, want: str) -> Value:
        """As in the executor; a function that is not known depends on its arguments alone."""
        self.known(e.function)
        if isinstance(e.function, Variable) and not e.function.name.startswith("_") and not e.outputs:
            pou = self.side.symbols.pous.get(e.function.name.lower())
            if pou is None or not enterable(pou):
                type = self.side.elementary(pou.result) if pou is not None else want
                args = [self.given(a.value) for a in e.inputs]
                name = f"of {e.function.name.lower()}({','.join(f'{a.name.lower()}{a.negated}' for a in e.inputs)})"
                return Value(self.encoder.apply(name, args, self.encoder.sort(type), type=type, shown=text(e)), type)
        return super().invoked(e, want)

    def step(self, statement: Statement) -> None:
        """As in the executor; of what a statement that cannot be followed writes nothing is known."""
        before = self._snapshot(True)
        try:
            return super().step(statement)
        except STOPS:
            raise
        except _FAILS:
            if _leads_away(statement):
                raise
            self._restore(before)
        return self._lose_call(statement) if isinstance(statement, Call) else self._lose_writes(statement)

    def _lose_writes(self, statement: Statement) -> None:
        given = self._values_of(sorted(reads(statement)))
        key = statement_key(statement, Canonical(self.side.symbols.declared))
        if any(True for _ in invocations(statement)):
            self._unknown(f"run {key}", given)
        names = [Variable(n) for n in sorted(writes(statement))]
        for target in [statement.target] if isinstance(statement, Assign) else names:
            self._lose(target, key, given, loop=isinstance(statement, For | While | Repeat))

    def _lose_call(self, call: Call) -> None:
        """A block that cannot be followed: its pins are free afterwards, and whatever it may write."""
        given = [self.given(a.value) for a in sorted(call.inputs, key=lambda a: a.name.lower())]
        key = statement_key(replace(call, inputs=()))
        try:
            location = self.location(call.instance)
        except STOPS:
            raise
        except _FAILS:
            self._unknown(f"run {key}", given)
        else:
            own = Location(f"{location.key}.~state", "", "hidden", f"state of {location.shown}")
            self.state = {k: v for k, v in self.state.items() if not k.startswith(f"{location.key}.") or k == own.key}
            world = self._unknown(f"run {key}", [self._term(own, "")[0], *given])
            self.opaque_blocks[location.key] = (call.type or location.type).lower()
            self.store(own, Value(self.encoder.apply("state", [world], self.encoder.anything), ""), self.encoder.true)
        passed = [a.value for a in (*call.inputs, *call.outputs) if isinstance(a.value, PASSED)]
        for target in passed:
            self._lose(target, key, given)

    def _lose(self, target: Expression, key: str, given: list[Any], *, loop: bool = False) -> None:
        """Give a target a value that depends on nothing known but the statement and what it read.

        Only what a loop leaves has a name: whether code that is not known writes a variable is not known either.
        """
        try:
            location = self.location(target)
            type = self._type(location, "")
        except STOPS:
            raise
        except _FAILS:
            location, type = Location(f"?{folded(target)}", "", "outside", text(target)), ""
        type = type if type in KNOWN else ""
        sort = self.state[location.key].sort() if location.key in self.state else self.encoder.sort(type)
        shown = f"{location.shown} after the loop" if loop else ""
        term = self.encoder.apply(f"after {key} {location.key}", given, sort, type=type, shown=shown)
        before = self.state[location.key] if location.key in self.state else self.initial(location, type)
        self.touched.setdefault(location.key, location._replace(bit=None))
        self.written.setdefault(location.key, location._replace(bit=None))
        self.state[location.key] = self.encoder.choose(self.active, term, before)

    def _values_of(self, names: list[str]) -> list[Any]:
        """Values of names, as far as they can be followed."""
        found = []
        for name in names:
            try:
                found.append(self._term(self.location(Variable(name)), "")[0])
            except STOPS:
                raise
            except _FAILS:
                continue
        return found

    def _snapshot(self, acts: bool) -> tuple[Any, ...]:
        """What an attempt may leave changed; the state only of what ``acts``."""
        frame = self.frame
        return (
            frame, self.active, self.reached, self.skippable, len(self.loops), self.nested, frame.edges[0],
            dict(self.state) if acts else None, self.world, list(self.log), len(self.environments), dict(self.pending),
            set(self.passed),
        )  # fmt: skip

    def _restore(self, before: tuple[Any, ...]) -> None:
        (self.frame, self.active, self.reached, self.skippable, loops, self.nested, edges, state, self.world, self.log,
         environments, self.pending, self.passed) = before  # fmt: skip
        del self.loops[loops:], self.environments[environments:]
        self.frame.edges[0] = edges
        if state is not None:
            self.state = state
