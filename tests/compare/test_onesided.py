"""Lists that only one of two copies holds: told once, never as a plant of added parts, never silently.

What such a list means is common practice: an older record that was stored without a hardware list says nothing about
the rack.
"""

from __future__ import annotations

from datetime import datetime

import pytest
from msgspec.structs import replace

from asfound.compare.comparison import compare
from asfound.compare.parts.one_sided_lists import limits
from asfound.compare.side_by_side import side_by_side
from asfound.model.copy import Copy, Source
from asfound.model.hardware import AddressRange, Device, Hardware, Module, Subnet
from asfound.model.program import Setting
from asfound.model.tags import Tag, TagTable
from asfound.model.values import ActualValue, Force
from asfound.reports import copies as report
from asfound.reports import html, markdown, pdf, terminal

from . import building as b

CLAIM = AddressRange("input", 100, 32)
MODULES = (Module("PS", slot=1), Module("AI", slot=2, addresses=(CLAIM,)), Module("CT", slot=3, addresses=(CLAIM,)))
RACK = Hardware((Device("S", modules=MODULES),), (Subnet("Net"),))
BARE = replace(b.STATION, hardware=Hardware(), tables=(), values=(), forces=(), sources=())
LISTED = {
    "hardware": (replace(BARE, hardware=RACK), "1 device, 3 modules, 1 network cannot be compared: {} holds no hardware list"),
    "tag": (
        replace(BARE, tables=(TagTable("T", (Tag("A", "%IX0.0", "BOOL"), Tag("W", "%IW0", "WORD"))),)),
        "2 tags cannot be compared: {} holds no tag table",
    ),
    "value": (
        replace(BARE, values=(ActualValue("Level", "5"),)),
        "1 actual value cannot be compared: {} holds no value list",
    ),
    "force": (
        replace(BARE, forces=(Force("DOOR", "TRUE", "%IX0.1"),)),
        "1 force cannot be compared: {} holds no force list",
    ),
}  # fmt: skip


@pytest.mark.parametrize("area", LISTED)
@pytest.mark.parametrize("added", [True, False])
def test_a_list_that_only_one_side_holds_is_one_undecided_change_and_one_limit(area: str, added: bool) -> None:
    """Two modules of the list claim the same bytes, and a word lies over a bit: no overlap is told as new either."""
    full, words = LISTED[area]
    found = compare(BARE, full) if added else compare(full, BARE)
    (change,) = found.changes
    assert (change.area, change.kind, change.effect) == (area, "added" if added else "removed", "undecided")
    assert change.summary == words.format("the old copy" if added else "the new copy")
    assert found.verdict == "undecided"
    assert sum("table" in x or "list" in x for x in found.limits) == 1 and "holds none" in found.limits[0]
    assert change.details and (change.after if added else change.before)


@pytest.mark.parametrize("area", LISTED)
def test_every_report_says_it(area: str) -> None:
    full, words = LISTED[area]
    said, found = words.format("the old copy"), compare(BARE, full)
    assert said in " ".join(line for line, _ in terminal.lines(found, 500))
    assert said in html.write(found, BARE, full)
    assert said in markdown.write(found)
    data = pdf.content(pdf.Report(found, BARE, full, datetime(2026, 11, 17)))
    assert said in repr(data).replace("\N{ZERO WIDTH SPACE}", "")


def test_a_list_that_is_there_and_empty_is_compared() -> None:
    """A force list with a heading only says that nothing is forced: a force that is new acts."""
    none = replace(BARE, sources=(Source("forces.csv", "0" * 64, 1, "force-list"),))
    (change,) = compare(none, LISTED["force"][0]).changes
    assert (change.effect, change.summary) == ("behaviour", "DOOR is forced to TRUE")
    found = compare(none, BARE)
    assert found.changes == ()
    assert found.limits == ("force list: the new copy holds none; that of the old copy is not compared",)


def test_what_a_tag_export_says_of_the_project_is_compared_all_the_same() -> None:
    """A hardware document without any device is no hardware list, but its settings are compared."""
    old = replace(BARE, hardware=Hardware(settings=(Setting("Rate", "1"),)))
    new = replace(BARE, hardware=replace(RACK, settings=(Setting("Rate", "2"),)))
    assert [(c.kind, c.effect) for c in compare(old, new).changes] == [("added", "undecided"), ("changed", "behaviour")]
    bare = compare(BARE, new).changes
    assert [c.kind for c in bare] == ["added"] and "setting Rate: 2" in bare[0].details


def test_neither_side_lists_anything() -> None:
    assert compare(BARE, BARE).limits == ()
    assert limits({"running": BARE, "card": BARE}) == ()


OTHER = replace(BARE, hardware=Hardware((Device("S", modules=(Module("PS", slot=2),)),)))


@pytest.mark.parametrize(
    ("running", "card", "office", "words"),
    [
        ("rack", "none", "rack", "The office copy holds it as running does."),
        ("rack", "none", "other", "The office copy holds another version."),
        ("rack", "none", "none", "The office copy does not hold it."),
        ("none", "rack", "rack", "The office copy holds it as card does."),
        ("none", "rack", "other", "The office copy holds another version."),
        ("none", "rack", "none", "The office copy does not hold it."),
    ],
)
def test_side_by_side_it_is_neither_lost_nor_brought_back(running: str, card: str, office: str, words: str) -> None:
    held: dict[str, Copy] = {"rack": LISTED["hardware"][0], "none": BARE, "other": OTHER}
    found = side_by_side({"running": held[running], "card": held[card], "office": held[office]})
    row = next(row for row in found.rows if row.fate != "office only")
    lacking = "card" if card == "none" else "running"
    assert row.fate == "not comparable"
    assert row.summary.endswith(f"cannot be compared: the {lacking} copy holds no hardware list")
    assert report.office(row) == words
    assert any(limit.startswith("hardware list: the ") for limit in found.limits)
    assert not any("old copy" in limit or "new copy" in limit for limit in found.limits)
    said = report.verdict(found)
    assert (
        "What running and card both hold is the same." in said
        and "1 list that only one of running and card holds" in said
    )
