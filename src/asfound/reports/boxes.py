"""Function blocks, functions and frames of a ladder drawing: a box with named pins and what is tied to them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal as Choice

from asfound.reports.drawing import Box, Bubble, Key, Piece, Rail, Shape, Text, Wire, cells, moved

_TOP = 2
"""Rows from the top border to the first pin: the title stands between."""
_ROOM = 2
"""Columns kept free beside a text, for the sign of a change."""


@dataclass(frozen=True, slots=True)
class Pin:
    """An input (``feed`` or ``text`` stands left of it) or an output (``text`` stands right of it).

    ``start`` says where power comes into the feed: the left rail, or a ``stub`` of it where the rail is out of reach.
    A ``through`` pin lies on the wire of the rung itself.
    """

    name: str
    key: Key
    text: str = ""
    feed: Piece | None = None
    start: Choice["", "rail", "stub"] = ""
    negated: bool = False
    through: bool = False


def box(
    title: str, key: Key, inputs: Sequence[Pin], outputs: Sequence[Pin], *, name: str = "", name_key: Key = ()
) -> Piece:
    """Return a block as a piece that is entered and left on the row of its first pin."""
    rows, up, down = _input_rows(inputs)
    left = max((_reach(pin) for pin in inputs), default=0)
    inside = max(
        (
            cells(inputs[i].name if i < len(inputs) else "") + cells(outputs[i].name if i < len(outputs) else "")
            for i in range(max(len(inputs), len(outputs)))
        ),
        default=0,
    )
    size = max(inside + 5, cells(title) + 2 * _ROOM + 1, cells(name) + 1)
    output_rows = _beside(rows, len(outputs))
    last = max([0, *rows, *output_rows])
    right = left + size
    shapes: list[Shape] = [Box(left, -_TOP, right, last + 1, title, keys=((*key, "box"),))]
    if name:
        shapes.append(Text(left + size // 2, -_TOP - 1, name, "middle", "name", keys=(name_key,)))
    for pin, row in zip(inputs, rows, strict=True):
        shapes += _input(pin, row, left)
    for pin, row in zip(outputs, output_rows, strict=True):
        shapes += _output(pin, row, right)
    width = max((right + _output_reach(pin) for pin in outputs), default=right)
    return Piece(width, max(up, _TOP + bool(name)), max(down, last + 1), tuple(shapes))


def _input_rows(pins: Sequence[Pin]) -> tuple[list[int], int, int]:
    """Rows of the input pins relative to the first one, and the rows needed above and below it."""
    rows: list[int] = []
    up, down = 0, 0
    for pin in pins:
        above, below = _height(pin)
        row = down + 1 + above if rows else 0
        if not rows:
            up = above
        rows.append(row)
        down = row + below
    return rows, up, down


def _height(pin: Pin) -> tuple[int, int]:
    if pin.feed is None:
        return 0, 0
    return pin.feed.up + pin.feed.exit, pin.feed.down - pin.feed.exit


def _beside(rows: Sequence[int], count: int) -> list[int]:
    """Rows of ``count`` output pins: beside the input pins, and below the last one where there are more."""
    last = rows[-1] if rows else -1
    return [rows[i] if i < len(rows) else last + 1 + i - len(rows) for i in range(count)]


def _reach(pin: Pin) -> int:
    """Columns left of the box that an input pin needs."""
    if pin.through:
        return 2
    if pin.feed is not None:
        return pin.feed.width + 2
    return cells(pin.text) + _ROOM + 3 if pin.text else 0


def _output_reach(pin: Pin) -> int:
    if pin.through:
        return 2
    return cells(pin.text) + _ROOM + 3 if pin.text else 0


def _input(pin: Pin, row: int, left: int) -> list[Shape]:
    shapes: list[Shape] = []
    if pin.name:
        shapes.append(Text(left + 1, row, pin.name, "start", "pin"))
    end = left - 1 if pin.negated else left
    if pin.negated:
        shapes.append(Bubble(left - 1, row, keys=(pin.key,)))
    if pin.through:
        shapes.append(Wire(0, row, end, row))
    elif pin.feed is not None:
        shapes += _fed(pin.feed, pin.start, row, left - pin.feed.width - 1)
        shapes.append(Wire(left - 1, row, end, row))
    elif pin.text:
        shapes.append(Text(left - 3, row, pin.text, "end", "value", keys=(pin.key,)))
        shapes.append(Wire(left - 2, row, end, row))
    return shapes


def _fed(feed: Piece, start: str, row: int, x: int) -> list[Shape]:
    """Shapes of a feed that ends one column before its box, and of the power that comes into it."""
    entry = row - feed.exit
    shapes = list(moved(feed.shapes, x, entry))
    if start == "rail":
        shapes.append(Wire(0, entry, x, entry))
    elif start == "stub":
        shapes.append(Rail(x, entry, entry))
    return shapes


def _output(pin: Pin, row: int, right: int) -> list[Shape]:
    shapes: list[Shape] = []
    if pin.name:
        shapes.append(Text(right - 1, row, pin.name, "end", "pin"))
    start = right + 1 if pin.negated else right
    if pin.negated:
        shapes.append(Bubble(right + 1, row, keys=(pin.key,)))
    if pin.through or pin.text:
        shapes.append(Wire(start, row, right + 2, row))
    if pin.text:
        shapes.append(Text(right + 3, row, pin.text, "start", "value", keys=(pin.key,)))
    return shapes


def frame(title: str, key: Key, branches: Sequence[Piece]) -> Piece:
    """Return ``branches`` inside a border: the frame conducts when its title is true of them."""
    inner = max([cells(title) + 4, *(piece.width for piece in branches)])
    shapes: list[Shape] = []
    entry = down = 0
    for number, piece in enumerate(branches):
        entry = down + 1 + piece.up if number else 0
        shapes += moved(piece.shapes, 2, entry)
        shapes.append(Wire(2 + piece.width, entry + piece.exit, 2 + inner, entry + piece.exit))
        down = entry + piece.down
    up, bottom = branches[0].up + 1, down + 1
    right = 2 + inner
    shapes.insert(0, Box(2, -up, right, bottom, title, frame=True, keys=((*key, "box"),)))
    shapes.append(Wire(0, 0, 2, 0))
    shapes.append(Wire(right, branches[0].exit, right + 3, branches[0].exit))
    return Piece(right + 3, up, bottom, tuple(shapes), branches[0].exit)
