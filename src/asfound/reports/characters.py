"""A ladder drawing in plain characters, in the character form of IEC 61131-3: ``--| |--|/|--( )``."""

from __future__ import annotations

from asfound.reports.drawing import (
    Box,
    Bubble,
    Coil,
    Connector,
    Contact,
    Drawing,
    Marks,
    Rail,
    Shape,
    Text,
    Wire,
    cells,
)
from asfound.reports.svg import sign_of

_Grid = list[list[str]]


def characters(drawing: Drawing, marks: Marks | None = None) -> str:
    """Return the drawing as lines of text without trailing blanks; changed elements carry their sign.

    Everything but the labels is ASCII.
    """
    grid: _Grid = [[" "] * (drawing.width + 2) for _ in range(drawing.height)]
    for passage in (Wire, Rail, Box, Contact, Coil, Bubble, Connector, Text):
        for shape in drawing.shapes:
            if isinstance(shape, passage):
                _draw(grid, shape, sign_of(shape.keys, marks or {}) or "")
    return "\n".join("".join(row).rstrip() for row in grid).rstrip("\n") + "\n"


def _draw(grid: _Grid, shape: Shape, sign: str) -> None:
    match shape:
        case Wire(x, y, x2, y2):
            _wire(grid, x, y, x2, y2)
        case Rail(x, y, y2):
            for row in range(y, min(y2, len(grid) - 1) + 1):
                grid[row][x] = "|" if grid[row][x] == " " else "+"
        case Contact() | Coil():
            ends = "||" if isinstance(shape, Contact) else "()"
            _put(grid, shape.x - 1, shape.y, f"{ends[0]}{shape.kind or ' '}{ends[1]}")
            _put(grid, shape.x - cells(shape.label) // 2, shape.y - 1, shape.label, sign)
        case Box():
            _box(grid, shape, sign)
        case Bubble(x, y):
            _put(grid, x, y, "o")
        case Connector():
            _put(grid, shape.x - 1, shape.y, f">{shape.number}>")
        case Text():
            start = {"start": 0, "middle": -(cells(shape.text) // 2), "end": 1 - cells(shape.text)}[shape.anchor]
            _put(grid, shape.x + start, shape.y, shape.text, sign, after=shape.anchor == "start")


def _wire(grid: _Grid, x: int, y: int, x2: int, y2: int) -> None:
    for row in range(min(y, y2), max(y, y2) + 1):
        for column in range(min(x, x2), max(x, x2) + 1):
            own = "-" if y == y2 else "|"
            grid[row][column] = own if grid[row][column] in (" ", own) else "+"


def _box(grid: _Grid, shape: Box, sign: str) -> None:
    for row in range(shape.y, shape.y2 + 1):
        for column in (shape.x, shape.x2):
            grid[row][column] = "+" if row in (shape.y, shape.y2) else "|"
    for row in (shape.y, shape.y2):
        for column in range(shape.x + 1, shape.x2):
            grid[row][column] = "-"
    if shape.frame:
        _put(grid, shape.x + 2, shape.y, f" {shape.title} ", sign, after=True)
    else:
        middle = (shape.x + shape.x2) // 2
        _put(grid, middle - cells(shape.title) // 2, shape.y + 1, shape.title, sign)


def _put(grid: _Grid, x: int, y: int, text: str, sign: str = "", *, after: bool = False) -> None:
    """Write ``text`` from cell ``x``; a wide character takes the cell after it too, a combining one joins."""
    if sign:
        _put(grid, x + cells(text) + 1 if after else x - 2, y, sign)
    row = grid[y]
    for char in text:
        size = cells(char)
        if not 0 <= x < len(row):
            return
        if size == 0:
            row[x - 1] += char
            continue
        row[x] = char
        if size == 2 and x + 1 < len(row):
            row[x + 1] = ""
        x += size
