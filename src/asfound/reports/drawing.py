"""Shapes of a ladder drawing on a grid of character cells, and the two ways to put pieces of it together.

One column is the width of a character, one row the height of a line of text, so the same drawing becomes SVG
(:mod:`asfound.reports.svg`) and plain characters (:mod:`asfound.reports.characters`). A wire runs between the centres
of its end cells. Contacts and coils are three cells wide: two bars or arcs with the sign between them
(IEC 61131-3:2013 tables 75 and 76, from memory).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal as Choice

Key = tuple[str | int, ...]
"""Where in its statement an element comes from: ``("value", 0, 1)`` is the second operand of the first operand."""
Sign = Choice["+", "-", "~"]
Marks = Mapping[Key, Sign]
"""Changed parts. A mark covers everything below its key."""


@dataclass(frozen=True, slots=True)
class Wire:
    """A line, horizontal or vertical, from the centre of one cell to the centre of another."""

    x: int
    y: int
    x2: int
    y2: int
    keys: tuple[Key, ...] = ()


@dataclass(frozen=True, slots=True)
class Contact:
    """Centre of a contact; its label stands in the row above. ``kind`` is what stands between the bars."""

    x: int
    y: int
    kind: Choice["", "/", "P", "N"]
    label: str
    keys: tuple[Key, ...] = ()


@dataclass(frozen=True, slots=True)
class Coil:
    """Centre of a coil; its label stands in the row above. ``kind`` is what stands between the arcs."""

    x: int
    y: int
    kind: Choice["", "/", "S", "R", "P", "N"]
    label: str
    keys: tuple[Key, ...] = ()


@dataclass(frozen=True, slots=True)
class Box:
    """A block (title inside, instance name above) or, with ``frame``, a border with its title on it."""

    x: int
    y: int
    x2: int
    y2: int
    title: str
    frame: bool = False
    keys: tuple[Key, ...] = ()


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text starting (``start``) or ending (``end``) in cell ``x``, or centred on it (``middle``)."""

    x: int
    y: int
    text: str
    anchor: Choice["start", "middle", "end"] = "start"
    role: Choice["pin", "value", "name", "remark", "label", "code"] = "value"
    keys: tuple[Key, ...] = ()


@dataclass(frozen=True, slots=True)
class Bubble:
    """The circle of a negated pin."""

    x: int
    y: int
    keys: tuple[Key, ...] = ()


@dataclass(frozen=True, slots=True)
class Connector:
    """The mark of a wire that leaves at the end of a line (``out``) and goes on at the start of the next."""

    x: int
    y: int
    number: int
    keys: tuple[Key, ...] = ()


@dataclass(frozen=True, slots=True)
class Rail:
    """A piece of the left power rail."""

    x: int
    y: int
    y2: int
    keys: tuple[Key, ...] = ()


Shape = Wire | Contact | Coil | Box | Text | Bubble | Connector | Rail


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes in ``width`` columns and ``height`` rows; ``text`` is the same in structured text, for who cannot see."""

    width: int
    height: int
    shapes: tuple[Shape, ...]
    text: str = ""


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a rung: power enters at (0, 0) and leaves at (``width``, ``exit``).

    It needs ``up`` rows above the entry row and ``down`` rows below it.
    """

    width: int
    up: int
    down: int
    shapes: tuple[Shape, ...]
    exit: int = 0


def moved(shapes: Iterable[Shape], x: int, y: int) -> tuple[Shape, ...]:
    """Return ``shapes`` ``x`` columns to the right and ``y`` rows down."""
    return tuple(_moved(shape, x, y) for shape in shapes)


def _moved(shape: Shape, x: int, y: int) -> Shape:
    if isinstance(shape, Wire | Box):
        return replace(shape, x=shape.x + x, y=shape.y + y, x2=shape.x2 + x, y2=shape.y2 + y)
    if isinstance(shape, Rail):
        return replace(shape, x=shape.x + x, y=shape.y + y, y2=shape.y2 + y)
    return replace(shape, x=shape.x + x, y=shape.y + y)


