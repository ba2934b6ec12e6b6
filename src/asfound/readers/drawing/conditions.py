"""The condition of a transition that is drawn as a ladder or block network."""

from __future__ import annotations

from collections.abc import Iterable

from asfound.language import printer
from asfound.language.doubts import said
from asfound.language.statement_printer import statements
from asfound.language.wires import numbered
from asfound.model.logic import Assign, Expression, Statement, Temporary, Unparsed
from asfound.model.program import BESIDE, Body, Extension
from asfound.readers.drawing.drawn_expressions import series
from asfound.readers.drawing.drawn_items import Diagram, Wire
from asfound.readers.drawing.flow import run
from asfound.readers.drawing.order import sinks
from asfound.readers.drawing.temporaries import inline
from asfound.readers.residue import flat


def in_place(body: Body) -> tuple[Expression, tuple[Statement, ...]]:
    """A condition that a small body of its own computes."""
    found = body.statements or tuple(s for n in body.networks for s in n.statements)
    return Unparsed(f"inline {body.language}"), found


def kept(body: Body) -> tuple[Extension, ...]:
    """What such a body carries besides its statements: unknown data, labels, doubts about the order, a chart."""
    found = [*body.extensions, *(e for n in body.networks for e in n.extensions)]
    found += [Extension(path="inline/label", text=n.label) for n in body.networks if n.label]
    found += [Extension(path="inline/order", text=said(each, body.networks)) for each in body.order.doubts]
    if body.order.sequence:
        found.append(Extension(path="inline/order", text=" ".join(f"{n}.{s}" for n, s in body.order.sequence)))
    if body.chart is not None:
        chart = Body(language="SFC", chart=body.chart)
        found.append(Extension(path="inline/SFC", text=printer.body(chart).strip()))
    return flat((tuple(found),))


def beside(network: Diagram, used: Iterable[Wire]) -> tuple[Extension, ...]:
    """Coils, outputs and blocks drawn beside a chart that no condition asks for; ``used`` are the wires of conditions.

    Nothing in the formats says when they run, so they are kept as they read, in order, and every change shows.
    """
    asked: set[int] = set()
    waiting = list(used)
    while waiting:
        source = network.get(waiting.pop())
        if source is None or source.index in asked:
            continue
        asked.add(source.index)
        waiting += [wire for pin in source.inputs for wire in pin.wires]
        if source.kind == "continuation":
            ends = (i for i in network.items if i.kind == "connector" and i.text.lower() == source.text.lower())
            waiting += [wire for end in ends for wire in end.wires]
    loose = tuple(i for i in sinks(network.items, file_order=False) if i.index not in asked)
    said = [statement for each in inline(run(network, loose).runs) for statement in [each.statement]]
    return (Extension(path=BESIDE, text=statements(numbered(said)).strip()),) if said else ()


def wired(network: Diagram, wires: tuple[Wire, ...]) -> tuple[Expression, tuple[Statement, ...]]:
    """Value that reaches a condition, and the statements that have to run before it is known."""
    flow = run(network, (), wires)
    value = series(flow.power(wires))
    runs = inline(flow.runs)
    if not runs:
        return value, ()
    last = Assign(Temporary(0), value)
    *before, final = numbered([*(r.statement for r in runs), last])
    assert isinstance(final, Assign)
    return final.value, tuple(before)
