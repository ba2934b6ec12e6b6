"""Pairs by name and by what two things have in common: who is whose partner, what is left, and in which order."""

from __future__ import annotations

import pytest

from asfound.compare.pairing.by_content import by_common_parts
from asfound.compare.pairing.by_name import by_name
from asfound.compare.pairing.pair import Pair

Thing = tuple[str, int]
Rows = tuple[str, str, list[tuple[int, int]], list[int], list[int], list[int], list[int]]
NAMED: dict[str, Rows] = {
    "each with its own": ("b a", "a b", [(1, 0), (0, 1)], [], [], [], []),
    "in other letters": ("A", "a", [(0, 0)], [], [], [], []),
    "what went and came": ("a b", "b c", [(1, 0)], [0], [1], [0], [1]),
    "the first with the first": ("a a", "a a a", [(0, 0), (1, 1)], [], [2], [], []),
    "one of two went": ("a a", "a", [(0, 0)], [1], [], [], []),
    "those written alike first": ("a A", "A a", [(0, 1), (1, 0)], [], [], [], []),
    "one of three in the same letters": ("a A", "A", [(1, 0)], [0], [], [], []),
    "one in the same letters, one in others": ("a Aa AA", "AA aA", [(2, 0), (1, 1)], [0], [], [0], []),
    "none on one side": ("", "a a", [], [], [0, 1], [], [0, 1]),
}  # fmt: skip


@pytest.mark.parametrize("name", NAMED)
def test_things_of_one_name_belong_together(name: str) -> None:
    old, new, pairs, removed, added, gone, come = NAMED[name]
    ours, theirs = ([(word, n) for n, word in enumerate(side.split())] for side in (old, new))
    written = [(f"was {word}", n) for word, n in ours]
    found = by_name(ours, theirs, lambda thing: thing[0], written)
    assert sorted(found.pairs) == sorted(Pair(ours[i], theirs[j], written[i]) for i, j in pairs)
    assert [thing[1] for thing in found.removed] == removed
    assert all(thing[0].startswith("was ") for thing in found.removed)
    assert [thing[1] for thing in found.added] == added
    assert list(found.gone) == [ours[i] for i in gone]
    assert list(found.come) == [theirs[j] for j in come]
    alone = [("removed", written[i]) for i in removed] + [("added", theirs[j]) for j in added]
    assert found.alone == alone


def test_without_a_form_that_was_written_the_old_one_is_it() -> None:
    found = by_name(["b", "a", "c"], ["A", "B"], str)
    assert found.pairs == (Pair("a", "A", "a"), Pair("b", "B", "b"))
    assert (found.removed, found.added) == (("c",), ())


def test_the_parts_of_a_pair_are_a_pair() -> None:
    assert Pair("old", "news", "writ").each(len) == Pair(3, 4, 4)


COMMON: dict[str, tuple[list[str], list[str], list[tuple[str, str]]]] = {
    "one in common": (["A:x y"], ["B:y z"], [("A", "B")]),
    "nothing in common": (["A:x"], ["B:y"], []),
    "most in common first": (["A:x y z"], ["B:x", "C:x y"], [("A", "C")]),
    "each in one pair": (["A:x y z", "B:x y"], ["C:x y z"], [("A", "C")]),
    "the second best for who is left": (["A:x y z", "B:x y"], ["C:x y z", "D:y"], [("A", "C"), ("B", "D")]),
    "in the order of the old ones": (["B:y", "A:x"], ["C:x", "D:y"], [("B", "D"), ("A", "C")]),
    "equal numbers by name": (["A:x"], ["D:x", "C:x"], [("A", "C")]),
    "equal numbers by name, the other way round": (["D:x", "C:x"], ["A:x"], [("C", "A")]),
}


@pytest.mark.parametrize("name", COMMON)
def test_things_with_most_in_common_belong_together(name: str) -> None:
    old, new, expected = COMMON[name]
    found = by_common_parts(old, new, lambda thing: thing[0], lambda thing: thing[2:].split())
    assert [(a[0], b[0]) for a, b in found] == expected
