"""From a drawing to a body: networks in order of execution, with comments, leftovers and doubts about the order.

A network is a connected piece of the drawing once the rails are taken away; connectors and continuations of one name
belong together. Networks are listed by their first statement; where the statements of two networks interleave, the
body says so in ``order.sequence``. Where the format has rungs, each is a network, in the order it names.
"""

from __future__ import annotations

from collections.abc import Sequence

from asfound.language.readable import expression as printed
from asfound.language.wires import numbered
from asfound.model.logic import Statement
from asfound.model.program import Body, Extension, Network, Order, Spot
from asfound.readers.drawing.comment_places import Places, Span
from asfound.readers.drawing.drawn_expressions import series
from asfound.readers.drawing.drawn_items import Diagram, Group, Item
from asfound.readers.drawing.flow import Flow, Run, run
from asfound.readers.drawing.order import sinks
from asfound.readers.drawing.order_doubts import doubts
from asfound.readers.drawing.temporaries import inline
from asfound.readers.residue import flat

RAILS = ("leftPowerRail", "rightPowerRail")
LOOSE = (*RAILS, "comment", "label")
END = -(10**9)
"""Stands for the place after the last network; no rung has that rank."""


def body(diagram: Diagram, language: str, extensions: tuple[Extension, ...]) -> Body:
    """A ladder or function block body."""
    flow = run(diagram, sinks(diagram.items, file_order=False))
    runs = inline(flow.runs)
    pieces = _components(diagram)
    leftovers = _leftovers(diagram, flow)
    order = _network_order(diagram, runs, pieces)
    labels, empty, comments, free = _attached(diagram, pieces)
    order = [each for piece in order for each in (*empty.get(piece, ()), piece)] + empty.get(END, [])
    members, own = _grouped(diagram, pieces), _by_piece(runs, pieces)
    given = {-group.rank: group for group in diagram.groups}
    networks = tuple(
        _network(
            members.get(piece, ()),
            own.get(piece, ()),
            leftovers,
            labels.get(piece, ""),
            comments.get(piece, ()),
            given.get(piece, Group(0)),
        )
        for piece in order
    )
    return Body(
        language=language,  # type: ignore[arg-type]
        networks=networks,
        order=_order(diagram, runs, pieces, order),
        comments=free,
        extensions=(
            *extensions,
            *diagram.extensions,
            *_rail_extensions(diagram),
            *_shared_numbers(diagram),
            *_shared_names(diagram, flow),
        ),
    )


def _components(diagram: Diagram) -> dict[int, int]:
    """Item index -> network: the smallest item index of its connected component, or minus the rank of its rung."""
    drawn = [item for item in diagram.items if item.kind not in LOOSE]
    parent = {item.index: item.index for item in drawn if not item.group}
    ranked = {item.index: -item.group for item in drawn if item.group}

    def find(at: int) -> int:
        while parent[at] != at:
            parent[at] = parent[parent[at]]
            at = parent[at]
        return at

    def join(first: int, second: int) -> None:
        low, high = sorted((find(first), find(second)))
        parent[high] = low

    connectors: dict[str, int] = {}
    for item in diagram.items:
        if item.index not in parent:
            continue
        if item.kind in ("connector", "continuation"):
            join(item.index, connectors.setdefault(item.text.lower(), item.index))
        for pin in item.inputs:
            for wire in pin.wires:
                source = diagram.get(wire)
                if source is not None and source.index in parent:
                    join(item.index, source.index)
    return {at: find(at) for at in parent} | ranked


def _network_order(diagram: Diagram, runs: Sequence[Run], pieces: dict[int, int]) -> list[int]:
    """Rungs by rank, networks by their first statement; those that run nothing follow, by position."""
    ranked = [-group.rank for group in diagram.groups]
    order = list(dict.fromkeys((*ranked, *(pieces[r.item.index] for r in runs))))
    done = set(order)
    idle = [item for item in diagram.items if item.index in pieces and pieces[item.index] not in done]
    idle.sort(key=lambda i: (i.y, i.x, i.index))
    return [*order, *dict.fromkeys(pieces[i.index] for i in idle)]


def _grouped(diagram: Diagram, pieces: dict[int, int]) -> dict[int, list[Item]]:
    """Items of each network in document order."""
    found: dict[int, list[Item]] = {}
    for item in diagram.items:
        if item.index in pieces:
            found.setdefault(pieces[item.index], []).append(item)
    return found


def _by_piece(runs: Sequence[Run], pieces: dict[int, int]) -> dict[int, list[Statement]]:
    """Statements of each network in order of execution."""
    found: dict[int, list[Statement]] = {}
    for each in runs:
        found.setdefault(pieces[each.item.index], []).append(each.statement)
    return found


def _network(
    members: Sequence[Item],
    statements: Sequence[Statement],
    leftovers: dict[int, str],
    label: str,
    comments: tuple[str, ...],
    given: Group,
) -> Network:
    comments = (given.comment, *comments) if given.comment else comments
    own = [item.comment for item in members if item.comment]
    extensions = flat((given.extensions, *((*item.extensions, *_stored_pins(item)) for item in members)))
    return Network(
        statements=numbered(statements),
        label=label,
        comment="\n".join((*comments, *own)),
        leftovers=tuple(sorted(t for item in members for t in _of(leftovers, item))),
        extensions=extensions,
    )


def _stored_pins(item: Item) -> tuple[Extension, ...]:
    """Pins drawn as set or reset: nobody knows what a pin then does, so it is kept and compared."""
    if item.kind != "block":
        return ()
    sides = (("input", item.inputs), ("output", item.outputs))
    owner = f"block {item.instance or item.type}"
    return tuple(Extension(f"{owner}/{side} {p.name}", p.storage) for side, pins in sides for p in pins if p.storage)


