"""Which network a comment or label drawn beside the networks belongs to.

It is the lowest network whose height it stands within, else the one that starts nearest below it, else the last one.
Where nothing is placed, document order stands for height. Cost: n log n for n networks, then log n for each question
apart from networks that overlap in height.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from itertools import accumulate

from asfound.readers.drawing.drawn_items import Item

Span = tuple[float, float, int]
"""Top, bottom and first document index of a network."""


class Places:
    """Networks sorted by where they start."""

    def __init__(self, spans: Mapping[int, Span]) -> None:
        self.placed = any(top or bottom for top, bottom, _ in spans.values())
        rows = sorted(
            ((top if self.placed else 0.0, first), bottom, piece) for piece, (top, bottom, first) in spans.items()
        )
        self.starts = [start for start, _, _ in rows]
        self.bottoms = [bottom for _, bottom, _ in rows]
        self.lowest = list(accumulate(self.bottoms, max))
        self.pieces = [piece for _, _, piece in rows]

    def of(self, item: Item) -> int | None:
        """The network of a comment; None when there are no networks."""
        found = self.beside_or_below(item)
        return self.pieces[-1] if found is None and self.pieces else found

    def beside_or_below(self, item: Item) -> int | None:
        """The network of a label; None when it stands below all of them."""
        if self.placed:
            at = bisect_right(self.starts, (item.y, float("inf"))) - 1
            while at >= 0 and self.lowest[at] >= item.y:
                if self.bottoms[at] >= item.y:
                    return self.pieces[at]
                at -= 1
        below = bisect_left(self.starts, (item.y if self.placed else 0.0, item.index))
        return self.pieces[below] if below < len(self.pieces) else None
