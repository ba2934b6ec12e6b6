"""Where a piece stands: words for people and a path for programs that mean the same piece."""

from __future__ import annotations

import pytest

from asfound.analysis.places import (
    Place,
    list_name,
    list_place,
    module_place,
    module_words,
    natural,
    natural_path,
    noun,
    owner_words,
    rows,
    tag_place,
    tag_text,
    top,
)
from asfound.model.hardware import Module
from asfound.model.program import Body, GlobalList, Setting
from asfound.model.tags import Tag, TagTable


def test_people_and_programs_count_from_one() -> None:
    assert top("P").network(2, "rung") == Place("P / rung 3", ("P", "network:3"))
    assert top("P").statement(0) == Place("P / statement 1", ("P", "statement:1"))
    assert top("P").network(1, "rung", 1) == Place("P / rung 2", ("P", "network:2"))


def test_a_piece_remembers_where_it_stood_before() -> None:
    moved = top("P").network(2, "network", 0)
    assert moved == Place("P / network 3", ("P", "network:3"), ("P", "network:1"))
    assert moved.statement(1) == Place(
        "P / network 3 / statement 2", ("P", "network:3", "statement:2"), ("P", "network:1", "statement:2")
    )
    assert moved.statement(1, 4).old == ("P", "network:1", "statement:5")
    assert top("P").down("step B", "step:B", "step:A") == Place("P / step B", ("P", "step:B"), ("P", "step:A"))
    assert top("P").down("step B", "step:B", "step:B").old == ()


@pytest.mark.parametrize(
    ("step", "expected"),
    [
        ("PumpControl", "PumpControl"), ("tags:Terminals", "tag table Terminals"), ("globals:Plant", "Plant"),
        ("subnet:PN", "network PN"), ("type:Mode", "type Mode"), ("device:PLC", "device PLC"),
    ],
)  # fmt: skip
def test_what_people_call_the_first_step_of_a_path(step: str, expected: str) -> None:
    assert owner_words(step) == expected


def test_a_piece_of_ladder_is_a_rung() -> None:
    assert [noun(Body(language)) for language in ("LD", "FBD", "SFC")] == ["rung", "network", "network"]


def test_numbers_are_sorted_by_their_size() -> None:
    texts = ["network:10", "network:9", "Network:9", "9", "10", "b2", "b1", "a" + "9" * 19, "a1", "01", "1"]
    assert sorted(texts, key=natural) == [
        "01", "1", "9", "10", "a1", "a" + "9" * 19, "b1", "b2", "Network:9", "network:9", "network:10",
    ]  # fmt: skip
    paths = [("P", "network:10"), ("P", "network:9", "x"), ("P", "network:9")]
    assert sorted(paths, key=natural_path) == [paths[2], paths[1], paths[0]]


def test_tags_are_sorted_by_table_and_name() -> None:
    tags = (
        Tag("b", "%MW0"),
        Tag("A", "%MW2", "WORD"),
        Tag("a", "%MW2", "INT"),
        Tag("a", "%MW1"),
        Tag("a", "%MW2", "INT", "c"),
    )
    found = [(t, tag.name, tag.address, tag.type, tag.comment) for t, tag in
             rows((TagTable("T2", tags[:1]), TagTable("t1", tags[1:])))]  # fmt: skip
    assert found == [
        ("t1", "a", "%MW1", "", ""), ("t1", "a", "%MW2", "INT", ""), ("t1", "a", "%MW2", "INT", "c"),
        ("t1", "A", "%MW2", "WORD", ""), ("T2", "b", "%MW0", "", ""),
    ]  # fmt: skip


def test_tags_lists_and_modules_have_places() -> None:
    assert tag_place("T", "Door") == Place("tag Door", ("tags:T", "tag:Door"))
    plain, unnamed = GlobalList("Gvl", "C/R", ()), GlobalList("", "C/R", ())
    assert (list_name(plain), list_name(unnamed)) == ("Gvl", "globals of C/R")
    assert list_place(plain) == Place("Gvl", ("globals:Gvl",))
    rack = Place("PLC", ("device:PLC",))
    assert module_place(rack, Module("DI", slot=0)) == Place("PLC / slot 0 DI", ("device:PLC", "module:0:DI"))
    assert module_place(rack, Module("DI")) == Place("PLC / DI", ("device:PLC", "module::DI"))
    assert [module_words(Module("DI", slot=s)) for s in (None, 3)] == ["DI", "slot 3 DI"]


@pytest.mark.parametrize(
    ("tag", "expected"),
    [
        (Tag("a"), "a : ?;"),
        (Tag("a", "%MW2", "INT", "said"), "a AT %MW2 : INT; (* said *)"),
        (Tag("a", "", "INT", settings=(Setting("x", "1"), Setting("y", "2"))), "a : INT; x=1 y=2"),
    ],
)
def test_a_tag_on_one_line(tag: Tag, expected: str) -> None:
    assert tag_text(tag) == expected
