"""Placed shapes of a diagram: what an editor has on its canvas, wires stored at their ends as in TC6."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[int, int]


@dataclass(frozen=True)
class Source:
    """Where a wire comes from: a shape, the name of its output (empty when it has only one), and the point."""

    shape: int
    pin: str
    at: Point


@dataclass(frozen=True)
class Wire:
    source: Source
    path: tuple[Point, ...]


@dataclass(frozen=True)
class Pin:
    """``at`` is relative to the shape. An input has wires; an output has none."""

    at: Point
    name: str = ""
    wires: tuple[Wire, ...] = ()
    negated: bool = False


@dataclass(frozen=True)
class Shape:
    """``kind`` is the TC6 element. ``number`` is unique in the diagram; ids are given by whoever writes the file."""

    kind: str
    number: int
    at: Point
    size: Point
    text: str = ""
    instance: str = ""
    negated: bool = False
    edge: str = ""
    storage: str = ""
    inputs: tuple[Pin, ...] = ()
    outputs: tuple[Pin, ...] = ()


def wire(source: Source, sink: Point, bend: int) -> Wire:
    """A wire drawn at right angles, from its end back to its start; ``bend`` is the x of its vertical part."""
    start = source.at
    if start[1] == sink[1]:
        return Wire(source, (sink, start))
    return Wire(source, (sink, (bend, sink[1]), (bend, start[1]), start))


class Canvas:
    """Collects shapes in drawing order and numbers them."""

    def __init__(self) -> None:
        self.shapes: list[Shape] = []
        self._count = 0

    def number(self) -> int:
        """The next free number; rails take one before they are complete."""
        self._count += 1
        return self._count

    def comment(self, at: Point, text: str) -> None:
        """A comment box, wide enough for its text."""
        size = (max(200, 7 * len(text)), 30)
        self.shapes.append(Shape("comment", self.number(), at, size, text))

    def operand(self, kind: str, at: Point, text: str, sources: tuple[Wire, ...] = ()) -> Source:
        """An ``inVariable`` (no wires) or ``outVariable``; returns its output."""
        number, width = self.number(), max(60, 8 * len(text) + 12)
        if kind == "inVariable":
            at = (at[0] - width, at[1])
            outputs: tuple[Pin, ...] = (Pin((width, 10)),)
            inputs: tuple[Pin, ...] = ()
        else:
            outputs, inputs = (), (Pin((0, 10), wires=sources),)
        self.shapes.append(Shape(kind, number, at, (width, 20), text, inputs=inputs, outputs=outputs))
        return Source(number, "", (at[0] + width, at[1] + 10))
