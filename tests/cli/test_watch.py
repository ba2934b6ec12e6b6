"""``asfound watch`` as a process of its own, beside a writer that is slow, gets killed and goes on later."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from stored_visit import FIRST, SECOND, Run

from asfound.archive.archive import Archive

PAINFUL = """
import sys, time
data = open(sys.argv[1], "rb").read()
with open(sys.argv[2], "wb") as file:
    for at in range(0, len(data), len(data) // 8 + 1):
        file.write(data[at : at + len(data) // 8 + 1])
        file.flush()
        time.sleep(0.7)
"""
"""A writer that takes five seconds."""
SAMPLE = Path(__file__).parents[2] / "sample_exports"


def until(what: Callable[[], bool]) -> None:
    end = time.monotonic() + 60
    while not what():
        assert time.monotonic() < end, "it did not come to that"
        time.sleep(0.1)


def originals(archive: Path) -> list[bytes]:
    with Archive.open(archive) as opened:
        if not opened.stations():
            return []
        return [opened.files(record, "running")[0][1] for record in opened.records("b-1")]


def test_a_slow_writer_a_kill_and_the_rest_of_the_file(run: Run, tmp_path: Path) -> None:
    assert run("init", "plant.git").exit_code == 0
    whole = next(SAMPLE.rglob("*.xml")).read_bytes()
    (tmp_path / "source.xml").write_bytes(whole)
    (tmp_path / "exports").mkdir()
    export, said, troubles = tmp_path / "exports/plc.xml", tmp_path / "said.txt", tmp_path / "troubles.txt"
    words = [sys.executable, "-m", "asfound", "watch", "exports", "plant.git", "b-1", "--every", "1", "--by", "Ada"]
    watching = {"cwd": tmp_path, "stdout": said.open("ab"), "stderr": troubles.open("ab")}
    watch = subprocess.Popen(words, **watching)
    try:
        writer = subprocess.Popen([sys.executable, "-c", PAINFUL, tmp_path / "source.xml", export])
        writer.wait()
        until(lambda: "stored b-1 record 1" in said.read_text())
        assert originals(tmp_path / "plant.git") == [whole]

        export.unlink()
        changed = whole.replace(b"</project>", b"<!-- again --></project>")
        assert changed != whole
        export.write_bytes(changed[: len(changed) // 2])  # a writer that was killed half way
        until(lambda: "is not complete" in troubles.read_text())
        watch.kill()
        watch.wait()
        watch = subprocess.Popen(words, **watching)
        export.write_bytes(changed)
        until(lambda: "stored b-1 record 2" in said.read_text())
        assert originals(tmp_path / "plant.git") == [whole, changed]
        time.sleep(4)
        if os.name == "posix":
            watch.send_signal(signal.SIGINT)
            assert watch.wait(30) == 130
            assert troubles.read_text().endswith("stopped\n")
    finally:
        watch.kill()
        watch.wait()
    lines = said.read_text().splitlines()
    assert [line for line in lines if "stored" in line] == [lines[1], lines[3]]
    assert re.fullmatch(
        r"[\d-]+ [\d:]+: stored b-1 record 2 \(routine, [\d-]+\); since record 1: Nothing that matters.*", lines[3]
    )
    assert len(re.findall("is not complete", troubles.read_text())) == 1
    with Archive.open(tmp_path / "plant.git") as opened:
        assert opened.check().faults == ()


def test_once_stores_what_changed_and_ends(run: Run, plant: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("asfound.cli.watch.time.sleep", lambda seconds: None)
    words = ("watch", "new", "plant.git", "booster-1", "--once")
    assert run(*words).stdout == f"nothing new: booster-1 record 2 (as-found, {day(plant, 2)}) holds the same bytes\n"
    Path("new/main.st").write_bytes(FIRST)
    done = run(*words, "--moment", "as-left", "--by", "Ada")
    assert done.exit_code == 0
    assert done.stdout.endswith(
        f"stored booster-1 record 3 (as-left, {day(plant, 3)}); since record 2: "
        "The machine may act differently: 1 change of behaviour.\n"
    )
    done = run("watch", "new", "plant.git:booster-1", "--once", "--copy", "card")
    assert done.stdout.startswith("nothing new: booster-1 record 1 ")
    Path("new/main.st").write_bytes(SECOND[:40])
    done = run(*words)
    assert done.exit_code == 2 and done.stderr.count("\n") == 1 and "main.st" in done.stderr
    Path("new/main.st").unlink()
    done = run(*words)
    assert (done.exit_code, done.stderr) == (2, "new: holds no files; export into it first.\n")
    with Archive.open(plant) as opened:
        assert len(opened.records("booster-1")) == 3


def day(archive: Path, number: int) -> str:
    with Archive.open(archive) as opened:
        return opened.record("booster-1", str(number)).time[:10]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("nowhere", "plant.git", "b"), "nowhere: does not exist; check the name."),
        (("new/main.st", "plant.git", "b"), "new/main.st: is no folder; name the folder that exports are written to."),
        (
            ("new", "plants.git", "b"),
            "plants.git: does not exist; check the name; `asfound init plants.git` makes an archive.",
        ),
        (("new", "plant.git", "a/b"), "station 'a/b': the name holds a slash (/); use letters, digits, blanks, - and _."),
        ((".", "plant.git", "b"), "plant.git: lies in the folder that is watched; watch another folder."),
        (
            ("plant.git", "b", "--archive", "plant.git"),
            "plant.git: is an archive; write FOLDER first: asfound watch FOLDER ARCHIVE STATION.",
        ),
        (("new", "plant.git", "b", "--copy", "x"), "'x' is no copy; a copy is one of running, card, office."),
        (("new", "plant.git", "b", "--moment", "x"), "'x' is no moment; write one of as-found, as-left, routine."),
        (("new", "b"), "b: no archive is named; write ARCHIVE STATION, or set ASFOUND_ARCHIVE."),
        (("new", "plant.git", "b", "--by", "<>"), "'<>' is no name of a person; write --by NAME or --by 'NAME <ADDRESS>'."),
    ],
)  # fmt: skip
def test_a_mistake_at_the_start_is_one_sentence(run: Run, plant: Path, words: tuple[str, ...], message: str) -> None:
    done = run("watch", *words)
    assert (done.exit_code, done.stdout, done.stderr) == (2, "", f"{message}\n")
