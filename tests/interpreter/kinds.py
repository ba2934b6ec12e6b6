"""Types: what a variable of a declared type holds, and what it starts with."""

from __future__ import annotations

import re
from dataclasses import dataclass

from asfound.model.program import DataType, Pou, Program, VariableDeclaration

SIGNED = {"SINT": 8, "INT": 16, "DINT": 32, "LINT": 64}
UNSIGNED = {"USINT": 8, "UINT": 16, "UDINT": 32, "ULINT": 64, "BYTE": 8, "WORD": 16, "DWORD": 32, "LWORD": 64}
WIDTHS = SIGNED | UNSIGNED
FLOATS = {"REAL": 32, "LREAL": 64}
TIMES = ("TIME", "LTIME")
ADDRESSED = {**WIDTHS, **FLOATS, "TIME": 32, "LTIME": 64}
"""Bits of what can lie at an address; a TIME of 32 bits counts milliseconds (common practice)."""
_ARRAY = re.compile(r"ARRAY\s*\[([^\]]*)\]\s*OF\s+(.+)", re.IGNORECASE | re.DOTALL)
_SUBRANGE = re.compile(r"(\w+)\s*\(\s*(-?\d+)\s*\.\.\s*(-?\d+)\s*\)")
_REFERENCE = re.compile(r"(?:REF_TO|POINTER\s+TO|REFERENCE\s+TO)\s+(.+)", re.IGNORECASE | re.DOTALL)


class NotRun(Exception):
    """The interpreter has no meaning for this; a test that meets it must say so."""


@dataclass(frozen=True)
class Elementary:
    """``name`` in capitals; a subrange has ``low`` and ``high``; ``length`` is that of a string."""

    name: str
    low: int | None = None
    high: int | None = None
    length: int = 0


@dataclass(frozen=True)
class Array:
    ranges: tuple[tuple[int, int], ...]
    element: str
    initial: str = ""


@dataclass(frozen=True)
class Structure:
    name: str
    members: tuple[VariableDeclaration, ...]


@dataclass(frozen=True)
class Block:
    """An instance of a block: ``pou`` of the program, or a standard one by ``name`` alone."""

    name: str
    pou: Pou | None


@dataclass(frozen=True)
class Reference:
    to: str
    implicit: bool
    """``REFERENCE TO``: used without ``^``."""


Kind = Elementary | Array | Structure | Block | Reference


class Kinds:
    """The types of one program."""

    def __init__(self, program: Program) -> None:
        self.types = {t.name.lower(): t for t in program.types}
        self.pous = {p.name.lower(): p for p in program.pous}
        self.enumerators: dict[str, tuple[str, int]] = {}
        for type in program.types:
            if type.kind == "enum":
                self._number(type)

    def _number(self, type: DataType) -> None:
        number = -1
        for v in type.values:
            number = int(v.value) if v.value else number + 1
            for spelling in (v.name, f"{type.name}#{v.name}", f"{type.name}.{v.name}"):
                self.enumerators.setdefault(spelling.lower(), (type.name.lower(), number))

    def first(self, type: str) -> int:
        """The number of the first value of an enumeration."""
        return next(n for t, n in self.enumerators.values() if t == type)

    def of(self, text: str) -> Kind:
        """The kind behind a type text, aliases followed."""
        upper = text.strip().upper()
        if upper in WIDTHS or upper in FLOATS or upper in TIMES or upper in ("BOOL", "DATE", "TOD", "DT"):
            return Elementary(upper)
        if string := re.fullmatch(r"(W?STRING)(?:\[(\d+)\])?", upper):
            return Elementary(string[1], length=int(string[2] or 80))
        if array := _ARRAY.fullmatch(text.strip()):
            return Array(_ranges(array[1]), array[2])
        if subrange := _SUBRANGE.fullmatch(text.strip()):
            return Elementary(subrange[1].upper(), int(subrange[2]), int(subrange[3]))
        if reference := _REFERENCE.fullmatch(text.strip()):
            return Reference(reference[1], upper.startswith("REFERENCE"))
        return self._named(text.strip())

    def _named(self, name: str) -> Kind:
        from interpreter.blocks import PINS

        data = self.types.get(name.lower())
        if data is not None:
            if data.kind == "enum":
                return Elementary(f"ENUM {data.name.lower()}")
            if data.kind in ("struct",):
                return Structure(data.name, data.members)
            if data.kind in ("alias", "array", "subrange"):
                found = self.of(data.base)
                return Array(found.ranges, found.element, data.initial) if isinstance(found, Array) else found
        pou = self.pous.get(name.lower())
        if pou is not None and pou.kind == "function_block":
            return Block(pou.name, pou)
        if name.upper() in PINS:
            return Block(name.upper(), None)
        raise NotRun(f"type {name}")

    def initial(self, text: str) -> str:
        """The initial value that a named type brings with it; empty without one."""
        data = self.types.get(text.strip().lower())
        return data.initial if data is not None else ""


def _ranges(text: str) -> tuple[tuple[int, int], ...]:
    parts = [re.fullmatch(r"\s*(-?\d+)\s*\.\.\s*(-?\d+)\s*", p) for p in text.split(",")]
    if not all(parts):
        raise NotRun(f"bounds {text}")
    return tuple((int(p[1]), int(p[2])) for p in parts if p)