def _of(leftovers: dict[int, str], item: Item) -> tuple[str, ...]:
    text = leftovers.get(item.index)
    return (text,) if text else ()


def _leftovers(diagram: Diagram, flow: Flow) -> dict[int, str]:
    """What is drawn but does nothing, in words, by item index."""
    found: dict[int, str] = {}
    for item in diagram.items:
        if item.kind == "block":
            texts = [f"input {p.name} of {item.instance or item.type} is open" for p in item.inputs if not p.wires]
            texts += [_dangling(item, p.name) for p in item.inputs for w in p.wires if diagram.get(w) is None]
        elif item.kind in ("comment", "label", *RAILS):
            continue
        elif item.kind in ("coil", "outVariable", "jump", "return") and not item.wires:
            texts = [f"{_name(item)} has nothing wired to it"]
        elif item.index not in flow.seen:
            value = printed(series(flow.factors(item, ""))) if item.kind != "connector" else item.text
            texts = [f"{_name(item)} leads nowhere: {value}"]
        else:
            texts = [f"{_name(item)} has nothing wired to it"] if item.kind == "contact" and not item.wires else []
        texts += [_dangling(item, "") for p in item.inputs for w in p.wires if not p.name and diagram.get(w) is None]
        if texts:
            found[item.index] = "; ".join(texts)
    return found


def _dangling(item: Item, pin: str) -> str:
    return f"a wire into {pin + ' of ' if pin else ''}{item.instance or item.type or item.text} comes from nowhere"


def _name(item: Item) -> str:
    words = {"outVariable": "output", "inVariable": "input", "inOutVariable": "variable"}
    marks = [m for m in ("NOT" if item.negated else "", item.edge, item.storage) if m]
    return " ".join((words.get(item.kind, item.kind), *marks, item.text)).strip()


def _attached(
    diagram: Diagram, pieces: dict[int, int]
) -> tuple[dict[int, str], dict[int, list[int]], dict[int, tuple[str, ...]], tuple[str, ...]]:
    """Labels and comments by network: each goes to the network beside or below it, a comment else stays free.

    A label below all networks, and all but the last of several at one network, get an empty network of their own (whose
    number is that of the label), in front of that network or at the end: a jump there must not run what is above.
    """
    labels: dict[int, str] = {-group.rank: group.label for group in diagram.groups if group.label}
    comments: dict[int, tuple[str, ...]] = {}
    empty: dict[int, list[int]] = {}
    free: list[str] = []
    nearest = Places(_spans(diagram, pieces))
    loose = sorted((i for i in diagram.items if i.kind in ("comment", "label")), key=lambda i: (i.y, i.x, i.index))
    for item in loose:
        if item.kind == "comment":
            piece = -item.group if item.group else nearest.of(item)
            if piece is None:
                free.append(item.text)
            else:
                comments[piece] = (*comments.get(piece, ()), item.text)
            continue
        piece = -item.group if item.group else nearest.beside_or_below(item)
        if piece is None or piece in labels:
            empty.setdefault(END if piece is None else piece, []).append(item.index)
        target = item.index if piece is None or piece in labels else piece
        labels[target] = item.text
    return labels, empty, comments, tuple(free)


def _spans(diagram: Diagram, pieces: dict[int, int]) -> dict[int, Span]:
    """Top, bottom and first document index of each network."""
    spans: dict[int, Span] = {}
    for item in diagram.items:
        if item.index in pieces:
            piece = pieces[item.index]
            top, bottom, first = spans.get(piece, (item.y, item.y, item.index))
            spans[piece] = (min(top, item.y), max(bottom, item.y), min(first, item.index))
    return spans


def _spots(runs: Sequence[Run], pieces: dict[int, int], order: Sequence[int]) -> list[Spot]:
    """Where each statement is listed, in order of execution."""
    number = {piece: at for at, piece in enumerate(order)}
    counts: dict[int, int] = {}
    found = []
    for each in runs:
        piece = pieces[each.item.index]
        found.append((number[piece], counts.get(piece, 0)))
        counts[piece] = counts.get(piece, 0) + 1
    return found


def _order(diagram: Diagram, runs: Sequence[Run], pieces: dict[int, int], order: Sequence[int]) -> Order:
    spots = _spots(runs, pieces, order)
    sequence = () if spots == sorted(spots) else tuple(spots)
    return Order(sequence, doubts(diagram, runs, pieces, spots, _spans(diagram, pieces)))


def _rail_extensions(diagram: Diagram) -> tuple[Extension, ...]:
    return tuple(e for item in diagram.items if item.kind in LOOSE for e in item.extensions)


def _shared_numbers(diagram: Diagram) -> tuple[Extension, ...]:
    """Two elements with one number: a wire to it cannot be told apart, so it is never passed over."""
    doubled = [item for item in diagram.items if diagram.by_id[item.id] is not item]
    return tuple(Extension(path="elements with one number", text=f"{i.kind} {i.text}".strip()) for i in doubled)


def _shared_names(diagram: Diagram, flow: Flow) -> tuple[Extension, ...]:
    """Two connectors of one name: which of them a continuation goes on from is anybody's guess."""
    by_name: dict[str, list[Item]] = {}
    for item in diagram.items:
        if item.kind == "connector":
            by_name.setdefault(item.text.lower(), []).append(item)
    doubled = {name: found for name, found in by_name.items() if len(found) > 1}
    return tuple(
        Extension(f"connectors of one name: {name}", ", ".join(printed(series(flow.power(i.wires))) for i in found))
        for name, found in sorted(doubled.items())
    )
