"""No record is hidden, renumbered or put into words of somebody else while the check says that all is as stored."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hostile_records import blob, entries, git, tree

from asfound.archive.archive import Archive
from asfound.archive.faults import told
from asfound.model.problem import Problem

TIME = datetime.fromisoformat("2026-03-31T09:30:00+02:00")
BOOSTER, SCREENS = "refs/heads/stations/booster-1", "refs/heads/stations/screens-1"


def store(archive: Archive, station: str, text: str, hours: int = 0) -> None:
    files = {"running": [("main.st", f"POU {text}".encode())]}
    archive.store(station, "as-left", files, person="Ada", time=TIME + timedelta(hours=hours))


@pytest.fixture
def plant(archive: Archive) -> Path:
    for number in range(3):
        for station in ("booster-1", "screens-1"):
            store(archive, station, f"{station} {number}", number)
    return archive.path


def faults(path: Path) -> str:
    with Archive.open(path, damaged=True) as archive:
        return "\n".join(told(archive.check().faults))


def mended(path: Path, copy: Path | None = None) -> str:
    with Archive.open(path, damaged=True) as archive:
        other = Archive.open(copy) if copy else None
        return "\n".join(told(archive.repair(other)[0].faults))


def numbers(path: Path, station: str) -> list[int]:
    with Archive.open(path) as archive:
        return [record.number for record in archive.records(station)]


def packed(plant: Path, *names: tuple[str, str]) -> None:
    """A file of packed branches of these ends and names, in this order."""
    lines = "".join(f"{git(plant, 'rev-parse', end)} {name}\n" for end, name in names)
    shutil.rmtree(plant / "refs" / "heads" / "stations")
    (plant / "packed-refs").write_text(f"# pack-refs with: peeled fully-peeled sorted \n{lines}")


@pytest.mark.parametrize("logs", [True, False])
def test_branches_packed_out_of_order_are_not_hidden(plant: Path, logs: bool) -> None:
    """git looks for a branch by halving the file; a store began again with record 1."""
    packed(plant, (SCREENS, SCREENS), (BOOSTER, BOOSTER))
    if not logs:
        shutil.rmtree(plant / "logs")
    with pytest.raises(Problem, match=r"its file packed-refs names .*booster-1' twice or out of order"):
        Archive.open(plant)
    assert "packed-refs" in faults(plant)
    assert mended(plant) == ""
    assert numbers(plant, "screens-1") == numbers(plant, "booster-1") == [1, 2, 3]


@pytest.mark.parametrize("logs", [True, False])
@pytest.mark.parametrize("last", [BOOSTER, f"{BOOSTER}~1"])
def test_of_two_ends_of_one_branch_none_is_lost(plant: Path, last: str, logs: bool) -> None:
    first = BOOSTER if last != BOOSTER else f"{BOOSTER}~1"
    tip, earlier = git(plant, "rev-parse", BOOSTER), git(plant, "rev-parse", f"{BOOSTER}~1")
    packed(plant, (first, BOOSTER), (last, BOOSTER), (SCREENS, SCREENS))
    if not logs:
        shutil.rmtree(plant / "logs")
    with pytest.raises(Problem, match="twice or out of order"):
        Archive.open(plant)
    assert mended(plant) == ""
    assert numbers(plant, "booster-1") == ([1, 2, 3] if logs or last == BOOSTER else [1, 2])
    assert {tip, earlier} <= set(git(plant, "for-each-ref", "--format=%(objectname)").split())
    with Archive.open(plant) as archive:
        assert [remark.what for remark in archive.check().remarks] == ["was set aside"]


def test_more_branches_than_anybody_packs_are_not_overlooked(plant: Path) -> None:
    git(plant, "pack-refs", "--all")
    with (plant / "packed-refs").open("a") as file:
        file.truncate(65 * 2**20)
    with pytest.raises(Problem, match="its file packed-refs is no plain file of up to 67,108,864 bytes"):
        Archive.open(plant)
    assert "packed-refs" in faults(plant)
    assert mended(plant) == ""
    assert numbers(plant, "booster-1") == [1, 2, 3]


def rewritten(plant: Path, change: Callable[[bytes], bytes]) -> str:
    """The last record of booster-1 with a commit written in another way, and no log that knows the old one."""
    tip = git(plant, "rev-parse", BOOSTER)
    text = subprocess.run(["git", "-C", str(plant), "cat-file", "commit", tip], capture_output=True, check=True).stdout
    new = git(plant, "hash-object", "-t", "commit", "-w", "--literally", "--stdin", given=change(text))
    (plant / BOOSTER).write_text(new + "\n")
    shutil.rmtree(plant / "logs")
    return new


def parent_below(text: bytes) -> bytes:
    head, blank, message = text.partition(b"\n\n")
    lines = sorted(head.split(b"\n"), key=lambda line: line.startswith(b"parent"))
    return b"\n".join(lines) + blank + message


def test_a_parent_that_git_does_not_read_is_none_for_us(plant: Path) -> None:
    """It stood behind the committer: history showed one record, the check counted three, and mending removed two."""
    rewritten(plant, parent_below)
    assert numbers(plant, "booster-1") == [3]
    assert "is not written as git writes commits" in faults(plant)
    with Archive.create(plant.parent / "new.git") as other:
        moved = {each.station: each for each in other.sync(str(plant))}
        assert "is not written as git writes commits" in moved["booster-1"].refused
        assert moved["screens-1"].fetched == 3


@pytest.mark.parametrize(
    ("old", "new"), [(b"Moment: as-left", b"Moment: as-found"), (b"Station: booster-1", b"Station: screens-1")]
)
def test_a_message_that_says_something_else_than_its_record_is_named(plant: Path, old: bytes, new: bytes) -> None:
    """What `git log` shows to those who have no asfound."""
    rewritten(plant, lambda text: text.replace(old, new))
    assert "booster-1@3: record.json: the message of its commit says something else than the record" in faults(plant)


def test_a_branch_that_only_names_another_takes_no_record(plant: Path) -> None:
    """A store for booster-1 went to screens-1."""
    (plant / BOOSTER).write_text(f"ref: {SCREENS}\n")
    with Archive.open(plant) as archive, pytest.raises(Problem, match="its branch is gone, although its log knows it"):
        store(archive, "booster-1", "new", 9)
    assert numbers(plant, "screens-1") == [1, 2, 3]
    assert "booster-1: refs/heads/stations/booster-1: the branch is damaged or gone" in faults(plant)
    assert mended(plant) == ""
    assert numbers(plant, "booster-1") == [1, 2, 3]


@pytest.fixture
def joined(plant: Path) -> Path:
    """Two laptops stored apart and joined."""
    other = plant.parent / "other.git"
    shutil.copytree(plant, other)
    with Archive.open(plant) as one, Archive.open(other) as two:
        store(one, "booster-1", "one", 20)
        store(two, "booster-1", "two", 21)
        one.sync(str(other))
        assert not one.check().faults and not two.check().faults
    return plant


def forged(plant: Path, change: Callable[[dict[str, Any]], None], **files: bytes) -> None:
    """The join once more, with other words and files."""
    tip = git(plant, "rev-parse", BOOSTER)
    said = json.loads(git(plant, "show", f"{tip}:record.json"))
    change(said)
    new = {name.replace("__", "."): blob(plant, data) for name, data in files.items()}
    top = tree(plant, {**entries(plant, tip), "record.json": blob(plant, json.dumps(said).encode()), **new})
    rewritten(plant, lambda text: b"tree " + top.encode() + text[text.index(b"\n") :])


def boss(said: dict[str, Any]) -> None:
    said["lines"][0]["person"] = "The Boss"


def later(said: dict[str, Any]) -> None:
    said["time"] = "2031-01-01T00:00:00+00:00"


def more(said: dict[str, Any]) -> None:
    said["lines"][0]["number"] = 99


@pytest.mark.parametrize("change", [boss, later, more])
def test_a_join_says_nothing_of_its_lines_but_what_they_say(joined: Path, change: Any) -> None:
    forged(joined, change)
    assert "it says something else of the lines it joins than these say themselves" in faults(joined)


def test_a_join_brings_no_settings_of_its_own(joined: Path) -> None:
    """They would switch off the checks before a reset, and nobody has given them."""
    forged(joined, lambda said: None, station__toml=b'schema = "asfound/station/1"\nname = "booster-1"\n# mine\n')
    assert "it brings settings of the station that none of the lines it joins leaves in force" in faults(joined)
    with Archive.create(joined.parent / "new.git") as other:
        moved = {each.station: each for each in other.sync(str(joined))}
        assert "it brings settings" in moved["booster-1"].refused and moved["screens-1"].fetched == 3
