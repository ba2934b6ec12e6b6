"""The standard functions as terms, as far as the standard fixes them; beyond that their result is uninterpreted.

Source: IEC 61131-3:2013 tables 22 to 35, from memory. Conversions are exact where the value fits the new type, shifts
where the count is smaller than the width, sums of durations as far as in arithmetic; REAL, strings and dates are
uninterpreted.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import reduce
from typing import Any

from asfound.language.elementary import BITS, INTEGERS, TIMES, UNSIGNED
from asfound.language.standard import Conversion, Function, conversion
from asfound.prove.arithmetic import Numbers
from asfound.prove.encoder import Unsupported, Value
from asfound.prove.sorts import WIDTHS, common


def result_type(known: Function, types: Sequence[str], want: str) -> str:
    """Type of the result of a standard function whose inputs have these types; empty when unknown."""
    if not known.result.startswith("ANY"):
        return known.result
    pins = known.pins(len(types))
    kept = [type for pin, type in zip(pins, types, strict=False) if pin.type == known.result]
    if known.result == "ANY_REAL" or not kept:  # makers take whole numbers for REAL
        return want
    if all(type.startswith("?") for type in kept):
        return want or max(kept)
    return common(kept)


MayFail = Callable[..., None]
"""Called with the name, the arguments, and the condition under which there is a result where it is known."""


class Functions:
    """Results of standard functions over values of known type."""

    def __init__(self, numbers: Numbers) -> None:
        self.numbers, self.encoder, self.z3 = numbers, numbers.encoder, numbers.z3

    def call(self, name: str, args: Sequence[Value], type: str, may_fail: MayFail) -> Value:
        """The result of a standard function; ``args`` have been brought to ``type`` where they share it.

        ``may_fail`` is told of a conversion whose value may not fit.
        """
        word = name.upper()
        turned = conversion(word)
        if turned is not None and len(args) == 1:
            self._fitting(word, args[0], turned, may_fail)
            return Value(self._converted(word, args[0], turned), turned.target)
        known: dict[str, Callable[[Sequence[Value], str], Value]] = {
            "SEL": self._selected, "MUX": self._chosen, "MIN": self._least, "MAX": self._greatest,
            "LIMIT": self._limited, "ABS": self._absolute, "MOVE": lambda a, _: a[0],
            "ADD_TIME": lambda a, type: self.numbers.calculate("+", a[0], a[1], type),
            "SUB_TIME": lambda a, type: self.numbers.calculate("-", a[0], a[1], type),
        }  # fmt: skip
        if word in known:
            return known[word](args, type)
        if word in ("SHL", "SHR", "ROL", "ROR") and len(args) == 2:
            return self._shifted(word, args, type)
        return Value(self.numbers.uninterpreted(word, tuple(args), type), type)

    def _converted(self, name: str, v: Value, turned: Conversion) -> Any:
        source, target = v.type, turned.target
        if turned.how != "TO":
            return self.numbers.uninterpreted(name, (v,), target)
        if source in INTEGERS and target in INTEGERS:
            return self._between(name, v, turned)
        if source == "BOOL" and target in INTEGERS:
            return self.z3.If(v.term, *(self.encoder.number(n, WIDTHS[target]) for n in (1, 0)))
        if source in INTEGERS and target == "BOOL":
            term = self.numbers.settled(v)
            zero, one = (term == self.encoder.number(n, WIDTHS[source]) for n in (0, 1))
            return self.numbers.guarded(self.z3.Or(zero, one), one, name, (Value(term, source),), "BOOL")
        if source == target or {source, target} <= set(TIMES):
            return self.numbers.settled(v) if source else v.term
        return self.numbers.uninterpreted(name, (v,), target)

    def _fitting(self, name: str, v: Value, turned: Conversion, may_fail: MayFail) -> None:
        target = turned.target
        if turned.how == "TO" and v.type in INTEGERS and target in INTEGERS:
            inside = self.z3.simplify(self.numbers.fits(self.numbers.widened(v, 128), target))
            if not self.z3.is_true(inside):
                may_fail(name, [v], inside)
        elif turned.how != "TO" or (target in INTEGERS and v.type != "BOOL"):
            may_fail(name, [v])

    def _between(self, name: str, v: Value, turned: Conversion) -> Any:
        target = turned.target
        term = self.numbers.settled(v)
        plain = Value(term, v.type)
        if WIDTHS[v.type] == WIDTHS[target] and not BITS.keys().isdisjoint((turned.source or v.type, target)):
            return term
        inside = self.numbers.fits(self.numbers.widened(plain, 128), target)
        width = WIDTHS[target]
        exact = self.z3.Extract(width - 1, 0, self.numbers.widened(plain, 128))
        return self.numbers.guarded(self.z3.simplify(inside), exact, name, (plain,), target)

    def _selected(self, args: Sequence[Value], type: str) -> Value:
        if len(args) != 3:
            raise Unsupported("SEL without three inputs")
        condition = self.numbers.convert(args[0], "BOOL")
        return Value(self.encoder.choose(condition, *(self.numbers.convert(a, type) for a in (args[2], args[1]))), type)

    def _chosen(self, args: Sequence[Value], type: str) -> Value:
        index, *choices = args
        if not choices:
            raise Unsupported("MUX with nothing to choose from")
        if index.type not in INTEGERS:
            raise Unsupported("MUX with an index of unknown type")
        wide = self.numbers.widened(index, 128)
        terms = [self.numbers.convert(c, type) for c in choices]
        inside = self.z3.And(wide >= self.encoder.number(0, 128), wide < self.encoder.number(len(terms), 128))
        result = terms[-1]
        for number, term in reversed(list(enumerate(terms[:-1]))):
            result = self.encoder.choose(wide == self.encoder.number(number, 128), term, result)
        plain = [Value(self.numbers.settled(index), index.type), *(Value(t, type) for t in terms)]
        return Value(self.numbers.guarded(self.z3.simplify(inside), result, "MUX", tuple(plain), type), type)

    def _ordered(self, name: str, args: Sequence[Value], type: str, operator: str) -> Value:
        if type not in WIDTHS:
            return Value(self.numbers.uninterpreted(name, tuple(args), type, sort_args=True), type)

        def better(a: Value, b: Value) -> Value:
            left, right = (Value(self.numbers.convert(v, type), type) for v in (a, b))
            return Value(
                self.encoder.choose(self.numbers.order(operator, left, right, type), left.term, right.term), type
            )

        return reduce(better, args)

    def _least(self, args: Sequence[Value], type: str) -> Value:
        return self._ordered("MIN", args, type, "<=")

    def _greatest(self, args: Sequence[Value], type: str) -> Value:
        return self._ordered("MAX", args, type, ">=")

    def _limited(self, args: Sequence[Value], type: str) -> Value:
        if type not in WIDTHS or len(args) != 3:
            return Value(self.numbers.uninterpreted("LIMIT", tuple(args), type), type)
        low, given, high = (Value(self.numbers.convert(a, type), type) for a in args)
        usual = self.numbers.order("<=", low, high, type)
        exact = self._least((self._greatest((given, low), type), high), type).term
        return Value(self.numbers.guarded(usual, exact, "LIMIT", (low, given, high), type), type)

    def _absolute(self, args: Sequence[Value], type: str) -> Value:
        if type not in INTEGERS:
            return Value(self.numbers.uninterpreted("ABS", tuple(args), type), type)
        zero = self.numbers.whole(0, type)
        negated = self.numbers.calculate("-", zero, args[0], type)
        wide = self.numbers.widened(args[0], negated.term.size())
        negative = self.numbers.order("<", args[0], zero, type)
        return Value(self.encoder.choose(negative, negated.term, wide), type, True)

    def _shifted(self, name: str, args: Sequence[Value], type: str) -> Value:
        given, count = args
        if type not in UNSIGNED or count.type not in INTEGERS:
            return Value(self.numbers.uninterpreted(name, tuple(args), type), type)
        width = WIDTHS[type]
        term = self.numbers.convert(given, type)
        wide = self.numbers.widened(count, 128)
        number = self.z3.simplify(self.z3.Extract(width - 1, 0, wide))
        inside = self.z3.simplify(
            self.z3.And(wide >= self.encoder.number(0, 128), wide < self.encoder.number(width, 128))
        )
        turn: dict[str, Callable[[], Any]] = {
            "SHL": lambda: term << number, "SHR": lambda: self.z3.LShR(term, number),
            "ROL": lambda: self.z3.RotateLeft(term, number), "ROR": lambda: self.z3.RotateRight(term, number),
        }  # fmt: skip
        plain = Value(term, type), Value(self.numbers.settled(count), count.type)
        return Value(self.numbers.guarded(inside, turn[name](), name, plain, type), type)
