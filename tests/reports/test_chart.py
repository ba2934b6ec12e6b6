"""Steps of sequential charts, drawn before and now."""

from __future__ import annotations

import pytest

from asfound.compare.comparison import compare
from asfound.compare.result import Change
from asfound.model.copy import Copy
from asfound.readers.reading import read
from asfound.reports import chart_part, html
from asfound.reports.drawing import Box, Drawing, Text

CHART = """PROGRAM Rake
VAR
  top, jam, wiper, up : BOOL;
END_VAR
INITIAL_STEP Idle:
END_STEP
STEP Clean:
  wiper(L, T#6s);
  up(N);
END_STEP
STEP Failed:
END_STEP
TRANSITION FROM Idle TO Clean := top; END_TRANSITION
TRANSITION FROM Clean TO Idle := NOT top; END_TRANSITION
TRANSITION FROM Clean TO Failed := jam; END_TRANSITION
TRANSITION FROM Failed TO Idle := NOT jam; END_TRANSITION
END_PROGRAM
"""


def drawn(old: str, new: str) -> tuple[Copy, Copy, list[Change]]:
    before, after = read(old.encode(), "rake.st"), read(new.encode(), "rake.st")
    return before, after, [c for c in compare(before, after).changes if c.area == "logic"]


def words(drawing: Drawing) -> list[str]:
    return [s.title if isinstance(s, Box) else s.text for s in drawing.shapes if isinstance(s, Box | Text)]


def test_a_step_is_drawn_with_its_actions_and_the_transitions_that_leave_it() -> None:
    before, after, (change,) = drawn(CHART, CHART.replace("wiper(L, T#6s)", "wiper(N)"))
    old, new = chart_part.both(change, before, after)
    assert words(old[1]) == ["Clean", "L T#6s", "wiper", "N", "up", "1 to Idle", "  NOT top", "2 to Failed", "  jam"]
    assert words(new[1])[:3] == ["Clean", "N", "wiper"]
    assert old[2] == new[2] == {("action", "wiper"): "~"}


def test_a_changed_condition_is_marked() -> None:
    before, after, (change,) = drawn(CHART, CHART.replace(":= jam;", ":= jam OR top;"))
    old, new = chart_part.both(change, before, after)
    assert "  jam OR top" in words(new[1])
    assert [key[:2] for key in old[2]] == [("transition", "failed")]


def test_an_initial_step_has_double_sides() -> None:
    before, after, (change,) = drawn(CHART, CHART.replace("TO Clean := top", "TO Clean := NOT top"))
    boxes = [s for s in chart_part.both(change, before, after)[0][1].shapes if isinstance(s, Box)]
    assert [box.title for box in boxes] == ["", "Idle"]


def test_an_action_that_was_added_has_a_plus() -> None:
    before, after, changes = drawn(CHART, CHART.replace("  up(N);\n", "  up(N);\n  jam(S);\n"))
    found = [both for change in changes if (both := chart_part.both(change, before, after))]
    assert found and found[0][-1][2] == {("action", "jam"): "+"}


@pytest.mark.parametrize("path", [("Rake",), ("Rake", "network:1"), ("Rake", "step:Gone"), ("Other", "step:Clean")])
def test_what_is_no_step_is_left_to_the_text(path: tuple[str, ...]) -> None:
    before, after, (change,) = drawn(CHART, CHART.replace("wiper(L, T#6s)", "wiper(N)"))
    import msgspec

    assert chart_part.both(msgspec.structs.replace(change, path=path), before, after) == []


def test_the_page_shows_the_drawing_and_the_text() -> None:
    before, after, _ = drawn(CHART, CHART.replace("wiper(L, T#6s)", "wiper(N)"))
    page = html.write(compare(before, after), before, after)
    assert page.count('<svg class="ladder"') == 2
    assert 'class="difference"' in page
