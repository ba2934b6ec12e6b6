"""Text for people: our own pragmas in words, all else as it is written."""

from __future__ import annotations

import pytest

from asfound.language.readable import plain


@pytest.mark.parametrize(
    "text",
    [
        '{when "x}\nb := 1;\na := "}";\n',
        "{attribute {when} x}\n",
        '{region {name "b"} c}\n',
        "(* {when} *) a := '{when}'; b := \"{when}\";\n",
    ],
)
def test_what_is_not_ours_is_as_it_was(text: str) -> None:
    assert plain(text) == text


def test_ours_behind_a_quote_that_nothing_closes() -> None:
    assert plain('{x "a}\n{network title="T"}\n  {name "Pump 1"} := 1;\n') == (
        '{x "a}\n(* network: T *)\n  Pump 1 := 1;\n'
    )
