"""A record stored when the normal form was written in other signs is sound, and nothing in it has changed."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from asfound.archive.archive import Archive
from asfound.compare.comparison import compare
from asfound.language import normal
from asfound.language.earlier_notation import means_the_same
from asfound.language.normal import normal_form
from asfound.readers.reading import read

TIME = datetime(2026, 11, 17, 8, 30, tzinfo=UTC)
BEFORE = """{normal 1}
PROGRAM P
VAR
  T1 : TON;
  a : BOOL;
  b : BOOL;
  c : BOOL;
  i : INT;
END_VAR
{body LD}
{doubt "by file order b (2) runs before _v1"}
{network}
  {call TON} T1(IN := a);
  b S= T1.Q;
  b R= NOT NOT a;
{network}
  _v1 := {name "MOD"}(i, 2);
  {when} IF a THEN i := _v1; END_IF;
  {when} IF c THEN JMP Done; END_IF;
  c := GT(_v1, 1);
END_PROGRAM
"""


@pytest.fixture
def archive(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An archive with one record whose normal form is in the signs of before."""
    with monkeypatch.context() as patched:
        patched.setattr(normal, "normal_form", lambda copy: {"program/pous/P.st": BEFORE})
        with Archive.create(tmp_path / "plant.git") as made:
            made.store("pump", "routine", {"running": [("p.st", BEFORE.encode())]}, person="Ada", time=TIME)
    return tmp_path / "plant.git"


def test_it_is_sound(archive: Path) -> None:
    with Archive.open(archive) as opened:
        found = opened.check()
        assert (found.faults, found.remarks) == ((), ())
        record = opened.record("pump")
        assert opened.normal(record, "running") == {"program/pous/P.st": BEFORE}
        now = read(BEFORE.encode(), "p.st")
        assert normal_form(now) != {"program/pous/P.st": BEFORE}
        assert compare(opened.copy(record, "running"), now).verdict == "identical"


@pytest.mark.parametrize("more", ["// all is well\n", '{note "all is well"}\n', "{normal 1}\n", "{order a.b}\n"])
@pytest.mark.parametrize("before", ["{normal 1}", "  a : BOOL;", "{network}"])
def test_what_reading_passes_over_is_not_the_same(before: str, more: str) -> None:
    now = normal_form(read(BEFORE.encode(), "p.st"))
    assert not means_the_same({"program/pous/P.st": BEFORE.replace(before, f"{more}{before}", 1)}, now)


def test_lines_in_another_order_or_left_out_are_not_the_same() -> None:
    now = normal_form(read(BEFORE.encode(), "p.st"))["program/pous/P.st"]
    first, second, rest = now.split("\n", 2)
    for other in (f"{second}\n{first}\n{rest}", f"{second}\n{rest}"):
        assert not means_the_same({"program/pous/P.st": other}, {"program/pous/P.st": now})


def test_another_file_is_not_the_same() -> None:
    now = normal_form(read(BEFORE.encode(), "p.st"))
    for path, text in [("program/note.txt", "x"), ("tags/t.csv", ""), ("hardware.json", "{}"), ("values.csv", "x\n")]:
        assert not means_the_same({"program/pous/P.st": BEFORE, path: text}, now), path
    project = {"program/project.json": "{}\n"}
    for damaged in ("{", '{"heading": 1}', '{"a": 1}'):
        assert not means_the_same({**now, "program/project.json": damaged}, {**now, **project}), damaged


def test_where_a_wire_comes_from_is_no_matter_of_notation() -> None:
    now = normal_form(read(b"PROGRAM P\nVAR\n a : BOOL;\nEND_VAR\nLD a\nJMPC x\nx:\nST a\nEND_PROGRAM\n", "p.st"))
    path = "program/pous/P.st"
    assert "from result}" in now[path]
    assert not means_the_same({path: now[path].replace("from result}", "from other}")}, now)


@pytest.mark.parametrize(
    ("written", "other"),
    [("b R= NOT", "b S= NOT"), ("{call TON}", "{call TOF}"), ('"MOD"}(i, 2)', '"MOD"}(i, 3)'), ("i := _v1", "i := 1")],
)
def test_another_program_is_not_the_same(written: str, other: str) -> None:
    assert written in BEFORE
    now = normal_form(read(BEFORE.encode(), "p.st"))
    assert means_the_same({"program/pous/P.st": BEFORE}, now)
    assert not means_the_same({"program/pous/P.st": BEFORE.replace(written, other)}, now)


