"""Full, read-only and busy disks: the archive stays as it was, and one sentence says what to do."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from stand_ins import TIME

from asfound.archive import disk
from asfound.archive.archive import Archive
from asfound.archive.plumbing import Plumbing
from asfound.model.problem import Problem

SMALL = [("main.pou", b"POU Main")]


def run(*command: object) -> int:
    return subprocess.run([str(word) for word in command], capture_output=True, check=False).returncode


@pytest.fixture
def stick(tmp_path: Path) -> Iterator[Path]:
    """A disk of its own of 3 MB."""
    folder = tmp_path / "stick"
    folder.mkdir()
    if sys.platform != "linux" or run("mount", "-t", "tmpfs", "-o", "size=3m", "tmpfs", folder):
        pytest.skip("a file system of its own may not be mounted here")
    yield folder
    run("umount", "-l", folder)


def store(archive: Archive, files: list[tuple[str, bytes]] = SMALL, **more: object) -> object:
    return archive.store("booster-1", "routine", {"running": files}, person="Ada", time=TIME, **more)


def message(archive: Archive, files: list[tuple[str, bytes]] = SMALL) -> str:
    with pytest.raises(Problem) as caught:
        store(archive, files)
    return str(caught.value)


def is_whole(archive: Archive, records: int) -> None:
    assert run("git", "-C", archive.path, "fsck", "--full", "--strict") == 0
    assert len(archive.records("booster-1")) == records
    for record in archive.records("booster-1"):
        assert archive.files(record, "running")


def test_a_full_disk_is_one_sentence(stick: Path) -> None:
    with Archive.create(stick / "plant.git") as archive:
        store(archive)
        full = f"{archive.path}: the disk is full; make room on it and try again."
        assert message(archive, [*SMALL, ("big.bin", os.urandom(4_000_000))]) == full
        is_whole(archive, 1)
        assert not list(archive.path.rglob("tmp_*")), "what a failed store leaves must not keep the disk full"
        store(archive)
        is_whole(archive, 2)


@pytest.mark.parametrize("room", [0, 4096, 12288, 40960, 60000])
def test_a_disk_that_fills_up_at_any_step_is_one_sentence(stick: Path, room: int) -> None:
    with Archive.create(stick / "plant.git") as archive:
        store(archive)
        ballast = stick / "ballast"
        with pytest.raises(OSError, match="No space"):
            ballast.write_bytes(bytes(4_000_000))
        os.truncate(ballast, max(0, ballast.stat().st_size - room))
        files = [*SMALL, *((f"{at}.bin", os.urandom(3000)) for at in range(20))]
        assert message(archive, files) == f"{archive.path}: the disk is full; make room on it and try again."
        is_whole(archive, 1)
        ballast.unlink()
        store(archive, files)
        is_whole(archive, 2)


def test_a_read_only_disk_is_one_sentence_and_can_be_read(stick: Path) -> None:
    with Archive.create(stick / "plant.git") as archive:
        store(archive)
    assert run("mount", "-o", "remount,ro", stick) == 0
    with Archive.open(stick / "plant.git") as archive:
        assert message(archive) == (
            f"{archive.path}: the disk is read-only; unlock it, or use a copy of the archive elsewhere."
        )
        is_whole(archive, 1)


def test_a_file_that_another_program_holds_open_is_tried_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a disk that can be told to refuse a rename as Windows does for an open file."""
    with Archive.create(tmp_path / "plant.git") as archive:
        store(archive)
        place = archive.path / "refs" / "heads" / "stations" / "booster-1"
        if sys.platform != "linux" or run("chattr", "+i", place):
            pytest.skip("a file may not be made immutable here")
        try:
            monkeypatch.setattr(disk, "PATIENCE", 0.4)
            assert message(archive).endswith(
                "; close what holds the file open (a virus scanner?) and store again; nothing was changed."
            )
            assert len(archive.records("booster-1")) == 1
            monkeypatch.setattr(disk, "PATIENCE", 20)
            timer = threading.Timer(0.5, run, ("chattr", "-i", place))
            timer.start()
            store(archive)
            timer.join()
        finally:
            run("chattr", "-i", place)
        is_whole(archive, 2)


class Shared(OSError):
    """What Python raises on Windows when a file is open elsewhere."""

    winerror = 32


