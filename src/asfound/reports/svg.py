"""A ladder drawing as SVG: inherits its colours from the page (``currentColor`` and classes), needs no script.

Changed elements get a sign beside them and the class ``mark-added``, ``mark-removed`` or ``mark-changed``.
"""

from __future__ import annotations

from html import escape

from asfound.reports.drawing import (
    Box,
    Bubble,
    Coil,
    Connector,
    Contact,
    Drawing,
    Key,
    Marks,
    Rail,
    Shape,
    Sign,
    Text,
    Wire,
    cells,
)
from asfound.reports.words import typographic

COLUMN, ROW = 8, 20
"""Pixels of a cell. A monospaced character of 12.5 pixels is at most 7.6 wide in the fonts of the page's list."""
_CLASSES = {"+": "mark-added", "-": "mark-removed", "~": "mark-changed"}
_MARGIN = 4


def sign_of(keys: tuple[Key, ...], marks: Marks) -> Sign | None:
    """Return the sign of the nearest mark at, above or below an element; an element without a key has none."""
    for key in keys:
        for length in range(len(key), -1, -1):
            if key[:length] in marks:
                return marks[key[:length]]
    for key in keys:
        if key:
            for mark, sign in marks.items():
                if mark[: len(key)] == key and mark[-1:] != ("box",):
                    return sign
    return None


def svg(drawing: Drawing, marks: Marks, *, title: str = "Rung", name: str = "d") -> str:
    """Return one ``<svg>`` element; ``name`` is an id unique in its page."""
    width, height = drawing.width * COLUMN + 2 * _MARGIN, drawing.height * ROW + ROW // 2
    body = "".join(_shape(shape, marks) for shape in drawing.shapes)
    return (
        f'<svg class="ladder" xmlns="http://www.w3.org/2000/svg" role="img" width="{width}" height="{height}" '
        f'viewBox="{-_MARGIN} 0 {width} {height}" aria-labelledby="{name}-t {name}-d">'
        f'<title id="{name}-t">{escape(title)}</title><desc id="{name}-d">{escape(drawing.text)}</desc>{body}</svg>\n'
    )


def _shape(shape: Shape, marks: Marks) -> str:
    sign = sign_of(shape.keys, marks)
    drawn = _drawn(shape, sign)
    if sign is None:
        return drawn
    return f'<g class="{_CLASSES[sign]}">{drawn}</g>'


def _drawn(shape: Shape, sign: Sign | None) -> str:
    match shape:
        case Wire(x, y, x2, y2):
            return "" if (x, y) == (x2, y2) else _line(_px(x), _py(y), _px(x2), _py(y2), "wire")
        case Rail(x, y, y2):
            return _line(_px(x), _py(y) - ROW // 2 + 2, _px(x), _py(y2) + ROW // 2 - 4, "rail")
        case Contact():
            return _contact(shape, sign)
        case Coil():
            return _coil(shape, sign)
        case Box():
            return _box(shape, sign)
        case Text():
            return _text(shape, sign)
        case Bubble(x, y):
            return f'<circle class="bubble" cx="{_px(x)}" cy="{_py(y)}" r="{COLUMN // 2}"/>'
        case Connector():
            return _connector(shape)


def _px(x: int) -> int:
    return x * COLUMN + COLUMN // 2


def _py(y: int) -> int:
    return y * ROW + ROW // 2


def _line(x: int, y: int, x2: int, y2: int, kind: str) -> str:
    return f'<path class="{kind}" d="M{x} {y}L{x2} {y2}"/>'


def _label(x: int, y: int, text: str, kind: str, sign: Sign | None, anchor: str = "middle") -> str:
    """Text whose baseline sits a little below the middle of its row; the sign stands beside it."""
    written = f'<text class="{kind}" x="{x}" y="{y}" text-anchor="{anchor}">{escape(text)}</text>'
    if sign is None:
        return written
    half = cells(text) * COLUMN // 2
    left = {"middle": x - half - 8, "start": x + 2 * half + 8, "end": x - 2 * half - 8}[anchor]
    return written + f'<text class="sign" x="{left}" y="{y}" text-anchor="middle">{escape(typographic(sign))}</text>'


def _contact(shape: Contact, sign: Sign | None) -> str:
    x, y = _px(shape.x), _py(shape.y)
    bars = f'<path class="symbol" d="M{x - 8} {y - 9}V{y + 9}M{x + 8} {y - 9}V{y + 9}"/>'
    return bars + _inside(shape.kind, x, y) + _label(x, y - 13, shape.label, "label", sign)


def _coil(shape: Coil, sign: Sign | None) -> str:
    x, y = _px(shape.x), _py(shape.y)
    left, right = (f"M{x + 5 * side} {y - 9}Q{x + 11 * side} {y} {x + 5 * side} {y + 9}" for side in (-1, 1))
    arcs = f'<path class="symbol" d="{left}{right}"/>'
    return arcs + _inside(shape.kind, x, y) + _label(x, y - 13, shape.label, "label", sign)


def _inside(kind: str, x: int, y: int) -> str:
    if kind == "/":
        return f'<path class="symbol" d="M{x - 5} {y + 8}L{x + 5} {y - 8}"/>'
    return f'<text class="kind" x="{x}" y="{y + 4}" text-anchor="middle">{kind}</text>' if kind else ""


def _box(shape: Box, sign: Sign | None) -> str:
    x, y = _px(shape.x), _py(shape.y)
    width, height = (shape.x2 - shape.x) * COLUMN, (shape.y2 - shape.y) * ROW - (0 if shape.frame else 5)
    kind = "frame" if shape.frame else "block"
    border = f'<rect class="{kind}" x="{x}" y="{y}" width="{width}" height="{height}" rx="2"/>'
    if not shape.frame:
        return border + _label(x + width // 2, y + ROW - 4, shape.title, "title", sign)
    size = cells(shape.title) * COLUMN
    gap = f'<rect class="gap" x="{x + 8}" y="{y - 7}" width="{size + 8}" height="14"/>'
    return border + gap + _label(x + 12, y + 4, shape.title, "title", sign, "start")


def _text(shape: Text, sign: Sign | None) -> str:
    x = {"start": shape.x * COLUMN, "middle": _px(shape.x), "end": (shape.x + 1) * COLUMN}[shape.anchor]
    lift = 3 if shape.role == "name" else 4
    return _label(x, _py(shape.y) + lift, shape.text, shape.role, sign, shape.anchor)


def _connector(shape: Connector) -> str:
    x, y = _px(shape.x), _py(shape.y)
    outline = f'<path class="block" d="M{x - 8} {y - 8}H{x + 4}L{x + 10} {y}L{x + 4} {y + 8}H{x - 8}Z"/>'
    return outline + f'<text class="kind" x="{x}" y="{y + 4}" text-anchor="middle">{shape.number}</text>'
