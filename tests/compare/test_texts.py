"""Renames inside of what a declaration says as text: types, bounds, literals, initial values; and nothing else."""

from __future__ import annotations

import pytest

from asfound.compare.renames.texts import Map, can_name, type_text, value_text, words_of
from asfound.model.program import VariableDeclaration

TYPES: list[tuple[Map, str, Map | None, str]] = [
    ({"mode": "State"}, "Mode", None, "State"),
    ({"mode": "State"}, "INT", None, "INT"),
    ({"mode": "State"}, "ARRAY[0..mode] OF Mode", None, "ARRAY[0..mode] OF State"),
    ({}, "ARRAY[0..Max] OF Max", {"max": "TOP"}, "ARRAY[0..TOP] OF Max"),
    ({"a": "B"}, "STRING[a]", {"a": "N"}, "STRING[N]"),
    ({"int": "X"}, "INT(low..high)", {"low": "least"}, "X(least..high)"),
    ({"a": "B"}, "ARRAY[1..a] OF ARRAY[a..2] OF a", {"a": "N"}, "ARRAY[1..N] OF ARRAY[N..2] OF B"),
    ({"a": "B"}, "", {"a": "N"}, ""),
    ({}, "Mode", {}, "Mode"),
    ({}, "Mode", None, "Mode"),
]


@pytest.mark.parametrize(("types", "text", "constants", "expected"), TYPES)
def test_a_type_names_types_outside_of_its_bounds_and_constants_inside(
    types: Map, text: str, constants: Map | None, expected: str
) -> None:
    assert type_text(types, text, constants) == expected


VALUES: list[tuple[str, str, dict[str, object]]] = [
    ("Mode#OFF", "State#STOP", {"types": {"mode": "State"}, "values": {"mode": {"off": "STOP"}}}),
    ("Mode#OFF", "Mode#STOP", {"values": {"mode": {"off": "STOP"}}}),
    ("Mode#OFF", "State#OFF", {"types": {"mode": "State"}}),
    ("Other#OFF", "Other#OFF", {"types": {"mode": "State"}, "values": {"mode": {"off": "STOP"}}}),
    ("Mode#OFF", "Mode#OFF", {"names": {"off": "STOP", "mode": "X"}, "members": {"mode": "X"}}),
    ("T#5s", "T#5s", {"names": {"s": "sec"}}),
    ("T#1h_30m", "T#1h_30m", {"names": {"h_30m": "x", "m": "y"}}),
    ("16#FF", "16#FF", {"names": {"ff": "x"}}),
    ("INT#16#FF", "INT#16#FF", {"names": {"ff": "x"}}),
    ("1E3", "1E3", {"names": {"e3": "x"}}),
    ("(FF, 16#FF)", "(x, 16#FF)", {"names": {"ff": "x"}}),
    ("OFF", "STOP", {"names": {"off": "STOP"}, "members": {"off": "y"}}),
    ("(off := OFF)", "(y := STOP)", {"names": {"off": "STOP"}, "members": {"off": "y"}}),
    ("(off:=1)", "(y:=1)", {"members": {"off": "y"}}),
    ("(off := 1, b := off)", "(off := 1, b := STOP)", {"names": {"off": "STOP"}}),
    ("'OFF'", "'OFF'", {"names": {"off": "STOP"}}),
    ('"OFF"', '"OFF"', {"names": {"off": "STOP"}}),
    ("'it$'s OFF' + OFF", "'it$'s OFF' + STOP", {"names": {"off": "STOP"}}),
    ("", "", {"names": {"off": "STOP"}}),
    ("OFF", "OFF", {}),
    ("OFF", "OFF", {"members": {"off": "y"}}),
]


@pytest.mark.parametrize(("text", "expected", "said"), VALUES)
def test_what_a_value_names_hangs_on_where_it_stands(text: str, expected: str, said: dict[str, object]) -> None:
    assert value_text(text, **{"types": {}, **said}) == expected  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("names", "words"),
    [
        ([], []),
        (["pump"], ["pump"]),
        (["pump 1", "valve"], ["pump", "valve"]),
        (["1"], [""]),
        (["", "a"], ["", "a"]),
        (["motor-left"], ["left", "motor"]),
    ],
)
def test_the_words_of_names(names: list[str], words: list[str]) -> None:
    assert sorted(words_of(names)) == words


@pytest.mark.parametrize(
    ("words", "can"),
    [
        (("motor",), True),
        (("feed",), True),
        (("line",), True),
        (("nline",), False),
        (("mot",), False),
        (("other",), False),
        ((), False),
        (("",), True),
        (("other", "motor"), True),
    ],
)
def test_a_name_can_stand_where_its_words_do(words: tuple[str, ...], can: bool) -> None:
    declared = VariableDeclaration("Motor", "INT", comment="feed\nline")
    assert can_name(declared, frozenset(words)) is can
