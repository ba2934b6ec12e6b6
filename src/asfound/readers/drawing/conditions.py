"""The condition of a transition that is drawn as a ladder or block network."""

from __future__ import annotations

from asfound.model.logic import Assign, Expression, Statement, Temporary
from asfound.readers.drawing.diagram import Diagram, Wire
from asfound.readers.drawing.flow import run
from asfound.readers.drawing.temporaries import inline, numbered
from asfound.readers.drawing.values import series


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
