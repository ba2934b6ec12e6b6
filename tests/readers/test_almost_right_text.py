"""Text that is not written as the standard asks for but can mean one thing only is read, and said once."""

from __future__ import annotations

import pytest
from conversion import to_61131_10
from tc6_documents import document, text

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


CHOICE = "PROGRAM P VAR a, b, x : BOOL; END_VAR\nIF a THEN x := TRUE; ELSIF b THEN x := FALSE; END_IF;\nEND_PROGRAM\n"


def test_a_keyword_almost_right_is_read_and_each_said_once() -> None:
    odd = (CHOICE + CHOICE.replace("M P", "M Q")).replace("ELSIF", "ELSEIF").replace("END_IF", "EndIf")
    old, new = (asfound.read(text.encode(), "p.st") for text in (CHOICE + CHOICE.replace("M P", "M Q"), odd))
    assert asfound.compare(old, new).verdict == "noise"
    assert [(f.severity, f.where, f.text) for f in new.findings] == [
        ("note", "p.st, line 2, column 22", "ELSEIF is no keyword (and 1 more); read as ELSIF"),
        ("note", "p.st, line 2, column 48", "EndIf is no keyword (and 1 more); read as END_IF"),
    ]
    assert asfound.compare(new, new).changes == ()


@pytest.mark.parametrize("declared", ["VAR EndIf : BOOL; END_VAR", "VAR b2, ENDIF AT %QX0.0 : BOOL; END_VAR"])
def test_a_name_that_the_export_declares_stays_one(declared: str) -> None:
    text = CHOICE.replace("END_IF", "ENDIF")
    assert len(asfound.read(text.encode(), "p.st").findings) == 1
    assert asfound.read(text.replace("P VAR", f"P {declared} VAR").encode(), "p.st").findings == ()


def test_in_both_exchange_formats_the_pou_is_named() -> None:
    body = "<interface><localVars><variable name='{}'><type><BOOL/></type></variable></localVars></interface>"
    odd = "IF a THEN b := TRUE; ENDIF;"
    for name, notes in (("a", 1), ("EndIf", 0)):
        pou = f"<pou name='P' pouType='program'>{body.format(name)}{text(odd)}</pou>"
        found = asfound.read(document(pous=pou), "p.xml")
        assert [(f.where, f.text) for f in found.findings] == [
            ("p.xml, POU P", "ENDIF is no keyword; read as END_IF")
        ] * notes
        newer = asfound.read(to_61131_10(document(pous=pou)), "p.xml")
        assert newer.findings == found.findings
        twice = asfound.read(document(pous=pou), "p.xml")  # what was read before is told as well
        assert twice.findings == found.findings