@pytest.mark.parametrize(("refusals", "works"), [(3, True), (10**9, False)])
def test_our_own_renames_wait_for_an_open_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, refusals: int, works: bool
) -> None:
    with Archive.create(tmp_path / "plant.git") as archive:
        record = store(archive)
        left, real = [refusals], os.link

        def link(*names: str, **more: Any) -> None:
            left[0] -= 1
            if left[0] >= 0:
                raise Shared(errno.EBUSY, "The process cannot access the file")
            real(*names, **more)

        monkeypatch.setattr(os, "link", link)
        monkeypatch.setattr(disk, "PATIENCE", 5 if works else 0.1)
        out = tmp_path / "out"
        if works:
            archive.restore(record, out)  # type: ignore[arg-type]
            assert (out / "running" / "main.pou").read_bytes() == b"POU Main"
        else:
            with pytest.raises(Problem) as caught:
                archive.restore(record, out)  # type: ignore[arg-type]
            assert str(caught.value) == (
                f"{out / 'running' / 'main.pou'}: cannot be written (The process cannot access the file); "
                "choose another folder."
            )
            assert list((out / "running").iterdir()) == []


def test_all_is_synced_before_the_branch_moves(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every object of the record and every folder that holds one, then the branch, then its folder."""
    events: list[str] = []
    real_sync, real_move = disk._sync, Plumbing.move

    def sync(path: Path, mode: int) -> None:
        real_sync(path, mode)
        events.append(path.relative_to(tmp_path / "plant.git").as_posix())

    def move(self: Plumbing, *arguments: object) -> None:
        events.append("move")
        real_move(self, *arguments)  # type: ignore[arg-type]

    with Archive.create(tmp_path / "plant.git") as archive:
        monkeypatch.setattr(disk, "_sync", sync)
        monkeypatch.setattr(Plumbing, "move", move)
        store(archive)
        before, after = events[: events.index("move")], events[events.index("move") + 1 :]
        objects = archive.path / "objects"
        made = {path.relative_to(archive.path).as_posix() for path in objects.glob("??/*")}
        assert made and made <= set(before)
        assert {name.rsplit("/", 1)[0] for name in made} | {"objects", "objects/pack"} <= set(before)
        assert after == ["refs/heads", "refs/heads/stations"]


def test_two_processes_take_turns(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(disk, "PATIENCE", 0.2)
    with Archive.create(tmp_path / "plant.git") as archive:
        with disk.hold(archive.path / "asfound.lock"):
            start = time.monotonic()
            assert message(archive) == (f"{archive.path}: another process is storing in this archive; try again later.")
            assert time.monotonic() - start < 5
        store(archive)


def exchange(archive: Archive, stick: Path) -> str:
    with pytest.raises(Problem) as caught:
        archive.sync(str(stick))
    return str(caught.value)


@pytest.mark.parametrize("room", [0, 20_000, 300_000])
def test_a_stick_that_is_full_is_said_to_be_full(stick: Path, tmp_path: Path, room: int) -> None:
    with Archive.create(tmp_path / "plant.git") as archive:
        Archive.create(stick / "plant.git").close()
        store(archive)
        archive.sync(str(stick))
        store(archive, [*SMALL, ("big.bin", os.urandom(1_000_000))])
        ballast = stick / "ballast"
        with pytest.raises(OSError, match="No space"):
            ballast.write_bytes(bytes(4_000_000))
        os.truncate(ballast, max(0, ballast.stat().st_size - room))
        place = stick / "plant.git"
        assert exchange(archive, stick) == f"{place}: the disk is full; make room on it and try again."
        ballast.unlink()
        assert [moved.sent for moved in archive.sync(str(stick))] == [1]
    with Archive.open(stick / "plant.git") as other:
        is_whole(other, 2)
        assert not other.check().faults


def test_a_stick_that_is_read_only_is_said_to_be_that(stick: Path, tmp_path: Path) -> None:
    with Archive.create(tmp_path / "plant.git") as archive:
        Archive.create(stick / "plant.git").close()
        store(archive)
        assert run("mount", "-o", "remount,ro", stick) == 0
        said = exchange(archive, stick)
        assert said == (
            f"{stick / 'plant.git'}: the disk is read-only; unlock it, or use a copy of the archive elsewhere."
        )
        with Archive.open(stick / "plant.git") as other:
            assert not other.check().faults, "it can still be read"


@pytest.mark.parametrize("lazily", [False, True])
def test_a_share_that_vanishes_during_a_check_is_one_sentence(
    stick: Path, monkeypatch: pytest.MonkeyPatch, lazily: bool
) -> None:
    with Archive.create(stick / "plant.git") as archive:
        for _ in range(20):
            store(archive)
    with Archive.open(stick / "plant.git") as archive:
        real, left = Plumbing.object, [30]

        def vanishing(self: Plumbing, name: str) -> tuple[str, bytes]:
            left[0] -= 1
            if not left[0]:
                self.close()
                assert run("umount", "-l", stick) == 0
            return real(self, name)

        monkeypatch.setattr(Plumbing, "object", vanishing)
        with pytest.raises(Problem) as caught:
            archive.repair() if lazily else archive.check()
        assert str(caught.value) == (
            f"{stick / 'plant.git'}: went away while it was read; check the disk or share and run the check again."
        )
