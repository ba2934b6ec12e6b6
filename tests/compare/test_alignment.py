"""Alignment: what stays, what moved, and the same answer from both sides."""

from __future__ import annotations

from collections.abc import Callable
from difflib import SequenceMatcher

import pytest
from hypothesis import given
from hypothesis import strategies as s

from asfound.compare.pairing import alignment
from asfound.compare.pairing.alignment import Alignment, align, increasing

KEYS = s.lists(s.sampled_from("abcdef"), max_size=9)


def test_one_insertion_moves_nothing() -> None:
    found = align(list("abcd"), list("abXcd"))
    assert (found.kept, found.added) == (((0, 0), (1, 1), (2, 3), (3, 4)), (2,))
    assert not (found.moved or found.removed or found.changed)


def test_one_piece_moved_to_the_front() -> None:
    found = align(list("abcd"), list("dabc"))
    assert (found.moved, found.kept) == (((3, 0),), ((0, 1), (1, 2), (2, 3)))


def test_the_best_score_pairs_what_changed() -> None:
    found = align(["a", "x1", "y1"], ["a", "y2", "x2"], lambda i, j: float("axy"[i] == "ayx"[j]))
    assert found.changed == ((2, 1), (1, 2))
    assert found.crossed == ()


def test_repeated_keys_keep_their_order() -> None:
    assert align(list("aaa"), list("aa")).kept == ((0, 0), (1, 1))


@pytest.mark.parametrize(
    ("old", "new", "kept"),
    [("Axxx", "xxxA", "A"), ("xAyy", "yyAx", "A"), ("xxAyyB", "yAxxBy", "AB"), ("AxByy", "yyAxB", "AxB")],
)
def test_what_occurs_once_stays_and_what_is_repeated_moves_around_it(old: str, new: str, kept: str) -> None:
    assert "".join(old[i] for i, _ in align(list(old), list(new)).kept) == kept


def test_longest_increasing_run() -> None:
    assert increasing([(0, 3), (1, 0), (2, 1), (3, 2), (4, 5)]) == [(1, 0), (2, 1), (3, 2), (4, 5)]


@given(KEYS, KEYS)
def test_every_piece_has_exactly_one_fate(old: list[str], new: list[str]) -> None:
    found = align(old, new, lambda i, j: 0.6 if (i + j) % 2 else 0.1)
    pairs = (*found.kept, *found.moved, *found.changed)
    assert sorted([i for i, _ in pairs] + list(found.removed)) == list(range(len(old)))
    assert sorted([j for _, j in pairs] + list(found.added)) == list(range(len(new)))
    assert all(old[i] == new[j] for i, j in (*found.kept, *found.moved))
    assert list(found.kept) == sorted(found.kept)


@given(KEYS, KEYS)
def test_the_other_direction_is_the_mirror_image(old: list[str], new: list[str]) -> None:
    there = align(old, new, lambda i, j: 0.6 if (i + j) % 2 else 0.1)
    back = align(new, old, lambda i, j: 0.6 if (i + j) % 2 else 0.1)
    assert sorted(there.kept) == sorted((i, j) for j, i in back.kept)
    assert (there.removed, there.added) == (back.added, back.removed)


def test_the_worked_example_of_the_shortest_edit_script() -> None:
    """Myers, An O(ND) Difference Algorithm and Its Variations, Algorithmica 1 (1986), figure 1: ABCABBA to CBABAC.

    The longest common subsequence has 4 elements (one is CABA), the shortest script 5 edits; from memory.
    """
    old, new = list("ABCABBA"), list("CBABAC")
    found = align(old, new)
    assert len(found.kept) == 4
    assert "".join(old[i] for i, _ in found.kept) in {"BABA", "CABA", "CBBA"}
    assert (len(old) - len(found.kept)) + (len(new) - len(found.kept)) == 5


@given(KEYS, KEYS)
def test_at_least_as_much_is_kept_as_by_difflib(old: list[str], new: list[str]) -> None:
    """Against the standard library's matcher, which is a lower bound of the longest common subsequence."""
    matcher = SequenceMatcher(None, old, new, autojunk=False)
    found = align(old, new)
    assert len(found.kept) >= sum(block.size for block in matcher.get_matching_blocks()) or found.moved


