"""Integers, bit strings, durations and REALs as terms: literals, conversions, calculation, order.

What the standard leaves to the maker is never assumed. A calculation that stays in the range of its type is exact;
beyond it the result is uninterpreted and may even lie outside the type, as where a compiler calculates in wider
registers (IEC 61131-3: an overflow is an error, what then happens is the maker's). So a proof holds for wrapping,
saturating and promoting controllers alike. Division truncates towards zero; MOD is exact for operands without a sign.
Durations are compared exactly (nanoseconds). Their sums and differences are exact from 0 to 2^31 - 1 milliseconds where
every constant is whole milliseconds, for a multiple of any resolution plus another is one too; other calculations with
them and with REAL are uninterpreted: resolutions and roundings differ. A REAL that is stored is rounded, one that is
used at once may not be.
Known weakness: ``x + 1 - 1 = x`` is proved by no controller that saturates, and so not here.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from asfound.language.elementary import BITS, INTEGERS, SIGNED, TIMES
from asfound.prove.encoder import Encoder, Unsupported, Value
from asfound.prove.sorts import FLOATS, WIDTHS, bounds, is_signed, wide

COMMUTATIVE = frozenset(("+", "*"))
MILLISECOND = 1_000_000
LONGEST = (2**31 - 1) * MILLISECOND
"""The longest duration that every controller holds, in nanoseconds: 31 bits of milliseconds (common practice)."""
MAX_TERMS = 2_000
"""Parts of a sum of durations that are searched for constants."""


class Numbers:
    """Operations over the terms of one proof."""

    def __init__(self, encoder: Encoder) -> None:
        self.encoder = encoder
        self.z3 = encoder.z3

    def whole(self, content: int, type: str) -> Value:
        """An integer constant; one outside of the range of its type has no fixed meaning."""
        low, high = bounds(type)
        if not low <= content <= high:
            raise Unsupported(f"{content} does not fit {type}")
        return Value(self.encoder.number(content, WIDTHS[type]), type)

    def real(self, content: int | Fraction, type: str) -> Value:
        """A REAL constant; one between two numbers of the type is one of them, for compilers round differently."""
        z3, sort, ctx = self.z3, self.encoder.sort(type), self.encoder.ctx
        exact = z3.RealVal(str(Fraction(content)), ctx)
        low, high = (z3.simplify(z3.fpRealToFP(mode(ctx), exact, sort, ctx)) for mode in (z3.RTN, z3.RTP))
        if low.eq(high):
            return Value(low, type)
        term = z3.Const(f"constant {type} {Fraction(content)}", sort)
        self.encoder.facts.append(z3.Or(term == low, term == high))
        self.encoder.starts.append(term == z3.simplify(z3.fpRealToFP(z3.RNE(ctx), exact, sort, ctx)))
        return Value(term, type)

    def widened(self, v: Value, width: int) -> Any:
        """A value as a signed number of more bits."""
        more = width - v.term.size()
        if more < 0:
            raise Unsupported("a calculation in mixed widths")
        signed = v.loose or is_signed(v.type)
        if more == 0:
            return v.term
        found = self.z3.SignExt(more, v.term) if signed else self.z3.ZeroExt(more, v.term)
        return self.z3.simplify(found) if self.z3.is_bv_value(v.term) else found

    def fits(self, term: Any, type: str) -> Any:
        """Whether a wide signed number lies in the range of a type."""
        low, high = bounds(type)
        z3, size = self.z3, term.size()
        if z3.is_bv_value(term):
            return self.encoder.truth(low <= term.as_signed_long() <= high)
        return z3.And(self.encoder.number(low, size) <= term, term <= self.encoder.number(high, size))

    def settled(self, v: Value) -> Any:
        """A value in the bits of its own type."""
        return self.convert(v, v.type)

    def convert(self, v: Value, type: str) -> Any:
        """A value where one of ``type`` is expected: widened exactly, else by an uninterpreted conversion."""
        if v.type == type and not v.loose:
            return v.term
        if v.type == type and type in FLOATS:
            return self.encoder.apply(f"round {type}", [v.term], self.encoder.sort(type), type=type, fixed=True)
        if v.type in INTEGERS and type in INTEGERS and (v.type == type or _implicit(v.type, type)):
            return self._stored(v, type) if v.loose else self.widened(v, WIDTHS[type])
        if {v.type, type} <= set(TIMES):
            return v.term
        return self.uninterpreted(f"{v.type or 'ANY'}_TO_{type or 'ANY'}", (v,), type)

    def _stored(self, v: Value, type: str) -> Any:
        inside = self.fits(v.term, type)
        exact = self.z3.Extract(WIDTHS[type] - 1, 0, v.term)
        self.encoder.guard(self.encoder.negated(inside))
        if self.z3.is_true(inside):
            return self.z3.simplify(exact)
        beyond = self.encoder.apply(f"store {type}", [v.term], self.encoder.sort(type), type=type, partial=True)
        return self.encoder.choose(inside, exact, beyond)

    def uninterpreted(
        self, name: str, args: tuple[Value, ...], type: str, *, sort_args: bool = False, partial: bool = False,
        fixed: bool = True,
    ) -> Any:  # fmt: skip
        """The result of a function of which nothing is known but that its arguments settle it."""
        terms = [a.term for a in args]
        if sort_args:
            terms = self.encoder.sorted(terms)
        return self.encoder.apply(name, terms, self.encoder.sort(type), type=type, partial=partial, fixed=fixed)

    def guarded(self, condition: Any, exact: Any, name: str, args: tuple[Value, ...], type: str) -> Any:
        """``exact`` while the condition holds, beyond that uninterpreted."""
        self.encoder.guard(self.encoder.negated(condition))
        if self.z3.is_true(condition):
            return exact
        return self.encoder.choose(condition, exact, self.uninterpreted(name, args, type, partial=True))

    def calculate(self, operator: str, a: Value, b: Value, type: str) -> Value:
        """``a operator b`` in ``type``; + - * / MOD ** of integers, anything else uninterpreted."""
        if type in TIMES and operator in ("+", "-") and {a.type, b.type} <= set(TIMES):
            return self._duration(operator, a, b, type)
        known = operator in ("+", "-", "*", "/", "MOD")
        if type not in INTEGERS or not known or not {a.type, b.type} <= INTEGERS.keys():
            found = self.uninterpreted(operator, (a, b), type, sort_args=operator in COMMUTATIVE)
            return Value(found, type, type in FLOATS)
        width = wide(type)
        left, right = Value(self.widened(a, width), type, True), Value(self.widened(b, width), type, True)
        exact = self._exact(operator, (left, right), type)
        sort, z3 = self.encoder.bits(width), self.z3
        inside = self.fits(exact, type)
        self.encoder.guard(self.encoder.negated(inside))
        term = exact
        if not z3.is_true(inside):
            term = self.encoder.choose(
                inside, exact, self.encoder.apply(f"overflow {type}", [exact], sort, partial=True)
            )
        if a.loose or b.loose:
            near = self.encoder.both(*(self.fits(v.term, type) for v in (left, right)))
            args = [left.term, right.term]
            args = self.encoder.sorted(args) if operator in COMMUTATIVE else args
            far = self.encoder.apply(f"{operator} {type}", args, sort, partial=True)
            term = self.encoder.choose(near, term, far)
        return Value(
            z3.simplify(term) if z3.is_bv_value(left.term) and z3.is_bv_value(right.term) else term, type, True
        )

    def _duration(self, operator: str, a: Value, b: Value, type: str) -> Value:
        x, y = self.encoder.sorted([a.term, b.term]) if operator in COMMUTATIVE else (a.term, b.term)
        exact = x + y if operator == "+" else x - y
        low, high = self.encoder.number(0, WIDTHS[type]), self.encoder.number(LONGEST, WIDTHS[type])
        usual = self.z3.And(*(bound for term in (x, y, exact) for bound in (term >= low, term <= high)))
        inside = self.z3.simplify(usual) if self._in_milliseconds((x, y)) else self.encoder.false
        given = Value(x, type), Value(y, type)
        return Value(self.z3.simplify(self.guarded(inside, exact, operator, given, type)), type)

    def _in_milliseconds(self, terms: Iterable[Any]) -> bool:
        """Whether all durations that these terms are made of are variables or whole milliseconds."""
        stack, seen = list(terms), set[int]()
        while stack and len(seen) < MAX_TERMS:
            term = stack.pop()
            if term.get_id() not in seen:
                seen.add(term.get_id())
                if self.z3.is_bv_value(term) and term.size() == WIDTHS["TIME"] and term.as_signed_long() % MILLISECOND:
                    return False
                stack.extend(term.children())
        return not stack

    def _exact(self, operator: str, terms: tuple[Value, Value], type: str) -> Any:
        x, y = terms[0].term, terms[1].term
        constant = self.z3.is_bv_value(x) and self.z3.is_bv_value(y)
        match operator:
            case "+":
                found = x + y
            case "-":
                found = x - y
            case "*":
                found = self._product(x, y, type)
            case _:
                return self._quotient(operator, terms, type)
        return self.z3.simplify(found) if constant else found

    def _product(self, x: Any, y: Any, type: str) -> Any:
        """Both factors fit the type where it counts, so twice its bits are enough."""
        bits = min(2 * WIDTHS[type] + 2, x.size())
        low = self.z3.Extract(bits - 1, 0, x) * self.z3.Extract(bits - 1, 0, y)
        return self.z3.SignExt(x.size() - bits, low) if bits < x.size() else low

    def _quotient(self, operator: str, terms: tuple[Value, Value], type: str) -> Any:
        z3, width = self.z3, terms[0].term.size()
        bits = min(WIDTHS[type] + 2, width)
        x, y = (z3.Extract(bits - 1, 0, v.term) for v in terms)
        zero = self.encoder.number(0, bits)
        exact = x / y if operator == "/" else z3.SRem(x, y)
        usual = y != zero
        if operator == "MOD" and is_signed(type):
            usual = z3.And(usual, x >= zero, y > zero)
        usual = z3.simplify(usual)
        exact = z3.SignExt(width - bits, exact) if bits < width else exact
        self.encoder.guard(self.encoder.negated(usual))
        name = f"{operator} {type}"
        if z3.is_true(usual):
            return exact
        return self.encoder.choose(
            usual, exact, self.encoder.apply(name, [v.term for v in terms], self.encoder.bits(width), partial=True)
        )

    def order(self, operator: str, a: Value, b: Value, type: str) -> Any:
        """A comparison as a formula."""
        if type in TIMES or (type in INTEGERS and not (a.loose or b.loose)):
            return self._less(operator, self.convert(a, type), self.convert(b, type), is_signed(type))
        if type in INTEGERS:
            width = max(wide(type), *(v.term.size() for v in (a, b)))
            return self._less(operator, self.widened(a, width), self.widened(b, width), True)
        if type in FLOATS:
            return self._float(operator, *(v.term if v.type == type else self.convert(v, type) for v in (a, b)))
        if operator == "<>":
            return self.encoder.negated(self.order("=", a, b, type))
        if operator == "=" and a.type == b.type == "ENUM":
            return a.term == b.term
        if operator in (">", ">="):
            operator, a, b = {">": "<", ">=": "<="}[operator], b, a
        return self.uninterpreted(operator, (a, b), "BOOL", sort_args=operator == "=")

    def _less(self, operator: str, a: Any, b: Any, signed: bool) -> Any:
        z3 = self.z3
        if operator in (">", ">="):
            operator, a, b = {">": "<", ">=": "<="}[operator], b, a
        match operator:
            case "=":
                found = a == b
            case "<>":
                found = a != b
            case "<":
                found = a < b if signed else z3.ULT(a, b)
            case _:
                found = a <= b if signed else z3.ULE(a, b)
        return z3.simplify(found) if z3.is_bv_value(a) and z3.is_bv_value(b) else found

    def _float(self, operator: str, a: Any, b: Any) -> Any:
        z3 = self.z3
        tests = {"=": z3.fpEQ, "<": z3.fpLT, "<=": z3.fpLEQ, ">": z3.fpGT, ">=": z3.fpGEQ}
        return z3.Not(z3.fpEQ(a, b, a.ctx)) if operator == "<>" else tests[operator](a, b, a.ctx)


def _implicit(old: str, new: str) -> bool:
    """Conversions without a function, where every value fits (IEC 61131-3:2013 figure 11, from memory)."""
    if (old in BITS) != (new in BITS):
        return False
    if WIDTHS[old] > WIDTHS[new]:
        return False
    return (old in SIGNED) == (new in SIGNED) or (new in SIGNED and WIDTHS[old] < WIDTHS[new])
