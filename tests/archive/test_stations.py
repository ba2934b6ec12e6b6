"""Which names a station can have, and the branch it lives on."""

from __future__ import annotations

import subprocess

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.archive.stations import branch, checked
from asfound.model.problem import Problem


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("", "the name of a station is empty; give it one, such as booster-1."),
        ("a/b", "station 'a/b': the name holds a slash (/); use letters, digits, blanks, - and _."),
        ("a\\b", "station 'a\\\\b': the name holds a backslash (\\); use letters, digits, blanks, - and _."),
        ("a@2", "station 'a@2': the name holds an @ (@); use letters, digits, blanks, - and _."),
        ("a:b", "station 'a:b': the name holds a colon (:); use letters, digits, blanks, - and _."),
        ("-a", "station '-a': the name starts with a hyphen; use letters, digits, blanks, - and _."),
        (".a", "station '.a': the name starts with a dot; use letters, digits, blanks, - and _."),
        ("a ", "station 'a ': the name ends with a blank; use letters, digits, blanks, - and _."),
        (
            "a\nb",
            "station 'a\\nb': the name holds the invisible character U+000A; use letters, digits, blanks, - and _.",
        ),
        ("a" * 300, f"station '{'a' * 300}': the name is longer than 200 bytes; shorten it."),
    ],
)
def test_a_bad_name_is_refused_naming_the_character(name: str, message: str) -> None:
    with pytest.raises(Problem) as caught:
        checked(name)
    assert str(caught.value) == message


def test_umlauts_and_blanks_are_fine_and_case_does_not_count() -> None:
    assert checked("Rechen Süd 2") == "Rechen Süd 2"
    assert branch("Rechen Süd 2") == branch("rechen su\u0308d 2") == "stations/rechen%20süd%202"


def _fine(name: str) -> bool:
    try:
        return bool(checked(name))
    except Problem:
        return False


@given(st.lists(st.text(min_size=1, max_size=12).filter(_fine), min_size=1, max_size=5))
def test_git_accepts_the_branch_of_every_name_that_passes(names: list[str]) -> None:
    for name in [*names, "x.lock", "a..b", "...x"[3:], "a{b}[c]", "aux", "a....b"]:
        assert subprocess.run(["git", "check-ref-format", f"refs/heads/{branch(name)}"], check=False).returncode == 0
