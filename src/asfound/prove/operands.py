"""Operands that do something: in which order a compiler takes them, and which it leaves out, must not matter.

Compilers take the operands of an expression in different orders, and leave out those of AND and OR that another one
makes needless (IEC 61131-3 lets them). So what one operand writes must not meet what another one reads, writes or could
fail at. Where an operand that acts could be left out nothing is proved; for a case that is an open choice (see
free_values).
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import reduce
from typing import Any, NamedTuple

from asfound.language.walk import walk
from asfound.model.logic import Expression, Literal
from asfound.prove.encoder import Encoder, Unordered, Unsupported, Value
from asfound.prove.memory import Memory
from asfound.prove.proof_side import Side


class Taken(NamedTuple):
    """What one operand did: locations by key; whether it did more than give a value, ran code that is not known, may
    fail; whether it is made of literals alone."""

    loaded: frozenset[str]
    stored: frozenset[str]
    acts: bool
    outside: bool
    fails: bool
    plain: bool

    def meets(self, other: Taken) -> bool:
        """Whether what this operand did can be noticed by another one, or left out since the other one failed."""
        if not self.acts or other.plain:
            return False
        return self.outside or other.fails or not self.stored.isdisjoint(other.loaded | other.stored)


class Operands(Memory):
    """``fault`` collects when a division by zero happens, ``fault_early`` the same if operators stop early.

    ``failure`` and ``failure_early`` do so for other functions that have no result for every argument.
    """

    def __init__(self, encoder: Encoder, side: Side, label: str, private: frozenset[str]) -> None:
        super().__init__(encoder, side, label, private)
        self.fault, self.fault_early = encoder.false, encoder.false
        self.failure, self.failure_early = encoder.false, encoder.false
        self.effects = 0
        """How often a call inside an expression did something besides giving a value."""
        self.reached = encoder.true
        self.skippable = 0

    @abstractmethod
    def value(self, e: Expression, want: str = "") -> Value:
        """The value of an expression (see evaluate)."""

    @abstractmethod
    def boolean(self, e: Expression) -> Any:
        """A Boolean expression as a formula (see evaluate)."""

    def values(self, operands: Sequence[tuple[Expression, str]], *, chosen: bool = False) -> list[Value]:
        """Values of operands from left to right, each with its wanted type; the first may have ``chosen`` one."""
        taken: list[Taken] = []
        found = []
        for operand, want in operands:
            with self._taking(operand, taken):
                found.append(self.value(operand, want))
        if chosen and any(each.acts for each in taken[1:]):
            raise Unordered("whether an input is taken that is not chosen decides")
        return found

    @contextmanager
    def _taking(self, operand: Expression, taken: list[Taken]) -> Iterator[None]:
        """What an operand does must not meet the other operands: compilers take them in different orders."""
        outer = self.loaded, self.stored
        before = self.effects, len(self.environments), self.fault, self.failure
        self.loaded, self.stored = set(), set()
        try:
            yield
        finally:
            inner, (self.loaded, self.stored) = (self.loaded, self.stored), outer
            self.loaded.update(inner[0])
            self.stored.update(inner[1])
        acts, outside = self.effects > before[0], len(self.environments) > before[1]
        fails = not (self.fault.eq(before[2]) and self.failure.eq(before[3]))
        plain = all(isinstance(n, Literal) for n in walk(operand))
        taken.append(Taken(frozenset(inner[0]), frozenset(inner[1]), acts, outside, fails, plain))
        if any(taken[-1].meets(other) or other.meets(taken[-1]) for other in taken[:-1]):
            raise Unordered("the order in which operands are taken decides")

    def junction(self, operator: str, operands: Sequence[Expression], complete: bool) -> Any:
        """AND, OR or XOR as a formula; all operands are taken when ``complete``."""
        terms: list[Any] = []
        taken: list[Taken] = []
        skips: list[Any] = []
        outer, active = self.reached, self.active
        for operand in operands:
            skips.append(self.encoder.false if complete else self.skipped(operand, operands))
            self.active = self.encoder.both(active, self.encoder.negated(skips[-1]))
            self.skippable += bool(terms) and not complete
            with self._taking(operand, taken):
                terms.append(self.boolean(operand))
            self.skippable -= len(terms) > 1 and not complete
            self.active = active
            if not complete:
                self.reached = self.encoder.both(self.reached, self._passes(operator, terms[-1]))
        self.reached = outer
        if not complete:
            self._judge_skipped([self._passes(operator, t) for t in terms], taken, skips)
        if operator == "XOR":
            return reduce(self.encoder.z3.Xor, terms)
        return reduce(self.encoder.both if operator == "AND" else self.encoder.either, terms)

    def _passes(self, operator: str, term: Any) -> Any:
        """Whether this value leaves the result to the other operands."""
        return term if operator == "AND" else self.encoder.negated(term)

    def _judge_skipped(self, passes: Sequence[Any], taken: Sequence[Taken], skips: Sequence[Any]) -> None:
        for n, skip in enumerate(skips):
            others = [p for m, p in enumerate(passes) if m != n]
            if not self.encoder.z3.is_false(skip):  # only where another operand decides
                decided = self.encoder.negated(reduce(self.encoder.both, others, self.encoder.true))
                self.encoder.starts.append(self.encoder.z3.Implies(skip, decided))
            elif taken[n].acts and not all(each.plain for m, each in enumerate(taken) if m != n):
                raise Unsupported("whether an operand is taken that another one makes needless decides")

    def skipped(self, operand: Expression, operands: Sequence[Expression]) -> Any:
        """Whether a compiler leaves an operand of AND or OR out where another one decides; FALSE: not looked at."""
        return self.encoder.false
