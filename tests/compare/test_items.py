"""What something without a partner is recognised by: kind, anchor and content of each, and nothing that may differ."""

from __future__ import annotations

from collections import Counter

import pytest
from msgspec.structs import replace

import asfound
from asfound.compare.renames.candidates import Item
from asfound.compare.renames.items import PATHS, list_item, placed, pou_items, type_items, variable_item
from asfound.model.program import DataType, EnumValue, GlobalList, Pou, VariableDeclaration

PLAIN = VariableDeclaration("A", "INT")
KINDS: dict[str, tuple[VariableDeclaration, tuple[str, ...]]] = {
    "plain": (PLAIN, ("local", "int", "", "False  False ", "False")),
    "an input of a type in other letters": (
        VariableDeclaration("A", "Int", section="input"), ("input", "int", "", "False  False ", "False"),
    ),
    "an initial value in another notation": (
        VariableDeclaration("A", "INT", initial="16#0A"), ("local", "int", "int:10", "False  False ", "False"),
    ),
    "a constant": (replace(PLAIN, constant=True), ("local", "int", "", "True  False ", "False")),
    "retained": (replace(PLAIN, retain="retain"), ("local", "int", "", "False retain False ", "False")),
    "persistent": (replace(PLAIN, persistent=True), ("local", "int", "", "False  True ", "False")),
    "an edge": (replace(PLAIN, edge="rising"), ("local", "int", "", "False  False rising", "False")),
    "at an address": (replace(PLAIN, address="%qx0.1"), ("local", "int", "", "False  False ", "True")),
    "at an address that is still open": (
        replace(PLAIN, address="%q*"), ("local", "int", "", "False  False ", "%Q*"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", KINDS)
def test_everything_declared_but_name_and_comment_is_the_kind_of_a_variable(name: str) -> None:
    declared, kind = KINDS[name]
    assert variable_item(declared).kind == ("variable", *kind)
    assert variable_item(replace(declared, name="B", comment="else")).kind == ("variable", *kind)


def test_an_address_is_an_anchor_in_one_case_of_letters_unless_it_is_open() -> None:
    anchors = [variable_item(replace(PLAIN, address=address)).anchor for address in ("", "%ix1.0", "%IX1.0", "%I*")]
    assert anchors == ["", "%IX1.0", "%IX1.0", ""]


def test_a_comment_is_content_and_none_is_no_content() -> None:
    assert variable_item(replace(PLAIN, comment="feed pump")).content == ("feed pump",)
    assert variable_item(PLAIN).content == ()
    assert variable_item(PLAIN).name == "A"


USED = {"a": Counter({"x := §": 1})}


@pytest.mark.parametrize(
    ("used", "places", "content"),
    [
        ({}, {"a": "place 1"}, ("said", "place 1")),
        (USED, {"a": "place 1"}, ("said",)),
        ({"a": Counter()}, {"a": "place 1"}, ("said", "place 1")),
        ({"b": Counter({"x": 1})}, {"b": "place 2"}, ("said",)),
        (USED, {}, ("said",)),
    ],
)
def test_only_what_no_statement_uses_is_known_by_its_place(
    used: dict[str, Counter[str]], places: dict[str, str], content: tuple[str, ...]
) -> None:
    item = Item("A", ("variable",), "%MW0", ("said",))
    assert placed(item, used, places) == Item("A", ("variable",), "%MW0", content)


def test_a_pou_is_known_by_its_result_its_declarations_and_its_statements() -> None:
    text = """
    FUNCTION Old : Other VAR_INPUT Gone : Other; kept : INT; END_VAR Old := Gone + kept; END_FUNCTION
    FUNCTION_BLOCK Plain VAR n : INT; END_VAR n := n + 1; Helper(n); END_FUNCTION_BLOCK"""
    old, plain = asfound.read(text.encode(), "p.st").program.pous
    found = pou_items((old, plain), frozenset(("old", "other", "gone", "helper")))
    assert [(item.name, item.kind, item.anchor) for item in found] == [
        ("Old", ("function",), ""),
        ("Plain", ("function_block",), ""),
    ]
    result, gone, kept, statement = found[0].content
    assert (result, gone, kept) == ("result ?", "input ? ?", "input kept int")
    assert "§" in statement and "?" in statement and "kept" in statement
    assert not {"old", "gone", "other"} & set(statement.replace("(", " ").replace(")", " ").split())
    variable, counted, called = found[1].content
    assert (variable, "n" in counted, "helper" in called.lower()) == ("local n int", True, False)


def test_the_statements_of_a_pou_in_other_names_are_the_same() -> None:
    text = "FUNCTION {0} : INT VAR_INPUT i : INT; END_VAR {0} := i * {1}(i); END_FUNCTION"
    pous = [asfound.read(text.format(*names).encode(), "p.st").program.pous[0] for names in (("A", "B"), ("C", "D"))]
    ours, theirs = (pou_items((pou,), frozenset("abcd"))[0] for pou in pous)
    assert ours.content == theirs.content
    assert "§" in ours.content[-1], "its own name is told apart from the others"


def test_a_pou_without_a_result_says_none() -> None:
    assert pou_items((Pou("P", "program"),), frozenset()) == [Item("P", ("program",))]
    assert pou_items((Pou("F", "function", result="INT"),), frozenset()) == [
        Item("F", ("function",), content=("result int",))
    ]


TYPES: dict[str, tuple[DataType, Item]] = {
    "a structure": (
        DataType("S", "struct", members=(VariableDeclaration("One", "INT"), VariableDeclaration("Two", "Bool"))),
        Item("S", ("struct",), content=("", "one int", "two bool")),
    ),
    "an enumeration": (
        DataType("M", "enum", values=(EnumValue("OFF"), EnumValue("On", "16#A"))),
        Item("M", ("enum",), content=("", "off ", "on 16#A")),
    ),
    "another name": (DataType("A", "alias", "Word"), Item("A", ("alias",), content=("word",))),
}


@pytest.mark.parametrize("name", TYPES)
def test_a_type_is_known_by_its_base_its_members_and_its_values(name: str) -> None:
    type, item = TYPES[name]
    assert type_items((type, replace(type, name="Other"))) == [item, Item("Other", item.kind, content=item.content)]


def test_a_list_is_known_by_its_variables() -> None:
    block = GlobalList("L", "PLC", (VariableDeclaration("A", "INT", address="%MW2"), VariableDeclaration("b", "BOOL")))
    assert list_item(block) == Item("L", (), content=("a int %mw2", "b bool "))


def test_names_of_paths_say_what_they_are_for() -> None:
    assert set(PATHS) == {"access", "config"}
    texts = [
        f"VAR_GLOBAL g : INT; END_VAR PROGRAM P g := g + 1; END_PROGRAM CONFIGURATION C VAR_ACCESS {name} : g : INT"
        " READ_WRITE; END_VAR RESOURCE R ON X TASK T(INTERVAL := T#1s, PRIORITY := 1); PROGRAM I WITH T : P;"
        " END_RESOURCE END_CONFIGURATION"
        for name in ("one", "two")
    ]
    old, new = (asfound.read(text.encode(), "p.st") for text in texts)
    assert {c.kind for c in asfound.compare(old, new).changes} == {"added", "removed"}
