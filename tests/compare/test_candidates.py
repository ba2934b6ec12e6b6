"""Which removed name became which added one: what is alike enough, what rivals rule out, and what a use looks like."""

from __future__ import annotations

from collections import Counter

import pytest

from asfound.analysis.leaves import of_body
from asfound.analysis.places import top
from asfound.compare.renames.candidates import HOLE, Item, best_for_both, blanked, matched, places, signatures
from asfound.model.program import Body

from . import building as b

K = ("kind",)


def item(name: str, *content: str, anchor: str = "", kind: tuple[str, ...] = K) -> Item:
    return Item(name, kind, anchor, content)


MATCHED: dict[str, tuple[list[Item], list[Item], dict[str, str]]] = {
    "half of it is alike": ([item("A", "x", "y")], [item("B", "x", "z")], {"a": "B"}),
    "less than half": ([item("A", "x", "y", "w")], [item("B", "x", "z", "v")], {}),
    "half of the smaller one is not enough": ([item("A", "x")], [item("B", "x", "z", "v")], {}),
    "half of the smaller one, the other way round": ([item("A", "x", "z", "v")], [item("B", "x")], {}),
    "nothing is known of either": ([item("A")], [item("B")], {}),
    "another kind": ([item("A", "x")], [item("B", "x", kind=("other",))], {}),
    "one address": ([item("A", anchor="%MW0")], [item("B", anchor="%MW0")], {"a": "B"}),
    "one address and nothing else alike": ([item("A", "x", anchor="%MW0")], [item("B", "y", anchor="%MW0")], {"a": "B"}),
    "another address": ([item("A", "x", anchor="%MW0")], [item("B", "x", anchor="%MW2")], {}),
    "an address on one side only": ([item("A", "x", anchor="%MW0")], [item("B", "x")], {"a": "B"}),
    "an address on the other side only": ([item("A", "x")], [item("B", "x", anchor="%MW0")], {"a": "B"}),
    "an address is worth half": (
        [item("A", "x", "y", "z", anchor="%MW0")], [item("B", anchor="%MW0"), item("C", "x", "y")], {"a": "C"},
    ),
    "an address and the uses are worth more": (
        [item("A", "x", "y", "z", anchor="%MW0")], [item("B", "x", "y", anchor="%MW0"), item("C", "x", "y")], {"a": "B"},
    ),
    "an address and half of the uses, against seven of ten": (
        [item("A", *"abcdefgh", anchor="%MW0")], [item("B", *"abcdstuv", anchor="%MW0"), item("C", *"abcdefgxyz")],
        {"a": "B"},
    ),
    "an address and half of the uses, against eight of ten": (
        [item("A", *"abcdefgh", anchor="%MW0")], [item("B", *"abcdstuv", anchor="%MW0"), item("C", *"abcdefghyz")],
        {"a": "C"},
    ),
    "two that are equally good": ([item("A", "x")], [item("B", "x"), item("C", "x")], {}),
    "two that were equally good": ([item("A", "x"), item("B", "x")], [item("C", "x")], {}),
    "the better of two": ([item("A", "x", "y", "z")], [item("B", "x", "y"), item("C", "x", "y", "z")], {"a": "C"}),
    "two of one name": ([item("A", "x"), item("a", "y")], [item("C", "x")], {}),
    "two of one name now": ([item("A", "x")], [item("C", "x"), item("c", "y")], {}),
    "several": ([item("A", "x"), item("B", "y")], [item("D", "y"), item("C", "x")], {"a": "C", "b": "D"}),
}  # fmt: skip


@pytest.mark.parametrize("name", MATCHED)
def test_a_pair_is_best_for_both_and_enough_alike(name: str) -> None:
    old, new, expected = MATCHED[name]
    assert matched(old, new) == expected


def test_the_uses_count_as_often_as_there_are_and_together_with_the_content() -> None:
    ours, theirs = {"a": Counter({"u": 3})}, {"b": Counter({"u": 3}), "c": Counter({"u": 1, "v": 2})}
    assert matched([item("A", "x")], [item("B", "x"), item("C", "x")], ours, theirs) == {"a": "B"}
    assert matched([item("A", "x")], [item("B")], ours, theirs) == {"a": "B"}
    assert matched([item("A")], [item("C")], ours, theirs) == {}
    assert matched([item("A")], [item("B")], {"b": Counter({"u": 3})}, theirs) == {}


