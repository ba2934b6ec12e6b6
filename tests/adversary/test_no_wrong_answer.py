"""What asfound says of the adversarial pairs, judged by running both sides (tests/interpreter).

What is equivalent or documentation never differs at an observable place, under no reading of the standard; a case that
is shown occurs in one cycle of the program that it is about; and the interpreter and the author of the pair agree: two
judges, so that a fault of the interpreter neither passes for one of asfound nor hides one. By hand, as a table:
``table.py``.
"""

from __future__ import annotations

from functools import lru_cache

import pytest

import asfound
from asfound.compare.result import Comparison
from asfound.model.copy import Copy

from .case import Case
from .cases import ALL
from .judging import first_difference
from .known import AGREEMENT, CASES, EQUIVALENT
from .told import HARMLESS, OPEN, replayed

RUNS = 8
"""Runs for each reading; ``table.py`` makes more."""


@lru_cache(maxsize=4)
def read(id: str) -> tuple[Copy, Copy, Comparison]:
    case = ALL[id]
    old, new = (asfound.read(text.encode(), "pair.st") for text in (case.old, case.new))
    return old, new, asfound.compare(old, new)


def nothing_that_differs_is_called_equivalent(case: Case) -> None:
    old, new, found = read(case.id)
    if found.verdict in HARMLESS:
        assert not case.differs, found.verdict
        assert first_difference(old, new, (case.old, case.new), runs=RUNS) is None, found.verdict


def every_case_that_is_shown_occurs(case: Case) -> None:
    old, new, found = read(case.id)
    for change in found.changes:
        if change.witness is not None:
            said = replayed(change, old, new, (case.old, case.new))
            assert not said or OPEN in said, (change.where, change.witness, said)


def the_interpreter_agrees_with_the_author(case: Case) -> None:
    old, new, _ = read(case.id)
    if case.differs is not None:
        found = first_difference(old, new, (case.old, case.new), runs=24 if case.differs else 2)
        assert (found is not None) == case.differs, str(found)


QUESTIONS = (
    (nothing_that_differs_is_called_equivalent, EQUIVALENT),
    (every_case_that_is_shown_occurs, CASES),
    (the_interpreter_agrees_with_the_author, AGREEMENT),
)


def _questions() -> list[object]:
    """Those about one pair stand together, so that one process compares it once."""
    return [
        pytest.param(
            question,
            case,
            id=f"{id}-{question.__name__}",
            marks=[pytest.mark.xfail(strict=False, reason=known[id])] if id in known else [],
        )
        for id, case in ALL.items()
        for question, known in QUESTIONS
    ]


@pytest.mark.parametrize(("question", "case"), _questions())
def test_pair(question: object, case: Case) -> None:
    question(case)  # type: ignore[operator]


def test_there_are_enough_pairs() -> None:
    assert len(ALL) >= 200
    assert EQUIVALENT.keys() | CASES.keys() | AGREEMENT.keys() <= ALL.keys()
