"""Several processes at once, on one archive and on one clone: they take turns, and nothing is stored twice."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from asfound.archive.archive import Archive

SOURCE = "PROGRAM Main VAR a, b : BOOL; END_VAR a := b; END_PROGRAM"
SURROUNDINGS = {**os.environ, "ASFOUND_CACHE": "off"}


@pytest.fixture(autouse=True)
def small_readers() -> None:
    """The real readers: these are processes of their own."""


def start(*words: object) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "asfound", *map(str, words)]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    return subprocess.Popen(command, env=SURROUNDINGS, **pipes)


def ended(running: list[subprocess.Popen[str]]) -> list[str]:
    said = [process.communicate(timeout=120) for process in running]
    assert [process.returncode for process in running] == [0] * len(running), said
    return [out for out, _ in said]


@pytest.fixture
def plant(tmp_path: Path) -> Path:
    ended([start("init", tmp_path / "plant.git")])
    (tmp_path / "export").mkdir()
    (tmp_path / "export" / "main.st").write_text(SOURCE)
    return tmp_path / "plant.git"


def store(path: Path, station: str) -> subprocess.Popen[str]:
    return start("store", path, station, "--moment", "routine", "--running", path.parent / "export", "--by", "Ada")


@pytest.mark.parametrize("lock", [False, True])
def test_several_stores_in_a_fresh_clone(plant: Path, tmp_path: Path, lock: bool) -> None:
    """All of them find that the clone has no settings yet; a lock that a killed git left there stops none."""
    ended([store(plant, "booster-1")])
    clone = tmp_path / "clone.git"
    subprocess.run(["git", "clone", "-q", "--bare", str(plant), str(clone)], check=True)
    if lock:
        (clone / "config.lock").touch()
    ended([store(clone, f"station-{number % 2}") for number in range(6)])
    with Archive.open(clone) as archive:
        assert [len(archive.records(f"station-{number}")) for number in (0, 1)] == [3, 3]
        assert not archive.check().faults


def test_two_watches_store_an_export_once(plant: Path) -> None:
    for number in range(3):
        (plant.parent / "export" / "main.st").write_text(f"{SOURCE} (* {number} *)")
        words = ("watch", plant.parent / "export", plant, "booster-1", "--once", "--every", "1", "--by", "Ada")
        said = ended([start(*words) for _ in range(4)])
        assert sum("stored booster-1" in out for out in said) == 1, said
        assert sum("nothing new" in out for out in said) == 3, said
        with Archive.open(plant) as archive:
            assert len(archive.records("booster-1")) == number + 1