BEST: list[tuple[dict[tuple[str, str], float], list[tuple[str, str]]]] = [
    ({("a", "x"): 0.7}, [("a", "x")]),
    ({("a", "x"): 0.7, ("a", "y"): 0.9}, [("a", "y")]),
    ({("a", "y"): 0.9, ("a", "x"): 0.7}, [("a", "y")]),
    ({("a", "x"): 0.7, ("b", "x"): 0.9}, [("b", "x")]),
    ({("a", "x"): 0.7, ("a", "y"): 0.7}, []),
    ({("a", "x"): 0.7, ("b", "x"): 0.7}, []),
    ({("a", "x"): 0.7, ("a", "y"): 0.7, ("a", "z"): 0.8}, [("a", "z")]),
    ({("a", "x"): 0.6, ("a", "y"): 0.7, ("a", "z"): 0.9}, [("a", "z")]),
    ({("a", "x"): 0.6, ("b", "x"): 0.7, ("c", "x"): 0.9}, [("c", "x")]),
    ({("a", "x"): 0.9, ("a", "y"): 0.8, ("b", "y"): 0.7}, [("a", "x")]),
]


@pytest.mark.parametrize(("scores", "pairs"), BEST)
def test_a_pair_beats_every_rival_on_either_side(
    scores: dict[tuple[str, str], float], pairs: list[tuple[str, str]]
) -> None:
    assert best_for_both(scores) == pairs


def key(text: str, name: str = "a", *wild: str) -> str:
    (statement,) = b.st(text)
    return blanked(statement, name, frozenset(wild))


ALIKE: dict[str, tuple[str, str]] = {
    "a variable": ("o := A + 1;", "o := b + 1;"),
    "a target": ("A := i;", "B := i;"),
    "a member": ("o := s.A;", "o := s.B;"),
    "a pin": ("f(A := 1, o => p);", "f(B := 1, o => p);"),
    "a type before a value": ("o := A#X;", "o := B#X;"),
    "a value behind a type": ("o := M#A;", "o := M#B;"),
    "an instance": ("A(i := 1);", "B(i := 1);"),
    "a function": ("o := A(1);", "o := B(1);"),
}


@pytest.mark.parametrize("name", ALIKE)
def test_a_use_is_the_same_with_another_name_in_the_hole(name: str) -> None:
    old, new = ALIKE[name]
    assert key(old, "a") == key(new, "b")
    assert key(old, "a") != key(new, "a"), "a name that stayed is what it was"
    assert key(old, "x_", "a") == key(new, "x_", "b"), "left open"
    assert key(old, "a") != key(old, "x_", "a"), "a hole is none that is left open"


def test_names_that_stay_and_where_the_hole_is_count() -> None:
    assert key("o := a + k;") != key("o := a + m;")
    assert key("o := a - k;", "a", "k") != key("o := k - a;", "a", "k")
    assert key("o := a + k;", "a", "k") == key("o := a + m;", "a", "m")
    assert HOLE in key("o := a;") and HOLE not in key("o := b;")


def test_a_block_of_a_type_that_came_or_went_is_left_open() -> None:
    calls = [b.timer("t", "a", "T#1s", type=type) for type in ("Mine", "Yours", "TON")]
    keys = [blanked(call, "a", frozenset(("mine", "yours"))) for call in calls]
    assert keys[0] == keys[1] != keys[2]
    assert len({blanked(call, "a", frozenset()) for call in calls}) == 3


def test_each_use_of_each_name_is_counted() -> None:
    text = "o := A; o := a; p.m := k; o := a + k; IF a THEN q := 1; END_IF;"
    found = signatures(of_body(Body("ST", b.st(text)), top("P"), ()), frozenset("akm"), frozenset("ak"))
    assert set(found) == {"a", "k", "m"}
    assert sorted(found["a"].values()) == [1, 1, 2]
    assert found["a"][key("o := a;")] == 2
    assert found["a"][key("o := a + k;", "a", "k")] == 1
    assert sorted(found["k"].values()) == [1, 1]
    assert found["m"] == Counter({key("p.m := k;", "m", "a", "k"): 1})


GAPS: list[tuple[list[str], list[str], dict[str, str], dict[str, str]]] = [
    (["a", "b"], ["a", "b"], {}, {}),
    (["A", "x"], ["a", "y"], {"x": "place 1 of 1 between a and "}, {"y": "place 1 of 1 between a and "}),
    (["x", "a"], ["y", "a"], {"x": "place 1 of 1 between  and a"}, {"y": "place 1 of 1 between  and a"}),
    (
        ["a", "x", "Y", "b", "z", "c"], ["a", "b", "c"],
        {"x": "place 1 of 2 between a and b", "y": "place 2 of 2 between a and b", "z": "place 1 of 1 between b and c"},
        {},
    ),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "ours", "theirs"), GAPS)
def test_a_place_is_told_by_the_neighbours_that_stayed(
    old: list[str], new: list[str], ours: dict[str, str], theirs: dict[str, str]
) -> None:
    assert places(old, new) == (ours, theirs)
