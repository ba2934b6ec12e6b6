"""Where compilers differ in the order of rungs: a relation between two statements, whatever stands inside of them."""

from __future__ import annotations

import pytest

from asfound.compare.comparison import compare
from asfound.compare.result import Change
from asfound.language.doubts import said, understood
from asfound.model.logic import Assign, Call, Jump, Return, Variable
from asfound.model.program import Doubt, Network
from readers.drawing_kit import Drawing, copy_of

# what stands in the file last is drawn first: target, then its contacts
PLANT = (("Run", "Start"), ("Alarm", "Fault"), ("Lamp", "Run Alarm"), ("Horn", "Alarm"))


def drawn(*rungs: tuple[str, str]) -> Drawing:
    """Rungs from top to bottom, in the file from bottom to top; ``!`` is a normally closed contact."""
    d = Drawing("LD")
    for y, (target, contacts) in reversed(list(enumerate(rungs))):
        wire = d.rail
        for x, name in enumerate(contacts.split()):
            wire = d.contact(name.strip("!"), wire, at=(50 * x, 100 * y), negated=name.startswith("!"))
        d.coil(target, wire, at=(900, 100 * y))
    return d


def told(old: tuple[tuple[str, str], ...], new: tuple[tuple[str, str], ...]) -> list[Change]:
    return list(compare(copy_of(drawn(*old)), copy_of(drawn(*new))).changes)


def logic(changes: list[Change]) -> list[str]:
    return [f"{c.where}: {c.summary}" for c in changes if c.area == "logic"]


def test_an_edit_inside_a_doubted_rung_is_no_other_order() -> None:
    assert logic(told(PLANT, (PLANT[0], PLANT[1], ("Lamp", "!Run Alarm"), PLANT[3]))) == [
        "Main / rung 3: Lamp: Run: normally open -> normally closed"
    ]


@pytest.mark.parametrize("at", range(5))
def test_a_new_rung_is_no_other_order_of_the_rest(at: int) -> None:
    new = (*PLANT[:at], ("Fan", "Start"), *PLANT[at:])
    assert logic(told(PLANT, new)) == [f"Main / rung {at + 1}: rung added: Fan := Start;"]
    assert logic(told(new, PLANT)) == [f"Main / rung {at + 1}: rung removed: Fan := Start;"]


def test_another_name_of_a_coil_is_no_other_order() -> None:
    new = tuple((t.replace("Alarm", "Trouble"), c.replace("Alarm", "Trouble")) for t, c in PLANT)
    assert [line for line in logic(told(PLANT, new)) if "compilers" in line] == []


def test_a_relation_that_is_new_names_both_rungs_and_follows_its_cause() -> None:
    more = (*PLANT[:3], ("Horn", "Alarm Lamp"))
    cause, doubt = told(PLANT, more)
    assert cause.where == "Main / rung 4"
    assert (doubt.where, doubt.effect, doubt.follows_from) == ("Main / execution order", "undecided", cause.id)
    assert doubt.summary == "compilers that go by file order now run rung 4 (Horn) before rung 3 (Lamp)"
    cause, doubt = told(more, PLANT)
    assert (doubt.effect, doubt.follows_from) == ("undecided", cause.id)
    assert doubt.summary == "compilers that go by file order no longer run rung 4 (Horn) before rung 3 (Lamp)"


def test_an_order_that_changes_by_itself_has_no_cause() -> None:
    numbers = [drawn(*PLANT), drawn(*PLANT)]
    numbers[0].parts.reverse()
    found = compare(copy_of(numbers[0]), copy_of(numbers[1])).changes
    assert [(c.where, c.effect, c.follows_from) for c in found] == [("Main / execution order", "undecided", None)]


STATEMENTS = (Assign(Variable("x"), Variable("a")), Call(Variable("t"), "TON"), Assign(Variable("x"), Variable("b")),
              Jump("End"), Return())  # fmt: skip
RUNGS = tuple(Network((s,)) for s in STATEMENTS)


@pytest.mark.parametrize("by", ["file order", "numbers of coils"])
@pytest.mark.parametrize(
    ("kind", "places", "text", "line"),
    [
        ("before", ((2, 0), (0, 0)), "", "by {} x (2) runs before x (1)"),
        ("before", ((3, 0), (1, 0)), "", "by {} JMP End runs before t"),
        ("as", ((1, 0), (0, 0), (4, 0)), "", "by {} the blocks run as t then x (1) then RETURN"),
        ("label", ((1, 0),), "End", "by {} label End stands before t"),
        ("label", (), "End", "by {} label End stands before the end"),
        ("value", (), "", "by {} a value is read before or after it is written"),
    ],
)
def test_a_doubt_is_one_line_that_is_read_back(by: str, kind: str, places: tuple, text: str, line: str) -> None:
    doubt = Doubt(by, kind, places, text)
    assert said(doubt, RUNGS) == line.format(by)
    assert understood(line.format(by), RUNGS) == doubt


def test_a_line_in_other_words_is_kept() -> None:
    for line in (
        "a may be read late",
        "by file order y runs before x (1)",
        "by file order X := Y; runs before Z := X;",
    ):
        assert understood(line, RUNGS) == Doubt("", "said", (), line)
        assert said(understood(line, RUNGS), RUNGS) == line