@given(KEYS, KEYS)
def test_crossed_pairs_are_those_that_swapped_places_with_a_kept_one(old: list[str], new: list[str]) -> None:
    found = align(old, new, lambda i, j: ((7 * i + 3 * j) % 11) / 10)
    across = [(a, b) for a, b in found.changed if any((a < i) != (b < j) for i, j in found.kept)]
    assert found.crossed == tuple(across)
    assert all(any((a < i) != (b < j) for i, j in found.kept) for a, b in found.moved)


EXACT: dict[str, tuple[str, str, Alignment]] = {
    "nothing": ("", "", Alignment()),
    "all came": ("", "ab", Alignment(added=(0, 1))),
    "all went": ("ab", "", Alignment(removed=(0, 1))),
    "the same": ("ab", "ab", Alignment(kept=((0, 0), (1, 1)))),
    "a repeated one goes": ("aab", "ab", Alignment(kept=((0, 0), (2, 1)), removed=(1,))),
    "one exchanged for another": ("axb", "ayb", Alignment(kept=((0, 0), (2, 2)), removed=(1,), added=(1,))),
    "repeated ones behind one that came": (
        "xxp", "yxxq", Alignment(kept=((0, 1), (1, 2)), removed=(2,), added=(0, 3)),
    ),
    "repeated ones behind one that went": (
        "yxxq", "xxp", Alignment(kept=((1, 0), (2, 1)), removed=(0, 3), added=(2,)),
    ),
    "one moved behind two": ("abc", "bca", Alignment(kept=((1, 0), (2, 1)), moved=((0, 2),))),
    "one moved before two": ("bca", "abc", Alignment(kept=((0, 1), (1, 2)), moved=((2, 0),))),
    "the end before the start": ("abab", "ab", Alignment(kept=((0, 0), (1, 1)), removed=(2, 3))),
}  # fmt: skip


@pytest.mark.parametrize("name", EXACT)
def test_what_becomes_of_each_piece(name: str) -> None:
    old, new, expected = EXACT[name]
    assert align(list(old), list(new)) == expected


def scored(table: dict[tuple[int, int], float]) -> Callable[[int, int], float]:
    return lambda i, j: table.get((i, j), 0.0)


def test_what_is_enough_alike_is_changed_and_nothing_below() -> None:
    assert align(["a"], ["b"], scored({(0, 0): 0.5})).changed == ((0, 0),)
    assert align(["a"], ["b"], scored({(0, 0): 0.49})).changed == ()
    assert align(["a"], ["b"], scored({(0, 0): 0.3}), 0.3).changed == ((0, 0),)


def test_the_best_come_first_then_those_in_one_gap_then_the_nearest() -> None:
    best = scored({(0, 0): 0.6, (0, 1): 0.9, (1, 0): 0.7, (1, 1): 0.95})
    assert align(["a", "b"], ["c", "d"], best).changed == ((0, 0), (1, 1))
    gap = scored({(0, 0): 0.0, (0, 2): 0.8, (2, 0): 0.8, (2, 2): 0.8})
    assert align(["a", "k", "b"], ["c", "k", "d"], gap).changed == ((2, 2),)
    near = scored({(0, 1): 0.8, (1, 1): 0.8})
    assert align(["a", "b"], ["c", "d"], near).changed == ((1, 1),)
    far = scored({(0, 2): 0.8})
    crossed = align(["a", "k", "b"], ["c", "k", "d"], far)
    assert (crossed.changed, crossed.crossed) == (((0, 2),), ((0, 2),))
    assert (crossed.kept, crossed.removed, crossed.added) == (((1, 1),), (2,), (0,))


def test_over_a_budget_a_gap_is_not_looked_into_and_that_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    old, new = list("xxyy"), list("yxxz")
    assert not align(old, new).exhausted
    monkeypatch.setattr(alignment, "GAP", 15)
    cut = align(old, new)
    assert cut.exhausted and len(cut.kept) + len(cut.moved) == 3
    monkeypatch.setattr(alignment, "GAP", 16)
    assert not align(old, new).exhausted
    monkeypatch.setattr(alignment, "PAIRS", 1)
    assert align(["a"], ["b"], scored({(0, 0): 1.0})).changed == ((0, 0),)
    over = align(["a", "c"], ["b"], scored({(0, 0): 1.0}))
    assert (over.changed, over.removed, over.added, over.exhausted) == ((), (0, 1), (0,), True)
