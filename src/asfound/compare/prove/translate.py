"""Expressions to formulas of the solver.

Booleans are exact. Integers, bit strings and times are bit-vectors of their declared width (times in nanoseconds, 64
bits), REAL and LREAL are IEEE 754 numbers that are compared exactly and calculated not at all. Everything else is an
opaque symbol called by its canonical text: equal text, equal value. An edge is a symbol of its own per operand (its
memory is hidden), tied to the operand: a rising edge needs a TRUE operand, a falling edge a FALSE one.
Cost: linear; a symbol is made once. z3 is imported here, on first use.
Known weakness: opaque symbols that share a variable are not independent, so a counterexample that needs one of them is
no proof of a difference (see ``Symbol.entangled``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from asfound.compare.canonical import canonical, folded
from asfound.compare.prove.sorts import INTEGERS, TIMES, WIDTHS, common, is_signed, sort_of
from asfound.language.literals import value
from asfound.language.printer import expression as text
from asfound.language.walk import names_in
from asfound.model.logic import (
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

COMPARISONS = frozenset(("=", "<>", "<", "<=", ">", ">="))
ARITHMETIC = frozenset(("+", "-", "*"))
LOGIC = frozenset(("AND", "OR", "XOR", "NOT"))


class Unsupported(Exception):
    """The pair cannot be put to the solver; the answer is ``unknown``."""


@dataclass
class Symbol:
    """One input of a formula: what it is called for people, and the names it stands on."""

    name: str
    key: str
    type: str
    term: Any
    names: frozenset[str]
    opaque: bool


class Translator:
    """Makes formulas over one shared set of symbols; ``types`` gives the declared type by folded access text."""

    def __init__(self, types: Mapping[str, str]) -> None:
        import z3

        self.z3: Any = z3
        self.types = types
        self.symbols: dict[str, Symbol] = {}
        self.constraints: list[Any] = []
        self.written: frozenset[str] = frozenset()
        self.state: dict[str, Any] = {}

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
                found = common([self.type_of(o) for o in operands])
                return found if found else ("BOOL" if operator in LOGIC else "")
            case Invocation():
                return ""
        return self.types.get(folded(e), "").upper()

    def term(self, e: Expression, type: str) -> Any:
        """The value of an expression as a term of the sort that belongs to ``type``."""
        if type == "BOOL":
            return self.boolean(e)
        if type in WIDTHS:
            return self.bits(e, type)
        if type in ("REAL", "LREAL") and isinstance(e, Literal):
            return self._number(e, type)
        return self.symbol(e, type)

    def boolean(self, e: Expression) -> Any:
        """A Boolean expression as a formula."""
        match e:
            case Literal(content):
                return self.z3.BoolVal(_truth(content))
            case Operation("NOT", (of,)):
                return self.z3.Not(self.boolean(of))
            case Operation("AND", operands):
                return self.z3.And([self.boolean(o) for o in operands])
            case Operation("OR", operands):
                return self.z3.Or([self.boolean(o) for o in operands])
            case Operation("XOR", (first, *rest)):
                result = self.boolean(first)
                for operand in rest:
                    result = self.z3.Xor(result, self.boolean(operand))
                return result
            case Operation(operator, (left, right)) if operator in COMPARISONS:
                return self._compare(e, operator, left, right)
            case Edge(kind, of):
                return self._edge(e, kind, of)
        return self.symbol(e, "BOOL")

    def _edge(self, e: Expression, kind: str, of: Expression) -> Any:
        known = canonical(e) in self.symbols
        edge = self.symbol(e, "BOOL", opaque=False)
        if not known:
            level = self.boolean(of)
            self.constraints.append(self.z3.Implies(edge, level if kind == "rising" else self.z3.Not(level)))
        return edge

    def _compare(self, e: Expression, operator: str, left: Expression, right: Expression) -> Any:
        type = common([self.type_of(left), self.type_of(right)])
        if type == "BOOL" and operator in ("=", "<>"):
            equal = self.boolean(left) == self.boolean(right)
            return equal if operator == "=" else self.z3.Not(equal)
        if type in ("REAL", "LREAL"):
            return self._float_order(operator, self.term(left, type), self.term(right, type))
        if type in WIDTHS:
            return self._order(operator, self.bits(left, type), self.bits(right, type), is_signed(type))
        return self._opaque_comparison(e, operator, left, right)

    def _opaque_comparison(self, e: Expression, operator: str, left: Expression, right: Expression) -> Any:
        if operator == "<>":
            return self.z3.Not(self.symbol(Operation("=", (left, right)), "BOOL", opaque=True))
        return self.symbol(e, "BOOL", opaque=True)

    def _order(self, operator: str, a: Any, b: Any, signed: bool) -> Any:
        z3 = self.z3
        if operator in ("=", "<>"):
            return a == b if operator == "=" else a != b
        if operator in (">", ">="):
            operator, a, b = {">": "<", ">=": "<="}[operator], b, a
        if operator == "<":
            return a < b if signed else z3.ULT(a, b)
        return a <= b if signed else z3.ULE(a, b)

    def _float_order(self, operator: str, a: Any, b: Any) -> Any:
        z3 = self.z3
        match operator:
            case "=":
                return z3.fpEQ(a, b)
            case "<>":
                return z3.Not(z3.fpEQ(a, b))
            case "<":
                return z3.fpLT(a, b)
            case "<=":
                return z3.fpLEQ(a, b)
            case ">":
                return z3.fpGT(a, b)
        return z3.fpGEQ(a, b)

    def bits(self, e: Expression, type: str) -> Any:
        """An expression as a bit-vector of the width of ``type``; widened from its own type where that is smaller."""
        width = WIDTHS[type]
        match e:
            case Literal(content):
                return self.z3.BitVecVal(_integer(content), width)
            case Operation("NEG", (of,)):
                return -self.bits(of, type)
            case Operation("+" | "-" | "*" as operator, (left, right)):
                a, b = self.bits(left, type), self.bits(right, type)
                return a + b if operator == "+" else a - b if operator == "-" else a * b
            case Operation("AND" | "OR" | "XOR" as operator, (first, *rest)):
                result = self.bits(first, type)
                for operand in rest:
                    b = self.bits(operand, type)
                    result = result & b if operator == "AND" else result | b if operator == "OR" else result ^ b
                return result
            case Operation("NOT", (of,)):
                return ~self.bits(of, type)
        own = self.type_of(e)
        return self._widened(self.symbol(e, own), own, width) if own in WIDTHS else self.symbol(e, type)

    def _widened(self, term: Any, own: str, width: int) -> Any:
        more = width - WIDTHS[own]
        if more < 0:
            raise Unsupported
        return self.z3.SignExt(more, term) if is_signed(own) else self.z3.ZeroExt(more, term)

    def _number(self, e: Literal, type: str) -> Any:
        kind, content = value(e.text)
        if kind not in ("int", "real") or isinstance(content, str):
            raise Unsupported
        return self.z3.fpRealToFP(self.z3.RNE(), self.z3.RealVal(str(Fraction(content))), sort_of(self.z3, type))

    def symbol(self, e: Expression, type: str, opaque: bool | None = None) -> Any:
        """The symbol of an access, or an opaque one for anything else."""
        is_access = isinstance(e, Variable | Member | Element | Direct | Temporary)
        key = folded(e) if is_access else canonical(e)
        if key in self.state:
            term = self.state[key]
            if term.sort() != sort_of(self.z3, type):
                raise Unsupported
            return term
        names = names_in(e)
        if names & self.written:
            raise Unsupported
        known = self.symbols.get(key)
        if known is None:
            term = self.z3.Const(key, sort_of(self.z3, type))
            known = Symbol(text(e), key, type, term, names, not is_access if opaque is None else opaque)
            self.symbols[key] = known
        if known.term.sort() != sort_of(self.z3, type):
            raise Unsupported
        return known.term

    def entangled(self, symbol: Symbol) -> bool:
        """True when an opaque symbol shares a variable with another symbol: it is then no free input."""
        others = (s for s in self.symbols.values() if s is not symbol)
        return symbol.opaque and any(symbol.names & other.names for other in others)


def _truth(content: str) -> bool:
    kind, found = value(content)
    if kind == "bool":
        return bool(found)
    if kind == "int" and found in (0, 1):
        return found == 1
    raise Unsupported


def _integer(content: str) -> int:
    kind, found = value(content)
    if kind in ("int", "duration") and isinstance(found, int):
        return found
    raise Unsupported


def _literal_type(content: str) -> str:
    kind, _ = value(content)
    prefix = content.split("#", maxsplit=1)[0].upper()
    if kind == "int":
        return prefix if prefix in INTEGERS else "?"
    if kind == "real":
        return prefix if prefix in ("REAL", "LREAL") else "?real"
    return {"bool": "BOOL", "duration": TIMES[0]}.get(kind, "")
