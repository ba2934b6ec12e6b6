"""A case in which two sides end differently, the plainest there is.

1. A start is fixed input by input, in the order of their names, each with the plainest value that still makes them
   differ: FALSE, 0, small whole numbers, the constants of the program and their neighbours (see plain_values).
2. Every value is dropped without which the outcome stays the same. What cannot be worked out (see encoder) is kept only
   where inputs do not settle the outcome, a comparison with it rather than the value itself.
3. A case counts only if it can happen: a result of a standard function together with the inputs that settle it is
   none, for they may contradict each other; any value of a function that nobody knows is possible, and the case says
   that it is assumed.
Cost: a few questions for each input. Rejected: the solver's own model, which depends on what was asked before.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import combinations
from typing import Any

from asfound.prove.encoder import Encoder, Symbol, Uninterpreted
from asfound.prove.plain_values import Plain, is_value, literal_of, narrowed
from asfound.prove.solver import Proof, Result, SolverSession, differing, within_standard
from asfound.prove.sorts import WIDTHS
from asfound.prove.witness import Witness

MAX_INPUTS = 200
"""Inputs that are made plain; a difference that hangs on more is told without a case."""
FEW = 40
"""Values that are dropped one by one; of more, only those that the solver used are looked at."""
Cause = Symbol | Uninterpreted


class Search:
    """The search for a case; ``given`` holds of every start.

    ``tied`` is what a start keeps to where locations share memory; where that is not known, None, ``apart`` tells
    whether inputs (by key) share none.
    """

    def __init__(
        self, encoder: Encoder, session: SolverSession, plain: Plain, given: Sequence[Any], tied: Sequence[Any] | None,
        apart: Callable[[Iterable[str]], bool],
    ) -> None:  # fmt: skip
        self.encoder, self.session, self.plain, self.z3 = encoder, session, plain, encoder.z3
        self.known = [*given, *encoder.starts]
        self.given = [*self.known, *within_standard(encoder), *(tied or ())]
        self.tied = tied is not None
        self.inputs = {s.term.get_id(): s for s in encoder.inputs.values()}
        self.apart = apart
        self.found: dict[str, Proof] = {}
        self.hanging: dict[str, bool] = {}

    def case(self, results: Sequence[Result], wanted: Sequence[str] = (), *, only: bool = False) -> Proof:
        """A case for the first result for which there is one; the ``wanted`` (folded names) are tried first.

        Of the results of one name those that are two constants come before what has to be searched for, and those that
        inputs alone may settle before what hangs on the time that goes by or on code that is not known.
        """
        rank = {name: n for n, name in enumerate(wanted)}

        def order(r: Result) -> tuple[object, ...]:
            plain = r.name.split(" ")[0].lower()
            whole = plain.partition(".")[0].partition("[")[0]
            open_ = not (is_value(self.z3, r.old) and is_value(self.z3, r.new))
            hangs = open_ and self._hangs(r)
            return rank.get(plain, rank.get(whole, len(rank))), open_, r.inner, hangs, r.name.lower(), r.name

        last = Proof("unknown", reason="only hidden states differ")
        ordered = sorted((order(r), n, r) for n, r in enumerate(differing(results)) if not r.hidden)
        for (place, *_), _, result in ordered:
            if only and place == len(rank):
                break
            last = self._once(result, results)
            if last.status == "different":
                break
        return last

    def _hangs(self, r: Result) -> bool:
        """Whether more than inputs decides about a result, remembered for the next question."""
        if r.name not in self.hanging:
            self.hanging[r.name] = any(not o.partial for o in self._cone((r.old, r.new))[1])
        return self.hanging[r.name]

    def _once(self, result: Result, results: Sequence[Result]) -> Proof:
        if result.name not in self.found:
            self.found[result.name] = Proof("unknown", reason="the limit was reached", exhausted=True)
            differ = result.old != result.new
            if self.session.ask(differ, *self.given):
                self.found[result.name] = self._of(result, results)
            else:
                self.found[result.name] = Proof("unknown", reason="this result does not differ")
        return self.found[result.name]

    def _of(self, result: Result, results: Sequence[Result]) -> Proof:
        differ = result.old != result.new
        symbols, uninterpreted = self._cone((result.old, result.new, *self.known))
        if len(symbols) + len(uninterpreted) > MAX_INPUTS:
            return Proof("unknown", reason="the difference hangs on too many values")
        with self.session.under(differ, *self.given):
            free = sorted((o for o in uninterpreted if o.name and not o.partial), key=lambda o: o.judged)
            causes: list[Cause] = [*symbols, *free]
            for cause in causes:
                self.session.solver.add(*self._plainest(cause))
            if not self.session.ask():
                return Proof("unknown", reason="no counterexample could be kept")
            model = self.session.model()
        everything: list[Cause] = [*symbols, *uninterpreted]
        values = {s.term.get_id(): model.eval(s.term, True) for s in everything}
        before, after = (model.eval(t, True) for t in (result.old, result.new))
        names = {model.eval(term, True).get_id(): name for name, term in self.encoder.constants.values()}
        goal = self.z3.And(result.old == before, result.new == after)
        needed = self._needed(symbols, uninterpreted, values, goal)
        if needed is None:
            return Proof("unknown", reason="the difference hangs on which operands a compiler leaves out")
        return self._told(result, results, needed, values, (before, after), names)

    def _plainest(self, symbol: Cause) -> list[Any]:
        """The first of the plain values that can be kept, found by halving; else a narrow range, where there is one."""
        choices = self.plain.values(symbol)
        if not choices:
            return narrowed(self.encoder, self.session, symbol)
        equal = [symbol.term == c for c in choices]
        if symbol.type == "BOOL":
            return [equal[0]] if self.session.ask(equal[0]) else [equal[1]]
        low, high = 0, len(equal)
        if self.session.ask(equal[0]):
            return [equal[0]]
        if not self.session.ask(self.z3.Or(equal)):
            return narrowed(self.encoder, self.session, symbol)
        while high - low > 1:
            middle = (low + high) // 2
            if self.session.ask(self.z3.Or(equal[:middle])):
                high = middle
            else:
                low = middle
        return [equal[low]]

    def _needed(
        self, symbols: Sequence[Symbol], uninterpreted: Sequence[Uninterpreted], values: dict[int, Any], goal: Any
    ) -> list[Cause] | None:
        """What forces the outcome: inputs alone, else with comparisons that stay open, else with any value.

        None where nothing does, for a compiler may leave operands out.
        """
        judged = [o for o in uninterpreted if o.judged]
        rest = [o for o in uninterpreted if not o.judged and not o.partial]
        partial = [o for o in uninterpreted if o.partial]
        last: list[Cause] | None = None if self.encoder.skips else [*symbols, *uninterpreted]
        with self.session.under(*self.known, self.z3.Not(goal)):
            for more in ([], judged, rest, [*judged, *rest], [*judged, *rest, *partial]):
                found = self._forcing([*symbols, *more], values)
                if found is not None and self._possible(found):
                    return found
                last = found or last
        return last

    def _forcing(self, candidates: Sequence[Cause], values: dict[int, Any]) -> list[Cause] | None:
        """As few of the values as settle the outcome: uninterpreted ones dropped first, then by name; or None."""
        facts = {c.term.get_id(): c.term == values[c.term.get_id()] for c in candidates}
        if self.session.ask(*facts.values()):
            return None
        core = self.session.core() if len(candidates) > FEW else {f.get_id() for f in facts.values()}
        kept = [c for c in candidates if facts[c.term.get_id()].get_id() in core]
        for candidate in sorted(kept, key=lambda c: isinstance(c, Symbol)):
            rest = [facts[c.term.get_id()] for c in kept if c is not candidate]
            if not self.session.ask(*rest):
                kept.remove(candidate)
        return kept

    def _told(
        self, result: Result, results: Sequence[Result], needed: Sequence[Cause], values: dict[int, Any],
        outcome: tuple[Any, Any], names: dict[int, str],
    ) -> Proof:  # fmt: skip
        if any(isinstance(n, Symbol) and not n.shared for n in needed):
            return Proof("unknown", reason="they differ only by the start of a variable that one side does not have")
        if any(isinstance(n, Uninterpreted) and (n.partial or not n.name) for n in needed):
            return Proof("unknown", reason="the difference hangs on a value that has no name")
        if not self.tied and not self.apart(sorted(n.key for n in needed if isinstance(n, Symbol))):
            return Proof("unknown", reason="places that may overlap are used")
        if not self._possible(needed):
            return Proof("unknown", reason="the difference hangs on a function whose values are not known")
        told = [(n, literal_of(values[n.term.get_id()], n.type, names)) for n in needed]
        both = [literal_of(v, result.type, names) for v in outcome]
        if any(value is None for _, value in told) or None in both or both[0] == both[1]:
            return Proof("unknown", reason="the difference hangs on a value that has no name")
        inputs = {n.name: v or "" for n, v in told if isinstance(n, Symbol)}
        assumed = {n.name: v or "" for n, v in told if isinstance(n, Uninterpreted)}
        if len(inputs) + len(assumed) < len(needed):
            return Proof("unknown", reason="two values have one name")
        old, new = ({result.name: v or ""} for v in both)
        pairs = [(n.term, values[n.term.get_id()]) for n in needed]
        for other in results:
            found = None if other.hidden or other is result else self._forced(other, pairs)
            if found is not None:
                old[other.name], new[other.name] = found
        return Proof("different", Witness(_in_order(inputs), _in_order(old), _in_order(new), _in_order(assumed)))

    def _forced(self, other: Result, pairs: Sequence[tuple[Any, Any]]) -> tuple[str, str] | None:
        """Both values of another result where the same inputs settle them and they differ."""
        if other.type not in WIDTHS and other.type != "BOOL":
            return None
        terms = [self.z3.simplify(self.z3.substitute(t, *pairs)) if pairs else t for t in (other.old, other.new)]
        if terms[0].eq(terms[1]) or not all(is_value(self.z3, t) for t in terms):
            return None
        return literal_of(terms[0], other.type, {}) or "", literal_of(terms[1], other.type, {}) or ""

    def _possible(self, needed: Sequence[Cause]) -> bool:
        """Whether the uninterpreted values among them can be chosen.

        Not a result of a standard function that constants settle, or that stands on an input or another uninterpreted
        value that is needed too; not two pins of one timer.
        """
        if not any(isinstance(n, Uninterpreted) for n in needed):
            return True
        inputs = {n.term.get_id() for n in needed if isinstance(n, Symbol)}
        below: list[tuple[bool, set[int], set[int]]] = []
        timers: list[set[int]] = []
        for n in needed:
            if isinstance(n, Uninterpreted):
                symbols, others = self._cone((n.term,))
                fixed = any(o.fixed for o in others)
                values = {o.term.get_id() for o in others if not o.judged}
                below.append((fixed, {s.term.get_id() for s in symbols}, values))
                timers.append({o.term.get_id() for o in others if o.term.decl().name().startswith("_TIMER")})
        if any(fixed and (symbols & inputs or not symbols) for fixed, symbols, _ in below):
            return False
        if any(one & other for one, other in combinations(timers, 2)):
            return False
        return not any(
            (one[0] or other[0]) and one[1] & other[1] and one[2] != other[2] for one, other in combinations(below, 2)
        )

    def _cone(self, terms: Iterable[Any]) -> tuple[list[Symbol], list[Uninterpreted]]:
        """Inputs and uninterpreted values that terms are made of, in order of their names."""
        stack, seen = list(terms), set[int]()
        symbols: list[Symbol] = []
        uninterpreted: list[Uninterpreted] = []
        while stack:
            term = stack.pop()
            id = term.get_id()
            if id in seen:
                continue
            seen.add(id)
            if id in self.inputs:
                symbols.append(self.inputs[id])
            elif id in self.encoder.uninterpreted:
                uninterpreted.append(self.encoder.uninterpreted[id])
            stack.extend(term.children())
        return sorted(symbols, key=lambda s: s.key), sorted(uninterpreted, key=lambda o: (o.name, o.number))


def _in_order(values: dict[str, str]) -> dict[str, str]:
    return {name: values[name] for name in sorted(values, key=lambda name: (name.lower(), name))}
