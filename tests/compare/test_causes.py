"""What follows from what is decided on data: names with their scope and addresses, never on words."""

from __future__ import annotations

from msgspec.structs import replace

import asfound
from asfound.compare.result import Comparison
from asfound.model.copy import Copy
from asfound.model.hardware import Channel, Device, Hardware, Module
from asfound.model.logic import Argument, Call, Variable
from asfound.model.program import Body, Network, Pou, Program, VariableDeclaration
from asfound.model.tags import Tag, TagTable
from asfound.reports.words import matters

PROGRAM = """FUNCTION_BLOCK Mixer
VAR START AT {local} : BOOL; q : BOOL; END_VAR
q := START;
END_FUNCTION_BLOCK
PROGRAM Main
VAR m : Mixer; B AT {other} : BOOL; run AT %QX0.0 : BOOL; END_VAR
m();
run := START AND B;
END_PROGRAM
"""
TABLE = "Name;Address;Data type;Comment\nSTART;{start};BOOL;Start\nA / B;{slash};BOOL;Both\n"


def plant(local: str = "%MX0.0", other: str = "%MX1.0", start: str = "%IX0.0", slash: str = "%IX1.0") -> Copy:
    program = asfound.read(PROGRAM.format(local=local, other=other).encode(), "main.st")
    return replace(program, tables=asfound.read(TABLE.format(start=start, slash=slash).encode(), "tags.csv").tables)


def causes(found: Comparison) -> dict[str, int | None]:
    return {c.where: c.follows_from for c in found.changes if c.kind == "readdressed"}


def test_a_local_of_the_name_of_a_tag_that_moved_by_itself_is_told_by_itself() -> None:
    found = asfound.compare(plant(), plant(local="%MX0.5", start="%IX0.4"))
    assert causes(found) == {"Mixer / START": None, "tag START": None}
    assert {c.where for c in matters(found)} >= {"Mixer / START", "tag START"}


def test_a_local_that_moved_as_its_tag_did_follows_from_it() -> None:
    found = asfound.compare(plant(local="%IX0.0"), plant(local="%IX0.4", start="%IX0.4"))
    tag = next(c for c in found.changes if c.where == "tag START")
    assert causes(found) == {"Mixer / START": tag.id, "tag START": None}


def test_a_tag_with_a_slash_in_its_name_adopts_no_variable_of_the_last_part() -> None:
    found = asfound.compare(plant(), plant(other="%MX1.5", slash="%IX1.4"))
    assert causes(found) == {"Main / B": None, "tag A / B": None}


def card(tag: str) -> Hardware:
    channel = Channel(0, direction="input", tag=tag)
    return Hardware((Device("PLC", modules=(Module("DI", 1, channels=(channel,)),)),))


def station(tags: tuple[tuple[str, str], ...], tag: str, body: str) -> Copy:
    """A program of some text, tags by name and address, and a card with one channel."""
    program = asfound.read(f"PROGRAM P {body} END_PROGRAM".encode(), "p.st")
    table = TagTable("T", tuple(Tag(name, address, "BOOL") for name, address in tags))
    return replace(program, tables=(table,), hardware=card(tag))


def follows(old: Copy, new: Copy) -> dict[str, str | None]:
    """Where each change is, and where what it follows from is."""
    found = asfound.compare(old, new).changes
    where = {c.id: c.where for c in found}
    return {f"{c.kind} {c.where}": where.get(c.follows_from or 0) for c in found}


def test_a_channel_follows_from_the_tags_that_swapped() -> None:
    old, new = (("A", "%IX0.0"), ("B", "%IX0.1")), (("A", "%IX0.1"), ("B", "%IX0.0"))
    found = follows(station(old, "A", ""), station(new, "B", ""))
    assert found["changed device PLC / slot 1 DI / input channel 0"] == "tags A, B"
    alone = follows(station(old, "A", ""), station((("A", "%IX0.0"), ("B", "%IX0.2")), "B", ""))
    assert alone["changed device PLC / slot 1 DI / input channel 0"] is None


def test_a_variable_follows_from_the_statement_that_brought_or_took_it() -> None:
    with_one = "VAR x, y, tmp : BOOL; t : TON; END_VAR t(IN := x); tmp := x; y := tmp AND NOT x;"
    without = "VAR x, y : BOOL; t : TON; END_VAR t(IN := x); y := x;"
    there = follows(station((), "", without), station((), "", with_one))
    assert there["added P / tmp"] in ("P / statement 2", "P / statement 3")
    back = follows(station((), "", with_one), station((), "", without))
    assert back["removed P / tmp"] in ("P / statement 2", "P / statement 3")


def test_a_type_follows_from_the_call_that_is_of_another_block() -> None:
    def drawn(type: str) -> Copy:
        call = Network((Call(Variable("t"), type, (Argument("IN", Variable("x")),)),))
        declared = (VariableDeclaration("t", type), VariableDeclaration("x", "BOOL"))
        return Copy(
            program=Program(pous=(Pou("P", "program", variables=declared, bodies=(Body("LD", networks=(call,)),)),))
        )

    assert follows(drawn("TON"), drawn("TOF")) == {"changed P / rung 1": None, "changed P / t": "P / rung 1"}


def test_a_variable_follows_from_no_text_or_comment_in_which_its_name_stands() -> None:
    text = "PROGRAM P VAR s : STRING; a : BOOL; {0} END_VAR s := '{1}'; {2} a := NOT a; END_PROGRAM"
    plain, spoken = (
        asfound.read(text.format("", *said).encode(), "p.st") for said in (("go", ""), ("start", "(* start *)"))
    )
    declared = asfound.read(text.format("start : BOOL;", "start", "(* start *)").encode(), "p.st")
    assert [c.follows_from for c in asfound.compare(plain, spoken).changes] == [None] * 2
    for pair in ((plain, declared), (declared, plain)):
        (variable,) = [c for c in asfound.compare(*pair).changes if c.area == "declaration"]
        assert variable.follows_from is None


def test_a_variable_follows_from_the_condition_of_a_transition() -> None:
    chart = (
        "PROGRAM P VAR a : BOOL; {} END_VAR INITIAL_STEP A: END_STEP STEP B: END_STEP"
        " TRANSITION FROM A TO B := {}; END_TRANSITION TRANSITION FROM B TO A := a; END_TRANSITION END_PROGRAM"
    )
    old, new = (asfound.read(chart.format(*said).encode(), "p.st") for said in (("", "a"), ("c : BOOL;", "c")))
    told = asfound.compare(old, new).changes
    (cause,) = [c for c in told if c.area == "logic"]
    assert [c.follows_from for c in told if c.area == "declaration"] == [cause.id]
