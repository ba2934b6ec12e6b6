"""Expressions to values over the present state, in reading order.

A Boolean operator is taken to evaluate all of its operands; because a compiler may stop early, whatever an operand does
besides giving a value is only followed where both ways agree: a division by zero is noted both ways and compared, a
called function that writes something outside is refused behind AND and OR.
An edge has a memory of its own per location in the text, FALSE when the program starts, renewed at each evaluation.
Cost: linear in the size of the expressions.
"""

from __future__ import annotations

import re
from abc import abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import pairwise
from typing import Any

from asfound.language.elementary import INTEGERS, TIMES, UNSIGNED
from asfound.language.literals import value as literal_value
from asfound.language.readable import expression as text
from asfound.language.standard import COMPARISONS, LOGIC, Function, Pin, conversion
from asfound.model.logic import (
    Argument,
    Direct,
    Edge,
    Element,
    Expression,
    Invocation,
    Literal,
    Member,
    Operation,
    Temporary,
    Variable,
)
from asfound.prove.constants import Constants
from asfound.prove.encoder import Encoder, Unsupported, Value
from asfound.prove.operands import Operands
from asfound.prove.proof_side import Location, Side
from asfound.prove.sorts import FLOATS, WIDTHS, common
from asfound.prove.standard_functions import Functions, result_type


@dataclass
class Loop:
    """Conditions under which a turn was cut short, or the whole loop left."""

    continued: Any
    left: Any


PINS = {"Q": "Q", "ET": "ET", "UP": "CV", "DOWN": "CV"}
"""Pins of a standard block by the end of the hidden function that gives them (see standard_blocks)."""
_SUBRANGE = re.compile(r"\(\s*(-?\d+)\s*\.\.\s*(-?\d+)\s*\)")


