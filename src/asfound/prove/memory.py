"""The values that a body has written so far, by location (see locations)."""

from __future__ import annotations

from abc import abstractmethod
from typing import Any

from asfound.language.elementary import initial_value
from asfound.language.literals import value as literal_value
from asfound.model.logic import (
    Expression,
    Literal,
)
from asfound.prove.encoder import Encoder, Unsupported, Value
from asfound.prove.locations import Locator, exposed
from asfound.prove.proof_side import Location, Side, array
from asfound.prove.sorts import KNOWN


class Memory(Locator):
    """State of one side. ``written`` and ``touched`` hold the locations touched, by key."""

    def __init__(self, encoder: Encoder, side: Side, label: str, private: frozenset[str]) -> None:
        super().__init__(encoder, side)
        self.label, self.private = label, private
        self.fresh = False
        """Whether a memory of one side alone is looked at, so that a case begins where both programs do."""
        self.state: dict[str, Any] = {}
        self.found: dict[str, str] = {}
        """Type of undeclared locations, by key: that of what they were first used for."""
        self.written: dict[str, Location] = {}
        self.touched: dict[str, Location] = {}
        self.loaded, self.stored = set[str](), set[str]()
        """Keys of the locations that the operand which is taken now read and wrote (see evaluate)."""
        self.environments: list[tuple[Any, Any]] = []
        self.opaque_blocks: dict[str, str] = {}

    def behind(self, key: str, term: Any, environment: tuple[Any, Any]) -> Any:
        """The value of an exposed location after something unknown happened."""
        active, world = environment
        return self.encoder.choose(active, self.encoder.apply(f"after {key}", [world], term.sort()), term)

    def load(self, e: Expression, want: str = "") -> Value:
        """The value at the location that an access names."""
        found = self.possible_locations(e)
        result = self._at(found[-1][1], want)
        for condition, location in reversed(found[:-1]):
            other = self._at(location, want or result.type)
            result = result._replace(term=self.encoder.choose(condition, other.term, result.term))
        return result

    def _at(self, location: Location, want: str) -> Value:
        constant = self._of_constant(location)
        if constant is not None:
            return constant
        term, type = self._term(location, want)
        if location.bit is None:
            return Value(term, type)
        bit = self.encoder.z3.Extract(location.bit, location.bit, term)
        return Value(bit == self.encoder.number(1, 1), "BOOL")

    def _of_constant(self, location: Location) -> Value | None:
        type = self.side.elementary(location.type)
        if not location.constant or not type or literal_value(location.constant)[0] in ("text", "enum"):
            return None
        return self.value(Literal(location.constant), type)

    def _term(self, location: Location, want: str) -> tuple[Any, str]:
        """The whole term of a location and its type, bits not cut out."""
        type = self._type(location, want)
        uninterpreted = self._uninterpreted_pin(location, type)
        if uninterpreted is not None:
            return uninterpreted, type
        self.touched.setdefault(location.key, location._replace(bit=None))
        self.loaded.add(location.key)
        if location.key not in self.state:
            self.state[location.key] = self.initial(location, type)
        term = self.state[location.key]
        if term.sort() != self.encoder.sort(type):
            if location.type or want:
                raise Unsupported(f"{location.shown} is used with two types")
            type = "BOOL" if self.encoder.z3.is_bool(term) else ""
        return term, type

    def _uninterpreted_pin(self, location: Location, type: str) -> Any:
        """The value of a pin of a block that was called but not entered."""
        owner, _, pin = location.key.rpartition(".")
        if owner not in self.opaque_blocks or pin == "~state" or location.key in self.state:
            return None
        state = self.state[f"{owner}.~state"]
        name = f"{self.opaque_blocks[owner]}.{pin}"
        return self.encoder.apply(name, [state], self.encoder.sort(type), type=type, shown=location.shown)

    def _type(self, location: Location, want: str) -> str:
        if not location.type:
            return self.found.setdefault(location.key, want) if want else self.found.get(location.key, "")
        type = self.side.elementary(location.type)
        resolved = self.side.resolved(location.type)
        composed = array(resolved) or self.side.fields(resolved) is not None or self.side.block(resolved)
        data = self.side.symbols.types.get(resolved.lower())
        if not type and (composed or resolved.upper().startswith("ARRAY") or (data and data.kind == "union")):
            raise Unsupported(f"{location.shown} is more than one value")
        return type

    def initial(self, location: Location, type: str) -> Any:
        """The value a location has before the body runs."""
        start = self._at_start(location, type)
        free = not self.is_private(location) or "§edge" in location.key or start is not None
        term = self.encoder.input(*self.named(location), type, free, location.type.lower())
        if start is not None:
            self.encoder.starts.append(term == start)
        if exposed(location):
            for environment in self.environments:
                term = self.behind(location.key, term, environment)
        return term

    def _at_start(self, location: Location, type: str) -> Any:
        """What a variable that begins anew in each cycle holds then, and one that this side alone has at its first."""
        if self.fresh and "§edge" in location.key:
            return self.encoder.false
        if location.key.startswith("§wire") and self.side.part == "body" and type in KNOWN:
            return self.numbers.convert(self.value(Literal(initial_value(type) or "0"), type), type)
        pou = self.side.pou
        declared = self.side.variables(pou).get(location.key)
        own = pou is not None and pou.kind == "function" and location.key == pou.name.lower()
        if self.side.part != "body" or type not in KNOWN or (declared is None and not own) or self.frame.depth:
            return None
        anew = location.kind == "temp" or (
            pou is not None and pou.kind == "function" and location.kind in ("local", "output")
        )
        if not anew and location.key not in self.private:
            return None
        initial = (declared.initial if declared is not None else "") or (initial_value(type) or "0")
        if literal_value(initial)[0] in ("text", "enum"):
            return None
        return self.numbers.convert(self.value(Literal(initial), type), type)

    def named(self, location: Location) -> tuple[str, str]:
        """Key and name of the starting value; locations that only one side has are its own."""
        mark = f"{self.label} " if self.is_private(location) else ""
        return f"{mark}{location.key}", location.shown

    def is_private(self, location: Location) -> bool:
        """Whether the location belongs to one side alone, and nothing outside of the piece can see it."""
        if location.key.startswith("§wire"):
            return self.side.part != "statement"
        root = location.key.split(".")[0].split("[")[0]
        return (location.kind == "temp" and self.side.part == "body") or "§" in location.key or root in self.private

    @abstractmethod
    def fitting(self, location: Location, content: Value) -> None:
        """Note that a value may not fit what is declared (see evaluate)."""

    def store(self, location: Location, content: Value, condition: Any) -> None:
        """Write a value to a location while a condition holds and this part of the body runs."""
        if location.constant:
            raise Unsupported(f"{location.shown} must not be written")
        term, type = self._term(location, content.type)
        if location.bit is None:
            new = self.numbers.convert(content, type)
            self.fitting(location, Value(new, type))
        else:
            bit = self.encoder.z3.If(
                self.numbers.convert(content, "BOOL"), *(self.encoder.number(n, 1) for n in (1, 0))
            )
            new = _with_bit(self.encoder, term, location.bit, bit)
        self.written.setdefault(location.key, location._replace(bit=None))
        self.stored.add(location.key)
        self.state[location.key] = self.encoder.choose(self.encoder.both(self.active, condition), new, term)


def _with_bit(encoder: Encoder, term: Any, bit: int, content: Any) -> Any:
    size = term.size()
    parts = [encoder.z3.Extract(size - 1, bit + 1, term)] if bit + 1 < size else []
    parts.append(content)
    parts += [encoder.z3.Extract(bit - 1, 0, term)] if bit else []
    return encoder.z3.Concat(*parts) if len(parts) > 1 else content
