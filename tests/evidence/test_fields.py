"""Every field of a statement is what it claims to be, and none forges a line of its text."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from asfound.compare.result import Counts
from asfound.evidence import envelope, statement, statement_fields, statement_files
from asfound.evidence.statement import Compared, Earlier, File, Predicate, StatedChange, StatedCopy, Statement
from asfound.model.panel import Indicator, Panel
from asfound.model.problem import Problem
from asfound.model.program import Setting
from asfound.model.station import BringsBack
from asfound.reports.statement import text

from .kit import run, sentence, signer

TIME, COMMIT, DIGEST = "2026-11-18T02:13:07+01:00", "a" * 40, "b" * 64


def file(path: str = "originals/running/main.st", name: str = "main.st", **more: Any) -> File:
    return File(path, name, more.get("sha256", DIGEST), more.get("size", 7))


def compared(**more: Any) -> Compared:
    fields: dict[str, Any] = {
        "copy": "running",
        "earlier": Earlier("1", "as-left", TIME, "Ada Lind", COMMIT),
        "old_normal_sha256": DIGEST,
        "new_normal_sha256": DIGEST,
        "verdict": "behaviour",
        "counts": Counts(behaviour=1),
        "limits": ("no tasks",),
        "changes": (StatedChange(1, "behaviour", "logic", "changed", "Main / rung 1", "a contact"),),
    }
    return Compared(**{**fields, **more})


def predicate(**more: Any) -> Predicate:
    fields: dict[str, Any] = {
        "schema": statement.SCHEMA,
        "station": "booster-1",
        "record": "2",
        "moment": "as-found",
        "time": TIME,
        "person": "Ada Lind",
        "note": "a note",
        "clock": "the clock was behind",
        "commit": COMMIT,
        "stored_with": "0.1.0",
        "stated_by": "Bert <bert@example.org>",
        "stated_time": TIME,
        "stated_with": "0.1.0",
        "copies": (StatedCopy("running", DIGEST, (file(),)),),
        "attachments": (file("attachments/a b.zip", "a b.zip"),),
        "panel": Panel(run="lit", serials=(Setting("rack", "7"),), indicators=(Indicator("ERR", "fault", "dark"),)),
        "brings_back": BringsBack("card", "built-in", "", "the maker's manual"),
        "compared": compared(),
    }
    return Predicate(**{**fields, **more})


def read(said: Predicate) -> Statement:
    return statement_fields.read(statement.written(statement.wrapped(said)), "x.json")


def test_what_is_as_it_should_be_is_read() -> None:
    for said in (
        predicate(),
        predicate(record="12.1f9c2a", stored_with="1.2.3rc1", stated_with="0.2.0.dev3+local.7", station="Süd 1"),
        predicate(brings_back=msgspec.UNSET),
        predicate(compared=None, panel=None, note="two\nlines", time="1970-01-01T00:00:00+00:00"),
        predicate(copies=(StatedCopy("card", DIGEST, (file("originals/card/a%0Ab.st", "a\nb.st"),)),)),
    ):
        assert read(said).predicate == said


EARLIER = Earlier("1", "as-left", TIME, "Ada Lind", COMMIT)
FORGED = [
    ({"commit": "--output=/home/x/file"}, "its commit is '--output=/home/x/file', which is not 40 hexadecimal digits"),
    ({"commit": COMMIT + "\n"}, "its commit is '" + COMMIT + "\\n', which is not 40 hexadecimal digits"),
    ({"commit": "A" * 40}, "its commit is '" + "A" * 40 + "', which is not 40 hexadecimal digits"),
    ({"record": "2\nCommit    x"}, "its record is '2\\nCommit    x', which is not the number of a record"),
    ({"record": "latest"}, "its record is 'latest', which is not the number of a record"),
    ({"station": "a/b"}, "its station is 'a/b' (the name holds a slash (/))"),
    ({"station": "a\u202eb"}, "its station is 'a\\u202eb' (the name holds the invisible character U+202E)"),
    ({"stored_with": "0.1.0\nCommit    x"}, "its program that stored is '0.1.0\\nCommit    x', which is not a version"),
    ({"stated_with": "new"}, "its program that stated is 'new', which is not a version"),
    ({"time": TIME + "\n"}, f"it has the time '{TIME}\\n', which is no time with a zone between 1970 and 2099"),
    ({"time": "2026-11-18T02:13:07"}, "it has the time '2026-11-18T02:13:07', which is no time with a zone between"),
    ({"time": "2026-02-30T02:13:07+00:00"}, "it has the time '2026-02-30T02:13:07+00:00', which is no time"),
    ({"time": "9999-12-31T23:59:59-23:59"}, "it has the time '9999-12-31T23:59:59-23:59', which is no time"),
    ({"stated_time": "1969-12-31T23:59:59+00:00"}, "it has the time '1969-12-31T23:59:59+00:00', which is no time"),
    ({"person": "Ada\nCommit    x"}, "it names the person 'Ada\\nCommit    x', which is no name of a person"),
    ({"stated_by": "a" * 301}, f"it names the person '{'a' * 300}', which is no name of a person"),
    ({"proved": "All of it."}, "says something else of what is proved than every statement"),
    ({"copies": (StatedCopy("../x", DIGEST, ()),)}, "its copies are '../x', and each can only be one of running, card"),
    ({"copies": (StatedCopy("card", DIGEST, ()),) * 2}, "its copies are 'card', 'card', and each can only be one of"),
    ({"copies": (StatedCopy("card", "x", ()),)}, "its digest of a normal form is 'x', which is not 64 hexadecimal"),
    ({"attachments": (file("attachments/../x", "x"),)}, "it names the file 'attachments/../x', which is no path below"),
    (
        {"attachments": (file("attachments/a\\b", "x"),)},
        "it names the file 'attachments/a\\\\b', which is no path below",
    ),
    (
        {"attachments": (file("attachments/a\nb", "x"),)},
        "it names the file 'attachments/a\\nb', which is no path below",
    ),
    ({"attachments": (file("attachments//x", "x"),)}, "it names the file 'attachments//x', which is no path below"),
    ({"attachments": (file("/etc/x", "x"),)}, "it names the file '/etc/x', which is no path below attachments/"),
    ({"attachments": (file("originals/x", "x"),)}, "it names the file 'originals/x', which is no path below"),
    ({"attachments": (file("attachments/x", ""),)}, "the file 'attachments/x' was called nothing"),
    ({"attachments": (file("attachments/x", "x", size=-1),)}, "the file 'attachments/x' has a size that no file has"),
    ({"attachments": (file("attachments/x", "x", size=10**30),)}, "the file 'attachments/x' has a size that no file"),
    ({"attachments": (file("attachments/x", "x", sha256="0"),)}, "its digest of a file is '0', which is not 64"),
    ({"attachments": (file("attachments/x", "x"),) * 2}, "it names two files of one path"),
    ({"compared": compared(copy="other")}, "it compares the copy 'other', which is none of running, card, office"),
    ({"compared": compared(old_normal_sha256="")}, "its digest of a normal form is '', which is not 64"),
    ({"compared": compared(counts=Counts(behaviour=-1))}, "it counts or numbers changes as nobody can"),
    ({"compared": compared(counts=Counts(behaviour=10**5000))}, "is no statement (Number out of range"),
    *(
        ({"compared": compared(earlier=msgspec.structs.replace(EARLIER, **{name: "x\ny"}))}, "'x\\ny'")
        for name in ("record", "moment", "time", "person", "commit")
    ),
    *(
        (
            {"compared": compared(changes=(StatedChange(1, "behaviour", *words, "", ""),))},
            "'a\\nb', which is not a word",
        )
        for words in (("a\nb", "changed"), ("logic", "a\nb"))
    ),
]


@pytest.mark.parametrize(
    ("field", "what"), FORGED, ids=[f"{at}-{next(iter(each[0]))}" for at, each in enumerate(FORGED)]
)
def test_a_forged_field_is_told(field: dict[str, Any], what: str, monkeypatch: pytest.MonkeyPatch) -> None:
    if "Number out of range" in what:
        data = statement.written(statement.wrapped(predicate())).replace(b'"behaviour": 1\n', b'"behaviour": 1e5000\n')
        with pytest.raises(Problem) as problem:
            statement_fields.read(data, "x.json")
    else:
        with pytest.raises(Problem) as problem:
            read(predicate(**field))
    assert what in problem.value.what
    assert "\n" not in str(problem.value)


# --- documents in forms that only a liar or a fuzzer writes ---------------------------------------------------------

WHOLE = statement.written(statement.wrapped(predicate()))


@pytest.mark.parametrize(
    "data",
    [
        WHOLE.replace(b'"commit": "', b'"commit": "--output=x",\n    "commit": "', 1),
        WHOLE.replace(b'"size": 7', b'"size": ' + b"9" * 6000, 1),
        WHOLE.replace(b'"size": 7', b'"size": 7.0', 1),
        WHOLE.replace(b'"limits": [', b'"limits": [' + b"[" * 100_000, 1),
        b"[" * 100_000,
        b'{"a":' * 100_000,
        WHOLE.replace(b"a note", b"\\ud800", 1),
        WHOLE.replace(b"a note", b"\xff", 1),
        WHOLE.replace(b'"_type"', b'"__class__": 1,\n  "_type"', 1),
        WHOLE[:-20],
        b"",
        b"null",
        b"\xef\xbb\xbf" + WHOLE,
        WHOLE.replace(b"\n", b"\r\n"),
    ],
)
def test_a_document_in_an_odd_form_is_one_sentence(data: bytes) -> None:
    assert data != WHOLE
    sealed = envelope.seal(signer(), WHOLE)
    for refused in (
        lambda: statement_fields.read(data, "x.json"),
        lambda: envelope.opened(data, "x.dsse.json"),
        lambda: envelope.opened(sealed.replace(b'"payload": "', b'"payload": "\xc3\xa9', 1), "x.dsse.json"),
        lambda: envelope.opened(sealed.replace(b'"keyid"', b'"keyid": "", "keyid"', 1), "x.dsse.json"),
    ):
        with pytest.raises(Problem) as problem:
            refused()
        assert "\n" not in str(problem.value)


def test_a_signature_that_is_no_base64_does_not_fit() -> None:
    sealed = envelope.seal(signer(), WHOLE).replace(b'"sig": "', b'"sig": "\xc3\xa9', 1)
    with pytest.raises(Problem, match="holds no valid signature of the key"):
        envelope.verify(sealed, signer().public, "x.dsse.json")


@settings(max_examples=200)
@given(some.data())
def test_a_document_with_changed_bytes_is_one_sentence(data: some.DataObject) -> None:
    at = data.draw(some.integers(0, len(WHOLE)))
    until = data.draw(some.integers(at, min(at + 40, len(WHOLE))))
    changed = WHOLE[:at] + data.draw(some.binary(max_size=40)) + WHOLE[until:]
    try:
        found = statement_fields.read(changed, "x.json")
    except Problem as problem:
        assert "\n" not in str(problem)
    else:
        assert statement.written(found) == changed


# --- the text -------------------------------------------------------------------------------------------------------

ANY = some.one_of(
    some.text(max_size=150),
    some.sampled_from(
        [
            "\nCommit    --output=x",
            "\r\n",
            "\u2028Commit    x",
            "x" * 120,
            "a b " * 60 + "Commit    --output=x",
            "\x1b[2J",
        ]
    ),
)
FIXED = ("verdict", "effect", "proved", "not_proved", "reset", "restart", "firmware")
"""Nothing but words of a list gets this far (:func:`asfound.evidence.statement_fields.read`)."""


def wanted(said: Predicate) -> list[str]:
    """How each line begins that begins something, in order."""
    assert said.panel and said.compared
    optional = ["Note      "] * bool(said.note) + ["Clock     "] * bool(said.clock)
    return [
        *("STATEMENT ON THE PROGRAM OF A CONTROLLER", "", "Station   ", "Record    ", "Stored    ", "Commit    "),
        *("Stated    ", *optional, *("Panel     " for _ in said.panel.lines()), "Program   "),
        *("", "The copy '", "", "Attachments", "", "Compared with record ", "The machine may act differently: "),
        *("1 change: ", "What this comparison cannot vouch for:", ""),
        *(statement.PROVED[:20], "before it: ", statement.NOT_PROVED[:20], "made them, ", ""),
        *("The same statement for machines (JSON) has the SHA-256", ""),
    ]


def replaced(value: Any, draw: Callable[[Any], Any]) -> Any:
    """The same with every text of it another one, whatever it is."""
    if isinstance(value, str):
        return draw(ANY)
    if isinstance(value, tuple):
        return tuple(replaced(each, draw) for each in value)
    if isinstance(value, msgspec.Struct) and not isinstance(value, Counts):
        names = [name for name in value.__struct_fields__ if name not in FIXED]
        return msgspec.structs.replace(value, **{name: replaced(getattr(value, name), draw) for name in names})
    return value


@settings(max_examples=300)
@given(some.data())
def test_no_field_forges_a_line_of_the_text(data: some.DataObject) -> None:
    said = replaced(predicate(), data.draw)
    try:
        lines = text(statement.wrapped(said)).split("\n")
    except UnicodeEncodeError:
        return  # half a character, which no JSON can hold
    assert lines.pop() == ""
    assert "\n".join(lines).splitlines() == lines  # no other line break in it
    found = [line for line in lines if not line.startswith("  ")]  # files, changes, and what goes on
    assert len(found) == len(wanted(said))
    assert all(line.startswith(start.rstrip()) for line, start in zip(found, wanted(said), strict=True))
    assert re.fullmatch(r"[0-9a-f]{64}", found[-1])
    assert [line for line in lines if line.startswith("Commit")] == [lines[5]]


# --- a text beside another version's JSON, and signatures that were taken away --------------------------------------


def other_version(folder: Path, *more: str) -> None:
    """A statement that another version wrote, whose text says what its JSON does not."""
    said = predicate(stated_with="0.0.9")
    words = text(statement.wrapped(said)).replace("The machine may act differently", "Nothing differs")
    files = statement_files.documents("x", statement.wrapped(said), words, signer() if more else None)
    for name in files:
        (folder / name).write_bytes(files[name])


def test_a_text_of_another_version_is_not_proved_by_lying_beside_the_json(tmp_path: Path) -> None:
    other_version(tmp_path)
    for words in ((), ("--unsigned",)):
        done = run("verify", tmp_path / "x.txt", *words)
        assert done.exit_code == 1
        assert done.stdout == (
            "! x.txt: was written by asfound 0.0.9 and has no signature, so nothing shows that it says what the JSON "
            "says; read the JSON instead, or check it with that version.\n"
            "Nothing is proved: what is marked with ! does not hold.\n"
        )


def test_a_text_of_another_version_counts_with_its_own_signature(tmp_path: Path) -> None:
    other_version(tmp_path, "signed")
    done = run("verify", tmp_path / "x.txt")
    assert done.exit_code == 0, done.output
    (tmp_path / "x.txt.sig").unlink()
    done = run("verify", tmp_path / "x.txt")
    assert done.exit_code == 1
    assert done.stdout.startswith("! x.txt: was written by asfound 0.0.9 and has no signature, ")


def test_a_text_of_another_version_that_can_be_written_again_counts(tmp_path: Path) -> None:
    said = statement.wrapped(predicate(stated_with="0.0.9"))
    for name, data in statement_files.documents("x", said, text(said), None).items():
        (tmp_path / name).write_bytes(data)
    assert run("verify", tmp_path / "x.txt", "--unsigned").exit_code == 0


@pytest.mark.parametrize(
    ("gone", "what"),
    [
        (
            "x.txt.sig",
            "x.txt.sig: is missing, but x.dsse.json is there: signed statements have both; keep the files of",
        ),
        ("x.dsse.json", "x.dsse.json: is missing, but x.txt.sig is there: signed statements have both; keep the files"),
        ("x.txt", "x.txt: is missing, but its signature is there; keep the files of a statement together."),
    ],
)
def test_a_signature_that_was_taken_away_is_a_fault(tmp_path: Path, gone: str, what: str) -> None:
    said = statement.wrapped(predicate())
    for name, data in statement_files.documents("x", said, text(said), signer()).items():
        (tmp_path / name).write_bytes(data)
    assert run("verify", tmp_path / "x.json").exit_code == 0
    (tmp_path / gone).unlink()
    done = run("verify", tmp_path / "x.json", "--unsigned")
    assert done.exit_code == 1
    assert done.stdout.startswith(f"! {what}")


@pytest.mark.parametrize("gone", ["SHA256SUMS.sig", "signers", "statement.txt.sig", "statement.dsse.json"])
def test_a_hand_over_from_which_a_signature_was_taken_is_a_fault(folder: Path, gone: str) -> None:
    from .test_handover import resummed

    (folder / gone).unlink()
    if gone == "SHA256SUMS.sig":
        resummed(folder)
    done = run("verify", folder, "--unsigned")
    assert done.exit_code == 1
    assert f"! {gone} missing, but " in done.stdout
    assert " there: a signature was taken away\n" in done.stdout
    assert sentence(done) == "Nothing is proved: what is marked with ! does not hold."


def test_without_any_signature_altered_pages_are_vouched_for_by_nobody(folder: Path) -> None:
    from .test_handover import resummed

    for name in ("SHA256SUMS.sig", "signers", "statement.txt.sig", "statement.dsse.json"):
        (folder / name).unlink()
    (folder / "index.html").write_text("Nothing changed.")
    (folder / "inspection.json").write_text("{}")
    resummed(folder)
    done = run("verify", folder)
    assert done.exit_code == 1
    assert sentence(done).startswith(
        "Nobody vouches for VERIFY.txt, comparison.json, copies.json, index.html, inspection.json, report.html, "
        "report.md, report.pdf: nobody signed this hand-over, so anybody could have written them. "
    )
