"""Data that nobody interprets: whatever holds some is told when it comes and when it goes."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import msgspec
import pytest
from msgspec.structs import replace

from asfound.compare.comparison import compare
from asfound.model.copy import Copy
from asfound.model.hardware import Hardware, Subnet
from asfound.model.program import Action, Body, Extension, Network

from . import building as b

DATA = (Extension("addData", "1", "a"),)
FULL = replace(
    b.with_pou(b.STATION, replace(b.PUMP, actions=(Action("Act", Body("ST", b.st("LAMP := TRUE;"))),))),
    hardware=Hardware(b.STATION.hardware.devices, (Subnet("Plant"),)),
)
Put = Callable[[object], Copy]


def holders(node: object, put: Put) -> Iterator[tuple[str, Copy]]:
    """By the type of what holds it: the copy with data at one more place."""
    if isinstance(node, msgspec.Struct):
        if "extensions" in node.__struct_fields__:
            yield type(node).__name__, put(replace(node, extensions=DATA))
        for name in node.__struct_fields__:
            yield from holders(getattr(node, name), lambda new, name=name: put(replace(node, **{name: new})))  # type: ignore[misc]
    if isinstance(node, tuple):
        for n, each in enumerate(node):
            yield from holders(each, lambda new, n=n: put((*node[:n], new, *node[n + 1 :])))  # type: ignore[misc]


FOUND = dict(holders(FULL, lambda whole: whole))  # type: ignore[arg-type, return-value]


def test_every_kind_of_holder_is_tried() -> None:
    assert FOUND.keys() >= {"Pou", "Body", "Network", "Action", "Chart", "Step", "Transition", "Association", "Task",
                            "Resource", "Instance", "DataType", "GlobalList", "VariableDeclaration", "Module", "Device",
                            "Subnet", "Hardware", "Program"}  # fmt: skip


@pytest.mark.parametrize("holder", sorted(FOUND))
def test_data_that_came_or_went_is_told_once(holder: str) -> None:
    for old, new, expected in (
        (FULL, FOUND[holder], ("added", "undecided", None, "1")),
        (FOUND[holder], FULL, ("removed", "undecided", "1", None)),
    ):
        (found,) = compare(old, new).changes
        assert (found.kind, found.effect, found.before, found.after) == expected


def test_a_rung_of_one_side_that_holds_such_data_alone_is_undecided() -> None:
    for network, effect in (
        (Network((), extensions=DATA), "undecided"), (Network((b.coil("A", "B"),), extensions=DATA), "behaviour"),
        (Network((b.coil("A", "B"),)), "behaviour"), (Network((), title="A"), "documentation"),
    ):  # fmt: skip
        assert b.only(b.with_rungs(*b.RUNGS, network)).effect == effect
        assert b.only(b.STATION, b.with_rungs(*b.RUNGS, network)).effect == effect
