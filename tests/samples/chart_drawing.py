"""Draw a sequential chart from top to bottom, alternatives side by side, jumps at the end of their branch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from samples.plant import Go, Jump, Part, Select, Step, Tied
from samples.shapes import Canvas, Pin, Point, Shape, Source, wire

WIDTH, BRANCH = 120, 680


@dataclass(frozen=True)
class Tie(Shape):
    """An action block: a shape with the actions of its step."""

    ties: tuple[Tied, ...] = ()


def draw(chart: Sequence[Part]) -> tuple[Shape, ...]:
    """All shapes of a sequential chart."""
    sheet = _Sheet()
    sheet.column(chart, 440, 40, None)
    return tuple(sheet.canvas.shapes)


def _span(parts: Sequence[Part]) -> int:
    """How many branches wide a column is."""
    return max([1, *(sum(map(_span, p.branches)) for p in parts if isinstance(p, Select))])


class _Sheet:
    def __init__(self) -> None:
        self.canvas = Canvas()

    def _add(self, kind: str, at: Point, size: Point, text: str, above: tuple[Source, ...], **more: object) -> Source:
        number = self.canvas.number()
        middle = 10 if kind.startswith("selection") else size[0] // 2
        joins = len(above) > 1
        ins = tuple(
            Pin(
                (s.at[0] - at[0] if joins else middle, 0), wires=(wire(s, _sink(s, at, middle, joins), at[0] + middle),)
            )
            for s in above
        )
        shape = Shape(kind, number, at, size, text, inputs=ins, outputs=(Pin((middle, size[1])),))
        self.canvas.shapes.append(Shape(**{**vars(shape), **more}))
        return Source(number, "", (at[0] + middle, at[1] + size[1]))

    def column(self, parts: Sequence[Part], x: int, y: int, above: Source | None) -> tuple[Source | None, int]:
        """Draw one branch around the axis ``x``; returns its open end (None after a jump) and the y reached."""
        for part in parts:
            sources = (above,) if above else ()
            if isinstance(part, Step):
                above = self._step(part, x, y, sources)
                y += 40 + 30 * max(1, len(part.actions))
            elif isinstance(part, Go):
                kind = "reference" if part.reference else ""
                above = self._add("transition", (x - 10, y), (20, 4), part.condition, sources, instance=kind)
                y += 50
            elif isinstance(part, Jump):
                self._add("jumpStep", (x - 10, y), (20, 20), part.target, sources, outputs=())
                above, y = None, y + 40
            else:
                above, y = self._select(part, x, y, sources)
        return above, y

    def _step(self, step: Step, x: int, y: int, sources: tuple[Source, ...]) -> Source:
        at = (x - WIDTH // 2, y)
        if step.comment:
            self.canvas.comment((x - WIDTH // 2 - 20 - max(200, 7 * len(step.comment)), y), step.comment)
        below = self._add("step", at, (WIDTH, 30), step.name, sources, instance="initial" if step.initial else "")
        if step.actions:
            side = Source(below.shape, "action", (x + WIDTH // 2, y + 15))
            place = (x + WIDTH // 2 + 30, y)
            pin = Pin((0, 15), wires=(wire(side, (place[0], y + 15), place[0]),))
            size = (200, 30 * len(step.actions))
            self.canvas.shapes.append(
                Tie("actionBlock", self.canvas.number(), place, size, inputs=(pin,), ties=step.actions)
            )
        return below

    def _select(self, select: Select, x: int, y: int, sources: tuple[Source, ...]) -> tuple[Source | None, int]:
        axes, at = [], x
        for branch in select.branches:
            axes.append(at)
            at += BRANCH * _span(branch)
        bar = self._add("selectionDivergence", (x - 10, y), (axes[-1] - x + 20, 2), "", sources)
        outs = tuple(Pin((axis - x + 10, 2)) for axis in axes)
        self.canvas.shapes[-1] = Shape(**{**vars(self.canvas.shapes[-1]), "outputs": outs})
        ends: list[Source] = []
        low = y
        for axis, branch in zip(axes, select.branches, strict=True):
            end, reached = self.column(branch, axis, y + 40, Source(bar.shape, "", (axis, y + 2)))
            low = max(low, reached)
            if end:
                ends.append(end)
        if not ends:
            return None, low
        if len(ends) == 1:
            return ends[0], low
        join = self._add("selectionConvergence", (x - 10, low), (axes[-1] - x + 20, 2), "", tuple(ends))
        return join, low + 40


def _sink(source: Source, at: Point, middle: int, joins: bool) -> Point:
    return (source.at[0] if joins else at[0] + middle, at[1])
