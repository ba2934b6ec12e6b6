"""Draw function block networks: inputs at the left of their block, blocks in columns by depth, results at the right."""

from __future__ import annotations

from samples.notation import Block, Feed, Operand, network, pins
from samples.plant import Rung
from samples.shapes import Canvas, Pin, Shape, Source, wire

LEFT, COLUMN = 60, 480


def draw(rungs: tuple[Rung, ...]) -> tuple[Shape, ...]:
    """All shapes of a block network body, one network below the other."""
    canvas, y = Canvas(), 40
    for rung in rungs:
        y = _Network(canvas, y + rung.stretch, rung).bottom + 60
    return tuple(canvas.shapes)


class _Network:
    def __init__(self, canvas: Canvas, top: int, rung: Rung) -> None:
        self.canvas, self.top = canvas, top
        canvas.comment((LEFT, top), rung.comment)
        self.free: dict[int, int] = {}
        self.instances: dict[str, dict[str, tuple[Source, int]]] = {}
        self.result_y = top + 50
        for statement in network(rung.text):
            if isinstance(statement, Block):
                self._block(statement)
            else:
                self._feed(statement)

    @property
    def bottom(self) -> int:
        return max([self.result_y, *self.free.values()])

    def _feed(self, statement: Feed) -> None:
        source, depth, negated = self._value(statement.source, None)
        x = LEFT + COLUMN * depth + 330
        y = max(source.at[1], self.result_y + 30)
        self.result_y = y
        if negated:
            raise ValueError("negate at a block input instead")
        path = wire(source, (x, y), x - 20)
        self.canvas.operand("outVariable", (x, y - 10), statement.target, (path,))

    def _value(self, value: Operand | Block, near: tuple[int, int] | None) -> tuple[Source, int, bool]:
        """Where a value comes from, the column it stands in, and whether the pin inverts it."""
        if isinstance(value, Block):
            source, depth = self._block(value)[value.pin]
            return source, depth, value.negated
        instance, _, pin = value.text.partition(".")
        if instance in self.instances and pin in self.instances[instance]:
            source, depth = self.instances[instance][pin]
            return source, depth, value.negated
        place = near or (LEFT + COLUMN - 160, self.result_y + 20)
        return self.canvas.operand("inVariable", place, value.text), 0, value.negated

    def _depth(self, block: Block) -> int:
        depths = [0]
        for _, value in block.inputs:
            if isinstance(value, Block):
                depths.append(self._depth(value) + 1)
            elif (known := self.instances.get(value.text.partition(".")[0])) is not None:
                depths.append(next(iter(known.values()))[1] + 1)
        return max(depths)

    def _block(self, block: Block) -> dict[str, tuple[Source, int]]:
        names, results = pins(block.type, len(block.inputs))
        depth = self._depth(block)
        given = dict(block.inputs)
        unknown = set(given) - set(names)
        if unknown:
            raise ValueError(f"{block.type} has no input {sorted(unknown)}")
        prepared = {name: self._value(v, None) for name, v in block.inputs if isinstance(v, Block)}
        x, y = LEFT + COLUMN * depth + 190, self.free.get(depth, self.top + (50 if depth else 90))
        fed = [(place, prepared[name][0]) for place, name in enumerate(names) if name in prepared]
        if fed:  # straight into its pin, so that the wire passes below the operands of the pins above
            y = max(y, fed[0][1].at[1] - 30 - 20 * fed[0][0])
        height = 40 + 20 * max(len(names), len(results))
        self.free[depth] = y + height + 30
        ins: list[Pin] = []
        for place, name in enumerate(names):
            sink = (x, y + 30 + 20 * place)
            if name not in given:
                ins.append(Pin((0, sink[1] - y), name))
                continue
            found = prepared.get(name) or self._value(given[name], (x - 30, sink[1] - 10))
            ins.append(Pin((0, sink[1] - y), name, (wire(found[0], sink, x - 15),), found[2]))
        number = self.canvas.number()
        outs = tuple(Pin((100, 30 + 20 * place), name) for place, name in enumerate(results))
        self.canvas.shapes.append(
            Shape("block", number, (x, y), (100, height), block.type, block.instance, inputs=tuple(ins), outputs=outs)
        )
        sources = {
            name: (Source(number, name, (x + 100, y + 30 + 20 * place)), depth) for place, name in enumerate(results)
        }
        if block.instance:
            self.instances[block.instance] = sources
        return sources
