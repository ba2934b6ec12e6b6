"""The pairs: adversarial ones, random ones, edits of made-up plants, the demo's records, the smallest difficult cases."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from pathlib import Path

import asfound
from adversary import cases
from adversary.case import Case
from adversary.random_pairs import random_pair
from asfound.model.copy import Copy
from compare.edits.kinds import EDITS
from compare.edits.plant import TEMPLATE, filled, names, read, written
from compare.edits.test_benchmark import edited, spelled

TESTS = Path(__file__).parents[1]
STATION = TESTS.parent / "sample_exports" / "booster-1"
RECORDS = ("1-as-left-2025", "2-as-found-2026", "3-as-left-2026")
HARD = ("real_", "width_", "duration_added", "declared_two", "declared_block_default", "control_for_unrolled")
"""Adversarial pairs that cost the solver so much that its limit of time is reached on a busy machine; so do a few random ones."""
HARD_NUMBERS = frozenset((30, 32, 80, 101, 145, 199, 227))
Pair = Callable[[], tuple[Copy, Copy]]


def _texts(case: Case) -> tuple[Copy, Copy]:
    old, new = (asfound.read(text.encode(), "pair.st") for text in (case.old, case.new))
    return old, new


def _plant(seed: int, chosen: tuple[int, ...]) -> tuple[Copy, Copy]:
    """A made-up plant before and after some of the edits, those that do not meet."""
    before = after = filled(TEMPLATE, seed)
    for n in chosen:
        if all(after.count(old) == 1 for old, _ in EDITS[n].parts):
            after = edited(after, EDITS[n])
    spelling = spelled(names(TEMPLATE, seed), after)
    return read(written(before, spelling)), read(written(after, spelling))


def _folders(old: Path, new: Path) -> tuple[Copy, Copy]:
    return asfound.read(old), asfound.read(new)


def _several(seed: int) -> tuple[int, ...]:
    return tuple(random.Random(seed).sample(range(len(EDITS)), 12))


def pairs() -> Iterator[tuple[str, str, Pair]]:
    """The file in which the answer is kept, the name of the pair, and how its sides are read."""
    for id, case in cases.ALL.items():
        if not id.startswith(HARD):
            yield "adversary", id, lambda case=case: _texts(case)
    for n in sorted({*range(240)} - HARD_NUMBERS):
        yield "random", str(n), lambda n=n: _texts(random_pair(1, n))
    for n, edit in enumerate(EDITS):
        yield "edits", f"{edit.language} {edit.name}", lambda n=n: _plant(7, (n,))
    for seed in range(20, 40):
        yield "plants", str(seed), lambda seed=seed: _plant(seed, _several(seed))
    for folder in sorted(p.parent for p in (TESTS / "pairs").glob("*/expected.txt")):
        yield "difficult", folder.name, lambda f=folder: _folders(next(f.glob("old*")), next(f.glob("new*")))
    for old, new in ((0, 1), (1, 2), (2, 0)):
        for copy in ("running", "card", "office"):
            sides = STATION / RECORDS[old] / copy, STATION / RECORDS[new] / copy
            yield "station", f"{RECORDS[old]} {RECORDS[new]} {copy}", lambda s=sides: _folders(*s)


PAIRS: dict[tuple[str, str], Pair] = {(file, id): pair for file, id, pair in pairs()}
