"""The demonstration: stored, compared, reported, and what it says matters."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from stored_visit import Run

import asfound
from asfound.archive.archive import Archive
from asfound.cli import demo


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[str]]:
    """The folder in which a process ran ``asfound demo``, and what it printed."""
    folder = tmp_path_factory.mktemp("demo")
    path = str(Path(asfound.__file__).parents[1])
    surroundings = {**os.environ, "PYTHONPATH": path, "PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo", "COLUMNS": "40"}
    done = subprocess.run(
        [sys.executable, "-m", "asfound", "demo"], env=surroundings, cwd=folder, capture_output=True, check=True
    )
    assert done.stderr == b""
    return folder / "asfound-demo", done.stdout.decode("utf-8").splitlines()


def test_it_stores_three_moments_of_two_stations(played: tuple[Path, list[str]]) -> None:
    folder, lines = played
    assert lines[0] == f"Stored 6 records of booster-1 and screens-1 in {Path('asfound-demo/plant.git')}"
    with Archive.open(folder / "plant.git") as archive:
        assert archive.stations() == ("booster-1", "screens-1")
        assert [record.moment for record in archive.records("booster-1")] == ["as-left", "as-found", "as-left"]
        first = archive.record("booster-1", "1")
        assert (first.time, first.person) == ("2025-10-14T15:20:00+02:00", "Ines (service)")


def test_it_prints_the_five_findings_that_matter(played: tuple[Path, list[str]]) -> None:
    lines = played[1]
    at = lines.index("What matters:") + 1
    assert [line[:2] for line in lines[at : at + 10 : 2]] == ["1.", "2.", "3.", "4.", "5."]
    told = (
        "Test_On added in parallel",
        "T#8s -> T#3s",
        "swapped",
        "Tank_LowLow_OK is forced",
        "rung added: reset coil Stage3_On",
    )
    for line, words, (_, _, reason) in zip(range(at, at + 10, 2), told, demo.REASONS, strict=True):
        assert words in lines[line]
        assert lines[line + 1] == f"   {reason}"


def test_it_prints_what_the_inspection_found(played: tuple[Path, list[str]]) -> None:
    lines = played[1]
    at = lines.index("Inspection of booster-1@2:running:") + 1
    assert lines[at : at + 6 : 2] == [
        "error: AI chamber and Counter both claim input bytes 76 to 79",
        "warning: Tank_LowLow_OK (%IX7.0) is forced to TRUE",
        "warning: 1 of 21 values was tuned: SP_Pressure: actual 5.8 bar, initial 5.2",
    ]


def test_it_says_why_a_memory_reset_has_to_wait_and_when_it_need_not(played: tuple[Path, list[str]]) -> None:
    lines = played[1]
    at = lines.index("Ready for a memory reset, on arrival and on leaving?") + 1
    told = [line for line in lines[at : lines.index("", at)] if not line.startswith("      ")]
    assert told == [
        "NOT READY for a memory reset of booster-1@2: 3 checks are open.",
        "  ! Second place: the archive was never exchanged with another one",
        "  ! Card fits the rack: the card would bring back hardware that is not in the rack: module AI process replaced: part",
        "    number analog-in-8b -> analog-in-8a, firmware 3.0 -> 2.1",
        "  ! Indicators: Supply lit, Operating lit, Fault lit, Forced lit, Battery lit, and nobody has explained Fault",
        "NOT READY for a memory reset of booster-1@3: no check is open, but nobody has confirmed the cautions.",
    ]


def test_it_is_ready_once_the_cautions_are_confirmed(
    played: tuple[Path, list[str]], run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(played[0])
    done = run("ready", "plant.git", "booster-1@3", "--for", "reset", "--on", "2026-11-17", "--understood")
    assert done.exit_code == 0
    assert done.stdout.startswith("READY for a memory reset of booster-1, as far as the checks below can tell.\n")


def test_what_the_site_changed_is_told_in_the_words_of_the_trade(
    played: tuple[Path, list[str]], run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(played[0])
    shown = run("compare", "plant.git:booster-1@1:running", "plant.git:booster-1@2:running").stdout
    for words in (
        "Door_Closed and P2_SuctOK swapped their addresses %IX6.5 and %IX2.7",
        "module AI process replaced: part number analog-in-8a -> analog-in-8b, firmware 2.1 -> 3.0",
        "SP_Pressure tuned: 5.2 -> 5.8 bar",
        "Tank_LowLow_OK is forced to TRUE",
    ):
        assert f"    {words}\n" in shown


def test_the_commands_it_proposes_work(
    played: tuple[Path, list[str]], run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, lines = played
    monkeypatch.chdir(folder.parent)
    proposed = [line.split() for line in lines[lines.index("Next, try:") + 1 :]]
    assert [words[1] for words in proposed] == ["history", "compare", "inspect", "ready", "show", "restore", "verify"]
    assert [run(*words[1:]).exit_code for words in proposed] == [0, 1, 1, 1, 0, 0, 0]


def test_it_is_the_same_in_every_process(played: tuple[Path, list[str]], run: Run) -> None:
    done = run("demo")
    assert done.stdout.splitlines() == played[1]
    for file in ("plant.git/refs/heads/stations/booster-1", "report.html", "handover/statement.dsse.json"):
        assert (played[0] / file).read_bytes() == Path("asfound-demo", file).read_bytes()
    assert Path("asfound-demo/report.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


def test_sample_exports_that_are_missing(monkeypatch: pytest.MonkeyPatch, run: Run, tmp_path: Path) -> None:
    monkeypatch.setattr(demo.asfound, "__file__", str(tmp_path / "a" / "b" / "__init__.py"))
    done = run("demo")
    assert (done.exit_code, done.stderr) == (2, "the sample exports are not installed; install asfound again.\n")
    assert not Path("asfound-demo").exists()
