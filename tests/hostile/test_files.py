"""What is no ordinary file, and folders with one bad file: one sentence, exit 2, nothing stored."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner

import asfound
from asfound.cli.main import app
from asfound.model.problem import Problem
from asfound.readers import reading
from hostile.seeds import ST, TAGS, seeds

POSIX = sys.platform != "win32"


def refused(path: Path | str) -> str:
    """The sentence of the refusal."""
    with pytest.raises(Problem) as caught:
        asfound.read(path)
    return str(caught.value)


def run(*words: object) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of a command."""
    done = CliRunner().invoke(app, [str(word) for word in words], prog_name="asfound")
    return done.exit_code, done.stdout, done.stderr


@pytest.fixture(autouse=True)
def inside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.delenv("ASFOUND_ARCHIVE", raising=False)
    Path("export").mkdir()
    Path("export/main.st").write_bytes(ST)


def test_an_empty_file_and_an_empty_folder() -> None:
    Path("empty.csv").touch()
    Path("nothing").mkdir()
    assert run("show", "empty.csv") == (2, "", "empty.csv: is empty; export it again.\n")
    assert run("show", "nothing") == (
        2, "", "nothing: holds no files; export into it first; `asfound formats` lists what is read.\n",
    )  # fmt: skip


@pytest.mark.parametrize("name", ["x" * 300, "x/" * 3000], ids=["300 letters", "long path"])
def test_a_name_that_no_file_can_have(name: str) -> None:
    code, out, err = run("show", name)
    assert (code, out) == (2, "")
    assert err == f"{Path(name)!s:.100}: cannot be looked at (File name too long); check the name.\n"


if POSIX:

    def test_pipes_and_devices_are_no_exports() -> None:
        os.mkfifo("pipe")
        os.mkfifo("export/pipe")
        advice = "is a pipe, a device or a socket; give a file."
        assert run("show", "pipe") == (2, "", f"pipe: {advice}\n")
        assert run("show", "export") == (2, "", f"export/pipe: {advice}\n")
        assert run("compare", "/dev/zero", "/dev/null") == (2, "", f"/dev/zero: {advice}\n")

    def test_links_in_a_circle_to_nothing_and_out_of_the_folder() -> None:
        Path("export/again").symlink_to(".")
        assert len(asfound.read("export").sources) == 1
        Path("export/here").symlink_to("there")
        assert run("show", "export")[2] == "export/here: is a link to something that is not there; remove the link.\n"
        Path("export/there").symlink_to("here")
        assert run("show", "export")[2] == "export/here: is a link to something that is not there; remove the link.\n"
        Path("export/here").unlink()
        Path("export/there").unlink()
        Path("secret").write_bytes(b"x")
        Path("export/out").symlink_to("../secret")
        assert run("show", "export")[2] == "export/out: is a link that leads out of its folder; copy the file itself.\n"

    def test_a_name_with_an_escape_sequence_is_spelled_out() -> None:
        Path("a\x1b[31mb\u202e.csv").write_bytes(b"rubbish")
        code, _, err = run("show", "a\x1b[31mb\u202e.csv")
        assert code == 2
        assert err.startswith("a\\u{1b}[31mb\\u{202e}.csv: is in a format that no reader knows")
        assert err.count("\n") == 1

    def test_folders_a_thousand_deep() -> None:
        where = Path("deep")
        where.mkdir()
        here = os.open("deep", os.O_RDONLY)
        for _ in range(1200):
            os.mkdir("d", dir_fd=here)
            inner = os.open("d", os.O_RDONLY, dir_fd=here)
            os.close(here)
            here = inner
        os.close(here)
        try:
            said = refused("deep")
        finally:
            subprocess.run(["rm", "-r", "deep"], check=True)  # shutil.rmtree gives up on it
        assert said == "deep: holds no files; export into it first; `asfound formats` lists what is read."


