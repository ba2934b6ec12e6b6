"""Text that is not written as the standard asks for but can mean one thing only is read, and said once."""

from __future__ import annotations

import asfound
from asfound.checks.inspection import inspect

RIGHT = "PROGRAM P VAR x, y : BOOL; END_VAR x := y;\nACTION A: x := TRUE; END_ACTION\nACTION B: y := x; END_ACTION\nEND_PROGRAM\n"
# Common practice: many public files leave the colon out.
WITHOUT = RIGHT.replace("ACTION A:", "ACTION A\n").replace("ACTION B:", "ACTION B\n")


def test_an_action_without_a_colon_is_read_and_said_once() -> None:
    old, new = (asfound.read(text.encode(), "p.st") for text in (RIGHT, WITHOUT))
    assert asfound.compare(old, new).verdict == "noise"
    assert old.findings == ()
    assert [(f.severity, f.where, f.text) for f in new.findings] == [
        (
            "note",
            "p.st, line 3, column 2",
            "':' is missing after the name of action A (and 1 more); read as if it stood there",
        )
    ]
    assert "another program may read the file otherwise" in [f.reason for f in inspect(new, "p.st").findings]


def test_what_stands_in_such_an_action_is_compared() -> None:
    old, new = (asfound.read(text.encode(), "p.st") for text in (WITHOUT, WITHOUT.replace("x := TRUE", "x := FALSE")))
    assert asfound.compare(old, new).verdict == "behaviour"
