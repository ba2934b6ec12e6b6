"""Which location an access names.

Two accesses get one key exactly when they name one location: a variable declared at an address and the address itself,
a pin of an instance inside and outside of the block, an argument passed by reference and what was passed. Places that
could overlap without being equal are collected for :mod:`asfound.prove.overlapping`. An element at a variable index
stands for every element it could be, each under its condition.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass, field
from itertools import product
from math import prod
from typing import Any

from asfound.analysis.canonical import folded
from asfound.language.elementary import INTEGERS
from asfound.language.readable import expression as text
from asfound.language.walk import walk
from asfound.model.logic import (
    Direct,
    Edge,
    Element,
    Expression,
    Invocation,
    Member,
    Temporary,
    Variable,
)
from asfound.model.program import Pou, VariableDeclaration
from asfound.prove.arithmetic import Numbers
from asfound.prove.encoder import Encoder, Hidden, Unsupported, Value
from asfound.prove.proof_side import Location, Side, array, located
from asfound.prove.sorts import WIDTHS, is_signed

MAX_ELEMENTS = 64
PossibleLocation = tuple[Any, Location]
"""A condition and the location that an access names while it holds."""


@dataclass
class Frame:
    """One running POU.

    ``bound`` are the locations passed by reference, ``edges`` counts edges in order of evaluation.
    """

    pou: Pou | None
    prefix: str = ""
    shown: str = ""
    bound: dict[str, Location] = field(default_factory=dict)
    network: int = 0
    edges: list[int] = field(default_factory=lambda: [0])
    depth: int = 0
    function: bool = False
    action: bool = False


OUTSIDE = frozenset(("global", "outside", "located", "in_out"))
"""Kinds of locations that code elsewhere can reach."""


def exposed(location: Location) -> bool:
    """Whether code elsewhere can write a location; inputs of the station are read only."""
    return location.kind in OUTSIDE and not location.key.startswith("%I")


class Locator(ABC):
    """Names of one side, as the POU that runs sees them."""

    def __init__(self, encoder: Encoder, side: Side) -> None:
        self.encoder, self.side = encoder, side
        self.numbers = Numbers(encoder)
        self.frame = Frame(side.pou)
        self.active: Any = encoder.true
        """The condition under which this part of the body runs."""
        self.outside = encoder.false
        """True when an index left the bounds of its array."""

    @abstractmethod
    def value(self, e: Expression, want: str = "") -> Value:
        """The value of an expression (see evaluate)."""

    def possible_locations(self, e: Expression) -> list[PossibleLocation]:
        """Every location an access can name, each with its condition; one location for all but variable indexes."""
        match e:
            case Variable(name):
                return [(self.encoder.true, self._variable(name, e))]
            case Temporary(number):
                key = f"{self.frame.prefix}§wire:{self.frame.network}:{number}"
                return [(self.encoder.true, Location(key, self._given(e), "temp", text(e)))]
            case Direct(address):
                return [(self.encoder.true, self._direct(address, self.side.symbols.type_of(e, {}), address, address))]
            case Member(Variable(list_), name) if self._is_list(list_):
                return [(self.encoder.true, self._global(name.lower(), name, list_))]
            case Member(of, name):
                return [(c, self._member(p, name, e)) for c, p in self.possible_locations(of)]
            case Element(of, indexes):
                return [s for possible in self.possible_locations(of) for s in self._elements(possible, indexes)]
        raise Unsupported(f"{text(e)} cannot be followed")

    def location(self, e: Expression) -> Location:
        """The one location that an access names."""
        found = self.possible_locations(e)
        if len(found) != 1:
            raise Unsupported(f"{text(e)} is not one place")
        return found[0][1]

    def seen(self, e: Expression) -> None:
        """Stop where a method, property or action of something is meant: it may write any variable of its block."""
        if isinstance(e, Member) and e.name.lower() in self.side.symbols.routines:
            raise Hidden(f"{text(e)} may write what is declared elsewhere")

    def _given(self, e: Expression) -> str:
        return self.side.types.get(folded(e), "") if self.side.types else ""

    def _is_list(self, name: str) -> bool:
        key = name.lower()
        inside = key in self.frame.bound or key in self.side.variables(self.frame.pou)
        return not inside and key in self.side.symbols.lists

    def _variable(self, name: str, e: Expression) -> Location:
        key = name.lower()
        if key in self.frame.bound:
            return self.frame.bound[key]
        found = self.side.variables(self.frame.pou).get(key)
        if found is not None and found.section != "external":
            return self._declared(found)
        pou = self.frame.pou
        if found is None and key in ("en", "eno"):
            raise Unsupported("a body that looks at its enable pin")
        if pou is not None and pou.result and pou.name.lower() == key:
            return Location(f"{self.frame.prefix}{key}", pou.result, "output", f"{self.frame.shown}{name}")
        return self._global(key, name, "", self._given(e) or (found.type if found is not None else ""))

    def _declared(self, d: VariableDeclaration) -> Location:
        if d.address and not self.frame.prefix:
            return self._located(d)
        if d.address or (d.section == "in_out" and self.frame.depth):
            raise Unsupported(f"{d.name} of a called block is bound elsewhere")
        kind: str = "temp" if d.section == "temp" or self.frame.function else d.section
        kind = kind if kind in ("temp", "input", "output", "in_out") else "local"
        constant, key, shown = d.initial if d.constant else "", d.name.lower(), f"{self.frame.shown}{d.name}"
        if key.startswith("_") and self.frame.prefix:
            kind, shown = "hidden", f"memory of {self.frame.shown.rstrip('.')}"
        return Location(f"{self.frame.prefix}{key}", d.type, kind, shown, constant)

    def _located(self, d: VariableDeclaration) -> Location:
        found = self._direct(d.address, d.type, f"{d.name} ({d.address})", d.name)
        return found._replace(constant=d.initial if d.constant else "")

    def _direct(self, address: str, type: str, shown: str, name: str) -> Location:
        if address.rstrip().endswith("*"):
            return Location(f"?{name.lower()}", type, "outside", name)
        return located(address, type, shown, self.side.elementary(type), self.side.symbols.numbering.ways)

    def _global(self, key: str, name: str, list_: str, type: str = "") -> Location:
        symbols = self.side.symbols
        if key in self.side.repeated:
            raise Unsupported(f"{name} is declared in several lists of global variables")
        found = symbols.globals.get(key)
        if found is not None and found.address:
            return self._located(found)
        if found is not None:
            return Location(f"::{key}", found.type, "global", name, found.initial if found.constant else "")
        if key in symbols.tags and symbols.tags[key].address:
            tag = symbols.tags[key]
            return self._direct(tag.address, type or tag.type, f"{name} ({tag.address})", name)
        if key in symbols.routines:
            raise Hidden(f"{name} may write what is declared here")
        mark = f"?{list_}" if list_ else "::"  # one side alone may hold the list that declares it
        return Location(f"{mark}{key}", type, "local" if key in self.side.types else "outside", name)

    def _member(self, of: Location, name: str, e: Expression) -> Location:
        key, resolved = name.lower(), self.side.resolved(of.type)
        bit = key.removeprefix("%x")
        if bit.isdigit() and (not of.type or resolved.upper() in INTEGERS):
            if not of.type or int(bit) >= WIDTHS[resolved.upper()] or of.bit is not None:
                raise Unsupported(f"{text(e)} is a bit of something unknown")
            return of._replace(bit=int(bit))
        if key == "eno" and of.type and self.side.block(resolved) is not None:
            return Location(f"{of.key}.eno", "BOOL", of.kind, f"{of.shown}.ENO")
        given = self._given(e)
        found = self.side.member(of.type, key) if of.type else None
        if found is None:
            self.seen(e)
        if found is None and of.type and not given:
            raise Unsupported(f"{text(e)} is not declared")
        if found is not None and (found.address or found.section in ("in_out", "external")):
            raise Unsupported(f"{text(e)} lies elsewhere")
        pou = self.side.block(resolved) if of.type else None
        if pou is not None and (pou.members or pou.extends):
            raise Unsupported(f"{text(e)} may be calculated")
        type = given or (found.type if found is not None else "")
        kind = "hidden" if key.startswith("_") and pou is not None else of.kind
        shown = f"memory of {of.shown}" if kind == "hidden" else f"{of.shown}.{name}"
        return Location(f"{of.key}.{key}", type, kind, shown)

    def _elements(self, possible: PossibleLocation, indexes: tuple[Expression, ...]) -> list[PossibleLocation]:
        condition, of = possible
        if any(map(self._acts, (n for i in indexes for n in walk(i)))):
            raise Unsupported(f"an index of {of.shown} is calculated by a call")
        values = [self.value(i, "DINT") for i in indexes]
        bounds = array(self.side.resolved(of.type)) if of.type else None
        constants = [self._constant(v) for v in values]
        known = [c for c in constants if c is not None]
        if bounds is None or len(bounds.ranges) != len(values):
            if len(known) < len(values) or of.type:
                raise Unsupported(f"the bounds of {of.shown} are not known")
            return [(condition, _element(of, known, ""))]
        if len(known) == len(values):
            if not all(low <= n <= high for n, (low, high) in zip(known, bounds.ranges, strict=True)):
                raise Unsupported(f"an index of {of.shown} is out of its bounds")
            return [(condition, _element(of, known, bounds.element))]
        return self._anywhere(possible, values, bounds.ranges, bounds.element)

    def _anywhere(
        self, possible: PossibleLocation, values: list[Value], ranges: tuple[tuple[int, int], ...], element: str
    ) -> list[PossibleLocation]:
        if prod(max(0, high + 1 - low) for low, high in ranges) > MAX_ELEMENTS:
            raise Unsupported(f"{possible[1].shown} has too many elements for a variable index")
        choices = list(product(*(range(low, high + 1) for low, high in ranges)))
        self.encoder.tick(len(choices))
        z3, found = self.encoder.z3, []
        wide = [self.numbers.widened(v, 128) for v in values]
        inside = self.encoder.false
        for choice in choices:
            hit = self.encoder.true
            for term, number in zip(wide, choice, strict=True):
                hit = self.encoder.both(hit, term == self.encoder.number(number, 128))
            inside = self.encoder.either(inside, hit)
            found.append((self.encoder.both(possible[0], hit), _element(possible[1], list(choice), element)))
        self.outside = self.encoder.either(self.outside, z3.And(self.active, possible[0], z3.Not(inside)))
        return found

    def _acts(self, node: Expression) -> bool:
        """Whether evaluating a node twice could do something twice."""
        if not isinstance(node, Invocation):
            return isinstance(node, Edge)
        name = node.function.name if isinstance(node.function, Variable) else ""
        return self.side.symbols.function(name) is None or bool(node.outputs)

    def _constant(self, v: Value) -> int | None:
        if v.type not in INTEGERS:
            raise Unsupported("an index of unknown type")
        term = self.encoder.z3.simplify(v.term)
        if not self.encoder.z3.is_bv_value(term):
            return None
        signed = v.loose or is_signed(v.type)
        return int(term.as_signed_long() if signed else term.as_long())


def _element(of: Location, numbers: list[int], type: str) -> Location:
    index = ",".join(map(str, numbers))
    return of._replace(key=f"{of.key}[{index}]", type=type, shown=f"{of.shown}[{index}]", constant="")