def test_a_file_that_vanishes_or_may_not_be_read(monkeypatch: pytest.MonkeyPatch) -> None:
    shown, advice = Path("export/main.st"), "close the program that holds it, or ask for the right to read it."

    def failing(number: int) -> str:
        """What is said when the system says so where the file is opened."""

        def fail(path: Path, *_: object) -> int:
            raise OSError(number, os.strerror(number), str(path))

        with monkeypatch.context() as patched:
            patched.setattr(os, "open", fail)
            return refused("export")

    assert failing(errno.ENOENT) == f"{shown}: cannot be read (No such file or directory); {advice}"
    assert failing(errno.EACCES) == f"{shown}: cannot be read (Permission denied); {advice}"
    if POSIX and os.geteuid() != 0:
        shown.chmod(0)
        assert refused("export") == f"{shown}: cannot be read (Permission denied); {advice}"


def test_a_file_that_grows_while_it_is_read_is_waited_for() -> None:
    """A program writes to it all the time; one reading or another meets that."""
    script = "import sys\nwith open(sys.argv[1], 'ab', 0) as file:\n    while True: file.write(b' ' * 4096)"
    with subprocess.Popen([sys.executable, "-c", script, "export/main.st"]) as writer:
        try:
            deadline, said = time.monotonic() + 30, ""
            while "is being written" not in said and time.monotonic() < deadline:
                try:
                    asfound.read("export")
                except Problem as problem:
                    said = str(problem)
        finally:
            writer.kill()
    assert said == "export/main.st: is being written; wait until it is whole, then try again."


def test_sizes_and_numbers_of_files_have_limits(monkeypatch: pytest.MonkeyPatch) -> None:
    Path("export/tags.csv").write_bytes(TAGS)
    monkeypatch.setattr(reading, "MAX_FILES", 1)
    assert refused("export") == "export: holds more than 1 files; name the folder of the export."
    monkeypatch.setattr(reading, "MAX_FILES", 2)
    monkeypatch.setattr(reading, "MAX_TOTAL", 800)
    assert refused("export") == "export: holds more than 0 MB; name the folder of the export."
    monkeypatch.setattr(reading, "MAX_FILE", 700)
    shown = Path("export/main.st")
    assert refused("export") == f"{shown}: is larger than 0 MB; move it away if it is no export."


BAD = {
    "cut.xml": (seeds()["program0.xml"][:9000], "cut.xml, line "),
    "typed.xml": (b"<!DOCTYPE x>" + seeds()["program0.xml"].partition(b"?>")[2], "typed.xml: has a document type"),
    "cut.amlx": (seeds()["intake.amlx"][:-40], "cut.amlx: is a damaged zip container; export it again."),
    "open.csv": (b'Name;Address\n"a;%Q0.1\n', "open.csv, line 2: is not a readable table"),
    "open.st": (b"PROGRAM p VAR a : BOOL; END_VAR", "open.st, line 1, column"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_folder_with_one_bad_file_is_not_stored_at_all(name: str) -> None:
    assert run("init", "plant.git")[0] == 0
    good = ("store", "plant.git", "pump", "--moment", "routine", "--by", "Ada Lind", "--running", "export")
    assert run(*good)[0] == 0
    before = run("history", "plant.git")
    Path("export", name).write_bytes(BAD[name][0])
    code, out, err = run(*good)
    assert (code, out) == (2, "")
    assert err.removeprefix("copy running/").startswith(BAD[name][1]), err
    assert err.count("\n") == 1
    assert run("history", "plant.git") == before


def test_a_folder_with_files_nobody_knows_is_stored_whole_and_says_so(tmp_path: Path) -> None:
    Path("export/notes.bin").write_bytes(b"\x00\x01\x02")
    Path("export/empty.txt").touch()
    assert run("init", "plant.git")[0] == 0
    stored = run("store", "plant.git", "pump", "--moment", "routine", "--by", "Ada Lind", "--running", "export")
    assert stored[0] == 0
    assert stored[2] == (
        "running/empty.txt: not understood, stored as it is\nrunning/notes.bin: not understood, stored as it is\n"
    )
    assert run("restore", "plant.git:pump", "--to", "back")[0] == 0
    back = {p.name: p.read_bytes() for p in (tmp_path / "back").rglob("*") if p.is_file()}
    assert back == {"main.st": ST, "notes.bin": b"\x00\x01\x02", "empty.txt": b""}
