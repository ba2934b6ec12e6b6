"""What is not understood, and what people wrote, keeps its text in a key."""

from __future__ import annotations

from asfound.analysis.canonical import canonical, folded, statement_key
from asfound.model.logic import Remark, Unparsed, Verbatim


def test_two_texts_that_are_not_understood_are_two() -> None:
    for key in (canonical, folded):
        assert key(Unparsed("a ?? b")) != key(Unparsed("a ?? c"))
    assert statement_key(Verbatim("goto 1")) != statement_key(Verbatim("goto 2"))
    assert statement_key(Remark("by day")) != statement_key(Remark("by night"))
