"""Plain values for a case, and how they are written.

Plain are FALSE and TRUE, 0, small whole numbers, the constants of the program and their neighbours, whole seconds, a
value of an enumeration. Nobody sets an input to 1.4e-45 or 2057 where 1 does it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from itertools import pairwise
from typing import Any

from asfound.language.elementary import INTEGERS, TIMES
from asfound.language.literals import duration, value
from asfound.prove.encoder import Encoder, Symbol, Uninterpreted
from asfound.prove.solver import SolverSession
from asfound.prove.sorts import FLOATS, WIDTHS, is_signed

USUAL = (0, 1, 2, 3, 5, 10, 100, -1, 1000)
MILLISECOND, SECOND = 1_000_000, 1_000_000_000
MOST = 200
"""Values that are tried for one input."""


class Plain:
    """The values to try for the inputs of one pair of pieces."""

    def __init__(self, encoder: Encoder, constants: Iterable[str]) -> None:
        self.encoder, self.z3 = encoder, encoder.z3
        found = [value(text) for text in constants]
        whole = {n for kind, n in found if kind == "int" and isinstance(n, int)}
        real = {Fraction(n) for kind, n in found if kind in ("int", "real") and isinstance(n, int | Fraction)}
        spans = {n for kind, n in found if kind == "duration" and isinstance(n, int)}
        self.whole = _by_size({*USUAL, *(m for n in whole for m in (n, n - 1, n + 1))})
        between = {(a + b) / 2 for a, b in pairwise(sorted(real))}
        near = {m for n in real for m in (n, n - 1, n + 1)}
        self.real = _by_size({Fraction(n) for n in USUAL} | near | between)
        self.spans = _by_size({0, SECOND, *(m for n in spans for m in _around(n) if m >= 0)})

    def values(self, symbol: Symbol | Uninterpreted) -> list[Any]:
        """Terms to try for an input, the plainest first; none where nothing is known of its type."""
        encoder = self.encoder
        if symbol.type == "BOOL":
            return [encoder.false, encoder.true]
        if symbol.type in TIMES:
            return [encoder.number(n, WIDTHS[symbol.type]) for n in self.spans]
        if symbol.type in INTEGERS:
            width = WIDTHS[symbol.type]
            low = -(1 << (width - 1)) if is_signed(symbol.type) else 0
            return [encoder.number(n, width) for n in self.whole if low <= n < low + (1 << width)]
        if symbol.type in FLOATS:
            exact = (self.z3.RealVal(str(n), encoder.ctx) for n in self.real)
            return [self.z3.fpRealToFP(self.z3.RNE(encoder.ctx), e, symbol.term.sort(), encoder.ctx) for e in exact]
        return [term for name, term in encoder.constants.values() if _fits(name, symbol)]


def _fits(name: str, symbol: Symbol | Uninterpreted) -> bool:
    """Whether a named value is one of the type of an input."""
    owner, mark, _ = name.partition("#")
    declared = symbol.declared if isinstance(symbol, Symbol) else ""
    return owner.lower() == declared if symbol.type == "ENUM" else not mark or name[0] in "'\""


def _by_size(numbers: Iterable[Any]) -> list[Any]:
    """Whole numbers of few digits first, without a sign before with one."""
    return sorted(numbers, key=lambda n: (n.denominator != 1, abs(n), n < 0))[:MOST]


def _around(span: int) -> tuple[int, ...]:
    return span, span - SECOND, span + SECOND, span - MILLISECOND, span + MILLISECOND


def narrowed(encoder: Encoder, session: SolverSession, symbol: Symbol | Uninterpreted) -> list[Any]:
    """Where no plain value fits: a number of few digits."""
    z3, term = encoder.z3, symbol.term
    if symbol.type in WIDTHS:
        signed = is_signed(symbol.type)
        for digits in range(1, 19):
            limit = 10**digits
            if limit >= 1 << (WIDTHS[symbol.type] - signed):
                break
            top = encoder.number(limit, WIDTHS[symbol.type])
            inside = [z3.And(term >= 0, term <= top) if signed else z3.ULE(term, top)]
            if session.ask(*inside):
                return [term == session.model().eval(term, True)]
    if symbol.type in FLOATS:
        whole = term == z3.fpRoundToIntegral(z3.RTZ(encoder.ctx), term, encoder.ctx)
        for digits in (1, 2, 3, 6):
            top = z3.FPVal(10.0**digits, term.sort(), ctx=encoder.ctx)
            ctx = encoder.ctx
            inside = [z3.fpLEQ(term, top, ctx), z3.fpGEQ(term, z3.fpNeg(top, ctx), ctx), whole]
            if session.ask(*inside):
                return [term == session.model().eval(term, True)]
    return []


def is_value(z3: Any, term: Any) -> bool:
    """Whether a term is a number or a truth value."""
    return bool(z3.is_bv_value(term) or z3.is_true(term) or z3.is_false(term))


def literal_of(term: Any, type: str, names: Mapping[int, str]) -> str | None:
    """A value of the solver as an IEC literal; ``names`` are those of values without a number. None: it has no name."""
    if type == "BOOL":
        return str(term).upper()
    if type in WIDTHS:
        number = int(term.as_signed_long() if is_signed(type) else term.as_long())
        return f"T#{duration(number)}" if type in TIMES else str(number)
    return _decimal(str(term)) if type in FLOATS else names.get(term.get_id())


def _decimal(text: str) -> str:
    """``1.25*(2**3)`` as the solver writes it, as a decimal number."""
    mantissa, _, power = text.partition("*(2**")
    try:
        return str(float(mantissa) * 2.0 ** int(power.rstrip(")") or 0))
    except ValueError:
        return text
