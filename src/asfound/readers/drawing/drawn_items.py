"""The elements of an LD or FBD drawing, as data: what is drawn, wired to what, and where."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from asfound.model.logic import Statement
from asfound.model.program import Extension

EDGES = ("rising", "falling")
STORAGES = ("set", "reset")
MODIFIED = ("contact", "coil", "inVariable", "outVariable")
LATCHING = ("coil", "outVariable", "inOutVariable")
"""Elements on which a modifier has a meaning here; on any other it stays in the tree and becomes an extension, unless
it is the default of the format, which is the same as leaving it out."""


@dataclass(frozen=True)
class Wire:
    """One connection, seen from its sink: the element and pin it comes from."""

    source: str
    pin: str


@dataclass(frozen=True)
class Pin:
    """A pin with its modifiers; only inputs have wires."""

    name: str = ""
    wires: tuple[Wire, ...] = ()
    negated: bool = False
    edge: str = ""
    storage: str = ""


@dataclass(frozen=True)
class Item:
    """One drawn element. ``text`` is the operand, expression, label or comment; ``kind`` the element name.

    ``order`` is the explicit execution order (0: none), ``index`` the place in the document, ``code`` what a block
    holds as structured text of its own, ``group`` the rung it stands in where the format has rungs (0: none).
    """

    id: str
    kind: str
    text: str = ""
    type: str = ""
    instance: str = ""
    inputs: tuple[Pin, ...] = ()
    outputs: tuple[Pin, ...] = ()
    negated: bool = False
    edge: str = ""
    storage: str = ""
    x: float = 0.0
    y: float = 0.0
    order: int = 0
    index: int = 0
    comment: str = ""
    code: tuple[Statement, ...] = ()
    extensions: tuple[Extension, ...] = ()
    group: int = 0

    @property
    def wires(self) -> tuple[Wire, ...]:
        """Wires into the first input."""
        return self.inputs[0].wires if self.inputs else ()


@dataclass(frozen=True)
class Group:
    """A rung or network that the format itself tells apart; groups run in order of ``rank``, from 1."""

    rank: int
    label: str = ""
    comment: str = ""
    extensions: tuple[Extension, ...] = ()


@dataclass(frozen=True)
class Diagram:
    """All items of one drawing in document order, and how to find one by its id.

    ``extensions`` are about the drawing as a whole.
    """

    items: tuple[Item, ...]
    by_id: dict[str, Item] = field(default_factory=dict)
    groups: tuple[Group, ...] = ()
    extensions: tuple[Extension, ...] = ()

    def get(self, wire: Wire) -> Item | None:
        """The item a wire comes from, or None when it dangles."""
        return self.by_id.get(wire.source)


def connected(items: Iterable[Item]) -> Diagram:
    """Items with the index over their numbers; of two items with one number the first counts."""
    found = tuple(items)
    by_id: dict[str, Item] = {}
    for each in found:
        by_id.setdefault(each.id, each)
    return Diagram(items=found, by_id=by_id)
