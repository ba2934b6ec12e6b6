"""Renames of members and values: by the number of a value, by type, use and place of a member; and where none is one."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.compare.renames.type_members import member_renames
from asfound.model.copy import Copy
from asfound.model.program import DataType, Program, VariableDeclaration


def copy(types: str, code: str = "") -> Copy:
    program = f"PROGRAM P VAR s : S; m : M; i, o : INT; b : BOOL; END_VAR {code} END_PROGRAM" if code else ""
    return asfound.read(f"TYPE {types} END_TYPE {program}".encode(), "p.st")


def typed(type: DataType) -> Copy:
    return Copy(program=Program(types=(type,)))


S = "S : STRUCT {} END_STRUCT;"
Found = dict[str, dict[str, str]]
VALUES: dict[str, tuple[str, str, Found]] = {
    "of one number": ("M : (OFF, HAND, AUTO);", "M : (OFF, MANUAL, AUTO);", {"m": {"hand": "MANUAL"}}),
    "of one number that is said": ("M : (OFF := 1, HAND := 5);", "M : (OFF := 1, MANUAL := 5);", {"m": {"hand": "MANUAL"}}),
    "of another number that is said": ("M : (OFF := 1, HAND := 5);", "M : (OFF := 1, MANUAL := 6);", {}),
    "behind another one that is said": (
        "M : (OFF := 1, HAND := 5, AUTO);", "M : (OFF := 1, HAND := 6, SELF);", {},
    ),
    "counted from what is said": (
        "M : (OFF := 4, HAND, AUTO);", "M : (OFF := 4, MANUAL, SELF);", {"m": {"hand": "MANUAL", "auto": "SELF"}},
    ),
    "behind one that was inserted": ("M : (OFF, HAND);", "M : (OFF, NEW, MANUAL);", {"m": {"hand": "NEW"}}),
    "of one number, elsewhere in the list": (
        "M : (HAND := 5, OFF := 1);", "M : (OFF := 1, MANUAL := 5);", {"m": {"hand": "MANUAL"}},
    ),
    "two exchanged": ("M : (OFF, HAND);", "M : (HAND, OFF);", {}),
    "in another case of letters": ("M : (OFF, HAND);", "M : (off, hand);", {}),
    "of two types": (
        "M : (A, B); N : (C, D);", "M : (A, X); N : (Y, D);", {"m": {"b": "X"}, "n": {"c": "Y"}},
    ),
    "of a type that became a structure": ("M : (OFF, HAND);", "M : STRUCT on : INT; END_STRUCT;", {}),
    "of a type called otherwise": ("M : (OFF, HAND);", "N : (OFF, MANUAL);", {}),
    "nothing": ("M : (OFF, HAND);", "M : (OFF, HAND);", {}),
}  # fmt: skip


@pytest.mark.parametrize("name", VALUES)
def test_a_value_is_known_by_its_number(name: str) -> None:
    old, new, expected = VALUES[name]
    assert member_renames(copy(old), copy(new)) == expected


MEMBERS: dict[str, tuple[str, str, str, str, Found]] = {
    "unused, in its place": (
        "a : INT; x : INT; c : INT;", "", "a : INT; y : INT; c : INT;", "", {"s": {"x": "y"}},
    ),
    "unused, in another place": ("a : INT; x : INT;", "", "y : INT; a : INT;", "", {}),
    "of another type": ("a : INT; x : INT;", "", "a : INT; y : DINT;", "", {}),
    "used in the same way, in another place": (
        "a : INT; x : INT;", "o := s.x + 1; s.x := i;", "y : INT; a : INT;", "o := s.y + 1; s.y := i;",
        {"s": {"x": "y"}},
    ),
    "used in another way, in another place": (
        "a : INT; x : INT;", "o := s.x + 1; s.x := i;", "y : INT; a : INT;", "o := s.y + 2; s.y := o;", {},
    ),
    "two, told apart by their uses": (
        "x : INT; z : INT;", "o := s.x + 1; i := s.z * 3; s.z := s.x;", "w : INT; y : INT;",
        "o := s.y + 1; i := s.w * 3; s.w := s.y;", {"s": {"x": "y", "z": "w"}},
    ),
    "one that is still there": ("a : INT; x : INT;", "", "a : INT; x : INT; y : INT;", "", {}),
}  # fmt: skip


@pytest.mark.parametrize("name", MEMBERS)
def test_a_member_is_known_by_its_type_its_uses_and_its_place(name: str) -> None:
    was, before, now, after, expected = MEMBERS[name]
    assert member_renames(copy(S.format(was), before), copy(S.format(now), after)) == expected


def test_a_comment_goes_with_a_member_and_no_union_is_a_structure() -> None:
    a, x, y = (VariableDeclaration(name, "INT", comment="" if name == "a" else "feed") for name in "axy")
    old, new = DataType("S", "struct", members=(a, x)), DataType("S", "struct", members=(y, a))
    assert member_renames(typed(old), typed(new)) == {"s": {"x": "y"}}
    assert member_renames(typed(old), typed(replace(new, kind="union"))) == {}


def test_a_value_is_used_behind_its_type() -> None:
    old = copy("M : (OFF := 1, HAND := 2); S : STRUCT q : INT; END_STRUCT;", "b := m = M#HAND;")
    new = copy("M : (OFF := 1, MANUAL := 2); S : STRUCT q : INT; END_STRUCT;", "b := m = M#MANUAL;")
    assert member_renames(old, new) == {"m": {"hand": "MANUAL"}}
