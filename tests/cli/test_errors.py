"""Every message a person can mend, whole; exit code 2; and an archive that stays as it was."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from pathlib import Path

import pytest
from stored_visit import FIRST, Run

import asfound

TRIED = "(tried: IEC 61131-10 XML, TC6 XML 1.01, 2.0, 2.01, AutomationML hardware configuration (.aml, .amlx)"
FORMATS = "`asfound formats` lists what is read."
AGAIN = "in a folder with readable exports."
XML = b"<?xml version='1.0'?><project xmlns='http://www.plcopen.org/xml/tc6_0201'><fileHeader companyName='x'"


def snapshot(folder: Path) -> list[tuple[str, str]]:
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return [(path.as_posix(), hashlib.sha256(path.read_bytes()).hexdigest()) for path in files]


@pytest.mark.parametrize(
    ("name", "data", "start", "end"),
    [
        ("plc.xml", b"hello there", f"plc.xml: is in a format that no reader knows {TRIED}", FORMATS),
        ("plc.xml", XML, "plc.xml, line 1: is not complete, well-formed XML", AGAIN),
        ("plc.xml", b"<a><b></a>", "plc.xml, line 1: is not complete, well-formed XML", AGAIN),
        ("r.xml", b"<recipes/>", f"r.xml: has the root element <recipes>, which no reader knows {TRIED}", FORMATS),
        ("plc.xml", b"", "plc.xml: is empty; export it again.", "plc.xml: is empty; export it again."),
    ],
    ids=["not XML", "truncated XML", "damaged XML", "unknown format", "empty"],
)
def test_a_bad_file_is_one_sentence_and_leaves_the_archive_untouched(
    run: Run, plant: Path, name: str, data: bytes, start: str, end: str
) -> None:
    before = snapshot(plant)
    Path(name).write_bytes(data)
    store = ("store", "plant.git", "booster-1", "--moment", "as-left", "--running", "new", "--card", name)
    for words in (store, ("show", name), ("compare", name, "old"), ("compare", "old", name)):
        done = run(*words)
        assert done.exit_code == 2
        assert done.stdout == ""
        shown = done.stderr.removeprefix("copy card/")
        assert shown.count("\n") == 1
        assert shown.startswith(start) and shown.endswith(f"{end}\n"), done.stderr
    assert snapshot(plant) == before


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (
            ("store", "plant.git", "a/b", "--moment", "as-left", "--running", "new"),
            "station 'a/b': the name holds a slash (/); use letters, digits, blanks, - and _.",
        ),
        (
            ("store", "plant.git", "", "--moment", "as-left", "--running", "new"),
            "plant.git: no station is named; write plant.git STATION; `asfound history plant.git` lists them.",
        ),
        (
            ("store", "plant.git", "booster-1", "--moment", "found", "--running", "new"),
            "'found' is no moment; write one of as-found, as-left, routine.",
        ),
        (
            ("store", "plant.git", "booster-1", "--moment", "as-left"),
            "there is no copy to store; give at least one of running, card, office.",
        ),
        (
            ("store", "plant.git", "booster-1", "--moment", "as-left", "--running", "nowhere"),
            "nowhere: does not exist; check the name.",
        ),
        (
            ("store", "plant.git", "booster-1", "--moment", "as-left", "--running", "papers"),
            f"copy running: holds no export that is understood (2 files looked at); {FORMATS}",
        ),
        (
            ("store", "plant.git", "booster-1", "--moment", "as-left", "--running", "void"),
            "copy running: holds no files; export into it first; `asfound formats` lists what is read.",
        ),
        (
            ("store", "plant.git", "booster-1", "--moment", "as-left", "--running", "new", "--by", "<>"),
            "'<>' is no name of a person; write --by NAME or --by 'NAME <ADDRESS>'.",
        ),
        (
            ("store", "none.git", "booster-1", "--moment", "as-left", "--running", "new"),
            "none.git: does not exist; check the name; `asfound init none.git` makes an archive.",
        ),
        (("show", "papers"), f"papers: holds no export that is understood (2 files looked at); {FORMATS}"),
        (("show", "plant.git:mixer"), "{plant}: station mixer not found; the archive has booster-1."),
        (
            ("show", "plant.git:booster-1@7"),
            "station booster-1: there is no record '7'; the archive has records 1 to 2; "
            "`asfound history {plant} booster-1` lists them.",
        ),
        (
            ("show", "plant.git:booster-1@2:card"),
            "record 2 of station booster-1: there is no copy 'card'; it holds running, office.",
        ),
        (("history", "papers"), "papers: is not an archive; check the name; `asfound init` with a new name makes one."),
        (
            ("history",),
            "no archive is named; name it, or set ASFOUND_ARCHIVE; `asfound init` with a new name makes one.",
        ),
        (
            ("init", "plant.git"),
            "plant.git: is an archive already; `asfound store plant.git STATION` ... makes a record in it.",
        ),
        (("init", "papers"), "papers: exists and is not empty; choose a new name for the archive."),
        (
            ("show", "plant.git:boster-1"),
            "{plant}: station boster-1 not found; did you mean booster-1? it has no other.",
        ),
        (
            ("store", "plant.git", "booster-1", "--moment", "as-left", "--running", "neww"),
            "neww: does not exist; did you mean new? check the name.",
        ),
        (
            ("store", "plant.git", "booster-1", "--moment", "as-left", "--running", "new", "--attach", "papers/aa.txt"),
            "papers/aa.txt: does not exist; did you mean a.txt? check the name.",
        ),
        (
            ("show", "papres"),
            "papres: is no file or folder, and no archive is named; did you mean papers? check the name; for a record "
            "write ARCHIVE:STATION, or name the archive with --archive or ASFOUND_ARCHIVE.",
        ),
        (
            ("where", "Mian", "new"),
            "nothing is called 'Mian', and no statement uses it; did you mean Main? write a variable, tag, block or "
            "step, POU.NAME, or a direct address such as %IX0.3.",
        ),
        (
            ("store", "plant.git", "booster-1", "--moment", "as-left", "--running", "new", "--key", "no"),
            "no: the key cannot be read (No such file or directory); `asfound key new FILE` makes a key.",
        ),
        (
            ("verify", "papers"),
            "papers: holds no SHA256SUMS; name a folder that was handed over; `asfound handover` writes one.",
        ),
        (
            ("verify", "new/main.st"),
            "main.st: is no file of a statement; they end with .dsse.json, .json, .txt, .txt.sig; `asfound attest` "
            "writes them.",
        ),
        (("check",), "no archive is named; name it, or set ASFOUND_ARCHIVE; `asfound init` with a new name makes one."),
        (
            ("compare", "old", "new", "--fail-on", "much"),
            "'much' is no level; write one of documentation, equivalent, undecided, behaviour.",
        ),
        (
            ("compare", "old", "new", "--html", "no/such/r.html"),
            "no/such/r.html: cannot be written (No such file or directory); choose another file.",
        ),
        (
            ("restore", "old", "--to", "out"),
            "old: is not in an archive; `asfound store` makes a record of it; then write "
            "ARCHIVE:STATION[@SELECTOR][:COPY].",
        ),
        (
            ("restore", "plant.git:booster-1@1", "--to", "taken"),
            "taken/running/main.st: exists with another content; restore to an empty folder.",
        ),
        (("demo", "--to", "old"), "old: exists and is not empty; name a new folder with --to."),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else None,
)
def test_a_mistake_is_one_sentence_and_leaves_the_archive_untouched(
    run: Run, plant: Path, words: tuple[str, ...], message: str
) -> None:
    for folder, files in (("papers", ("a.txt", "b.txt")), ("void", ()), ("taken/running", ("main.st",))):
        Path(folder).mkdir(parents=True)
        for file in files:
            (Path(folder) / file).write_bytes(b"call the plumber")
    before = snapshot(plant)
    done = run(*words)
    assert done.stderr == message.replace("{plant}", str(plant)) + "\n"
    assert (done.exit_code, done.stdout) == (2, "")
    assert snapshot(plant) == before


def test_options_nobody_knows_are_refused_by_name(run: Run) -> None:
    done = run("compare", "a", "b", "--colour")
    assert done.exit_code == 2
    assert "No such option: --colour" in done.stderr
    assert run("store", "plant.git", "x").exit_code == 2


def test_a_bug_says_that_it_is_one(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    from asfound.cli import loading

    Path("a.st").write_bytes(FIRST)

    def broken(*arguments: object, **more: object) -> None:
        raise IndexError("tuple index out of range")

    monkeypatch.setattr(loading, "load", broken)
    done = run("show", "a.st")
    assert done.exit_code == 2
    assert done.stderr == (
        f"asfound {asfound.__version__} has a bug (IndexError: tuple index out of range); "
        "please report it with this line; ASFOUND_DEBUG=1 shows where it happened.\n"
    )
    monkeypatch.setenv("ASFOUND_DEBUG", "1")
    assert isinstance(run("show", "a.st").exception, IndexError)


def test_a_question_that_nobody_answers_is_no_bug(run: Run) -> None:
    done = run("key", "new", "some.key", "--by", "Ada")
    assert done.exit_code == 2
    assert done.stderr.endswith("\na question was asked and nobody answered; run the command at a terminal.\n")
    assert not Path("some.key").exists()


def test_an_interruption_is_clean(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    from asfound.cli import loading

    def stopped(*arguments: object, **more: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(loading, "load", stopped)
    done = run("show", "a.st")
    assert (done.exit_code, done.stdout, done.stderr) == (130, "", "stopped\n")


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (
            ("compare", "a.st", "b.st", "--json", "a.st"),
            "a.st: is read by this command and would be lost; write to another file.",
        ),
        (
            ("show", "a.st", "--json", "x/../a.st"),
            "x/../a.st: is read by this command and would be lost; write to another file.",
        ),
        (
            ("inspect", "old", "--json", "old/main.st"),
            "old/main.st: is part of old, which is read, and would be lost; write to a file outside of it.",
        ),
        (
            ("compare", "a.st", "b.st", "--json", "out", "--html", "./out"),
            "out: is named for two reports; name a file for each.",
        ),
        (
            ("show", "plant.git:booster-1", "--json", "plant.git/HEAD"),
            "plant.git/HEAD: lies in an archive; write it somewhere else.",
        ),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else None,
)
def test_nothing_is_written_over_what_is_read(run: Run, plant: Path, words: tuple[str, ...], message: str) -> None:
    Path("x").mkdir()
    Path("a.st").write_bytes(FIRST)
    Path("b.st").write_bytes(FIRST)
    before = snapshot(plant), snapshot(Path("old")), Path("a.st").read_bytes()
    done = run(*words)
    assert (done.exit_code, done.stdout, done.stderr) == (2, "", message + "\n")
    assert (snapshot(plant), snapshot(Path("old")), Path("a.st").read_bytes()) == before


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize(
    ("target", "code", "said"),
    [
        (
            "/dev/full",
            2,
            "the answer cannot be written (No space left on device); make room, or send it somewhere else.\n",
        ),
        (None, 0, ""),
    ],
    ids=["full disk", "closed"],
)
def test_standard_output_that_takes_nothing_is_no_bug(tmp_path: Path, target: str | None, code: int, said: str) -> None:
    export = tmp_path / "a.st"
    export.write_bytes(FIRST)
    close = ">&-" if target is None else f">{target}"
    done = subprocess.run(
        ["sh", "-c", f'"$1" -m asfound show -q "$2" {close}', "sh", sys.executable, str(export)],
        stderr=subprocess.PIPE, text=True, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (code, said)
