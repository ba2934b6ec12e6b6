"""Draw ladder rungs the way an editor does: rails left and right, contacts from left to right, coils at the right."""

from __future__ import annotations

from samples.notation import Block, Coil, Contact, Item, Operand, Parallel, ladder, pins
from samples.plant import Rung
from samples.shapes import Canvas, Pin, Point, Shape, Source, wire

LEFT, COILS, RIGHT = 40, 900, 1120
PITCH, ROW = 100, 60


def draw(rungs: tuple[Rung, ...], one_rail: bool = True) -> tuple[Shape, ...]:
    """All shapes of a ladder body; ``one_rail`` False gives each rung a left rail of its own and no right one."""
    sheet = _Sheet(one_rail)
    for rung in rungs:
        sheet.rung(rung)
    return sheet.finish()


class _Sheet:
    def __init__(self, one_rail: bool) -> None:
        self.canvas, self.one_rail = Canvas(), one_rail
        self.rail = self.canvas.number()
        self.y = 40
        self.starts: list[int] = []
        self.ends: list[tuple[int, Source]] = []
        self.pitch = PITCH

    def finish(self) -> tuple[Shape, ...]:
        shapes = list(self.canvas.shapes)
        if self.one_rail:
            shapes.insert(0, self._left(self.rail, self.starts))
        if not self.one_rail:
            return tuple(shapes)
        ins = tuple(Pin((0, y - 40), wires=(wire(s, (RIGHT, y), RIGHT - 10),)) for y, s in self.ends)
        shapes.append(Shape("rightPowerRail", self.canvas.number(), (RIGHT, 40), (10, self.y), inputs=ins))
        return tuple(shapes)

    def _left(self, number: int, starts: list[int]) -> Shape:
        top, bottom = starts[0] - 20, starts[-1] + 20
        outs = tuple(Pin((10, y - top)) for y in starts)
        return Shape("leftPowerRail", number, (LEFT, top), (10, bottom - top), outputs=outs)

    def rung(self, rung: Rung) -> None:
        """Comment above, then the power flow, then its coils."""
        self.y += rung.stretch
        self.pitch = PITCH + rung.stretch // 4
        self.canvas.comment((LEFT + 40, self.y), rung.comment)
        line = self.y + 70
        drawn = ladder(rung.text)
        number = self.rail
        if not self.one_rail:
            number = self.canvas.number()
            self.canvas.shapes.append(self._left(number, [line]))
        self.starts.append(line)
        start = (Source(number, "", (LEFT + 10, line)),)
        sources, x, low = self._series(drawn.items, start, LEFT + 10, line)
        self.y = max(low, self._coils(drawn.coils, sources, max(COILS, x + 60), line)) + 30

    def _coils(self, coils: tuple[Coil, ...], sources: tuple[Source, ...], x: int, line: int) -> int:
        for place, coil in enumerate(coils):
            y = line + 50 * place
            number = self.canvas.number()
            wires = tuple(wire(source, (x, y), x - 20) for source in sources)
            self.canvas.shapes.append(
                Shape(
                    "coil", number, (x, y - 10), (21, 20), coil.name,
                    negated=coil.kind == "negated",
                    storage=coil.kind if coil.kind in ("set", "reset") else "",
                    inputs=(Pin((0, 10), wires=wires),), outputs=(Pin((21, 10)),),
                )
            )  # fmt: skip
            self.ends.append((y, Source(number, "", (x + 21, y))))
        return line + 50 * len(coils)

    def _series(
        self, items: tuple[Item, ...], sources: tuple[Source, ...], x: int, line: int
    ) -> tuple[tuple[Source, ...], int, int]:
        """Returns where power comes out, the x reached, and the y of the lowest thing drawn."""
        low, first = line + ROW - 20, True
        for item in items:
            if isinstance(item, Parallel):
                sources, x, bottom = self._parallel(item, sources, x, line)
            elif isinstance(item, Contact):
                sources, x, bottom = self._contact(item, sources, x + self.pitch - 40, line)
            else:
                fed = sources if not first or item.instance else ()
                sources, x, bottom = self._block(item, fed, x, line)
            low, first = max(low, bottom), False
        return sources, x, low

    def _contact(
        self, item: Contact, sources: tuple[Source, ...], x: int, line: int
    ) -> tuple[tuple[Source, ...], int, int]:
        number = self.canvas.number()
        wires = tuple(wire(s, (x, line), x - 20 if len(sources) > 1 else s.at[0] + 15) for s in sources)
        self.canvas.shapes.append(
            Shape(
                "contact", number, (x, line - 10), (21, 20), item.name, negated=item.negated, edge=item.edge,
                inputs=(Pin((0, 10), wires=wires),), outputs=(Pin((21, 10)),),
            )
        )  # fmt: skip
        return (Source(number, "", (x + 21, line)),), x + 40, line + ROW - 20

    def _parallel(
        self, item: Parallel, sources: tuple[Source, ...], x: int, line: int
    ) -> tuple[tuple[Source, ...], int, int]:
        outs: list[Source] = []
        right, y, low = x, line, line
        for branch in item.branches:
            ends, reached, low = self._series(branch, sources, x, y)
            outs += ends
            right, y = max(right, reached), low + 20
        return tuple(outs), right, low

    def _block(
        self, item: Block, sources: tuple[Source, ...], x: int, line: int
    ) -> tuple[tuple[Source, ...], int, int]:
        """A block whose first pins lie on the power line; what else it takes or gives stands beside it."""
        names, results = pins(item.type, len(item.inputs))
        widest = max((len(v.text) for _, v in item.inputs if isinstance(v, Operand)), default=0)
        x += 8 * widest + 72
        top, size = line - 30, (90, 30 + 20 * max(len(names), len(results)))
        given = dict(item.inputs)
        ins: list[Pin] = []
        for place, name in enumerate(names):
            at = (0, 30 + 20 * place)
            sink = (x, top + at[1])
            value = given.get(name)
            if isinstance(value, Operand):
                source = self.canvas.operand("inVariable", (x - 30, sink[1] - 10), value.text)
                ins.append(Pin(at, name, (wire(source, sink, x - 15),), value.negated))
            elif place == 0:
                ins.append(Pin(at, name, tuple(wire(s, sink, x - 20) for s in sources)))
            else:
                ins.append(Pin(at, name))
        number = self.canvas.number()
        outs = tuple(Pin((90, 30 + 20 * place), name) for place, name in enumerate(results))
        self.canvas.shapes.append(
            Shape("block", number, (x, top), size, item.type, item.instance, inputs=tuple(ins), outputs=outs)
        )
        self._sinks(item, number, (x + 90, top + 30), results)
        power = Source(number, item.pin, (x + 90, top + 30 + 20 * results.index(item.pin)))
        return (power,), x + 110, top + size[1] + 10

    def _sinks(self, item: Block, number: int, corner: Point, results: tuple[str, ...]) -> None:
        for pin, target in item.outputs:
            y = corner[1] + 20 * results.index(pin)
            path = wire(Source(number, pin, (corner[0], y)), (corner[0] + 30, y), corner[0] + 15)
            self.canvas.operand("outVariable", (corner[0] + 30, y - 10), target, (path,))
