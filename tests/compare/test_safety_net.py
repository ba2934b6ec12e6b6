"""Whatever differs in the normal form and is in no change is told as undecided, where it is."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from asfound.analysis.places import Place
from asfound.compare.changes import change
from asfound.compare.safety_net import uncovered
from asfound.compare.wording.phrases import edit
from asfound.language.normal import normal_form
from asfound.model.copy import Copy
from asfound.model.program import EnumValue, Library
from asfound.model.values import Force

from . import building as b

POU = b.with_rung(6, b.rung(b.coil("HORN", "QUIET")))
TYPE = b.with_program(types=(replace(b.MODE, values=(EnumValue("OFF"),)),))
LIST = b.with_program(globals=(replace(b.GLOBALS, variables=b.GLOBALS.variables[:2]),))
TASK = b.with_program(resources=(replace(b.CPU, tasks=()),))
HEAD = b.with_program(libraries=(Library("Util"),))
TAGS = replace(b.STATION, tables=())
RACK = replace(b.STATION, hardware=Copy().hardware)
VALUES = replace(b.STATION, values=())


@pytest.mark.parametrize(
    ("new", "where"),
    [
        (POU, "PumpControl"), (TYPE, "type Mode"), (LIST, "Plant"), (TASK, "program/tasks.st"),
        (HEAD, "program/project.json"), (TAGS, "tags/Terminals.csv"), (RACK, "hardware.json"), (VALUES, "values.csv"),
    ],
)  # fmt: skip
def test_a_difference_that_no_change_tells_is_told(new: Copy, where: str) -> None:
    found = uncovered(b.STATION, new, [], normal_form(new))
    assert [c.where for c in found][:1] == [where]
    assert {(c.area, c.kind, c.effect) for c in found} == {("document", "changed", "undecided")}
    assert found[0].before != found[0].after
    back = uncovered(new, b.STATION, [], normal_form(b.STATION))
    assert [(c.before, c.after) for c in back] == [(c.after, c.before) for c in found]


def test_what_a_change_tells_is_not_told_again() -> None:
    told = [change("logic", "changed", Place("x", ("PumpControl", "network:6")), ("a", "c"), "", [edit("proved")])]
    assert uncovered(b.STATION, POU, told, normal_form(POU)) == []
    assert [c.where for c in uncovered(b.STATION, TASK, told, normal_form(TASK))] == ["program/tasks.st"]
    assert uncovered(b.STATION, b.STATION, [], normal_form(b.STATION)) == []


FORCES = replace(b.STATION, forces=(Force("HORN", "TRUE"),))
EXPLAINED = [
    (TAGS, "tag"), (RACK, "hardware"), (RACK, "extension"), (VALUES, "value"), (FORCES, "force"),
    (HEAD, "document"), (HEAD, "declaration"), (HEAD, "extension"), (TASK, "task"), (TASK, "extension"),
]  # fmt: skip
AREAS = {area for _, area in EXPLAINED}


@pytest.mark.parametrize(("new", "area"), EXPLAINED)
def test_a_file_of_the_normal_form_is_explained_by_changes_of_its_areas_alone(new: Copy, area: str) -> None:
    own = {each for copy, each in EXPLAINED if copy is new}
    for each in sorted(AREAS):
        told = [change(each, "changed", Place("x", ("elsewhere",)), ("a", "c"), "", [edit("proved")])]
        assert (uncovered(b.STATION, new, told, normal_form(new)) == []) == (each in own), each


def test_what_stands_on_one_side_alone_is_told_where_nothing_else_is() -> None:
    new = b.with_program(pous=b.STATION.program.pous[1:])
    gone = b.STATION.program.pous[0].name
    (found,) = uncovered(b.STATION, new, [], normal_form(new))
    assert gone in found.where and (found.before, found.after) != (None, None) and None in (found.before, found.after)
    told = [change("logic", "removed", Place("x", ("x",)), ("a", "c"), "", [edit("proved")])]
    assert uncovered(b.STATION, new, told, normal_form(new)) == []
