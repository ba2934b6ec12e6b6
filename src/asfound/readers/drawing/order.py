"""In which order a diagram runs.

Explicit execution ids come first, ascending; then coils, outputs, jumps and returns by position: elements less than
ten units apart in y count as one row and run from left to right. Blocks that nothing has asked for run last. Another
generation of compilers runs the second group in document order; nothing in an export says which one is used, so both
candidates are computed (see order_doubts). Source: observed with an independent compiler on public programs.
Where a format has rungs with an order of their own, that order comes first and the above holds within each rung.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cmp_to_key

from asfound.readers.drawing.drawn_items import Item

ROW = 10
SINKS = ("coil", "outVariable", "inOutVariable", "jump", "return")


def by_position(first: Item, second: Item) -> int:
    """Negative when ``first`` stands before ``second``: above it, or left of it in the same row."""
    if abs(first.y - second.y) < ROW:
        return (first.x > second.x) - (first.x < second.x)
    return (first.y > second.y) - (first.y < second.y)


def sinks(items: Sequence[Item], *, file_order: bool, coils: bool = False) -> tuple[Item, ...]:
    """Everything that has to be run, in order: rung by rung; explicit ids, sinks, then blocks.

    ``coils``: the ids of coils count as well, which the compiler that was observed passes over.
    """
    ranks = sorted({item.group for item in items}, key=lambda rank: (rank == 0, rank))
    if len(ranks) > 1:
        each = ([item for item in items if item.group == rank] for rank in ranks)
        return tuple(item for group in each for item in sinks(group, file_order=file_order, coils=coils))
    key = (lambda item: item.index) if file_order else cmp_to_key(by_position)
    explicit = sorted(
        (i for i in items if i.order > 0 and i.kind in (*SINKS, "block") and (coils or i.kind != "coil")), key=_id
    )
    chosen = {i.index for i in explicit}
    wired = [i for i in items if i.kind in SINKS and i.index not in chosen and i.wires]
    blocks = [i for i in items if i.kind == "block" and i.index not in chosen]
    return (*explicit, *sorted(wired, key=key), *sorted(blocks, key=key))


def _id(item: Item) -> tuple[int, int]:
    return item.order, item.index
