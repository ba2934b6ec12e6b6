"""Do the two sides end with the same values? Proof, counterexample, or neither.

The solver is asked for a start that makes them end differently. None: equal. Some, and nothing odd happens on the way
(see theory): the counterexample is made canonical (inputs in order of their names, FALSE and small values first), then
every input that does not matter is dropped. It counts only if inputs alone force the two outcomes: an opaque value may
be among them where it stands on nothing else that is used.
Cost: exponential in the worst case, a few milliseconds for rungs; bounded by one resource limit over all questions of a
proof, which does not depend on the speed of the machine, and by a generous clock behind it.
Rejected: taking the solver's own model as witness, which depends on what was asked before.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from asfound.compare.prove.sorts import FLOATS, TIMES, WIDTHS, is_signed
from asfound.compare.prove.theory import Opaque, Symbol, Theory, TooLarge
from asfound.compare.result import Witness
from asfound.language.literals import duration

LIMIT_MS = 2000
STEPS_PER_MS = 1000
"""Resource units of the solver per millisecond; measured on one core of 2024, only the order of magnitude matters."""
MAX_INPUTS = 60
"""Inputs that are made canonical; a difference that hangs on more is told without a witness."""


@dataclass(frozen=True)
class Proof:
    """``witness`` only with ``different``; without one there, the difference was found but not with free inputs."""

    status: Literal["equal", "different", "unknown"]
    witness: Witness | None = None
    exhausted: bool = False
    reason: str = ""


class Result(NamedTuple):
    """One value to compare; ``hidden`` ones are no reason by themselves to call two sides different."""

    name: str
    type: str
    old: Any
    new: Any
    hidden: bool = False


class Asker:
    """Questions to the solver out of one purse."""

    def __init__(self, theory: Theory, limit_ms: int) -> None:
        self.z3, self.left = theory.z3, limit_ms * STEPS_PER_MS
        self.solver = theory.z3.Solver(ctx=theory.ctx)
        self.solver.set("timeout", limit_ms * 5)
        self.solver.check()
        self.spent = self._total()
        self.solver.add(*theory.facts)

    def ask(self, *terms: Any) -> bool:
        """True when the terms can hold together; stops the proof when the purse is empty."""
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

    def model(self) -> Any:
        """The values of the last answer."""
        return self.solver.model()


def decide(
    theory: Theory,
    results: Sequence[Result],
    numbers: Sequence[int | Fraction],
    asker: Asker,
    given: Sequence[Any] = (),
) -> Proof:
    """Compare pairs of terms under what is ``given``; any pair that differs is a difference."""
    z3 = theory.z3
    open_ = [r for r in results if not r.old.eq(r.new)]
    if not open_:
        return Proof("equal")
    try:
        unequal = z3.Or([r.old != r.new for r in open_])
        if not asker.ask(unequal, *given):
            return Proof("equal")
        usual = [z3.Not(odd) for odd in theory.odd.values()]
        if usual and not asker.ask(unequal, *given, *usual):
            return Proof("unknown", reason="they differ only where a calculation leaves what the standard fixes")
        return _Search(theory, asker, numbers, list(given), usual).witness(results, open_)
    except TooLarge as problem:
        return Proof("unknown", exhausted=True, reason=str(problem))


class _Search:
    """The search for a counterexample that people can follow."""

    def __init__(
        self, theory: Theory, asker: Asker, numbers: Sequence[int | Fraction], known: list[Any], usual: list[Any]
    ) -> None:
        self.theory, self.asker, self.numbers, self.z3 = theory, asker, numbers, theory.z3
        self.known, self.given = known, [*known, *usual]
        self.inputs = {s.term.get_id(): s for s in theory.inputs.values()}

    def witness(self, results: Sequence[Result], open_: Sequence[Result]) -> Proof:
        shown = sorted((r for r in open_ if not r.hidden), key=lambda r: (r.name.lower(), r.name))
        last = Proof("unknown", reason="only hidden states differ")
        for result in shown:
            if self.asker.ask(result.old != result.new, *self.given):
                last = self._of(result, results)
                if last.status == "different":
                    break
        return last

    def _of(self, result: Result, results: Sequence[Result]) -> Proof:
        differ = result.old != result.new
        symbols, opaque = self._cone((result.old, result.new, *self.given))
        if len(symbols) + len(opaque) > MAX_INPUTS:
            return Proof("unknown", reason="the difference hangs on too many values")
        fixed: list[Any] = []
        for symbol in symbols:
            for term in self._values(symbol):
                if self.asker.ask(differ, *self.given, *fixed, symbol.term == term):
                    fixed.append(symbol.term == term)
                    break
        if not self.asker.ask(differ, *self.given, *fixed):
            return Proof("unknown", reason="no counterexample could be kept")
        model = self.asker.model()
        everything: list[Symbol | Opaque] = [*symbols, *opaque]
        values = {s.term.get_id(): model.eval(s.term, True) for s in everything}
        before, after = (model.eval(t, True) for t in (result.old, result.new))
        goal = self.z3.And(result.old == before, result.new == after)
        needed = self._needed(everything, values, goal)
        return self._told(result, results, needed, values, (before, after))

    def _needed(
        self, candidates: Sequence[Symbol | Opaque], values: dict[int, Any], goal: Any
    ) -> list[Symbol | Opaque]:
        """Drop every value without which the outcome stays the same: opaque ones first, then in order of names."""
        kept = list(candidates)
        opaque_first: list[Symbol | Opaque] = [
            *(c for c in candidates if isinstance(c, Opaque)),
            *(c for c in candidates if isinstance(c, Symbol)),
        ]
        for candidate in opaque_first:
            rest = [c.term == values[c.term.get_id()] for c in kept if c is not candidate]
            if not self.asker.ask(*self.known, *rest, self.z3.Not(goal)):
                kept.remove(candidate)
        return kept

    def _told(
        self, result: Result, results: Sequence[Result], needed: Sequence[Symbol | Opaque], values: dict[int, Any],
        outcome: tuple[Any, Any],
    ) -> Proof:  # fmt: skip
        if any(isinstance(n, Symbol) and not n.shared for n in needed):
            return Proof("unknown", reason="they differ only by the start of a variable that one side does not have")
        if not self._free(needed):
            return Proof("unknown", reason="the difference hangs on a function that is not known")
        shown = [values[n.term.get_id()] for n in needed]
        if any("!val!" in str(v) for v in (*shown, *outcome)):
            return Proof("unknown", reason="the difference hangs on a value that has no name")
        inputs = {n.name: literal_of(v, n.type) for n, v in zip(needed, shown, strict=True)}
        if any(inputs[n.name] != literal_of(v, n.type) for n, v in zip(needed, shown, strict=True)):
            return Proof("unknown", reason="two values have one name")
        old, new = (
            {result.name: literal_of(outcome[0], result.type)},
            {result.name: literal_of(outcome[1], result.type)},
        )
        pairs = [(n.term, v) for n, v in zip(needed, shown, strict=True)]
        for other in results:
            found = None if other.hidden or other is result else self._forced(other, pairs)
            if found is not None:
                old[other.name], new[other.name] = found
        ordered = sorted(inputs, key=lambda name: (name.lower(), name))
        names = sorted(old, key=lambda name: (name.lower(), name))
        return Proof("different", Witness(
            {n: inputs[n] for n in ordered}, {n: old[n] for n in names}, {n: new[n] for n in names},
        ))  # fmt: skip

    def _forced(self, other: Result, pairs: Sequence[tuple[Any, Any]]) -> tuple[str, str] | None:
        """Both values of another result where the same inputs settle them and they differ."""
        if other.type not in WIDTHS and other.type != "BOOL":
            return None
        terms = [self.z3.simplify(self.z3.substitute(t, *pairs)) if pairs else t for t in (other.old, other.new)]
        if terms[0].eq(terms[1]) or not all(_is_value(self.z3, t) for t in terms):
            return None
        return literal_of(terms[0], other.type), literal_of(terms[1], other.type)

    def _free(self, needed: Sequence[Symbol | Opaque]) -> bool:
        """Whether every opaque value stands on nothing that another needed value stands on, and has a name."""
        seen: set[int] = set()
        for n in needed:
            if isinstance(n, Symbol):
                seen.add(n.term.get_id())
        for n in needed:
            if isinstance(n, Opaque):
                below = {s.term.get_id() for s in self._cone((n.term,))[0]}
                if not n.name or below & seen:
                    return False
                seen |= below
        return True

    def _cone(self, terms: Iterable[Any]) -> tuple[list[Symbol], list[Opaque]]:
        """Inputs and opaque values that terms are made of, in order of their names."""
        stack, seen = list(terms), set[int]()
        symbols: list[Symbol] = []
        opaque: list[Opaque] = []
        while stack:
            term = stack.pop()
            id = term.get_id()
            if id in seen:
                continue
            seen.add(id)
            if id in self.inputs:
                symbols.append(self.inputs[id])
            elif id in self.theory.opaque:
                opaque.append(self.theory.opaque[id])
            stack.extend(term.children())
        return sorted(symbols, key=lambda s: s.key), sorted(opaque, key=lambda o: (o.name, o.number))

    def _values(self, symbol: Symbol) -> list[Any]:
        theory = self.theory
        if symbol.type == "BOOL":
            return [theory.false, theory.true]
        if symbol.type in WIDTHS:
            width = WIDTHS[symbol.type]
            low = -(1 << (width - 1)) if is_signed(symbol.type) else 0
            whole = [int(n) for n in self.numbers if n == int(n)]
            return [theory.number(n, width) for n in whole if low <= n < low + (1 << width)]
        if symbol.type in FLOATS:
            exact = (self.z3.RealVal(str(Fraction(n)), theory.ctx) for n in self.numbers)
            return [self.z3.fpRealToFP(self.z3.RNE(theory.ctx), e, symbol.term.sort()) for e in exact]
        return []


def _is_value(z3: Any, term: Any) -> bool:
    return bool(z3.is_bv_value(term) or z3.is_true(term) or z3.is_false(term))


def literal_of(term: Any, type: str) -> str:
    """A value of the solver as an IEC literal."""
    if type == "BOOL":
        return str(term).upper()
    if type in WIDTHS:
        number = int(term.as_signed_long() if is_signed(type) else term.as_long())
        return f"T#{duration(number)}" if type in TIMES else str(number)
    return _decimal(str(term)) if type in FLOATS else str(term)


def _decimal(text: str) -> str:
    """``1.25*(2**3)`` as the solver writes it, as a decimal number."""
    mantissa, _, power = text.partition("*(2**")
    try:
        return str(float(mantissa) * 2.0 ** int(power.rstrip(")") or 0))
    except ValueError:
        return text
