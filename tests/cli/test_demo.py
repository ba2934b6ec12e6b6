"""The demonstration: stored, compared, reported, and what it says matters."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from stored_visit import Run

from asfound.archive.archive import Archive
from asfound.cli import demo


def test_the_demonstration_plays_the_visit_through(run: Run) -> None:
    done = run("demo", "--to", "here")
    assert done.exit_code == 0, done.output
    lines = done.stdout.splitlines()
    assert lines[0] == f"Stored 6 records of booster-1 and screens-1 in {Path('here/plant.git')}"
    at = lines.index("What matters:")
    assert [line[:2] for line in lines[at + 1 : at + 11 : 2]] == ["1.", "2.", "3.", "4.", "5."]
    assert [line.strip() for line in lines[at + 2 : at + 12 : 2]] == [reason for *_, reason in demo.REASONS]
    assert Path("here/report.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    with Archive.open("here/plant.git") as archive:
        assert archive.stations() == ("booster-1", "screens-1")
        assert [record.moment for record in archive.records("booster-1")] == ["as-left", "as-found", "as-left"]
        first = archive.record("booster-1", "1")
        assert (first.time, first.person) == ("2025-10-14T15:20:00+02:00", "Ines (service)")
    for line in lines[lines.index("Next, try:") + 1 :]:
        words = line.split()
        assert words[0] == "asfound"
        assert run(*words[1:]).exit_code in (0, 1)


def test_the_demonstration_is_the_same_every_time(run: Run) -> None:
    outputs = []
    for name in ("one", "two"):
        outputs.append(run("demo", "--to", name).stdout.replace(f"{name}{os.sep}", ""))
    assert outputs[0] == outputs[1]
    tips = [Path(name, "plant.git/refs/heads/stations/booster-1").read_text("utf-8") for name in ("one", "two")]
    assert tips[0] == tips[1]
    assert Path("one/report.html").read_bytes() == Path("two/report.html").read_bytes()


def test_sample_exports_that_are_missing(monkeypatch: pytest.MonkeyPatch, run: Run, tmp_path: Path) -> None:
    monkeypatch.setattr(demo.asfound, "__file__", str(tmp_path / "a" / "b" / "__init__.py"))
    done = run("demo")
    assert (done.exit_code, done.stderr) == (2, "the sample exports are not installed; install asfound again.\n")
    assert not Path("asfound-demo").exists()
