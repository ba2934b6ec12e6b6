"""How the arguments of calls reach what is called: by value, by reference, written at the end, or nobody can see how.

The declaration of what is called decides, for a statement and inside any expression alike; an argument on an in/out pin
is read and written there. Arguments without a name are taken in the order of the declarations; where it is open whether
outputs count among them, both ways are given.
Cost: one walk over the expressions of a statement, and the declarations of each POU that it calls.
Known weakness: a method of a derived block that is called through a reference to its base is looked up in the base.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal as Choice
from typing import NamedTuple

from asfound.analysis.symbols import Symbols
from asfound.language.walk import every_statement, invocations, root
from asfound.model.logic import (
    Argument,
    Call,
    Dereference,
    Expression,
    Literal,
    Member,
    Statement,
    Variable,
)
from asfound.model.program import Pou, VariableDeclaration

How = Choice["value", "reference", "written", "unknown", "address"]
Callee = Pou | Choice["plain", "address", "unknown"]
"""A POU of the copy; ``plain`` takes everything by value: standard functions and blocks, actions. ``address`` only
takes the address of a variable, for whoever goes through it later."""
_ADDRESS = frozenset(("REF", "ADR"))
_LOOKED_AT = frozenset(("SIZEOF",))
"""REF: IEC 61131-3:2013 table 12, from memory; the others common practice. None of them runs code."""
_SECTIONS: dict[str, How] = {"input": "value", "in_out": "reference", "output": "written"}
_POINTERS = ("POINTER TO ", "REF_TO ", "REFERENCE TO ")
_BASES = 16
"""Blocks that extend each other; more is a circle."""


class Calling(NamedTuple):
    """One call, as a statement or inside an expression."""

    function: Expression
    type: str
    inputs: tuple[Argument, ...]
    outputs: tuple[Argument, ...]


class Passed(NamedTuple):
    """``block`` and ``pin`` are folded and empty where the declaration is not known; then there is no ``calling``."""

    argument: Argument
    how: How
    block: str = ""
    pin: str = ""
    calling: Calling | None = None


def calls(statement: Statement) -> Iterator[Calling]:
    """Every call of a statement, nested statements included; what stands for the head of a branch is none."""
    for each in every_statement(statement):
        if isinstance(each, Call) and not each.type.startswith("§"):
            yield Calling(each.instance, each.type, each.inputs, each.outputs)
    for node in invocations(statement):
        yield Calling(node.function, "", node.inputs, node.outputs)


class Passing:
    """What the calls of one copy do with their arguments."""

    def __init__(self, symbols: Symbols) -> None:
        self.symbols = symbols
        self._owners = {id(m): p for p in symbols.copy.program.pous for m in p.members}
        self._locals: dict[int, tuple[Pou, dict[str, str]]] = {}
        self._pins: dict[int, tuple[Pou, tuple[VariableDeclaration, ...], bool]] = {}

    def owner(self, pou: Pou) -> Pou:
        """The POU at the top that a method or property belongs to; any other POU itself."""
        return self._owners.get(id(pou), pou)

    def seen(self, pou: Pou) -> dict[str, str]:
        """Type of everything that a POU sees by folded name: declared, inherited, or by its owner."""
        if id(pou) not in self._locals:
            around = {self.owner(pou).name: self.owner(pou), pou.name: pou}.values()
            chain = [p for each in around for p in reversed(self.chain(each))]
            self._locals[id(pou)] = pou, {k: v for p in chain for k, v in self.symbols.locals_of(p).items()}
        return self._locals[id(pou)][1]

    def passed(self, statement: Statement, pou: Pou | None) -> Iterator[Passed]:
        """Every input of every call, seen from a POU."""
        for calling in calls(statement):
            yield from self.arguments(calling, pou)

    def arguments(self, calling: Calling, pou: Pou | None) -> Iterator[Passed]:
        """The inputs of one call; one whose place is open comes more than once."""
        callee = self.callee(calling, pou)
        for number, argument in enumerate(calling.inputs):
            if argument.name.lower() == "en" or callee == "plain":
                yield Passed(argument, "value")
            elif isinstance(callee, str):
                yield Passed(argument, "address" if callee == "address" else "unknown")
            else:
                yield from self._ways(callee, number, calling)

    def _ways(self, callee: Pou, number: int, calling: Calling) -> Iterator[Passed]:
        argument = calling.inputs[number]
        found = set(self._declared(callee, number, argument))
        for variable in sorted(found, key=lambda v: (v.section, v.name)):
            how = _SECTIONS[variable.section]
            if how == "value" and self.refers(variable.type):
                how = "unknown"
            yield Passed(argument, how, callee.name.lower(), variable.name.lower(), calling)
        if not found:
            yield Passed(argument, "unknown")

    def _declared(self, callee: Pou, number: int, argument: Argument) -> Iterator[VariableDeclaration]:
        pins, whole = self.pins(callee)
        if argument.name:
            yield from (v for v in pins if v.name.lower() == argument.name.lower())
        elif whole:
            for way in ([v for v in pins if v.section != "output"], pins):
                yield from way[number : number + 1]

    def pins(self, pou: Pou) -> tuple[tuple[VariableDeclaration, ...], bool]:
        """Inputs, in/outs and outputs in the order of their declaration, inherited ones first; whether all are."""
        if id(pou) not in self._pins:
            chain = self.chain(pou)
            whole = not chain[-1].extends
            found = tuple(v for p in reversed(chain) for v in p.variables if v.section in _SECTIONS)
            self._pins[id(pou)] = pou, found, whole
        return self._pins[id(pou)][1:]

    def chain(self, pou: Pou) -> list[Pou]:
        """A POU and the ones it inherits from, as far as the copy has them."""
        found = [pou]
        for _ in range(_BASES):
            base = self.symbols.pous.get(found[-1].extends.lower()) if found[-1].extends else None
            if base is None or base in found:
                break
            found.append(base)
        return found

    def refers(self, type: str) -> bool:
        """Is a value of this type a way to something else: a pointer, a reference, an interface?"""
        resolved = self.symbols.resolved(type)
        pou = self.symbols.pous.get(resolved.lower())
        return resolved.upper().startswith(_POINTERS) or (pou is not None and pou.kind == "interface")

    def callee(self, calling: Calling, pou: Pou | None) -> Callee:
        """What a call runs, seen from a POU."""
        local = self.seen(pou) if pou is not None else {}
        typed = self._typed(calling.type or self.symbols.type_of(calling.function, local))
        match calling.function:
            case Literal():
                return "plain"
            case Variable(name):
                own = self._member(self.owner(pou), name) if pou is not None else None
                return own or typed or self._named(name)
            case Member(of, name):
                return self._through(of, name, pou, local) or typed or self._named(name)
        return typed or "unknown"

    def _through(self, of: Expression, name: str, pou: Pou | None, local: dict[str, str]) -> Callee | None:
        """A method or action of an instance, of THIS or of SUPER."""
        if isinstance(of, Dereference | Variable) and root(of) in ("this", "super") and pou is not None:
            chain = self.chain(self.owner(pou))[root(of) == "super" :]
            return self._member(chain[0], name) or "unknown" if chain else "unknown"
        base = self.symbols.pous.get(self.symbols.resolved(self.symbols.type_of(of, local)).lower())
        return self._member(base, name) if base is not None else None

    def _member(self, pou: Pou, name: str) -> Callee | None:
        key = name.lower()
        for each in self.chain(pou):
            if any(a.name.lower() == key for a in each.actions):
                return "plain"
            found = next((m for m in each.members if m.name.lower() == key and m.kind == "method"), None)
            if found is not None:
                return found
        return None

    def _typed(self, type: str) -> Callee | None:
        """A call by a type; None when there is none."""
        key = self.symbols.resolved(type).lower()
        if not key or key in self.symbols.pous:
            return self.symbols.pous.get(key)
        return "plain" if key in self.symbols.types or self.symbols.block(key) else "unknown"

    def _named(self, name: str) -> Callee:
        """A call by the name of a function; what the copy declares itself goes before the standard."""
        found, word = self.symbols.pous.get(name.lower()), name.upper()
        if found is not None:
            return found
        if word in _ADDRESS:
            return "address"
        known = self.symbols.function(name) or self.symbols.block(name) or word in _LOOKED_AT
        return "plain" if known else "unknown"


def by_reference(passed: Iterable[Passed]) -> Iterator[Expression]:
    """The arguments that are written through a pin."""
    yield from (p.argument.value for p in passed if p.how in ("reference", "written"))
