"""A hostile other side of a sync, or an archive like it: one sentence for the bad station, soon, and the others go on."""

from __future__ import annotations

import json
import shutil
import time
from datetime import datetime
from pathlib import Path

import pytest
from hostile_records import blob, entries, git, on_top, tree

from asfound.archive.archive import Archive
from asfound.archive.faults import told
from asfound.archive.syncing import Exchanged
from asfound.model.problem import Problem

TIME = datetime.fromisoformat("2026-03-31T09:30:00+02:00")
BOOSTER = "refs/heads/stations/booster-1"


@pytest.fixture
def plant(archive: Archive) -> Path:
    for station in ("booster-1", "screens-1"):
        archive.store(station, "as-left", {"running": [("main.st", b"POU a")]}, person="Ada", time=TIME)
    return archive.path


@pytest.fixture(params=["empty", "the same"])
def mine(plant: Path, request: pytest.FixtureRequest) -> Path:
    """Ours: without any record, or with the same stations."""
    path = plant.parent / "mine.git"
    if request.param == "empty":
        Archive.create(path).close()
    else:
        shutil.copytree(plant, path)
    return path


def synced(mine: Path, other: Path, *, dry_run: bool = False) -> dict[str, Exchanged]:
    before = time.monotonic()
    with Archive.open(mine) as archive:
        moved = {each.station: each for each in archive.sync(str(other), dry_run=dry_run)}
        if not dry_run:
            assert not archive.check().faults
            assert "screens-1" in archive.stations()
    assert time.monotonic() - before < 20
    return moved


def end_at(plant: Path, kind: str) -> None:
    name = {"tree": f"{BOOSTER}^{{tree}}", "blob": f"{BOOSTER}:record.json"}.get(kind, BOOSTER)
    found = git(plant, "rev-parse", name)
    if kind == "tag":
        text = f"object {found}\ntype commit\ntag x\ntagger A <a@b> 1 +0000\n\nx\n"
        found = git(plant, "hash-object", "-t", "tag", "-w", "--stdin", given=text.encode())
    (plant / BOOSTER).write_text(found + "\n")


@pytest.mark.parametrize("kind", ["tag", "tree", "blob"])
def test_a_branch_that_ends_at_no_commit_stops_no_other(plant: Path, mine: Path, kind: str) -> None:
    """A tag held the exchange for half a minute, and both ended it for all stations."""
    end_at(plant, kind)
    for dry_run in (True, False):
        moved = synced(mine, plant, dry_run=dry_run)
        assert moved["booster-1"].refused == f"its branch ends at a {kind} instead of a commit"


@pytest.mark.parametrize("kind", ["tag", "tree", "blob"])
def test_a_history_that_begins_at_no_commit_is_one_sentence(plant: Path, kind: str) -> None:
    end_at(plant, kind)
    with Archive.open(plant) as archive, pytest.raises(Problem):
        archive.history("booster-1")


def test_names_that_only_end_like_those_of_stations_are_none(plant: Path, mine: Path) -> None:
    place = plant / "refs" / "x" / BOOSTER
    place.parent.mkdir(parents=True)
    place.write_text(git(plant, "rev-parse", BOOSTER) + "\n")
    assert not any(each.refused for each in synced(mine, plant).values())


def bomb(folder: Path, inner: tuple[str, str]) -> tuple[str, str]:
    """Nine folders, each of which stands ten times in the next."""
    top = tree(folder, {"a": inner})
    for _ in range(8):
        top = tree(folder, dict.fromkeys("abcdefghij", ("40000", top)))
    return "40000", top


@pytest.mark.parametrize("inner", ["a file", "an empty folder"])
def test_folders_that_stand_for_a_billion_hold_nobody_up(plant: Path, mine: Path, inner: str) -> None:
    leaf = blob(plant, b"x") if inner == "a file" else ("40000", tree(plant, {}))
    files = entries(plant, BOOSTER)
    originals = entries(plant, files["originals"][1])
    running = {**entries(plant, originals["running"][1]), "x": bomb(plant, leaf)}
    files["originals"] = ("40000", tree(plant, {**originals, "running": ("40000", tree(plant, running))}))
    said = {**json.loads(git(plant, "show", f"{BOOSTER}:record.json")), "number": 2}
    files["record.json"] = blob(plant, json.dumps(said).encode())
    on_top(plant, "booster-1", tree(plant, files))
    assert "it holds more than 500,000 files and folders" in synced(mine, plant)["booster-1"].refused
    before = time.monotonic()
    with Archive.open(plant) as archive:
        assert ": it holds more than 500,000 files and folders" in "\n".join(told(archive.check().faults))
        record = archive.history("booster-1")[-1][1]
        with pytest.raises(Problem, match="holds more files than a record can"):
            archive.files(record, "running")  # type: ignore[arg-type]
    assert time.monotonic() - before < 20
