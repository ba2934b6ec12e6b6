"""A store that is killed, and two at once: real processes, real SIGKILL."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from asfound.archive.archive import Archive

SCRIPT = """
import os, signal, sys
import pytest
sys.path.insert(0, sys.argv[1])
import stand_ins
stand_ins.install(pytest.MonkeyPatch())
from asfound.archive import disk
disk.STALE = 0.3
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
    return len(records)


@pytest.mark.parametrize("when", ["before", "after"])
@pytest.mark.parametrize("step", ["blobs", "trees", "commit", "sync", "move"])
def test_a_crash_leaves_old_or_new(tmp_path: Path, step: str, when: str) -> None:
    Archive.create(tmp_path / "plant.git").close()
    process = start(tmp_path / "plant.git", step, when)
    go(process)
    process.communicate()
    assert process.returncode != 0
    assert check(tmp_path / "plant.git", 0) == (1 if (step, when) == ("move", "after") else 0)
    again = start(tmp_path / "plant.git")
    assert again.communicate("\n")[0] == "done\n"


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork and SIGKILL")
def test_a_crash_leaves_old_or_new_at_any_instant(tmp_path: Path) -> None:
    """Real kills at random instants; ``python tests/archive/kills.py 500`` does more of them."""
    command = [sys.executable, str(Path(__file__).with_name("kills.py")), "24", "--seed", "7", "--in", str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.startswith("24 kills: ")


def test_nothing_is_lost_when_two_store_at_once(tmp_path: Path) -> None:
    path = tmp_path / "plant.git"
    Archive.create(path).close()
    both = [start(path, count=5), start(path, count=5)]
    for process in both:
        go(process)
    assert [process.communicate()[0] for process in both] == ["done\n", "done\n"]
    with Archive.open(path) as archive:
        assert [record.number for record in archive.records("booster-1")] == list(range(1, 11))


def held_up(path: Path, monkeypatch: pytest.MonkeyPatch, stale: float, patience: float) -> str:
    """Store beside a lock file of git; the message when it fails."""
    from stand_ins import TIME

    from asfound.archive import disk
    from asfound.model.problem import Problem

    monkeypatch.setattr(disk, "STALE", stale)
    monkeypatch.setattr(disk, "PATIENCE", patience)
    with Archive.create(path) as archive:
        lock = path / "refs" / "heads" / "stations" / "booster-1.lock"
        lock.parent.mkdir()
        lock.touch()
        try:
            archive.store("booster-1", "routine", {"running": [("a", b"POU A")]}, person="Ada", time=TIME)
        except Problem as problem:
            assert archive.stations() == ()
            return str(problem)
        assert not lock.exists()
        return ""


def test_a_killed_process_blocks_nobody(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert held_up(tmp_path / "plant.git", monkeypatch, stale=0.1, patience=5) == ""


def test_a_lock_that_may_be_in_use_is_left_alone_and_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "plant.git"
    lock = path / "refs" / "heads" / "stations" / "booster-1.lock"
    assert held_up(path, monkeypatch, stale=9, patience=0.2) == (
        f"{path}: another process is storing this station, or was killed; "
        f"remove {lock} if no other process is storing, and store again."
    )
    assert lock.exists()


@pytest.mark.skipif(sys.platform == "win32", reason="handles are not handed on there")
def test_the_lock_lasts_as_long_as_a_git_that_outlives_its_starter(tmp_path: Path) -> None:
    from asfound.archive import disk

    with disk.hold(tmp_path / "lock") as held:
        assert held is not None
        child = subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE, pass_fds=(held,))
    script = "import sys; sys.path.insert(0, sys.argv[1]); from asfound.archive import disk; disk.PATIENCE = 0.1\n"
    script += "from pathlib import Path\nwith disk.hold(Path(sys.argv[2])): print('free')"
    command = [sys.executable, "-c", script, str(Path(disk.__file__).parents[2]), str(tmp_path / "lock")]
    assert "another process is storing" in subprocess.run(command, capture_output=True, text=True, check=False).stderr
    child.communicate(b"\n")
    assert subprocess.run(command, capture_output=True, text=True, check=True).stdout == "free\n"
