"""Names: what a body that runs sees, and how a declared variable comes to its cell."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product
from typing import Any

from asfound.language import addresses
from asfound.language.parser import parse_expression
from asfound.language.tokens import tokens
from asfound.model.logic import Literal
from asfound.model.program import Pou, VariableDeclaration
from interpreter.blocks import PINS
from interpreter.cells import Cell, Group, Located, Pointer
from interpreter.kinds import ADDRESSED, FLOATS, TIMES, WIDTHS, Array, Block, Elementary, NotRun, Reference, Structure
from interpreter.numbers import Val


@dataclass
class Frame:
    """One running body: its names by folded spelling, then those of ``outer`` (the owner of a method)."""

    pou: Pou
    names: dict[str, Any]
    memory: dict[Any, Any]
    """Edges and wires, kept between cycles."""
    outer: Frame | None = None
    owner: Group | None = None
    network: int = 0
    extra: dict[str, Any] = field(default_factory=dict)


class Builder:
    """Makes cells; mixed into the machine, which has ``kinds``, ``images`` and ``evaluate``."""

    def make(self, type: str, initial: str = "", address: str = "") -> Any:
        """A cell of a type with its first value."""
        kind = self.kinds.of(type)
        initial = initial or self.kinds.initial(type)
        if address and not address.endswith("*"):
            return self._located(kind, address, initial)
        match kind:
            case Elementary():
                return Cell(kind, self._first(kind, initial))
            case Array(ranges, element, own):
                keys = list(product(*(range(low, high + 1) for low, high in ranges)))
                given = _listed(initial or own)
                return Group(
                    kind, {k: self.make(element, given[n] if n < len(given) else "") for n, k in enumerate(keys)}
                )
            case Structure(_, members):
                given = _named(initial)
                return Group(
                    kind, {m.name.lower(): self.make(m.type, given.get(m.name.lower(), m.initial)) for m in members}
                )
            case Reference():
                return Pointer(kind)
        return self._instance(kind, initial)

    def _first(self, kind: Elementary, initial: str) -> Any:
        cell = Cell(kind, _default(kind))
        if kind.name.startswith("ENUM"):
            cell.content = self.kinds.first(kind.name[5:])
        if initial:
            cell.write(self.constant(initial, kind))
        return cell.content

    def constant(self, text: str, kind: Elementary) -> Val:
        """The value of an initial text."""
        if kind.name == "BOOL" and text in ("0", "1"):
            return Val(text == "1", "BOOL")
        e = Literal(text) if text[0] in "+-" else parse_expression(text)
        return self.evaluate(e)

    def _located(self, kind: Any, address: str, initial: str) -> Any:
        found = addresses.parse(address)
        bits = addresses.bits(found) if found is not None else None
        if found is None or bits is None:
            raise NotRun(f"address {address}")
        image = self.images[found.area]
        if isinstance(kind, Array):
            element = self.kinds.of(kind.element)
            width, keys = ADDRESSED.get(element.name, 1), product(*(range(a, b + 1) for a, b in kind.ranges))
            return Group(kind, {k: Located(element, image, bits.start + n * width) for n, k in enumerate(keys)})
        if not isinstance(kind, Elementary):
            raise NotRun(f"a structure at {address}")
        cell = Located(kind, image, bits.start)
        if initial:
            cell.write(self.constant(initial, kind))
        return cell

    def _instance(self, kind: Block, initial: str) -> Group:
        given = _named(initial)
        if kind.pou is None:
            pins = PINS[kind.name]
            return Group(kind, {n: self.make(type, given.get(n, "")) for n, (type, _) in pins.items()})
        parts: dict[str, Any] = {}
        for v in self.declared(kind.pou):
            if v.section not in ("external", "temp", "in_out"):
                parts[v.name.lower()] = self.make(v.type, given.get(v.name.lower(), v.initial), v.address)
        return Group(kind, parts)

    def declared(self, pou: Pou) -> list[VariableDeclaration]:
        """The variables of a block with those it inherits, its own first."""
        found = list(pou.variables)
        base = self.kinds.pous.get(pou.extends.lower()) if pou.extends else None
        return found + (self.declared(base) if base is not None else [])


def _default(kind: Elementary) -> Any:
    if kind.low is not None:
        return kind.low
    if kind.name == "BOOL":
        return False
    if kind.name in FLOATS:
        return 0.0
    return 0 if kind.name in WIDTHS or kind.name in TIMES or kind.name.startswith("ENUM") else ""


def _listed(text: str) -> list[str]:
    """Values of ``[1, 2(3)]``, repetitions written out."""
    found: list[str] = []
    for part in _parts(text, "[", "]"):
        head, bracket, rest = part.partition("(")
        if bracket and head.strip().isdigit():
            found += _listed(f"[{rest.rstrip()[:-1]}]") * int(head)
        else:
            found.append(part)
    return found


def _named(text: str) -> dict[str, str]:
    """Members of ``(x := 1, y := 2)`` by folded name."""
    pairs = (part.partition(":=") for part in _parts(text, "(", ")"))
    return {name.strip().lower(): content.strip() for name, _, content in pairs}


def _parts(text: str, start: str, end: str) -> list[str]:
    inner = text.strip()
    if not inner:
        return []
    if inner[0] != start or inner[-1] != end:
        raise NotRun(f"initial value {text}")
    parts, depth, current = [], 0, ""
    for token in tokens(inner[1:-1]):
        depth += (token.kind in ("LP", "LB")) - (token.kind in ("RP", "RB"))
        if token.kind == "COMMA" and depth == 0:
            parts.append(current.strip())
            current = ""
        else:
            current += token.text + " "
    return [*parts, current.strip()] if current.strip() else parts
