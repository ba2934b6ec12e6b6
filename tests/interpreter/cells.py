"""Where values live. An argument by reference is the very cell that was passed."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import Any

from interpreter.kinds import ADDRESSED, FLOATS, SIGNED, TIMES, WIDTHS, Array, Block, Elementary, Reference, Structure
from interpreter.numbers import Stopped, Val, stored


class Cell:
    """One elementary value."""

    def __init__(self, kind: Elementary, content: Any) -> None:
        self.kind, self.content = kind, content

    def read(self) -> Val:
        return Val(self.content, self.kind.name)

    def write(self, v: Val, checks: bool = False) -> None:
        self.content = stored(v, self.kind, checks)


class Located(Cell):
    """A value in the bits of an area; what overlaps shares them."""

    def __init__(self, kind: Elementary, image: dict[int, bool], first: int) -> None:
        self.kind, self.image, self.first = kind, image, first
        self.width = ADDRESSED.get(kind.name, 1)

    def read(self) -> Val:
        number = sum(1 << n for n in range(self.width) if self.image.get(self.first + n))
        return Val(_decoded(number, self.kind.name), self.kind.name)

    def write(self, v: Val, checks: bool = False) -> None:
        number = _encoded(stored(v, self.kind, checks), self.kind.name, self.width)
        for n in range(self.width):
            self.image[self.first + n] = bool(number >> n & 1)


def _encoded(content: Any, type: str, width: int) -> int:
    if type in FLOATS:
        return int.from_bytes(struct.pack("<f" if width == 32 else "<d", content), "little")
    if type == "TIME":
        content //= 1_000_000
    return int(content) & ((1 << width) - 1)


def _decoded(number: int, type: str) -> Any:
    if type in FLOATS:
        return struct.unpack("<f" if type == "REAL" else "<d", number.to_bytes(FLOATS[type] // 8, "little"))[0]
    if type == "BOOL":
        return bool(number)
    width = ADDRESSED[type]
    if (type in SIGNED or type in TIMES) and number >> (width - 1):
        number -= 1 << width
    return number * 1_000_000 if type == "TIME" else number


class Bit:
    """One bit of a cell: ``word.3``."""

    kind = Elementary("BOOL")

    def __init__(self, of: Cell, number: int) -> None:
        self.of, self.number = of, number

    def read(self) -> Val:
        return Val(bool(self.of.read().content >> self.number & 1), "BOOL")

    def write(self, v: Val, checks: bool = False) -> None:
        before, mask = self.of.read(), 1 << self.number
        width = WIDTHS[before.type]
        number = before.content & ((1 << width) - 1)
        self.of.write(Val(number | mask if v.content else number & ~mask, before.type), checks)


class Nowhere:
    """An element beyond the bounds, where that stops nothing."""

    kind = Elementary("INT")

    def read(self) -> Val:
        return Val(0, "?INT")

    def write(self, v: Val, checks: bool = False) -> None:
        pass


class Wire:
    """An unnamed wire of a network: holds whatever is written to it."""

    kind = Elementary("BOOL")

    def __init__(self) -> None:
        self.content = Val(False, "BOOL")

    def read(self) -> Val:
        return self.content

    def write(self, v: Val, checks: bool = False) -> None:
        self.content = v


class Pointer:
    """A reference: a cell or nothing."""

    def __init__(self, kind: Reference) -> None:
        self.kind, self.to = kind, None

    def target(self) -> Any:
        if self.to is None:
            raise Stopped("reference to nothing")
        return self.to


class Group:
    """A structure, an array (keys are tuples of numbers) or an instance of a block (with ``hidden`` memories)."""

    def __init__(self, kind: Structure | Array | Block, parts: dict[Any, Any]) -> None:
        self.kind, self.parts = kind, parts
        self.hidden: dict[Any, Any] = {}


def leaves(cell: Any, name: str) -> Iterator[tuple[str, Any]]:
    """Every elementary cell below one, with its access text."""
    if isinstance(cell, Group):
        for key, part in cell.parts.items():
            inner = f"[{','.join(map(str, key))}]" if isinstance(key, tuple) else f".{key}"
            if isinstance(part, Group | Cell):
                yield from leaves(part, name + inner)
    elif isinstance(cell, Cell):
        yield name, cell


def copied(target: Group, source: Group, checks: bool = False) -> None:
    """Every value of one group into the other, read before the first is written."""
    values = [(key, cell.read()) for key, cell in leaves(source, "")]
    ways = dict(leaves(target, ""))
    for key, content in values:
        if key in ways:
            ways[key].write(content, checks)
