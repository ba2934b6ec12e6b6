"""A tag table that is called otherwise, often because its file is, is one change."""

from __future__ import annotations

import asfound
from asfound.model.copy import Copy
from asfound.readers.reading import read_files

HEAD = "name,address,type,comment\n"


def tables(**given: str) -> Copy:
    return read_files([(f"{name}.csv", (HEAD + rows).encode()) for name, rows in given.items()])


def told(old: Copy, new: Copy) -> list[tuple[str, str, str]]:
    return [(change.kind, change.effect, change.summary) for change in asfound.compare(old, new).changes]


PUMPS = "P1,%QX0.0,BOOL,pump 1\nP2,%QX0.1,BOOL,pump 2\nP3,%QX0.2,BOOL,pump 3\n"
VALVES = "V1,%QX1.0,BOOL,valve 1\nV2,%QX1.1,BOOL,valve 2\n"


def test_only_the_name_differs() -> None:
    found = told(tables(tags_2025=PUMPS), tables(tags_2026=PUMPS))
    assert found == [("renamed", "documentation", "tag table tags_2025 is called tags_2026 now")]


def test_what_else_changed_is_told_beside_it() -> None:
    found = told(tables(a=PUMPS), tables(b=PUMPS.replace("%QX0.1", "%QX4.1")))
    assert found == [
        ("renamed", "documentation", "tag table a is called b now"),
        ("readdressed", "behaviour", "P2: address %QX0.1 -> %QX4.1"),
    ]


def test_two_tables_are_paired_by_what_they_hold() -> None:
    found = told(tables(a=PUMPS, b=VALVES), tables(c=VALVES, d=PUMPS))
    assert sorted(summary for *_, summary in found) == ["tag table a is called d now", "tag table b is called c now"]


def test_a_tag_that_moves_to_a_table_that_was_there_is_told() -> None:
    old, new = tables(a=PUMPS, b=VALVES), tables(a=PUMPS + "V1,%QX1.0,BOOL,valve 1\n", b="V2,%QX1.1,BOOL,valve 2\n")
    assert told(old, new) == [("changed", "documentation", "V1: table b -> a")]


def test_of_a_table_cut_in_two_the_larger_part_is_the_renamed_one() -> None:
    found = told(tables(a=PUMPS + VALVES), tables(b=PUMPS, c=VALVES))
    assert found[0] == ("renamed", "documentation", "tag table a is called b now")
    assert [summary for *_, summary in found[1:]] == ["V1: table b -> c", "V2: table b -> c"]


def test_backwards_it_mirrors() -> None:
    old, new = tables(a=PUMPS, b=VALVES), tables(c=VALVES, d=PUMPS.replace("%QX0.2", "%QX0.7"))
    there, back = asfound.compare(old, new).changes, asfound.compare(new, old).changes
    assert sorted((c.kind, c.before, c.after) for c in there) == sorted((c.kind, c.after, c.before) for c in back)


def test_tables_without_a_common_tag_are_no_rename() -> None:
    kinds = {kind for kind, *_ in told(tables(a=PUMPS), tables(b=VALVES))}
    assert kinds == {"added", "removed"}
