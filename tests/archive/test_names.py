"""Names from exports become safe paths and come back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.archive.safe_names import escape, folded, stored_paths, unescape

NAMES = st.lists(
    st.text(st.one_of(st.sampled_from("aAäß/.~% \\:%+CONgit\u0301\u200c\udc80"), st.characters()), max_size=30),
    unique=True,
    max_size=8,
)


@pytest.mark.parametrize(
    ("name", "stored"),
    [
        ("Pumpe süd 1.xml", "Pumpe süd 1.xml"),
        ("a:b*c?.xml", "a%3Ab%2Ac%3F.xml"),
        ("..", "%2E%2E"),
        (".git", "%2Egit"),
        ("git~1", "git%7E1"),
        ("ends. ", "ends.%20"),
        ("con", "%63on"),
        ("LPT1.txt", "%4CPT1.txt"),
        ("console.txt", "console.txt"),
        ("tab\there", "tab%09here"),
        ("100%", "100%25"),
        ("", "%_"),
    ],
)
def test_a_name_that_some_system_refuses_is_escaped(name: str, stored: str) -> None:
    assert escape(name) == stored
    assert unescape(stored) == name


def test_case_collisions_are_told_apart_in_every_folder() -> None:
    assert stored_paths(["x/a", "X/a", "x/A", "Stra\u00dfe", "STRASSE"]) == {
        "STRASSE": "STRASSE",
        "Stra\u00dfe": "Stra\u00dfe%~2",
        "X/a": "X/a",
        "x/A": "x%~2/A",
        "x/a": "x%~2/a%~2",
    }


def test_a_file_and_a_folder_of_one_name() -> None:
    assert stored_paths(["a", "a/b"]) == {"a": "a", "a/b": "a%~2/b"}


def test_a_long_name_is_split_into_components_every_system_takes() -> None:
    name = "ü" * 400 + ".xml"
    path = stored_paths([name])[name]
    assert all(len(part.encode()) <= 255 for part in path.split("/"))
    assert unescape(path) == name


@given(NAMES)
def test_every_name_comes_back_and_no_two_meet(names: list[str]) -> None:
    paths = stored_paths(names)
    assert {unescape(path) for path in paths.values()} == set(names)
    assert all(unescape(path) == name for name, path in paths.items())
    assert len({folded(path) for path in paths.values()}) == len(names)
    for path in paths.values():
        path.encode("utf-8")
        for part in path.split("/"):
            assert part and len(part.encode()) <= 255
            assert not part.startswith(".") and part[-1] not in ". "


@given(NAMES)
def test_the_order_given_does_not_matter(names: list[str]) -> None:
    assert list(stored_paths(names).items()) == list(stored_paths(names[::-1]).items())
