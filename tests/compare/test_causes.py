"""What follows from what is decided on data: names with their scope and addresses, never on words."""

from __future__ import annotations

from msgspec.structs import replace

import asfound
from asfound.compare.result import Comparison
from asfound.model.copy import Copy
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
