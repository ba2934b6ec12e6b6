"""The values that a body has written so far, by place (see naming)."""

from __future__ import annotations

from abc import abstractmethod
from typing import Any

from asfound.language.literals import value as literal_value
from asfound.model.logic import (
    Expression,
    Literal,
)
from asfound.prove.encoder import Theory, Unsupported, Value
from asfound.prove.locations import Naming, exposed
from asfound.prove.side import Place, Side, array
from asfound.prove.sorts import DEFAULTS, KNOWN


class Memory(Naming):
    """State of one side. ``written`` and ``touched`` hold the places touched, by key."""

    def __init__(self, theory: Theory, side: Side, label: str, private: frozenset[str]) -> None:
        super().__init__(theory, side)
        self.label, self.private = label, private
        self.fresh = False
        """Whether a memory of one side alone is looked at, so that a case begins where both programs do."""
        self.state: dict[str, Any] = {}
        self.found: dict[str, str] = {}
        """Type of undeclared places, by key: that of what they were first used for."""
        self.written: dict[str, Place] = {}
        self.touched: dict[str, Place] = {}
        self.barriers: list[tuple[Any, Any]] = []
        self.opaque_blocks: dict[str, str] = {}

    def behind(self, key: str, term: Any, barrier: tuple[Any, Any]) -> Any:
        """The value of an exposed place after something unknown happened."""
        active, world = barrier
        return self.theory.choose(active, self.theory.apply(f"after {key}", [world], term.sort()), term)

    def load(self, e: Expression, want: str = "") -> Value:
        """The value at the place that an access names."""
        found = self.spots(e)
        result = self._at(found[-1][1], want)
        for condition, place in reversed(found[:-1]):
            other = self._at(place, want or result.type)
            result = result._replace(term=self.theory.choose(condition, other.term, result.term))
        return result

    def _at(self, place: Place, want: str) -> Value:
        constant = self._of_constant(place)
        if constant is not None:
            return constant
        term, type = self._term(place, want)
        if place.bit is None:
            return Value(term, type)
        bit = self.theory.z3.Extract(place.bit, place.bit, term)
        return Value(bit == self.theory.number(1, 1), "BOOL")

    def _of_constant(self, place: Place) -> Value | None:
        type = self.side.elementary(place.type)
        if not place.constant or not type or literal_value(place.constant)[0] in ("text", "enum"):
            return None
        return self.value(Literal(place.constant), type)

    def _term(self, place: Place, want: str) -> tuple[Any, str]:
        """The whole term of a place and its type, bits not cut out."""
        type = self._type(place, want)
        opaque = self._opaque_pin(place, type)
        if opaque is not None:
            return opaque, type
        self.touched.setdefault(place.key, place._replace(bit=None))
        if place.key not in self.state:
            self.state[place.key] = self.initial(place, type)
        term = self.state[place.key]
        if term.sort() != self.theory.sort(type):
            if place.type or want:
                raise Unsupported(f"{place.shown} is used with two types")
            type = "BOOL" if self.theory.z3.is_bool(term) else ""
        return term, type

    def _opaque_pin(self, place: Place, type: str) -> Any:
        """The value of a pin of a block that was called but not entered."""
        owner, _, pin = place.key.rpartition(".")
        if owner not in self.opaque_blocks or pin == "~state" or place.key in self.state:
            return None
        state = self.state[f"{owner}.~state"]
        name = f"{self.opaque_blocks[owner]}.{pin}"
        return self.theory.apply(name, [state], self.theory.sort(type), type=type, shown=place.shown)

    def _type(self, place: Place, want: str) -> str:
        if not place.type:
            return self.found.setdefault(place.key, want) if want else self.found.get(place.key, "")
        type = self.side.elementary(place.type)
        resolved = self.side.resolved(place.type)
        composed = array(resolved) or self.side.fields(resolved) is not None or self.side.block(resolved)
        data = self.side.symbols.types.get(resolved.lower())
        if not type and (composed or resolved.upper().startswith("ARRAY") or (data and data.kind == "union")):
            raise Unsupported(f"{place.shown} is more than one value")
        return type

    def initial(self, place: Place, type: str) -> Any:
        """The value a place has before the body runs."""
        start = self._at_start(place, type)
        free = not self.is_private(place) or "§edge" in place.key or start is not None
        term = self.theory.input(*self.named(place), type, free, place.type.lower())
        if start is not None:
            self.theory.starts.append(term == start)
        if exposed(place):
            for barrier in self.barriers:
                term = self.behind(place.key, term, barrier)
        return term

    def _at_start(self, place: Place, type: str) -> Any:
        """What a variable that begins anew in each cycle holds then, and one that this side alone has at its first."""
        if self.fresh and "§edge" in place.key:
            return self.theory.false
        if place.key.startswith("§wire") and self.side.part == "body" and type in KNOWN:
            return self.numbers.convert(self.value(Literal(DEFAULTS.get(type, "0")), type), type)
        pou = self.side.pou
        declared = self.side.variables(pou).get(place.key)
        own = pou is not None and pou.kind == "function" and place.key == pou.name.lower()
        if self.side.part != "body" or type not in KNOWN or (declared is None and not own) or self.frame.depth:
            return None
        anew = place.kind == "temp" or (
            pou is not None and pou.kind == "function" and place.kind in ("local", "output")
        )
        if not anew and place.key not in self.private:
            return None
        initial = (declared.initial if declared is not None else "") or DEFAULTS.get(type, "0")
        if literal_value(initial)[0] in ("text", "enum"):
            return None
        return self.numbers.convert(self.value(Literal(initial), type), type)

    def named(self, place: Place) -> tuple[str, str]:
        """Key and name of the starting value; places that only one side has are its own."""
        mark = f"{self.label} " if self.is_private(place) else ""
        return f"{mark}{place.key}", place.shown

    def is_private(self, place: Place) -> bool:
        """Whether the place belongs to one side alone, and nothing outside of the piece can see it."""
        if place.key.startswith("§wire"):
            return self.side.part != "statement"
        root = place.key.split(".")[0].split("[")[0]
        return (place.kind == "temp" and self.side.part == "body") or "§" in place.key or root in self.private

    @abstractmethod
    def fitting(self, place: Place, content: Value) -> None:
        """Note that a value may not fit what is declared (see evaluate)."""

    def store(self, place: Place, content: Value, condition: Any) -> None:
        """Write a value to a place while a condition holds and this part of the body runs."""
        if place.constant:
            raise Unsupported(f"{place.shown} must not be written")
        term, type = self._term(place, content.type)
        if place.bit is None:
            new = self.numbers.convert(content, type)
            self.fitting(place, Value(new, type))
        else:
            bit = self.theory.z3.If(self.numbers.convert(content, "BOOL"), *(self.theory.number(n, 1) for n in (1, 0)))
            new = _with_bit(self.theory, term, place.bit, bit)
        self.written.setdefault(place.key, place._replace(bit=None))
        self.state[place.key] = self.theory.choose(self.theory.both(self.active, condition), new, term)


def _with_bit(theory: Theory, term: Any, bit: int, content: Any) -> Any:
    size = term.size()
    parts = [theory.z3.Extract(size - 1, bit + 1, term)] if bit + 1 < size else []
    parts.append(content)
    parts += [theory.z3.Extract(bit - 1, 0, term)] if bit else []
    return theory.z3.Concat(*parts) if len(parts) > 1 else content
