"""Expressions, in the order and at the width of the readings."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import Any

from asfound.language.literals import value as literal_value
from asfound.language.standard import function
from asfound.language.statement_printer import expression as text
from asfound.model.logic import (
    Argument,
    Dereference,
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
from interpreter import functions
from interpreter.cells import Bit, Cell, Group, Nowhere, Pointer, Wire
from interpreter.kinds import FLOATS, TIMES, WIDTHS, NotRun
from interpreter.numbers import Stopped, Val, calculated, compared, kept

COMPARISONS = ("=", "<>", "<", "<=", ">", ">=")


class Evaluation:
    """Mixed into the machine."""

    def evaluate(self, e: Expression, want: str = "") -> Val:
        """The value of an expression; ``want`` is the type that its surroundings expect of an unknown function."""
        match e:
            case Literal(content):
                return self._literal(content)
            case Operation(operator, operands):
                return self._operation(operator, operands, want)
            case Invocation():
                return self._invocation(e, want)
            case Edge(kind, of):
                return self._edge(e, kind, of)
            case Variable(name) if self.find(name) is None and name.lower() in self.kinds.enumerators:
                type, number = self.kinds.enumerators[name.lower()]
                return Val(number, f"ENUM {type}")
            case Member(Variable(of), name) if (
                f"{of}.{name}".lower() in self.kinds.enumerators and self.find(of) is None
            ):
                type, number = self.kinds.enumerators[f"{of}.{name}".lower()]
                return Val(number, f"ENUM {type}")
        cell = self.locate(e)
        return Val(cell, "") if isinstance(cell, Group | Pointer) else cell.read()

    def truth(self, e: Expression) -> bool:
        return bool(self.evaluate(e, "BOOL").content)

    def _literal(self, content: str) -> Val:
        kind, found = literal_value(content)
        prefix = content.partition("#")[0].upper()
        match kind:
            case "bool":
                return Val(found, "BOOL")
            case "int":
                return Val(found, prefix if prefix in WIDTHS else "?INT")
            case "real":
                return Val(float(found), prefix if prefix in FLOATS else "?REAL")
            case "duration":
                return Val(found, "LTIME" if prefix in ("LT", "LTIME") else "TIME")
            case "string" | "wstring":
                return Val(found, kind.upper())
            case "enum" if content.lower() in self.kinds.enumerators:
                type, number = self.kinds.enumerators[content.lower()]
                return Val(number, f"ENUM {type}")
        raise NotRun(f"literal {content}")

    # --- operators

    def in_order(self, operands: Sequence[Expression], wants: Sequence[str]) -> list[Val]:
        """Values of operands, evaluated in the order of the readings."""
        found = list(zip(operands, wants, strict=True))
        if self.readings.right_first:
            return [self.evaluate(o, w) for o, w in reversed(found)][::-1]
        return [self.evaluate(o, w) for o, w in found]

    def _operation(self, operator: str, operands: Sequence[Expression], want: str) -> Val:
        if operator in ("AND", "OR"):
            return self._junction(operator, operands, want)
        if operator == "NOT":
            return functions.inverted(self.evaluate(operands[0], want))
        if operator == "NEG":
            v = self.evaluate(operands[0], want)
            return Val(kept(-v.content, v.type, self.readings.wide), v.type)
        inner = "" if operator in COMPARISONS else want
        values = self.in_order(operands, [self._hint(operands, n) or inner for n in range(len(operands))])
        if operator == "XOR":
            result = values[0]
            for v in values[1:]:
                result = functions.bitwise("XOR", result, v)
            return result
        left, right = values
        if operator in COMPARISONS:
            return Val(compared(operator, left, right, self.readings.wide), "BOOL")
        return calculated(operator, left, right, self.readings.wide, self.readings.stops)

    def _hint(self, operands: Sequence[Expression], number: int) -> str:
        """The type of a plain variable beside a function of others."""
        for other in (o for n, o in enumerate(operands) if n != number):
            if isinstance(other, Variable) and isinstance(self.find(other.name), Cell):
                return self.find(other.name).kind.name
        return ""

    def _junction(self, operator: str, operands: Sequence[Expression], want: str) -> Val:
        complete = self.readings.complete
        order = range(len(operands))
        values: dict[int, Val] = {}
        for n in reversed(order) if complete and self.readings.right_first else order:
            values[n] = self.evaluate(operands[n], want or "BOOL")
            if not complete and values[n].type == "BOOL" and bool(values[n].content) == (operator == "OR"):
                return values[n]
        result = values[0]
        for n in order[1:]:
            result = functions.bitwise(operator, result, values[n])
        return result

    def _edge(self, e: Edge, kind: str, of: Expression) -> Val:
        now = self.truth(of)
        before = self.frame.memory.get(("edge", id(e)), kind == "falling" and now)
        self.frame.memory["edge", id(e)] = now
        return Val(now and not before if kind == "rising" else before and not now, "BOOL")

    # --- functions

    def _invocation(self, e: Invocation, want: str) -> Val:
        if isinstance(e.function, Variable):
            name = e.function.name
            if name.upper() == "REF":
                return Val(self.locate(e.inputs[0].value), "")
            pou = self.kinds.pous.get(name.lower())
            if pou is not None and pou.kind == "function":
                return self.call_function(pou, e.inputs, e.outputs)
            method = self.method(name)
            if method is not None:
                return self.call_method(*method, e.inputs, e.outputs)
            if functions.known(name.upper()) and not e.outputs:
                return self._standard(name.upper(), e.inputs, want)
            return self.unknown(name, e.inputs, want)
        if isinstance(e.function, Member):
            return self.call_member(e.function, e.inputs, e.outputs)
        raise NotRun(text(e))

    def _standard(self, name: str, inputs: Sequence[Argument], want: str) -> Val:
        if any(a.name.upper() == "EN" for a in inputs):
            raise NotRun("EN of a standard function")
        written = [a.value for a in inputs]
        if inputs and inputs[0].name:
            names = [pin.name for pin in function(name).pins(len(inputs))]
            given = {a.name.upper(): n for n, a in enumerate(inputs)}
            at = [given[n] for n in names]
        else:
            at = list(range(len(inputs)))
        if name in ("SEL", "MUX") and self.readings.lazy:
            by = self.evaluate(written[at[0]], "BOOL" if name == "SEL" else "INT")
            return functions.chosen(
                name, by, len(at) - 1, self.readings, lambda n: self.evaluate(written[at[n + 1]], want)
            )
        hint = {"SEL": ("BOOL", want), "MUX": ("INT", want)}.get(name, (_source(name) or want,) * 2)
        wants = [hint[0] if n == at[0] else hint[1] for n in range(len(written))]
        values = self.in_order(written, wants)
        return functions.call(name, [values[n] for n in at], self.readings)

    def unknown(self, name: str, inputs: Sequence[Argument], want: str) -> Val:
        """A function of others: nothing is known but that equal arguments give equal results."""
        values = self.in_order([a.value for a in inputs], [""] * len(inputs))
        key = repr(
            (self.seed, name.lower(), [(a.name.lower(), v.content) for a, v in zip(inputs, values, strict=True)])
        )
        number = int.from_bytes(hashlib.sha256(key.encode()).digest()[:4], "big")
        if want in FLOATS:
            return Val(float(number % 2001 - 1000) / 4, want)
        if want == "BOOL" or (not want):
            return Val(bool(number & 1), "BOOL")
        if want in TIMES:
            return Val(number % 20_000 * 1_000_000, want)
        if want in WIDTHS:
            return Val(number % 101, want)
        raise NotRun(f"{name} of type {want}")

    # --- places

    def locate(self, e: Expression) -> Any:
        """The cell that an access names."""
        match e:
            case Variable(name):
                found = self.find(name)
                if found is None:
                    raise NotRun(f"{name} is not declared")
                return found.target() if isinstance(found, Pointer) and found.kind.implicit else found
            case Direct(address):
                return self.direct(address)
            case Temporary(number):
                key = ("wire", self.frame.network, number)
                return self.frame.memory.setdefault(key, Wire())
            case Member(Variable(of), name) if self.find(of) is None and of.lower() in self.lists:
                return self.lists[of.lower()][name.lower()]
            case Member(of, name):
                return self._member(self.locate(of), name.lower())
            case Element(of, indexes):
                return self._element(self.locate(of), [self.evaluate(i, "INT").content for i in indexes])
            case Dereference(of):
                pointer = self.locate(of)
                return pointer.target() if isinstance(pointer, Pointer) else pointer
        raise NotRun(text(e))

    def _member(self, of: Any, name: str) -> Any:
        if isinstance(of, Group):
            if name in of.parts:
                return of.parts[name]
            raise NotRun(f"member {name}")
        bit = name.removeprefix("%x")
        if bit.isdigit() and isinstance(of, Cell):
            return Bit(of, int(bit))
        raise NotRun(f"member {name}")

    def _element(self, of: Any, numbers: list[int]) -> Any:
        found = of.parts.get(tuple(numbers)) if isinstance(of, Group) else None
        if found is not None:
            return found
        if self.readings.stops:
            raise Stopped("index out of bounds")
        return Nowhere()


def _source(name: str) -> str:
    head = name.partition("_TO_")[0] if "_TO_" in name else ""
    return head if head in WIDTHS or head in FLOATS or head in TIMES or head == "BOOL" else ""
