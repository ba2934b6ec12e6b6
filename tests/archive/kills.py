"""Kill processes that store, at random instants, and look at the archive after each: ``python tests/archive/kills.py 500``.

Half of the kills take the git commands with them, the other half only Python, so that a git command goes on alone.
After each, the archive must hold every record whose store had returned and at most the one under way, with every byte;
``git fsck --full --strict`` must find nothing; and the next store must work.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import random
import signal
import subprocess
import tempfile
import time
from collections import Counter
from pathlib import Path

import pytest
import stand_ins

from asfound.archive import disk
from asfound.archive.archive import Archive
from asfound.archive.storing import LOCK


def store_for_ever(path: Path, said: int) -> None:
    """Store again and again; one byte into ``said`` for each store that has returned."""
    with Archive.open(path) as archive:
        while True:
            files = [("main.pou", b"POU Main"), *((f"{at}.bin", os.urandom(3000)) for at in range(10))]
            archive.store("booster-1", "routine", {"running": files}, person="Ada", time=stand_ins.TIME)
            os.write(said, b".")


def kill(path: Path, delay: float, alone: bool) -> int:
    """Start a process that stores, kill it after ``delay`` seconds; how many of its stores had returned."""
    hear, said = os.pipe()
    child = os.fork()
    if not child:
        os.setpgid(0, 0)
        os.close(hear)
        try:
            store_for_ever(path, said)
        finally:
            os._exit(1)
    os.close(said)
    with contextlib.suppress(OSError):  # by both, for either may be first
        os.setpgid(child, child)
    time.sleep(delay)
    (os.kill if alone else os.killpg)(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with disk.hold(path / LOCK):  # a git command that goes on alone still has it
        pass
    with os.fdopen(hear, "rb") as pipe:
        return len(pipe.read())


def time_of_a_store(path: Path) -> float:
    """Seconds, so that the kills hit stores on a slow machine as well as on a fast one."""
    Archive.create(path).close()
    start = time.monotonic()
    kill(path, 1, alone=False)
    with Archive.open(path) as archive:
        return (time.monotonic() - start) / (1 + len(archive.records("booster-1") if archive.stations() else ()))


def look(path: Path, least: int) -> int:
    """Number of records; an AssertionError when the archive is not as promised."""
    fsck = subprocess.run(["git", "-C", str(path), "fsck", "--full", "--strict"], capture_output=True, check=False)
    assert fsck.returncode == 0, fsck.stderr
    with Archive.open(path) as archive:
        records = archive.records("booster-1") if archive.stations() else ()
        assert [record.number for record in records] == list(range(1, len(records) + 1))
        assert len(records) in (least, least + 1), (len(records), least)
        for record in records[-4:]:
            assert len(archive.files(record, "running")) == 11
    return len(records)


def main() -> None:
    """Print how many kills were survived, and what they left behind."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=None)
    parser.add_argument("--in", dest="folder", default=None)
    given = parser.parse_args()
    stand_ins.install(pytest.MonkeyPatch())
    disk.STALE = 0.2
    chance, left = random.Random(given.seed), Counter[str]()
    with tempfile.TemporaryDirectory(dir=given.folder) as folder:
        path, records = Path(folder) / "plant.git", 0
        Archive.create(path).close()
        usual = time_of_a_store(Path(folder) / "other.git")
        for _ in range(given.count):
            done = kill(path, chance.uniform(0, 4 * usual), chance.random() < 0.5)
            now = look(path, records + done)
            left["new" if now > records + done else "old"] += 1
            left["locks"] += len(list(path.rglob("*.lock"))) - (path / LOCK).exists()
            records = now
        left["unused"] = len(list(path.rglob("tmp_*")))
    print(
        f"{given.count} kills: {left['old']} left the old state, {left['new']} the new one, {left['locks']} a lock of "
        f"git; {records} records, {left['unused']} unfinished files, nothing lost"
    )


if __name__ == "__main__":
    main()
