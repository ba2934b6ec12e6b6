"""A store that is killed, and two at once: real processes, real SIGKILL."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from asfound.archive.archive import Archive

SCRIPT = """
import os, signal, sys
import pytest
sys.path.insert(0, sys.argv[1])
import stand_ins
stand_ins.install(pytest.MonkeyPatch())
from asfound.archive.archive import Archive
from asfound.archive.plumbing import Plumbing

archive, step, when, count = Archive.open(sys.argv[2]), *sys.argv[3:5], int(sys.argv[5])
if step:
    original = getattr(Plumbing, step)
    def killed(*arguments):
        if when == "after":
            original(*arguments)
        os.kill(os.getpid(), signal.SIGKILL)
    setattr(Plumbing, step, killed)
print("ready", flush=True)
sys.stdin.readline()
for number in range(count):
    files = [("main.pou", b"POU Main"), *((f"{at}.bin", os.urandom(2000)) for at in range(20))]
    archive.store("booster-1", "routine", {"running": files}, person="Ada", time=stand_ins.TIME)
print("done", flush=True)
"""


def start(archive: Path, step: str = "", when: str = "", count: int = 1) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", SCRIPT, str(Path(__file__).parent), str(archive), step, when, str(count)]
    process = subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, start_new_session=True
    )
    assert process.stdout is not None and process.stdout.readline() == "ready\n"
    return process


def go(process: subprocess.Popen[str]) -> None:
    assert process.stdin is not None
    process.stdin.write("\n")
    process.stdin.flush()


def kill(process: subprocess.Popen[str]) -> None:
    """Kill the process and the git commands it started, all of which live in its own session."""
    if sys.platform == "win32":
        process.kill()
    else:
        os.killpg(process.pid, signal.SIGKILL)
    process.communicate()


def check(path: Path, before: int) -> int:
    """The archive is whole, has the old or the new state, and takes the next record. Number of records before it."""
    fsck = subprocess.run(["git", "-C", str(path), "fsck", "--full", "--strict"], capture_output=True, check=False)
    assert fsck.returncode == 0, fsck.stderr
    with Archive.open(path) as archive:
        records = archive.records("booster-1") if archive.stations() else ()
        assert len(records) in (before, before + 1)
        for record in records:
            assert len(archive.files(record, "running")) == 21
    for lock in path.rglob("*.lock"):  # as the message of a store would advise
        lock.unlink()
    return len(records)


@pytest.mark.parametrize("when", ["before", "after"])
@pytest.mark.parametrize("step", ["blobs", "tree", "commit", "move"])
def test_a_crash_leaves_old_or_new(tmp_path: Path, step: str, when: str) -> None:
    Archive.create(tmp_path / "plant.git").close()
    process = start(tmp_path / "plant.git", step, when)
    go(process)
    process.communicate()
    assert process.returncode != 0
    assert check(tmp_path / "plant.git", 0) == (1 if (step, when) == ("move", "after") else 0)
    again = start(tmp_path / "plant.git")
    assert again.communicate("\n")[0] == "done\n"


def test_a_crash_leaves_old_or_new_at_any_instant(tmp_path: Path) -> None:
    path = tmp_path / "plant.git"
    Archive.create(path).close()
    count = 0
    for delay in (0.002, 0.006, 0.012, 0.018, 0.025, 0.032, 0.04, 0.06):
        process = start(path)
        go(process)
        time.sleep(delay)
        kill(process)
        count = check(path, count)
    process = start(path)
    assert process.communicate("\n")[0] == "done\n"
    assert check(path, count) == count + 1


def test_nothing_is_lost_when_two_store_at_once(tmp_path: Path) -> None:
    path = tmp_path / "plant.git"
    Archive.create(path).close()
    both = [start(path, count=5), start(path, count=5)]
    for process in both:
        go(process)
    assert [process.communicate()[0] for process in both] == ["done\n", "done\n"]
    with Archive.open(path) as archive:
        assert [record.number for record in archive.records("booster-1")] == list(range(1, 11))


def test_a_lock_left_behind_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from stand_ins import TIME

    from asfound.archive import archive as module
    from asfound.model.problem import Problem

    monkeypatch.setattr(module, "PATIENCE", 0.1)
    with Archive.create(tmp_path / "plant.git") as archive:
        lock = tmp_path / "plant.git" / "refs" / "heads" / "stations" / "booster-1.lock"
        lock.parent.mkdir()
        lock.touch()
        with pytest.raises(Problem) as caught:
            archive.store("booster-1", "routine", {"running": [("a", b"POU A")]}, person="Ada", time=TIME)
        assert str(caught.value) == (
            f"{tmp_path / 'plant.git'}: another process is storing this station, or was killed; "
            f"remove {lock} if no other process is storing, and store again."
        )
        assert archive.stations() == ()
