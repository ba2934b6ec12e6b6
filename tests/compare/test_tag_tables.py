"""Tag tables under other names, and settings by name: what is paired, what is told, and what says nothing."""

from __future__ import annotations

import pytest

from asfound.compare.parts.settings import differing_settings
from asfound.compare.renames.tag_tables import rename_changes, renamed_tables, under_new_names
from asfound.model.program import Setting
from asfound.model.tags import Tag, TagTable


def tables(*said: str) -> list[TagTable]:
    """Written ``Name: a b``."""
    return [TagTable(name, tuple(map(Tag, tags.split()))) for name, _, tags in (each.partition(":") for each in said)]


PAIRS: list[tuple[list[str], list[str], list[tuple[str, str]]]] = [
    (["A: x y"], ["B: x y"], [("A", "B")]),
    (["A: X"], ["B: x z"], [("A", "B")]),
    (["A: x"], ["B: y"], []),
    (["A: x"], ["a: x"], []),
    (["A: x"], ["A: y", "B: x"], []),
    (["A: x", "B: y"], ["B: x"], []),
    (["A: x", "a: x"], ["B: x"], []),
    (["A: x"], ["B: x", "b: x"], []),
    (["B: y", "A: x"], ["C: y", "D: x"], [("A", "D"), ("B", "C")]),
    (["A: x y z", "B: x"], ["C: x y"], [("A", "C")]),
]


@pytest.mark.parametrize(("old", "new", "pairs"), PAIRS)
def test_tables_whose_names_nobody_else_has_are_paired_by_their_tags(
    old: list[str], new: list[str], pairs: list[tuple[str, str]]
) -> None:
    found = renamed_tables(tables(*old), tables(*new))
    assert found == tuple(pairs)
    assert [t.name for t in under_new_names(tables(*old), found)] == [
        dict(pairs).get(t.name, t.name) for t in tables(*old)
    ]
    assert [t.tags for t in under_new_names(tables(*old), found)] == [t.tags for t in tables(*old)]


def test_one_change_for_each_table() -> None:
    one, two = rename_changes((("A", "B"), ("C", "D")))
    assert (one.area, one.kind, one.effect, one.where, one.path) == (
        "tag", "renamed", "documentation", "tag table B", ("tags:B",),
    )  # fmt: skip
    assert (one.before, one.after, two.before, two.after) == ("A", "B", "C", "D")
    assert [(e.field, e.old, e.new, e.of) for e in one.edits] == [("called otherwise", "A", "B", "tag table")]


def settings(said: str) -> list[Setting]:
    """Written ``a=1 b/c=2``."""
    return [Setting(name, value) for name, _, value in (each.partition("=") for each in said.split())]


Rows = list[tuple[str, str | None, str | None]]
SETTINGS: list[tuple[str, str, Rows]] = [
    ("", "", []),
    ("a=1 b=2", "b=2 a=1", []),
    ("a=1", "a=2", [("a", "1", "2")]),
    ("a=1", "", [("a", "1", None)]),
    ("", "a=1", [("a", None, "1")]),
    ("a=1 a=2", "a=2 a=1", [("a", "1, 2", "2, 1")]),
    ("a=1 a=2 b=1", "a=2 a=1 b=1", [("a", "1, 2", "2, 1")]),
    ("d/w=1 d/x=1", "d/w=2 d/x=1", [("d/w", "1", "2")]),
    ("k=1 d/w=1", "k=1 d/w=1 d/x=3", [("d/x", None, "3")]),
]


@pytest.mark.parametrize(("old", "new", "expected"), SETTINGS)
def test_settings_are_compared_by_name_and_only_one_name_has_an_order(old: str, new: str, expected: Rows) -> None:
    assert differing_settings(settings(old), settings(new)) == expected