class Evaluator(Operands, Constants):
    """Expressions to values; what happens besides is noted as in operands."""

    def __init__(self, encoder: Encoder, side: Side, label: str, private: frozenset[str]) -> None:
        super().__init__(encoder, side, label, private)
        self.functions = Functions(self.numbers)
        self.loops: list[Loop] = []

    @abstractmethod
    def invoked(self, e: Invocation, want: str) -> Value:
        """The result of a function of the program or of an unknown one (see calls)."""

    def type_of(self, e: Expression) -> str:
        """Type name in capitals, empty when unknown; ``?`` is an untyped number."""
        match e:
            case Literal(content):
                return _literal_type(content)
            case Edge():
                return "BOOL"
            case Operation(operator, operands):
                if operator in COMPARISONS:
                    return "BOOL"
                types = [self.type_of(o) for o in operands]
                if all(t.startswith("?") for t in types):
                    return max(types)
                found = common(types)
                return found or ("BOOL" if operator in LOGIC else "")
            case Invocation(Variable(name), inputs, _):
                return self._result(name, inputs)
            case Variable() | Member() | Element() | Direct() | Temporary():
                if self.enumerator(e) is not None:
                    return "ENUM"
                location = self.possible_locations(e)[0][1]
                if location.bit is not None:
                    return "BOOL"
                if location.type:
                    return self.side.elementary(location.type)
                return self.found.get(location.key, "")
        return ""

    def _result(self, name: str, inputs: Sequence[Argument]) -> str:
        pou = self.side.symbols.pous.get(name.lower())
        if pou is not None:
            return self.side.elementary(pou.result)
        types = [self.type_of(a.value) for a in inputs]
        known = self.side.symbols.function(name)
        if known is not None and known.operator and known.result != "BOOL":
            return max(types) if types and all(t.startswith("?") for t in types) else common(types)
        return result_type(known, types, "") if known else ""

    def boolean(self, e: Expression) -> Any:
        """A Boolean expression as a formula."""
        return self.numbers.convert(self.value(e, "BOOL"), "BOOL")

    def value(self, e: Expression, want: str = "") -> Value:
        """The value of an expression; ``want`` is the type expected where the expression itself has none."""
        self.encoder.tick()
        if isinstance(e, Literal):
            return self.literal(e.text, want)
        found = self.followed(e, want)
        if isinstance(e, Invocation) or (isinstance(e, Operation) and e.operator not in LOGIC):
            self.encoder.named(found.term, self.called(e), found.type)
        return found

    def called(self, e: Expression) -> str:
        """What people call the value of an expression; a hidden function of a standard block by its pin."""
        match e:
            case Invocation(Variable(name)) if name.startswith("_"):
                return f"{self.frame.shown}{PINS.get(name.rpartition('_')[2], '')}".rstrip(".")
        return text(e)

    def followed(self, e: Expression, want: str) -> Value:
        """The value of an expression that is no constant; Unsupported when it cannot be followed."""
        match e:
            case Operation(operator, operands):
                return self._operation(operator, operands, want)
            case Edge(kind, of):
                return Value(self._edge(kind, of), "BOOL")
            case Invocation(Variable(name), inputs, outputs):
                known = self.side.symbols.function(name)
                return self._standard(known, inputs, want) if known and not outputs else self.invoked(e, want)
            case Invocation():
                return self.invoked(e, want)
            case Variable() | Member() | Element() | Direct() | Temporary():
                return self.enumerator(e) or self.load(e, want)
        raise Unsupported(f"{text(e)} cannot be followed")

    def _edge(self, kind: str, of: Expression) -> Any:
        """Each evaluation in reading order has its memory; a body without loops evaluates each edge once."""
        if self.frame.function or self.frame.action or self.loops:
            raise Unsupported("an edge that may be looked for more than once")
        self.frame.edges[0] += 1
        key = f"{self.frame.prefix}§edge:{self.frame.edges[0]}"
        location = Location(key, "BOOL", "hidden", f"previous {text(of)}")
        level = self.boolean(of)
        before, _ = self._term(location, "BOOL")
        self.store(location, Value(level, "BOOL"), self.encoder.true)
        was, now = (before, level) if kind == "falling" else (level, before)
        return self.encoder.both(was, self.encoder.negated(now))

    def _operation(self, operator: str, operands: Sequence[Expression], want: str) -> Value:
        if operator in LOGIC:
            return self._logic(operator, operands, want)
        types = [self.type_of(o) for o in operands]
        type = common(types)
        if operator in COMPARISONS:
            left, right = self.values([(o, type) for o in operands])
            if {left.type, right.type} == {"BOOL"} and operator in ("=", "<>"):
                equal = left.term == right.term
                return Value(equal if operator == "=" else self.encoder.negated(equal), "BOOL")
            return Value(self.numbers.order(operator, left, right, type), "BOOL")
        if all(t.startswith("?") for t in types) and want in WIDTHS | FLOATS:
            type = want
        if operator == "NEG":
            return self._negative(operands[0], type)
        left, right = self.values([(o, type) for o in operands])
        return self.calculated(operator, left, right, type)

    def _negative(self, of: Expression, type: str) -> Value:
        given = self.value(of, type)
        if type not in INTEGERS:
            return Value(self.numbers.uninterpreted("NEG", (given,), type), type)
        return self.calculated("-", self.numbers.whole(0, type), given, type)

    def calculated(self, operator: str, left: Value, right: Value, type: str) -> Value:
        """A calculation; a division by zero is noted."""
        if operator in ("/", "MOD"):
            self._divided(right)
        elif operator == "**":
            self.may_fail("**", [left, right])
        return self.numbers.calculate(operator, left, right, type)

    def fitting(self, location: Location, content: Value) -> None:
        """A value out of the subrange of what it is stored in is as bad as one that does not exist."""
        declared = self.side.symbols.subrange(location.type) if location.type else ""
        if not declared:
            return
        found = _SUBRANGE.search(declared)
        if found is None or content.type not in INTEGERS:
            return self.may_fail(declared, [content])
        wide = self.numbers.widened(content, 128)
        low, high = (self.encoder.number(int(n), 128) for n in found.groups())
        self.may_fail(declared, [content], self.encoder.z3.And(wide >= low, wide <= high))
        return None

    def may_fail(self, name: str, args: Sequence[Value], fits: Any = None) -> None:
        """Note that a function has no result for some arguments: unless ``fits``, else nobody knows for which."""
        encoder = self.encoder
        fails = encoder.negated(fits) if fits is not None else encoder.apply(
            f"fails {name}", [a.term for a in args], encoder.sort("BOOL"), type="BOOL", partial=True)  # fmt: skip
        fails = encoder.both(self.active, fails)
        self.failure = encoder.either(self.failure, fails)
        self.failure_early = encoder.either(self.failure_early, encoder.both(self.reached, fails))

    def _divided(self, by: Value) -> None:
        encoder = self.encoder
        if by.type in INTEGERS:
            zero = encoder.z3.simplify(by.term == encoder.number(0, by.term.size()))
        elif by.type in FLOATS:
            zero = encoder.z3.fpIsZero(by.term, encoder.ctx)
        else:
            zero = encoder.apply("is zero", [by.term], encoder.sort("BOOL"), type="BOOL")
        zero = encoder.both(self.active, zero)
        self.fault = encoder.either(self.fault, zero)
        self.fault_early = encoder.either(self.fault_early, encoder.both(self.reached, zero))

    def _logic(self, operator: str, operands: Sequence[Expression], want: str, *, complete: bool = False) -> Value:
        """AND, OR, XOR, NOT; the inputs of a function are all taken before it runs (``complete``)."""
        types = [self.type_of(o) for o in operands]
        type = common(types)
        if type not in INTEGERS or (want in INTEGERS and all(t.startswith("?") for t in types)):
            type = want if want in INTEGERS and type != "BOOL" else "BOOL"
        if type != "BOOL":
            return self._bitwise(operator, operands, type)
        if operator == "NOT":
            return Value(self.encoder.negated(self.boolean(operands[0])), "BOOL")
        return Value(self.junction(operator, operands, complete or operator == "XOR"), "BOOL")

    def _bitwise(self, operator: str, operands: Sequence[Expression], type: str) -> Value:
        terms = []
        for given in self.values([(o, type) for o in operands]):
            fits = given.type in UNSIGNED and type in UNSIGNED and not given.loose
            terms.append(self.numbers.widened(given, WIDTHS[type]) if fits else self.numbers.convert(given, type))
        if operator == "NOT":
            return Value(~terms[0], type)
        turn = {"AND": lambda a, b: a & b, "OR": lambda a, b: a | b, "XOR": lambda a, b: a ^ b}[operator]
        return Value(reduce(turn, terms), type)

    def _standard(self, known: Function, inputs: Sequence[Argument], want: str) -> Value:
        given, operator = _in_order(known, inputs), known.operator
        if operator in LOGIC:
            return self._logic(operator, given, want, complete=True)
        if operator in COMPARISONS and len(given) < 2:
            raise Unsupported(f"{known.name} is called with one input")
        if operator and len(given) == 2:
            return self._narrowed(self._operation(operator, given, want))
        types = [self.type_of(g) for g in given]
        if operator:
            return self._many(operator, given, common(types))
        type = result_type(known, types, want)
        type = common([type]) if type.startswith("?") else type
        pins = known.pins(len(given))
        if len(pins) < len(given):
            raise Unsupported(f"{known.name} is called with unknown inputs")
        wanted = [(g, _hint(pin, known, type)) for g, pin in zip(given, pins, strict=True)]
        args = self.values(wanted, chosen=known.name in ("SEL", "MUX"))
        if known.partial and not conversion(known.name):  # a conversion is judged by the type of its argument
            self.may_fail(known.name, args)
        return self.functions.call(known.name, args, type, self.may_fail)

    def _narrowed(self, v: Value) -> Value:
        """The result of a function has the width of its type; that of an operator may be wider until it is stored."""
        return Value(self.numbers.convert(v, v.type), v.type) if v.loose else v

    def _many(self, operator: str, given: Sequence[Expression], type: str) -> Value:
        values = self.values([(g, type) for g in given])
        if operator in COMPARISONS:
            pairs = pairwise(values)
            return Value(
                reduce(self.encoder.both, [self.numbers.order(operator, a, b, type) for a, b in pairs]), "BOOL"
            )
        return reduce(lambda a, b: self._narrowed(self.calculated(operator, a, b, type)), values)


def _hint(pin: Pin, known: Function, type: str) -> str:
    """The type in which an input is read where it has none of its own."""
    if pin.type == known.result:
        return type
    return {"ANY_INT": "DINT"}.get(pin.type, "" if pin.type.startswith("ANY") else pin.type)


def _in_order(function: Function, inputs: Sequence[Argument]) -> list[Expression]:
    if any(a.negated for a in inputs) or not inputs:
        raise Unsupported(f"{function.name} is called in an unusual way")
    if not any(a.name for a in inputs):
        return [a.value for a in inputs]
    known = {a.name.upper(): a.value for a in inputs}
    names = [pin.name for pin in function.pins(len(inputs))]
    if set(names) != known.keys():
        raise Unsupported(f"{function.name} is called with unknown inputs")
    return [known[n] for n in names]


def _literal_type(content: str) -> str:
    kind, _ = literal_value(content)
    prefix = content.split("#", maxsplit=1)[0].upper()
    if kind == "int":
        return prefix if prefix in INTEGERS else "?"
    if kind == "real":
        return prefix if prefix in FLOATS else "?real"
    return {"bool": "BOOL", "duration": TIMES[0]}.get(kind, "")
