"""What is set aside keeps all its records, also when left-overs are removed afterwards."""

from __future__ import annotations

import shutil
from datetime import datetime
from pathlib import Path

import pytest
from hostile_records import git

from asfound.archive.archive import Archive
from asfound.model.problem import Problem

TIME = datetime.fromisoformat("2026-03-31T09:30:00+02:00")
BOOSTER = "refs/heads/stations/booster-1"


@pytest.fixture
def plant(archive: Archive) -> Path:
    for number in range(3):
        for station in ("booster-1", "screens-1"):
            files = {"running": [("main.st", f"POU {station} {number}".encode())]}
            archive.store(station, "as-left", files, person="Ada", time=TIME)
    return archive.path


def set_back(plant: Path) -> None:
    (plant / BOOSTER).write_text(git(plant, "rev-parse", f"{BOOSTER}~2") + "\n")


def lost(plant: Path) -> None:
    (plant / BOOSTER).unlink()


def garbled_without_log(plant: Path) -> None:
    (plant / BOOSTER).write_text("ref: nothing\n")
    shutil.rmtree(plant / "logs")


@pytest.mark.parametrize("how", [set_back, lost, garbled_without_log])
def test_setting_aside_loses_no_record(plant: Path, how: object) -> None:
    """Only the log knew the later records; without it they counted as left behind by a killed store."""
    tip = git(plant, "rev-parse", BOOSTER)
    how(plant)  # type: ignore[operator]
    with Archive.open(plant, damaged=True) as archive:
        archive.set_aside("booster-1")
    with Archive.open(plant, damaged=True) as archive:
        checked, _ = archive.repair()
    assert not checked.faults and not checked.left
    assert {remark.what for remark in checked.remarks} == {"was set aside"}
    assert f"{tip} refs/aside/stations/booster-1/{tip[:12]}" in git(
        plant, "for-each-ref", "--format=%(objectname) %(refname)"
    )
    assert git(plant, "rev-list", "--count", tip) == "3"
    with Archive.open(plant) as archive:
        assert archive.stations() == ("screens-1",)


@pytest.mark.parametrize("name", ["../x", ".", "booster-1/..", "nothing"])
def test_only_branches_of_stations_are_set_aside(plant: Path, name: str) -> None:
    before = git(plant, "for-each-ref")
    with Archive.open(plant) as archive, pytest.raises(Problem, match="there is no branch of a station"):
        archive.set_aside(name)
    assert git(plant, "for-each-ref") == before
