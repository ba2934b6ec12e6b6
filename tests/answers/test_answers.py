"""Nothing alters what is answered about a pair without being seen."""

from __future__ import annotations

import pytest

import asfound

from .facts import facts, kept
from .pairs import PAIRS

ANSWERS = kept()


@pytest.mark.parametrize(("file", "id"), PAIRS, ids=lambda part: part)
def test_the_answer_is_the_one_that_was_kept(file: str, id: str) -> None:
    assert facts(asfound.compare(*PAIRS[file, id]())) == ANSWERS[file, id]


def test_nothing_is_kept_that_nobody_asks() -> None:
    assert ANSWERS.keys() == PAIRS.keys()
