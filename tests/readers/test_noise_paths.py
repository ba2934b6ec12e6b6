"""The path language of the noise tables."""

from __future__ import annotations

import pytest

from asfound.readers.noise_paths import filter_of, matches


@pytest.mark.parametrize(
    ("pattern", "path", "expected"),
    [
        ("**/position/@x", "project/types/position/@x", True),
        ("**/position/@x", "position/@x", True),
        ("*/position/@x", "project/types/position/@x", False),
        ("*/position/@x", "types/position/@x", True),
        ("**/@ID", "a/b/@ID", True),
        ("**/@ID", "a/b/@Id", False),
        ("a/**", "a", True),
        ("a/**", "a/b/text()", True),
        ("a/**", "ab/c", False),
        ("a/**/d", "a/b/c/d", True),
        ("a/*/d", "a/b/c/d", False),
        ("a.b", "axb", False),
        ("**/text()", "a/text()", True),
    ],
)
def test_pattern(pattern: str, path: str, expected: bool) -> None:
    assert matches(pattern, path) is expected


def test_filter_puts_the_owner_before_the_path() -> None:
    noise = filter_of(["project/*/@id"], "project/")
    assert noise("types/@id")
    assert not noise("types/pou/@id")
