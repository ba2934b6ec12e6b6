"""Do the two sides end with the same values? Proof, counterexample, or neither.

The solver is asked for a start that makes them end differently. None: equal. Some, and nothing partial happens on the
way (see encoder): a case that people can follow is looked for (see counterexample).
Cost: exponential in the worst case, a few milliseconds for rungs; bounded by one resource limit over all questions of a
proof, which does not depend on the speed of the executor, and by a generous clock behind it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from asfound.prove.encoder import Encoder, TooLarge
from asfound.prove.witness import Witness

LIMIT_MS = 2000
STEPS_PER_MS = 1000
"""Resource units of the solver per millisecond; measured on one core of 2024, only the order of magnitude matters."""
PATIENCE = 20
"""How many times longer than a limit says the solver may take by the clock, on a machine that does much else: the steps
decide, so that an answer is the same wherever it is asked for."""
WIDTHS_DIFFER = "they differ only where a calculation leaves what the standard fixes"
STARTS_DIFFER = "they differ only by what a temporary variable holds at first"


@dataclass(frozen=True)
class Proof:
    """``witness`` only with ``different``; without one there, the difference was found but no case to show.

    ``widths``: the two were proved equal but for calculations that leave what the standard fixes.
    """

    status: Literal["equal", "different", "unknown"]
    witness: Witness | None = None
    exhausted: bool = False
    reason: str = ""
    widths: bool = False


class Result(NamedTuple):
    """One value to compare; ``hidden`` ones are no reason by themselves to call two sides different.

    An ``inner`` one is a variable that only this body and its next cycle see.
    """

    name: str
    type: str
    old: Any
    new: Any
    hidden: bool = False
    inner: bool = False


class SolverSession:
    """Questions to the solver out of one budget."""

    def __init__(self, encoder: Encoder, limit_ms: int) -> None:
        self.z3, self.left = encoder.z3, limit_ms * STEPS_PER_MS
        self.full = self.left
        self.solver = encoder.z3.Solver(ctx=encoder.ctx)
        self.solver.set("timeout", limit_ms * PATIENCE)
        self.solver.check()
        self.spent = self._total()
        self.solver.add(*encoder.facts)

    def refill(self, wanted: bool) -> None:
        """A new budget for one case."""
        if wanted:
            self.left = self.full

    def ask(self, *terms: Any) -> bool:
        """True when the terms can hold together; stops the proof when the budget is empty."""
        if self.left <= 0:
            raise TooLarge("the limit was reached")
        self.solver.set("rlimit", self.left)
        answer = self.solver.check(*terms)
        total = self._total()
        self.left -= max(total - self.spent, 100)
        self.spent = total
        if answer == self.z3.unknown:
            raise TooLarge("the limit was reached")
        return bool(answer == self.z3.sat)

    def _total(self) -> int:
        found = self.solver.statistics()
        return int(found.get_key_value("rlimit count")) if "rlimit count" in found.keys() else 0  # noqa: SIM118

    @contextmanager
    def under(self, *terms: Any) -> Iterator[None]:
        """Every question inside the block holds under these terms; faster than to repeat them."""
        self.solver.push()
        try:
            self.solver.add(*terms)
            yield
        finally:
            self.solver.pop()

    def model(self) -> Any:
        """The values of the last answer."""
        return self.solver.model()

    def core(self) -> set[int]:
        """Ids of the terms of the last question that cannot hold together."""
        return {term.get_id() for term in self.solver.unsat_core()}


def equality(encoder: Encoder, results: Sequence[Result], session: SolverSession, given: Sequence[Any] = ()) -> Proof:
    """Whether any pair of terms can differ under what is ``given``; ``different`` is without a witness yet."""
    z3 = encoder.z3
    open_ = differing(results)
    if not open_:
        return Proof("equal")
    unequal = z3.Or([r.old != r.new for r in open_])
    if not session.ask(unequal, *given):
        return Proof("equal")
    usual = within_standard(encoder)
    if usual and not session.ask(unequal, *given, *usual):
        return Proof("unknown", reason=WIDTHS_DIFFER, widths=True)
    if encoder.starts and not session.ask(unequal, *given, *usual, *encoder.starts):
        return Proof("unknown", reason=STARTS_DIFFER)
    return Proof("different")


def differing(results: Sequence[Result]) -> list[Result]:
    """Results whose two terms are not the very same."""
    return [r for r in results if not r.old.eq(r.new)]


def within_standard(encoder: Encoder) -> list[Any]:
    """Nothing leaves what the standard fixes."""
    return [encoder.z3.Not(guard) for guard in encoder.guards.values()]
