"""What a sync takes in: every record is looked at as the check does, and a bad station stops no other one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from hostile_records import blob, entries, git, on_top, record, tree
from stand_ins import TIME
from typer.testing import CliRunner

from asfound.archive.archive import Archive
from asfound.archive.faults import told
from asfound.cli.main import app
from asfound.model.problem import Problem

FILES = [("main.pou", b"POU Main")]


def store(path: Path, station: str, days: int = 0) -> None:
    with Archive.open(path) as archive:
        time = TIME + timedelta(days=days)
        archive.store(station, "as-left", {"running": FILES}, person="Ada", time=time)


@pytest.fixture
def sides(tmp_path: Path) -> tuple[Path, Path]:
    """Ours, with one station of its own; theirs, with the station that somebody has touched, and a good one."""
    ours, theirs = tmp_path / "ours.git", tmp_path / "theirs.git"
    for path, stations in ((ours, ["mine"]), (theirs, ["bad", "good"])):
        Archive.create(path).close()
        for station in stations:
            store(path, station)
    return ours, theirs


def deep(folder: Path, levels: int) -> tuple[str, str]:
    mode, found = blob(folder, b"x")
    for _ in range(levels):
        mode, found = "40000", tree(folder, {"d": (mode, found)})
    return mode, found


def joined(folder: Path) -> None:
    """A joining record of two commits that are not its parents."""
    first = git(folder, "rev-parse", "refs/heads/stations/bad")
    store(folder, "bad", 1)
    second = git(folder, "rev-parse", "refs/heads/stations/bad")
    line = {"commit": "1" * 40, "number": 1, "time": "2026-03-31T09:30:00+02:00", "person": "Ada"}

    def change(said: dict[str, object]) -> None:
        number = 2
        said.clear()
        said |= {"schema": "asfound/join/1", "station": "bad", "number": number, "time": line["time"]}
        said["lines"] = [line, line | {"commit": "2" * 40}]

    commit = record(folder, "bad", change)
    on_top(folder, "bad", git(folder, "rev-parse", f"{commit}^{{tree}}"), [first, second])


def field(name: str, value: object) -> Callable[[Path], object]:
    return lambda folder: record(folder, "bad", lambda said: said.update({name: value}))


def of_copy(name: str, value: object) -> Callable[[Path], object]:
    return lambda folder: record(folder, "bad", lambda said: said["copies"][0].update({name: value}))


def of_source(name: str, value: object) -> Callable[[Path], object]:
    return lambda folder: record(folder, "bad", lambda said: said["copies"][0]["sources"][0].update({name: value}))


def with_entry(name: str, mode: str) -> Callable[[Path], object]:
    def made(folder: Path) -> object:
        found = blob(folder, b"/etc/passwd")[1] if mode != "160000" else "1" * 40
        top = {**entries(folder, "refs/heads/stations/bad"), name: (mode, found)}
        return on_top(folder, "bad", tree(folder, top))

    return made


HOSTILE: dict[str, Callable[[Path], object]] = {
    "a tree 3,000 deep": lambda f: record(f, "bad", lambda said: None, normal=deep(f, 3000)),
    "no station.toml": lambda f: record(f, "bad", lambda said: None, station__toml=None),
    "no record.json": lambda f: record(f, "bad", lambda said: None, record__json=None),
    "a record.json that is none": lambda f: record(f, "bad", lambda s: None, record__json=blob(f, b"[" * 100_000)),
    "a time in 9999": field("time", "9999-12-31T23:59:59-12:00"),
    "a time before all": field("time", "0001-01-01T00:00:00+14:00"),
    "a time with a line break": field("time", "2026-03-31T09:30:00+02:00\nCommit: x"),
    "a station with a slash": field("station", "bad/../good"),
    "another station": field("station", "good"),
    "a number that is none": field("number", -3),
    "a number beyond all": field("number", 10**30),
    "a version with line breaks": field("tool_version", "0.1.0\nCommit    --output=/tmp/x"),
    "a person that is none": field("person", "\n"),
    "a clock with line breaks": field("clock", "x\ny"),
    "a copy that leads elsewhere": of_copy("name", "../../x"),
    "a copy with an absolute name": of_copy("name", "/tmp/x"),
    "a normal form with a wrong digest": of_copy("normal_sha256", "0" * 64),
    "a digest that is none": of_source("sha256", "xyz"),
    "a wrong digest": of_source("sha256", "0" * 64),
    "a wrong size": of_source("size", 10**12),
    "a file that is not there": of_source("name", "../../main.pou"),
    "a format with line breaks": of_source("format", "pou\nx"),
    "a link": with_entry("link", "120000"),
    "a submodule": with_entry("module", "160000"),
    "a program": with_entry("program", "100755"),
    "a name that cannot be decoded": with_entry("\udcff\udcfe", "100644"),
    "a join of other commits": joined,
}


@pytest.mark.parametrize("name", sorted(HOSTILE))
def test_a_bad_station_is_named_and_skipped_and_the_others_go_on(sides: tuple[Path, Path], name: str) -> None:
    ours, theirs = sides
    HOSTILE[name](theirs)
    for _ in (1, 2):
        with Archive.open(ours) as archive:
            preview = archive.sync(str(theirs), dry_run=True)
            moved = archive.sync(str(theirs))
            assert {f.station for f in moved if f.refused} == {f.station for f in preview if f.refused} == {"bad"}
            assert set(archive.stations()) == {"good", "mine"}
            assert not archive.check().faults
    with Archive.open(theirs) as archive:
        assert archive.check().faults, "the check says the same"
    store(ours, "good", 1)
    store(ours, "bad", 2)  # a new one here is no obstacle
    with Archive.open(ours) as archive:
        assert not archive.check().faults


@pytest.mark.parametrize("name", sorted(HOSTILE))
def test_what_is_bad_here_is_not_given_to_others(sides: tuple[Path, Path], name: str) -> None:
    ours, theirs = sides
    HOSTILE[name](theirs)
    with Archive.open(theirs) as archive:
        assert [found.station for found in archive.sync(str(ours)) if found.refused] == ["bad"]
    with Archive.open(ours) as archive:
        assert set(archive.stations()) == {"good", "mine"} and not archive.check().faults


@pytest.mark.parametrize("name", sorted(HOSTILE))
def test_what_was_taken_in_all_the_same_is_one_sentence_and_can_be_set_aside(
    sides: tuple[Path, Path], name: str, tmp_path: Path
) -> None:
    """By plain git, or by an earlier version: no command crashes, and one makes the station usable again."""
    ours, theirs = sides
    HOSTILE[name](theirs)
    git(ours, "fetch", "-q", str(theirs), "refs/heads/stations/bad:refs/heads/stations/bad")
    with Archive.open(ours) as archive:
        assert any(line.startswith(("bad", "good")) for line in told(archive.check().faults))
        for act in (
            lambda: archive.history("bad"),
            lambda: [archive.files(record, "running") for record in archive.records("bad")],
            lambda: archive.restore(archive.records("bad")[-1], tmp_path / "out"),
            lambda: archive.store("bad", "as-left", {"running": FILES}, person="Ada", time=TIME + timedelta(days=3)),
        ):
            try:
                act()
            except Problem as problem:
                assert "bug" not in str(problem)
        assert sorted(path.name for path in tmp_path.iterdir() if path.name not in ("out",)) == [
            "ours.git",
            "theirs.git",
        ]
        listed = CliRunner().invoke(app, ["history", str(ours)])
        assert "mine" in listed.stdout, "the other stations are listed all the same"
        assert listed.exit_code in (0, 2) and "bug" not in listed.output
        aside = archive.set_aside("bad")
        assert aside.startswith("refs/aside/stations/bad/")
        assert set(archive.stations()) == {"mine"}
        checked = archive.check()
        assert not checked.faults and any("was set aside" in line for line in told(checked.remarks))
        archive.store("bad", "as-left", {"running": FILES}, person="Ada", time=TIME + timedelta(days=4))
        assert [record.number for record in archive.records("bad")] == [1]
        assert not archive.check().faults and not archive.lost()
    assert git(ours, "cat-file", "-t", aside) == "commit", "nothing is deleted"
