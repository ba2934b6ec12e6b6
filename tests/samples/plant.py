"""What a sample project consists of, before anybody writes it down in a file format."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace


@dataclass(frozen=True)
class Variable:
    """One declaration; ``section`` is the name of the TC6 list element it goes into."""

    name: str
    type: str
    section: str = "localVars"
    address: str = ""
    initial: str = ""
    comment: str = ""
    retain: bool = False
    constant: bool = False


@dataclass(frozen=True)
class Rung:
    """One ladder rung or block network. ``text`` is in the notation of :mod:`notation`; ``key`` names it here only.

    ``stretch`` moves it apart from the rung above and pulls its elements apart: a redraw, nothing else.
    """

    key: str
    comment: str
    text: str
    stretch: int = 0


Rows = tuple[tuple[str, str, str], ...]
"""Key, comment and text of rungs."""


def rungs_of(rows: Rows) -> tuple[Rung, ...]:
    """The rungs of a table."""
    return tuple(Rung(*row) for row in rows)


@dataclass(frozen=True)
class Action:
    """A named action of a POU, structured text."""

    name: str
    text: str


@dataclass(frozen=True)
class Tied:
    """An action tied to a step: a variable or a named action, or inline structured text."""

    name: str
    qualifier: str = "N"
    duration: str = ""
    inline: str = ""


@dataclass(frozen=True)
class Step:
    name: str
    actions: tuple[Tied, ...] = ()
    initial: bool = False
    comment: str = ""


@dataclass(frozen=True)
class Go:
    """A transition. ``reference`` names a transition body of the POU instead of an inline condition."""

    condition: str
    reference: bool = False


@dataclass(frozen=True)
class Jump:
    target: str


@dataclass(frozen=True)
class Select:
    """Alternative branches, tried from left to right."""

    branches: tuple[tuple[Part, ...], ...]


Part = Step | Go | Jump | Select


@dataclass(frozen=True)
class Pou:
    """``language`` is LD, FBD (``rungs``), ST, IL (``text``) or SFC (``chart``). ``kind`` as TC6 ``pouType``."""

    name: str
    kind: str
    language: str
    comment: str = ""
    variables: tuple[Variable, ...] = ()
    result: str = ""
    rungs: tuple[Rung, ...] = ()
    text: str = ""
    chart: tuple[Part, ...] = ()
    actions: tuple[Action, ...] = ()
    transitions: tuple[Action, ...] = ()

    def with_rung(self, key: str, change: Callable[[Rung], Rung]) -> Pou:
        """The POU with one rung changed; a key that does not exist is a mistake in the story."""
        if key not in {rung.key for rung in self.rungs}:
            raise KeyError(f"{self.name}: no rung {key}")
        return replace(self, rungs=tuple(change(r) if r.key == key else r for r in self.rungs))


@dataclass(frozen=True)
class DataType:
    """A structure (``members``) or an enumeration (``values``)."""

    name: str
    comment: str = ""
    members: tuple[Variable, ...] = ()
    values: tuple[str, ...] = ()


@dataclass(frozen=True)
class Task:
    name: str
    interval: str
    priority: int
    programs: tuple[tuple[str, str], ...]
    comment: str = ""


@dataclass(frozen=True)
class Module:
    """A plugged module. ``inputs``/``outputs`` are (first byte, number of points, bits per point) or None."""

    slot: int
    name: str
    type_name: str
    order: str
    firmware: str
    kind: str = ""
    comment: str = ""
    inputs: tuple[int, int, int] | None = None
    outputs: tuple[int, int, int] | None = None
    settings: tuple[tuple[str, str], ...] = ()
    nodes: tuple[tuple[str, str, str], ...] = ()
    """(name, network, address)"""


@dataclass(frozen=True)
class Rack:
    slot: int
    name: str
    order: str
    modules: tuple[Module, ...]


@dataclass(frozen=True)
class Value:
    name: str
    actual: str
    initial: str
    unit: str
    comment: str = ""


@dataclass(frozen=True)
class Force:
    name: str
    address: str
    value: str
    comment: str = ""


@dataclass(frozen=True)
class Station:
    """Everything one copy of a station holds."""

    name: str
    title: str
    version: str
    tags: tuple[Variable, ...]
    """The located ones; they are globals of the program and rows of the tag table."""
    globals: tuple[Variable, ...]
    types: tuple[DataType, ...]
    pous: tuple[Pou, ...]
    text_pous: tuple[str, ...]
    """POUs kept in an IEC text file beside the exchange file, as written text."""
    tasks: tuple[Task, ...]
    racks: tuple[Rack, ...]
    networks: tuple[tuple[str, str], ...]
    library: tuple[str, str] = ("", "")
    values: tuple[Value, ...] = ()
    forces: tuple[Force, ...] = field(default=())

    def with_pou(self, name: str, change: Callable[[Pou], Pou]) -> Station:
        """The station with one POU changed; a name that does not exist is a mistake in the story."""
        if name not in {pou.name for pou in self.pous}:
            raise KeyError(name)
        return replace(self, pous=tuple(change(p) if p.name == name else p for p in self.pous))

    def with_tag(self, name: str, /, **changes: str) -> Station:
        """The station with some fields of one tag changed."""
        if name not in {tag.name for tag in self.tags}:
            raise KeyError(name)
        return replace(
            self,
            tags=tuple(Variable(**{**vars(tag), **changes}) if tag.name == name else tag for tag in self.tags),
        )

    def with_module(self, name: str, /, **changes: str) -> Station:
        """The station with some fields of one module changed."""
        racks = tuple(
            replace(
                rack,
                modules=tuple(
                    Module(**{**vars(module), **changes}) if module.name == name else module for module in rack.modules
                ),
            )
            for rack in self.racks
        )
        return replace(self, racks=racks)