def cells(text: str) -> int:
    """Columns that ``text`` needs: two for a wide character, none for a combining one."""
    if text.isascii():
        return len(text)
    return sum(
        0 if unicodedata.combining(char) else 2 if unicodedata.east_asian_width(char) in "WF" else 1 for char in text
    )


def series(pieces: Sequence[Piece]) -> Piece:
    """One piece after the other, each entered where the one before was left."""
    shapes: list[Shape] = []
    x = y = up = down = 0
    for piece in pieces:
        shapes += moved(piece.shapes, x, y)
        up, down = max(up, piece.up - y), max(down, piece.down + y)
        x, y = x + piece.width, y + piece.exit
    return Piece(x, up, down, tuple(shapes), y)


def parallel(pieces: Sequence[Piece]) -> Piece:
    """Branches under each other, joined by an upright wire at both ends; left where the first one is left."""
    inner = max(piece.width for piece in pieces)
    shapes: list[Shape] = []
    entry = exit_ = down = 0
    for number, piece in enumerate(pieces):
        entry = 0 if number == 0 else down + 1 + piece.up
        exit_ = entry + piece.exit
        down = entry + piece.down
        shapes += [Wire(1 if number else 0, entry, 2, entry), *moved(piece.shapes, 2, entry)]
        shapes.append(Wire(2 + piece.width, exit_, 3 + inner + (0 if number else 1), exit_))
    first = pieces[0]
    shapes += [Wire(1, 0, 1, entry), Wire(3 + inner, first.exit, 3 + inner, exit_)]
    return Piece(inner + 4, first.up, down, tuple(shapes), first.exit)


def folded(pieces: Sequence[Piece], limit: int, numbers: Iterator[int], *, ended: bool = False) -> Piece:
    """As :func:`series`, but no wider than ``limit`` columns where that can be done: the rest goes on a new line.

    ``numbers`` gives each pair of connectors its number. No wire leaves an ``ended`` series, it has a coil.
    """
    if sum(piece.width for piece in pieces) <= limit:
        return series(pieces)
    lines = _lines(pieces, limit)
    narrow = next(lines_ for columns in range(1, limit + 1) if len(lines_ := _lines(pieces, columns)) <= len(lines))
    return _stacked([series(line) for line in narrow], numbers, ended=ended) if len(narrow) > 1 else series(pieces)


def _lines(pieces: Sequence[Piece], limit: int) -> list[list[Piece]]:
    """Fill lines of ``limit`` columns; the caller takes the narrowest limit that needs no more lines: even lines."""
    lines: list[list[Piece]] = [[]]
    used = _END
    for number, piece in enumerate(pieces, 1):
        if lines[-1] and used + piece.width - (_END if number == len(pieces) else 0) > limit:
            lines.append([])
            used = _MARK + _END
        lines[-1].append(piece)
        used += piece.width
    return lines


_MARK, _END = 6, 4
"""Columns of the connector at the start and at the end of a line."""


def _stacked(lines: Sequence[Piece], numbers: Iterator[int], *, ended: bool) -> Piece:
    shapes: list[Shape] = []
    up = lines[0].up
    entry = exit_ = down = number = width = left = 0
    for index, line in enumerate(lines):
        if index:
            entry = down + 1 + line.up
            shapes += [Connector(2, entry, number), Wire(3, entry, _MARK, entry)]
            left = _MARK
        shapes += moved(line.shapes, left, entry)
        exit_, down = entry + line.exit, entry + line.down
        right = left + line.width
        if index + 1 < len(lines):
            number = next(numbers)
            shapes += [Wire(right, exit_, right + 2, exit_), Connector(right + 3, exit_, number)]
            right += _END
        width = max(width, right)
    if not ended:
        shapes.append(Wire(left + lines[-1].width, exit_, width, exit_))
    return Piece(width, up, down, tuple(shapes), exit_)
