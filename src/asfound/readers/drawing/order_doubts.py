"""Doubts about the order of a drawing: what a compiler with another order would do otherwise."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from asfound.language.statement_printer import statements as printed_statements
from asfound.language.walk import reads, writes
from asfound.language.wires import numbered
from asfound.model.logic import Jump, Return
from asfound.model.program import Doubt, Spot
from asfound.readers.drawing.comment_places import Places, Span
from asfound.readers.drawing.drawn_items import Diagram, Item
from asfound.readers.drawing.flow import Run, run
from asfound.readers.drawing.order import sinks
from asfound.readers.drawing.temporaries import inline, reaches_out


def doubts(
    diagram: Diagram, runs: Sequence[Run], pieces: dict[int, int], spots: Sequence[Spot], spans: Mapping[int, Span]
) -> tuple[Doubt, ...]:
    """What another order would do otherwise, sorted.

    ``pieces`` gives the network of an item, ``spots`` where each of the ``runs`` is listed, ``spans`` the height of
    each network and its first item.
    """
    by_number = sinks(diagram.items, file_order=False, coils=True)
    by_file = sinks(diagram.items, file_order=True)
    swapped = _swapped(diagram, runs, by_file, "file order") + _swapped(diagram, runs, by_number, "numbers of coils")
    told = {Doubt(by, kind, tuple(spots[at] for at in places)) for by, kind, places in swapped}  # type: ignore[arg-type]
    told |= _labels_in_file(diagram, runs, pieces, spots, spans)
    return tuple(sorted(told, key=lambda d: (d.by, d.kind, d.places, d.text)))


def _labels_in_file(
    diagram: Diagram, runs: Sequence[Run], pieces: dict[int, int], spots: Sequence[Spot], spans: Mapping[int, Span]
) -> set[Doubt]:
    """Labels that stand at another network in the file than in the drawing, where anything jumps."""
    labels = [i for i in diagram.items if i.kind == "label" and not i.group]
    if not labels or not any(i.kind == "jump" for i in diagram.items):
        return set()
    drawn, listed = Places(dict(spans)), Places({piece: (0.0, 0.0, first) for piece, (_, _, first) in spans.items()})
    told = set()
    for label in labels:
        piece = listed.beside_or_below(label)
        if piece != drawn.beside_or_below(label):
            at = [spots[n] for n, r in enumerate(runs) if pieces[r.item.index] == piece]
            told.add(Doubt("file order", "label", tuple(at[:1]), label.text))
    return told


Swap = tuple[str, str, tuple[int, ...]]
"""Another order, the kind of doubt, and the statements by their number in the order assumed."""


def _swapped(diagram: Diagram, runs: Sequence[Run], second: Sequence[Item], by: str) -> list[Swap]:
    first = sinks(diagram.items, file_order=False)
    if first == second:
        return []
    other = inline(run(diagram, tuple(second)).runs)
    here = [(r.item.index, _line(r)) for r in runs]
    there = [(r.item.index, _line(r)) for r in other]
    if here == there:
        return []
    place = {key: at for at, key in enumerate(there)}
    if sorted(here) != sorted(there) or len(place) != len(there):
        return [(by, "value", ())]
    at = [place[key] for key in here]
    effects = [(reads(r.statement), writes(r.statement)) for r in runs]
    pairs = {pair for pair in _conflicts(effects) if at[pair[1]] < at[pair[0]]} | _steered(runs, at)
    blocks = [n for n, each in enumerate(runs) if reaches_out(each.statement)]
    then = sorted(blocks, key=lambda n: at[n])
    swaps: list[Swap] = [(by, "before", (later, earlier)) for earlier, later in pairs]
    return swaps if blocks == then else [*swaps, (by, "as", tuple(then))]  # what blocks share is not drawn


def _steered(runs: Sequence[Run], at: Sequence[int]) -> set[tuple[int, int]]:
    """Jumps and returns that skip other statements in the other order."""
    leaving = [n for n, each in enumerate(runs) if isinstance(each.statement, Jump | Return)]
    return {(min(n, m), max(n, m)) for n in leaving for m in range(len(runs)) if (m < n) != (at[m] < at[n]) and m != n}


def _conflicts(effects: Sequence[tuple[frozenset[str], frozenset[str]]]) -> list[tuple[int, int]]:
    """Pairs of statements (earlier, later) that share a name which at least one of them writes, in order."""
    users: dict[str, list[int]] = {}
    writers: dict[str, list[int]] = {}
    for at, (read, written) in enumerate(effects):
        for name in read | written:
            users.setdefault(name, []).append(at)
        for name in written:
            writers.setdefault(name, []).append(at)
    pairs = ((a, b) for name, written_at in writers.items() for a in written_at for b in users[name] if a != b)
    return sorted({(min(pair), max(pair)) for pair in pairs})


def _line(each: Run) -> str:
    return " ".join(printed_statements(numbered([each.statement])).split())
