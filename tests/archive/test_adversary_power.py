"""The morning after a power cut: two files that were written last are damaged at once, and no record is lost."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from hostile_records import git

from asfound.archive.archive import Archive
from asfound.archive.faults import told
from asfound.model.problem import Problem

TIME = datetime.fromisoformat("2026-03-31T09:30:00+02:00")
BOOSTER = "refs/heads/stations/booster-1"


def store(archive: Archive, number: int) -> None:
    for station in ("booster-1", "screens-1"):
        files = {"running": [("main.st", f"POU {station} {number}".encode())]}
        archive.store(station, "as-left", files, person="Ada", time=TIME)


@pytest.fixture
def plant(archive: Archive) -> Path:
    for number in range(3):
        store(archive, number)
    return archive.path


def repaired(path: Path, copy: Path | None = None) -> str:
    with Archive.open(path, damaged=True) as archive:
        return "\n".join(told(archive.repair(Archive.open(copy) if copy else None)[0].faults))


def numbers(path: Path) -> list[int]:
    with Archive.open(path) as archive:
        return [record.number for record in archive.records("booster-1")]


def emptied(path: Path) -> None:
    path.write_bytes(b"")


def zeroed(path: Path) -> None:
    path.write_bytes(bytes(41))


@pytest.mark.parametrize("how", [emptied, zeroed, Path.unlink])
@pytest.mark.parametrize("copy", [True, False])
def test_a_branch_and_the_end_of_its_log_lost_at_once(plant: Path, how: Callable[[Path], None], copy: bool) -> None:
    """The branch went back to the first record, and the other two were deleted as left behind by killed stores."""
    other = plant.parent / "copy.git"
    shutil.copytree(plant, other)
    git(other, "update-ref", BOOSTER, f"{BOOSTER}~1")
    log = plant / "logs" / BOOSTER
    log.write_bytes(log.read_bytes().splitlines(keepends=True)[0])
    how(plant / BOOSTER)
    assert repaired(plant, other if copy else None) == ""
    assert numbers(plant) == [1, 2, 3]


def test_what_only_the_copy_has_of_it_comes_back_too(plant: Path) -> None:
    other = plant.parent / "copy.git"
    shutil.copytree(plant, other)
    last = git(plant, "rev-parse", BOOSTER)
    (plant / "objects" / last[:2] / last[2:]).unlink()
    log = plant / "logs" / BOOSTER
    log.write_bytes(log.read_bytes().splitlines(keepends=True)[0])
    emptied(plant / BOOSTER)
    assert repaired(plant, other) == ""
    assert numbers(plant) == [1, 2, 3]


@pytest.mark.parametrize("how", [emptied, zeroed, Path.unlink])
def test_a_branch_with_an_older_end_in_packed_refs(plant: Path, how: Callable[[Path], None]) -> None:
    """After `git gc` and a store: mending ended as a bug, and the last record was hidden from then on."""
    git(plant, "gc", "-q")
    with Archive.open(plant) as archive:
        store(archive, 9)
    how(plant / BOOSTER)
    assert repaired(plant) == ""
    assert numbers(plant) == [1, 2, 3, 4]


def test_packed_branches_that_only_git_understands_are_named(plant: Path) -> None:
    """With a tab; the check counted no station and called all as stored."""
    git(plant, "pack-refs", "--all")
    place = plant / "packed-refs"
    place.write_text(place.read_text().replace(" refs/", "\trefs/"))
    with pytest.raises(Problem, match="its file packed-refs holds the line"):
        Archive.open(plant)
    assert repaired(plant) == ""
    assert numbers(plant) == [1, 2, 3]


def test_an_archive_with_nothing_left_but_its_description_is_mended(plant: Path) -> None:
    git(plant, "gc", "-q")
    (plant / "config").unlink()
    shutil.rmtree(plant / "logs")
    zeroed(plant / "packed-refs")
    assert repaired(plant) == ""
    assert numbers(plant) == [1, 2, 3]


@pytest.mark.parametrize("how", [emptied, Path.unlink])
def test_a_branch_and_its_whole_log_emptied(plant: Path, how: Callable[[Path], None]) -> None:
    """The check said that all is as stored, and a store began again with record 1."""
    emptied(plant / "logs" / BOOSTER)
    how(plant / BOOSTER)
    with Archive.open(plant, damaged=True) as archive:
        assert "booster-1: refs/heads/stations/booster-1: the branch is damaged or gone" in told(archive.check().faults)
    with Archive.open(plant) as archive, pytest.raises(Problem, match="its branch is gone"):
        store(archive, 7)
    assert repaired(plant) == ""
    assert numbers(plant) == [1, 2, 3]


def test_an_empty_log_of_a_first_store_that_was_killed_stops_no_store(plant: Path) -> None:
    emptied(plant / "logs" / "refs" / "heads" / "stations" / "pump-1")
    with Archive.open(plant) as archive:
        archive.store("pump-1", "as-left", {"running": [("main.st", b"POU p")]}, person="Ada", time=TIME)
        assert not archive.check().faults


def test_a_log_that_holds_lines_of_another_station(plant: Path) -> None:
    whole = (plant / "logs" / BOOSTER).read_bytes()
    (plant / "logs" / BOOSTER.replace("booster", "screens")).write_bytes(whole)
    assert repaired(plant) == ""
    assert numbers(plant) == [1, 2, 3]


def test_a_pack_of_which_nothing_can_be_read(plant: Path) -> None:
    git(plant, "gc", "-q")
    other = plant.parent / "copy.git"
    shutil.copytree(plant, other)
    (pack,) = (plant / "objects" / "pack").glob("*.pack")
    for path, data in ((pack, pack.read_bytes()[:200]), (pack.with_suffix(".idx"), b"short")):
        path.chmod(0o644)
        path.write_bytes(data)
    assert repaired(plant, other) == ""
    assert numbers(plant) == [1, 2, 3]
    assert {path.name for path in (plant / "damaged").iterdir()} >= {pack.name, pack.with_suffix(".idx").name}


@pytest.mark.parametrize("kind", [BOOSTER, f"{BOOSTER}^{{tree}}", f"{BOOSTER}:record.json"])
def test_an_object_with_bytes_behind_its_end(plant: Path, kind: str) -> None:
    """git reads over them but for fsck; they were named for ever, with a copy at hand."""
    name = git(plant, "rev-parse", kind)
    place = plant / "objects" / name[:2] / name[2:]
    place.chmod(0o644)
    place.write_bytes(place.read_bytes() + b"more")
    assert repaired(plant) == ""
    assert numbers(plant) == [1, 2, 3]
