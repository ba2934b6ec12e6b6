"""One of the two pieces of a proof: its statements, and what the names in it stand for."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal, NamedTuple

from asfound.analysis.symbols import Symbols
from asfound.language import addresses
from asfound.language.elementary import REALS
from asfound.model.copy import Copy
from asfound.model.logic import Statement
from asfound.model.program import Pou, VariableDeclaration
from asfound.prove.sorts import KNOWN, WIDTHS
from asfound.prove.standard_blocks import standard

_ARRAY = re.compile(r"ARRAY\s*\[([^\]]*)\]\s*OF\s+(.+)", re.IGNORECASE | re.DOTALL)
_REFERENCE = re.compile(r"(?:POINTER\s+TO|REF_TO|REFERENCE\s+TO)\b", re.IGNORECASE)
SIZES = REALS | WIDTHS
"""Bits that a value takes; a duration, whose size the standard leaves open, the most that are met."""
_RANGE = re.compile(r"\s*(-?\d+)\s*\.\.\s*(-?\d+)\s*")


class Run(NamedTuple):
    """Statements of one network; wires are numbered inside of it."""

    network: int
    statements: tuple[Statement, ...]


class Location(NamedTuple):
    """Where a value lives. ``key`` is equal for two accesses exactly when they touch the same location.

    ``kind``: local, temp, input, output, in_out, global, outside (declared elsewhere), located, hidden, unknown.
    ``bit`` is set for one bit of it.
    """

    key: str
    type: str
    kind: str
    shown: str
    constant: str = ""
    bit: int | None = None


@dataclass(frozen=True)
class Side:
    """``types`` gives declared types by folded access text; they win over the declarations.

    ``part`` tells what the rest of the body can see of it: of a whole ``body`` no temporary variable and no wire, of a
    ``network`` its temporary variables, of a ``statement`` its wires as well. Only of a whole body may a variable that
    one side alone has be left out of what is compared.
    """

    runs: Sequence[Run]
    symbols: Symbols = field(default_factory=lambda: Symbols(Copy()))
    pou: Pou | None = None
    types: Mapping[str, str] = field(default_factory=dict)
    part: Literal["body", "network", "statement"] = "body"

    def variables(self, pou: Pou | None) -> dict[str, VariableDeclaration]:
        """Declarations of a POU by folded name."""
        return {} if pou is None else self.symbols.variables(pou)

    @cached_property
    def repeated(self) -> frozenset[str]:
        """Folded global names that several lists declare."""
        count = Counter(v.name.lower() for block in self.symbols.copy.program.globals for v in block.variables)
        return frozenset(name for name, number in count.items() if number > 1)

    @cached_property
    def enumerators(self) -> dict[str, tuple[str, int]]:
        """Type and number of every enumeration value, by each way to write it; ambiguous short names left out."""
        found: dict[str, tuple[str, int]] = {}
        short: dict[str, list[tuple[str, int]]] = {}
        for type in self.symbols.types.values():
            if type.kind == "enum" and not any(v.value for v in type.values):
                name = type.name.lower()
                for number, value in enumerate(type.values):
                    for mark in "#.":
                        found[f"{name}{mark}{value.name.lower()}"] = name, number
                    short.setdefault(value.name.lower(), []).append((name, number))
        return found | {name: ways[0] for name, ways in short.items() if len(ways) == 1}

    @cached_property
    def names(self) -> dict[str, tuple[str, ...]]:
        """The values of every enumeration by its folded name, each as ``Type#VALUE``."""
        types = [t for t in self.symbols.types.values() if t.kind == "enum"]
        return {t.name.lower(): tuple(f"{t.name}#{v.name}" for v in t.values) for t in types}

    def block(self, type: str) -> Pou | None:
        """The function block or function behind a type name: of the program, else a standard one."""
        known = self.symbols.block(type)
        return standard(known.name) if known else self.symbols.pous.get(type.lower())

    def resolved(self, type: str) -> str:
        """The type behind aliases; a reference cannot be followed."""
        found = self.symbols.resolved(type)
        if _REFERENCE.match(found):
            raise ReferenceError(found)
        return found

    def elementary(self, type: str) -> str:
        """``BOOL``, an integer, duration or REAL type in capitals, ``ENUM``, a string with its length."""
        found = self.resolved(type).upper() if type else ""
        if found.lower() in self.names:
            return "ENUM"
        known = found in KNOWN or found.startswith(("STRING", "WSTRING"))
        return found if known and found.lower() not in self.symbols.types else ""

    def member(self, type: str, name: str) -> VariableDeclaration | None:
        """Declaration of a member of a structure or block."""
        found = self.resolved(type).lower()
        pou = self.block(found) if found else None
        if pou is not None:
            return self.variables(pou).get(name)
        data = self.symbols.types.get(found)
        members = data.members if data is not None and data.kind == "struct" else ()
        return next((m for m in members if m.name.lower() == name), None)

    def fields(self, type: str) -> tuple[VariableDeclaration, ...] | None:
        """Members of a structure; None for any other type."""
        data = self.symbols.types.get(self.resolved(type).lower())
        return data.members if data is not None and data.kind == "struct" else None


class Array(NamedTuple):
    """Bounds of each dimension, and the type of an element."""

    ranges: tuple[tuple[int, int], ...]
    element: str


def array(type: str) -> Array | None:
    """The bounds of an array type with constant bounds.

    >>> array("ARRAY[1..4, 0..1] OF INT")
    Array(ranges=((1, 4), (0, 1)), element='INT')
    """
    found = _ARRAY.fullmatch(type)
    if found is None:
        return None
    parts = [_RANGE.fullmatch(part) for part in found.group(1).split(",")]
    if not all(parts):
        return None
    ranges = tuple((int(p.group(1)), int(p.group(2))) for p in parts if p is not None)
    return Array(ranges, found.group(2).strip())


def located(text: str, type: str, shown: str, elementary: str, ways: tuple[addresses.Way, ...]) -> Location:
    """The location of a direct address; equal bits are one location whatever they are called.

    The key holds the area, the first bit in each of the ``ways`` to count words that are possible, and the width.

    What is declared wider than its address takes the bits of its type; an address that is not understood, or holds more
    than one value, gets a key that overlaps with everything in its area.
    """
    address = addresses.parse(text)
    if address is None or address.wildcard:
        return Location(f"%?{text}", type, "located", shown)
    spans = addresses.Memory.at(text, ways).spans
    if not spans or (type and not elementary):
        return Location(f"%{address.area}@{addresses.canonical(text)}", type, "located", shown)
    bits = len(spans[0])
    width = max(bits, SIZES.get(elementary, 64)) if elementary not in ("", "BOOL") else bits
    starts = [str(span.start) for span in spans]
    at = "/".join(starts) if len({*starts}) > 1 else starts[0]
    return Location(f"%{address.area}{at}+{width}", type, "located", shown)