LIST = b"""PROGRAM P
VAR
  a : BOOL;
  b : BOOL;
  c : BOOL;
  i : INT;
END_VAR
LD a
AND b
S a
R c
LD i
MOD 3
JMPC Over
LD 2
Over: ST i
END_PROGRAM
"""
LIST_BEFORE = """{normal 1}
PROGRAM P
VAR
  a : BOOL;
  b : BOOL;
  c : BOOL;
  i : INT;
END_VAR
{body IL}
  _v2 := a AND b;
  a S= _v2;
  c R= _v2;
  _v1 := i MOD 3;
  {when} IF _v1 THEN JMP Over; END_IF;
  _v1 := 2;
  Over:
  i := _v1;
END_PROGRAM
"""


def test_wires_of_an_instruction_list_were_numbered_as_they_were_made() -> None:
    now = normal_form(read(LIST, "p.il"))
    assert means_the_same({"program/pous/P.st": LIST_BEFORE}, now)
    for written, other in (("c R= _v2", "c R= _v1"), ("_v1 := 2", "_v2 := 2"), ("a AND b", "a OR b")):
        assert written in LIST_BEFORE
        assert not means_the_same({"program/pous/P.st": LIST_BEFORE.replace(written, other)}, now)


REFERENCES = """{normal 1}
PROGRAM P
VAR
  a : BOOL;
  i : INT;
  j : INT;
  p : REFERENCE TO INT;
END_VAR
{body ST}
  p REF= i;
  p := j;
  {reference}
  p := i;
  IF a THEN
    {attempt}
    p ?= p;
  END_IF;
END_PROGRAM
"""


def test_references_were_assigned_with_operators() -> None:
    """A pragma of that name was somebody else's then, also right before an assignment."""
    source = REFERENCES.replace("{normal 1}\n", "").replace("{body ST}\n", "")
    now = normal_form(read(source.encode(), "p.st"))
    assert means_the_same({"program/pous/P.st": REFERENCES}, now)
    code = now["program/pous/P.st"].partition("{body ST}\n")[2]
    assert code.splitlines()[:4] == [
        "  {reference} p := i;",
        "  p := j;",
        '  {verbatim "$7B;reference$7D;"}',
        "  p := i;",
    ]
    others = (
        ("p REF= i", "p := i"),
        ("p REF= i", "p ?= i"),
        ("p := j", "p REF= j"),
        ("{attempt}\n    p ?=", "{attempt} p :="),
    )
    for written, other in others:
        assert written in REFERENCES
        assert not means_the_same({"program/pous/P.st": REFERENCES.replace(written, other, 1)}, now), other


BESIDE = """{normal 1}
PROGRAM P
VAR
  a : BOOL;
  F1 : MyFb;
END_VAR
{body SFC}
{chart}
EXTENSIONS
INITIAL_STEP Init:
END_STEP
END_PROGRAM
"""


@pytest.mark.parametrize(
    ("path", "before", "now"),
    [
        (
            "drawn beside the chart",
            "$7B;call MyFb$7D; F1(IN := a);\na S= F1.Q;",
            "(* block of type MyFb *)\nF1(IN := a);\nIF F1.Q THEN a := TRUE; END_IF;",
        ),
        ("action/body", "$7B;body ST$7D;\n  a := b;", "(* structured text *)\n  a := b;"),
        (
            "action/body",
            "(* structured text *)\n  a REF= b;\n  IF c THEN d[1] ?= b; END_IF;",
            "(* structured text *)\n  (* assignment of a reference *) a := b;\n"
            "  IF c THEN (* assignment attempt *) d[1] := b; END_IF;",
        ),
        ("order of alternatives of Init in the file", '$7B;name $"a b$"$7D; to X', "a b to X"),
    ],
)
def test_what_no_reader_followed_was_told_in_the_notation(path: str, before: str, now: str) -> None:
    def told(text: str) -> dict[str, str]:
        extension = f'{{extension path="{path}" text="{text}"}}'
        return {"program/pous/P.st": BESIDE.replace("EXTENSIONS", extension)}

    assert means_the_same(told(before), told(now))
    assert not means_the_same(told(before.replace("a", "c")), told(now))
