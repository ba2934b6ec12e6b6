"""Alignment: what stays, what moved, and the same answer from both sides."""

from __future__ import annotations

from difflib import SequenceMatcher

from hypothesis import given
from hypothesis import strategies as s

from asfound.compare.pairing.alignment import align, increasing

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
