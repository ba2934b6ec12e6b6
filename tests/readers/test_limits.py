"""What the exports of a copy cannot show is said, once for all files together."""

from __future__ import annotations

import asfound
from asfound.readers.reading import read_files

MAIN = b"PROGRAM Main VAR_EXTERNAL a, b : BOOL; END_VAR VAR c AT %I* : BOOL; END_VAR a := b AND c; END_PROGRAM"
FRAME = b"""CONFIGURATION Plant VAR_GLOBAL a : BOOL; END_VAR
RESOURCE Cpu ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM P WITH T : Main; END_RESOURCE
END_CONFIGURATION"""


def test_one_file_alone() -> None:
    assert asfound.read(MAIN, "main.st").limits == (
        "addresses are left open (%I*, %Q*): they are bound outside the exports",
        "global variables are declared outside the exports: a, b",
        "no export holds tasks or a configuration: what runs when is not known",
    )


def test_another_file_may_hold_what_is_missing() -> None:
    assert read_files([("main.st", MAIN), ("frame.st", FRAME)]).limits == (
        "addresses are left open (%I*, %Q*): they are bound outside the exports",
        "global variables are declared outside the exports: b",
    )


def test_a_comment_that_opens_twice() -> None:
    """Read to the first end of comment here; the code behind it may be a comment where comments nest."""
    text = b"PROGRAM Main VAR x : BOOL; END_VAR\n(* off (* x := FALSE; *) x := TRUE;\nEND_PROGRAM\n"
    said = "Main: a comment holds '(*'; where comments nest, the code behind it may be a comment too"
    assert said in asfound.read(text, "main.st").limits
    assert said not in asfound.read(text.replace(b"off (*", b"off"), "main.st").limits


def test_a_copy_without_a_program_has_no_such_limits() -> None:
    assert asfound.read(b"name;address;type\nDoor;%IX0.3;BOOL\n", "tags.csv").limits == ()
