"""What killed processes leave behind is counted by the check, and removed by mending; what is at work is left alone."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from stand_ins import TIME

from asfound.archive import disk, leftovers
from asfound.archive.archive import Archive

SMALL = [("main.pou", b"POU Main")]


def store(archive: Archive, **more: object) -> None:
    archive.store("booster-1", "routine", {"running": SMALL}, person="Ada", time=TIME, **more)


def size(path: Path) -> int:
    return sum(file.stat().st_size for file in path.rglob("*") if file.is_file())


def killed_store(path: Path, big: Path, after: bytes) -> None:
    """A store of a large file, killed once the bytes are in the archive and before the branch moves."""
    code = f"""
import os, signal, sys
from datetime import datetime
from pathlib import Path
from asfound.archive.archive import Archive
from asfound.archive.plumbing import Plumbing
def move(self, *words, **more):
    os.killpg(0, signal.SIGKILL)
def pieces(self, files):
    for size, parts in files:
        def some():
            for part in parts:
                yield part
                os.killpg(0, signal.SIGKILL)
        yield size, some()
real = Plumbing.big_blobs
if {after!r} == b"half":
    Plumbing.big_blobs = lambda self, files: real(self, pieces(self, files))
Plumbing.move = move
files = {{"running": [("main.st", b"PROGRAM Main VAR a : BOOL; END_VAR a := TRUE; END_PROGRAM")]}}
with Archive.open(Path({str(path)!r})) as archive:
    time = datetime.fromisoformat("2026-03-31T09:30:00+02:00")
    archive.store("booster-1", "routine", files, person="Ada", time=time, attach=[Path({str(big)!r})])
"""
    done = subprocess.Popen([sys.executable, "-c", code], start_new_session=True)
    assert done.wait() == -signal.SIGKILL


@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL")
def test_what_killed_stores_left_is_counted_and_removed(tmp_path: Path) -> None:
    big = tmp_path / "photo.jpg"
    with Archive.create(tmp_path / "plant.git") as archive:
        store(archive)
        sound = size(archive.path)
        for number in range(4):
            big.write_bytes(os.urandom(2_000_000))
            killed_store(archive.path, big, b"half" if number % 2 else b"whole")
        big.write_bytes(b"")
        assert size(archive.path) > sound + 4_000_000
        checked = archive.check()
        assert not checked.faults and checked.left_size > 4_000_000
        store(archive)  # they are in nobody's way
        left, mended = archive.repair()
        assert (left.faults, left.left, left.left_size) == ((), 0, 0) and mended == checked.left
        assert size(archive.path) < sound + 20_000
        assert [record.number for record in archive.records("booster-1")] == [1, 2]
        assert not archive.check().faults


def test_what_somebody_is_writing_is_left_alone(tmp_path: Path) -> None:
    with Archive.create(tmp_path / "plant.git") as archive:
        store(archive)
        unfinished = archive.path / "objects" / "pack" / "tmp_pack_abc"
        unfinished.write_bytes(b"x")
        with disk.at_work(archive.path / leftovers.WORK):
            left, _ = archive.repair()
            assert left.left == 1 and unfinished.exists()
        left, mended = archive.repair()
        assert (left.left, mended) == (0, 1) and not unfinished.exists()


def test_nothing_is_removed_while_anything_is_wrong(tmp_path: Path) -> None:
    """The objects of a damaged branch look unused."""
    with Archive.create(tmp_path / "plant.git") as archive:
        store(archive)
        store(archive)
        place = archive.path / "refs" / "heads" / "stations" / "booster-1"
        log = archive.path / "logs" / "refs" / "heads" / "stations" / "booster-1"
        tip, first = place.read_text(), log.read_text()[41:81]
        lost = archive.path / "objects" / first[:2] / first[2:]
        aside = lost.rename(tmp_path / "lost")  # so that nothing can say where the branch ended
        place.write_text("")
        log.write_text("")
        left, _ = archive.repair()
        assert left.faults
        place.write_text(tip)
        aside.rename(lost)
        assert len(archive.records("booster-1")) == 2 and not archive.check().faults


def test_locks_of_git_that_were_left_are_removed(tmp_path: Path) -> None:
    with Archive.create(tmp_path / "plant.git") as archive:
        store(archive)
        locks = ["config.lock", "HEAD.lock", "packed-refs.lock", "refs/heads/stations/booster-1.lock"]
        for name in locks:
            (archive.path / name).touch()
        assert archive.check().left == len(locks)
        left, _ = archive.repair()
        assert left.left == 0 and not any((archive.path / name).exists() for name in locks)


def test_where_the_disk_knows_no_locks_only_what_is_old_goes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_locks(handle: int) -> None:
        raise OSError(disk.NO_LOCKS[0], "no locks")

    with Archive.create(tmp_path / "plant.git") as archive:
        store(archive)
        monkeypatch.setattr(disk, "take", no_locks)
        young, old = archive.path / "objects" / "tmp_a", archive.path / "objects" / "tmp_b"
        for path in (young, old):
            path.touch()
        os.utime(old, (time.time() - 2 * leftovers.YOUNG,) * 2)
        archive.repair()
        assert young.exists() and not old.exists()


def test_what_a_push_has_just_put_in_place_is_not_removed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Plain git holds no lock of ours: the branch moves between the two looks."""
    with Archive.create(tmp_path / "plant.git") as archive:
        store(archive)
        store(archive)
        place = archive.path / "refs" / "heads" / "stations" / "booster-1"
        log = archive.path / "logs" / "refs" / "heads" / "stations" / "booster-1"
        tip, lines = place.read_text(), log.read_text()
        first = archive.commit_of(archive.records("booster-1")[0])
        place.write_text(f"{first}\n")
        log.write_text(lines.splitlines(keepends=True)[0])
        arriving = archive.path / "objects" / "incoming-abc"
        arriving.mkdir()
        real = time.sleep

        def pushed(seconds: float) -> None:
            real(min(seconds, 0.05))
            place.write_text(tip)
            log.write_text(lines)

        monkeypatch.setattr(leftovers.time, "sleep", pushed)
        archive._git.close()
        leftovers.remove(archive._git)
        assert arriving.exists()
    with Archive.open(archive.path) as again:
        assert len(again.records("booster-1")) == 2 and not again.check().faults
