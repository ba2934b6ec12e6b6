"""Stages of a laboratory plant, published to study how programs evolve: the edits that their documentation implies.

Source: Vogel-Heuser, Legat, Folmer, Feldmann: Researching Evolution in Industrial Plant Automation: Scenarios and
Documentation of the Pick and Place Unit, TUM-AIS-TR-01-14-02, 2014, and the extended plant; what each stage changes is
told here from memory of it, and each expectation says why it follows. Names are matched by words, not copied.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

import asfound
from asfound.compare.result import Comparison
from asfound.model.copy import Copy

FOLDER = Path(__file__).parents[3] / "shared" / "corpus" / "evolution"
pytestmark = pytest.mark.skipif(not FOLDER.is_dir(), reason="../shared is not here")

LOGIC, DATA = "logic", "declaration"
STAGES = {
    ("01", "02"): (
        # Metal work pieces are told from plastic ones by an inductive sensor at the stack.
        (LOGIC, "added", r"function block induct\w*sensor added"),
        (LOGIC, "added", r"transition .* added: induct\w*sensor\.\w*metal"),
        (LOGIC, "changed", r"condition: TRUE replaced by NOT induct\w*sensor"),
    ),
    ("02", "03"): (
        # A stamp is added; the crane brings metal work pieces there and waits until they are stamped.
        (LOGIC, "added", r"function block bistable\w* added"),
        (LOGIC, "added", r"function block stamp added"),
        (LOGIC, "added", r"step \w*stamping\w* added"),
        (LOGIC, "added", r"action \w*move\w*stamp added"),
        (LOGIC, "changed", r"operand stamp\.emergencystop added by OR"),
    ),
    ("03", "04a"): (
        # The micro switches of the crane's turning table are replaced by inductive ones.
        (LOGIC, "added", r"function block induct\w*switch added"),
        (LOGIC, "changed", r"operand \w+\.atramp\.\w+ replaced by \w+\.atrampind\.\w+"),
        (DATA, "removed", r"atstamp : microswitch removed"),
        (DATA, "added", r"atstampind : inductiveswitch added"),
    ),
    ("04a", "05"): (
        # While the stamp works the crane already fetches another work piece (and the switches are the old ones again).
        (LOGIC, "added", r"transition stamping_wp -> crane_to_stack\w* added"),
        (LOGIC, "removed", r"function block induct\w*switch removed"),
    ),
    ("05", "08"): (
        # A third kind, light plastic, is told by an optical sensor and stamped with less pressure, which is measured.
        (LOGIC, "added", r"function block optical\w* added"),
        (LOGIC, "added", r"function block pressure\w* added"),
        (LOGIC, "added", r"step \w*heavypressure added"),
        (LOGIC, "changed", r"operand NOT optical\w*\.\w+ added by AND"),
    ),
    ("08", "09"): (
        # A conveyor takes the place of the ramp.
        (LOGIC, "added", r"function block \w*conveyor added"),
        (LOGIC, "renamed", r"action \w*move\w*ramp renamed to \w*conveyor"),
        (DATA, "renamed", r"atramp renamed to atconveyor"),
    ),
    ("09", "10"): (
        # Two pushers sort the work pieces by kind onto three ramps.
        (LOGIC, "added", r"step pusher1\w* added"),
        (LOGIC, "added", r"step pusher2\w* added"),
        (LOGIC, "added", r"action \w*select\w*ramp added"),
        (DATA, "added", r"optramp2 : opticalsensor added"),
    ),
}


@cache
def stage(name: str) -> Copy:
    return asfound.read(FOLDER / f"scenario-{name}.xml")


def comparison(old: str, new: str) -> Comparison:
    return asfound.compare(stage(old), stage(new))


@pytest.mark.parametrize(("old", "new"), STAGES)
def test_what_the_documentation_implies_is_found(old: str, new: str) -> None:
    changes = comparison(old, new).changes
    for area, kind, words in STAGES[old, new]:
        found = [c for c in changes if (c.area, c.kind) == (area, kind) and re.search(words, c.summary, re.I)]
        assert found, f"{old} to {new}: nothing {kind} says {words}"
        assert {c.effect for c in found} == {"equivalent" if kind == "renamed" else "behaviour"}


def test_the_whole_way_is_the_sum_of_its_parts() -> None:
    """A block that is in the last stage and was not in the first is said to be added, once, and the other way round."""
    added = {c.path[0] for c in comparison("01", "10").changes if c.kind == "added" and len(c.path) == 1}
    removed = {c.path[0] for c in comparison("10", "01").changes if c.kind == "removed" and len(c.path) == 1}
    names = [{p.name for p in stage(n).program.pous} for n in ("01", "10")]
    assert added == removed == names[1] - names[0]
