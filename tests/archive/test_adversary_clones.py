"""A clone has no logs, and all its branches in one file: when that is lost, the records are not thrown away."""

from __future__ import annotations

import subprocess
from datetime import datetime
from pathlib import Path

import pytest
from hostile_records import git

from asfound.archive.archive import Archive
from asfound.archive.faults import told

TIME = datetime.fromisoformat("2026-03-31T09:30:00+02:00")
STATIONS = ("booster-1", "screens-1")


@pytest.fixture
def clone(archive: Archive) -> Path:
    for number in range(3):
        for station in STATIONS:
            files = {"running": [("main.st", f"POU {station} {number}".encode())]}
            archive.store(station, "as-left", files, person="Ada", time=TIME)
    git(archive.path, "clone", "-q", "--bare", "--no-local", str(archive.path), str(archive.path.parent / "clone.git"))
    path = archive.path.parent / "clone.git"
    (path / "config").write_bytes((archive.path / "config").read_bytes())  # as the first store in it writes it
    return path


def repaired(path: Path) -> str:
    with Archive.open(path, damaged=True) as archive:
        return "\n".join(told(archive.repair()[0].faults))


def records(path: Path) -> dict[str, list[int]]:
    with Archive.open(path) as archive:
        return {station: [record.number for record in archive.records(station)] for station in archive.stations()}


@pytest.mark.parametrize("how", ["the file is lost", "the file is empty", "a line is lost"])
def test_a_clone_without_its_branches_is_named_and_mended(clone: Path, how: str) -> None:
    """The check said that all is as stored, and mending deleted all records as left behind by killed processes."""
    place = clone / "packed-refs"
    lines = place.read_text().splitlines(keepends=True)
    place.write_text("".join(line for line in lines if how == "a line is lost" and "booster-1" not in line))
    if how == "the file is lost":
        place.unlink()
    with Archive.open(clone, damaged=True) as archive:
        faults = told(archive.check().faults)
    assert "booster-1: refs/heads/stations/booster-1: the branch is gone, but records of it are there" in faults
    assert repaired(clone) == ""
    assert records(clone) == {station: [1, 2, 3] for station in STATIONS}
    git(clone, "fsck", "--strict")


def test_of_two_lines_of_one_station_both_keep_a_name(clone: Path) -> None:
    tip = git(clone, "rev-parse", "stations/booster-1")
    before = git(clone, "rev-parse", "stations/booster-1~1")
    text = git(clone, "cat-file", "commit", tip).replace("Ada", "Eve")
    other = git(clone, "hash-object", "-t", "commit", "-w", "--stdin", given=text.encode() + b"\n")
    (clone / "packed-refs").unlink()
    assert repaired(clone) == ""
    names = git(clone, "for-each-ref", "--format=%(objectname) %(refname)").splitlines()
    assert {f"{end} refs/aside/stations/booster-1/{end[:12]}" for end in (tip, other)} < set(names)
    assert records(clone) == {"screens-1": [1, 2, 3]} and git(clone, "cat-file", "-t", before) == "commit"


def test_records_of_a_clone_with_logs_of_another_station_are_not_removed(tmp_path: Path) -> None:
    """Only one station was stored in the clone since; then the branches of the others were lost."""
    source, clone = tmp_path / "source.git", tmp_path / "clone.git"
    files = [("main.pou", b"POU Main")]
    with Archive.create(source) as archive:
        for station in ("booster-1", "screens-1"):
            archive.store(station, "as-left", {"running": files}, person="Ada", time=TIME)
        tip = archive.commit_of(archive.record("screens-1"))
    subprocess.run(["git", "clone", "-q", "--bare", str(source), str(clone)], check=True)
    with Archive.open(clone) as archive:
        archive.store("booster-1", "as-left", {"running": files}, person="Ada", time=TIME)
        (clone / "packed-refs").unlink()
        said = " ".join(fault.what for fault in archive.check().remarks)
        assert "records that no branch leads to are there" in said
        archive.repair()
    shown = subprocess.run(["git", "-C", str(clone), "cat-file", "-t", tip], capture_output=True, text=True, check=True)
    assert shown.stdout == "commit\n"
