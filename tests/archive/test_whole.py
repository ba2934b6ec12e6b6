"""What is written is there whole or not at all, and what killed writers leave is removed by the next one, only that."""

from __future__ import annotations

import errno
import hashlib
import os
import random
import signal
import stat
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.archive import disk, folders, restoring, whole
from asfound.model.copy import Source
from asfound.model.problem import Problem

posix = pytest.mark.skipif(sys.platform == "win32", reason="needs signals and links")
OLD, NEW = b"old" * 100_000, b"new" * 200_000


def hidden(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.name.startswith(".asfound"))


def writer(folder: Path, script: str) -> subprocess.Popen[bytes]:
    """A process of its own that says a line once it is as far as ``script`` goes, and then waits to be killed."""
    text = f"""
import sys, time
from pathlib import Path
from asfound.archive import whole
folder = Path({str(folder)!r})
def wait():
    print("ready", flush=True)
    time.sleep(600)
{script}
"""
    process = subprocess.Popen([sys.executable, "-c", text], stdout=subprocess.PIPE)
    assert process.stdout is not None
    assert process.stdout.readline() == b"ready\n"
    return process


def killed(process: subprocess.Popen[bytes]) -> None:
    process.kill()
    process.wait()
    assert process.stdout is not None
    process.stdout.close()


HELD = """
with whole.among(folder) as made:
    made.write([b"x" * 1000])
    wait()
"""


def test_a_file_is_written_and_nothing_stays_beside_it(tmp_path: Path) -> None:
    whole.write(tmp_path / "a", NEW, replace=False)
    assert (tmp_path / "a").read_bytes() == NEW
    whole.write(tmp_path / "a", OLD, replace=True)
    assert (tmp_path / "a").read_bytes() == OLD
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_what_must_be_new_replaces_nothing(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(OLD)
    with pytest.raises(FileExistsError):
        whole.write(tmp_path / "a", NEW, replace=False)
    assert (tmp_path / "a").read_bytes() == OLD
    assert hidden(tmp_path) == []


def test_without_hard_links_what_must_be_new_replaces_nothing_either(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(*_: object, **__: object) -> None:
        raise OSError(errno.EPERM, "as FAT says")

    monkeypatch.setattr(os, "link", none)
    whole.write(tmp_path / "a", OLD, replace=False)
    with pytest.raises(FileExistsError):
        whole.write(tmp_path / "a", NEW, replace=False)
    assert (tmp_path / "a").read_bytes() == OLD
    assert hidden(tmp_path) == []


@posix
def test_a_file_that_is_replaced_hands_on_its_mode_and_a_new_one_has_what_the_umask_leaves(tmp_path: Path) -> None:
    private = tmp_path / "private"
    private.write_bytes(OLD)
    private.chmod(0o600)
    whole.write(private, NEW, replace=True)
    assert stat.S_IMODE(private.stat().st_mode) == 0o600
    before = os.umask(0o027)
    try:
        whole.write(tmp_path / "new", NEW, replace=False)
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "new").stat().st_mode) == 0o640


@posix
def test_a_link_is_replaced_and_what_it_leads_to_is_not(tmp_path: Path) -> None:
    (tmp_path / "target").write_bytes(OLD)
    (tmp_path / "link").symlink_to("target")
    whole.write(tmp_path / "link", NEW, replace=True)
    assert not (tmp_path / "link").is_symlink()
    assert ((tmp_path / "target").read_bytes(), (tmp_path / "link").read_bytes()) == (OLD, NEW)


def test_an_error_on_the_way_leaves_nothing(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(OLD)
    with pytest.raises(KeyboardInterrupt), whole.among(tmp_path) as made:
        made.write([NEW])
        made.fresh().mkdir()
        raise KeyboardInterrupt
    assert [path.name for path in tmp_path.iterdir()] == ["a"]
    assert (tmp_path / "a").read_bytes() == OLD


@posix
def test_the_file_is_synced_then_named_then_its_folder_is_synced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    events: list[str] = []
    real_sync, real_replace = os.fsync, os.replace

    def fsync(handle: int) -> None:
        real_sync(handle)
        events.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")

    def replace(*names: str, **more: int) -> None:
        real_replace(*names, **more)
        events.append("name")

    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(os, "replace", replace)
    whole.write(tmp_path / "a", NEW, replace=True)
    assert events == ["file", "name", "folder"]


@posix
def test_what_a_killed_writer_left_is_removed_and_what_a_living_one_writes_is_not(tmp_path: Path) -> None:
    dead, alive = writer(tmp_path, HELD), writer(tmp_path, HELD)
    try:
        assert len(hidden(tmp_path)) == 2
        killed(dead)
        whole.write(tmp_path / "a", NEW, replace=False)
        assert len(hidden(tmp_path)) == 1
    finally:
        killed(alive)
    whole.write(tmp_path / "b", NEW, replace=False)
    assert hidden(tmp_path) == []


@posix
@pytest.mark.parametrize("inside", [(), ("lock",), ("lock", "new0"), ("new0/sub/file", "new1"), ("new7",)])
def test_a_left_over_of_any_instant_is_removed(tmp_path: Path, inside: tuple[str, ...]) -> None:
    left = tmp_path / ".asfound-new-0123456789abcdef"
    left.mkdir()
    for name in inside:
        (left / name).parent.mkdir(parents=True, exist_ok=True)
        (left / name).write_bytes(b"" if name == "lock" else b"x")
    whole.write(tmp_path / "a", NEW, replace=False)
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


@posix
def test_nothing_else_is_removed(tmp_path: Path) -> None:
    """Names that are nearly ours, files of exactly our name, folders that hold something else, links."""
    own = ".asfound-new-0123456789abcde"
    (tmp_path / f"{own}f").write_text("a file of exactly our name")
    for name in (own, f"{own}ff", f"{own}F", f"x{own}f", ".asfound-0123456789abcdef"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "new0").write_text("mine")
    for at, name in enumerate(("notes.txt", "new", "lock.txt", "new0x", "New0")):
        folder = tmp_path / f"{own}{at}"
        folder.mkdir()
        (folder / name).write_text("mine")
    filled = tmp_path / f"{own}8"
    filled.mkdir()
    (filled / "lock").write_text("a lock of mine, which holds something")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "new0").write_text("mine")
    (tmp_path / f"{own}9").symlink_to(elsewhere)
    left = tmp_path / f"{own}a"
    left.mkdir()
    (left / "new0").symlink_to(elsewhere)
    (left / "new1").mkdir()
    (left / "new1" / "link").symlink_to(elsewhere)
    before = {path: path.lstat().st_ino for path in tmp_path.rglob("*")}
    whole.write(tmp_path / "a", NEW, replace=False)
    after = {path: path.lstat().st_ino for path in tmp_path.rglob("*")}
    assert set(before) - set(after) == {left, left / "new0", left / "new1", left / "new1" / "link"}
    assert {path: after[path] for path in before if path in after} == {p: i for p, i in before.items() if p in after}
    assert (elsewhere / "new0").read_text() == "mine"


@posix
def test_a_pipe_for_a_lock_holds_nobody_up(tmp_path: Path) -> None:
    left = tmp_path / ".asfound-new-0123456789abcdef"
    left.mkdir()
    os.mkfifo(left / "lock")
    whole.write(tmp_path / "a", NEW, replace=False)
    assert (left / "lock").exists()


@posix
@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root may give a folder away")
def test_what_belongs_to_somebody_else_is_left_alone(tmp_path: Path) -> None:
    left = tmp_path / ".asfound-new-0123456789abcdef"
    left.mkdir()
    (left / "new0").write_text("theirs")
    os.chown(left, 12345, 12345)
    whole.write(tmp_path / "a", NEW, replace=False)
    assert (left / "new0").read_text() == "theirs"


@posix
def test_without_locks_only_what_is_older_than_a_day_is_removed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(handle: int) -> None:
        raise OSError(errno.ENOLCK, "as some shares say")

    monkeypatch.setattr(disk, "take", none)
    ages = {".asfound-new-000000000000000a": 3600, ".asfound-new-000000000000000b": 2 * 86400}
    for name, age in ages.items():
        (tmp_path / name).mkdir()
        (tmp_path / name / "lock").touch()
        (tmp_path / name / "new0").write_text("x")
        for path in (tmp_path / name / "new0", tmp_path / name):
            os.utime(path, (time.time() - age, time.time() - age))
    whole.write(tmp_path / "a", NEW, replace=False)
    assert hidden(tmp_path) == [".asfound-new-000000000000000a"]
    assert (tmp_path / "a").read_bytes() == NEW


@posix
def test_a_writer_that_is_taken_for_a_left_over_before_it_has_its_lock_begins_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At each step between making the hidden folder and holding its lock another one sweeps."""
    for step in ("made", "opened", "taken"):
        swept: list[int] = []

        def sweep(at: str, swept: list[int] = swept, step: str = step) -> None:
            if at == step and not swept:
                swept.append(len(hidden(tmp_path)))
                subprocess.run([sys.executable, "-c", OTHER, str(tmp_path)], check=True)

        watched(monkeypatch, sweep)
        whole.write(tmp_path / step, NEW, replace=False)
        monkeypatch.undo()
        assert swept == [1], step
        assert (tmp_path / step).read_bytes() == NEW
        assert hidden(tmp_path) == []


OTHER = "import sys; from pathlib import Path; from asfound.archive import whole; whole.write(Path(sys.argv[1]) / 'other', b'x', replace=True)"


def watched(monkeypatch: pytest.MonkeyPatch, at: object) -> None:
    real_make, real_open, real_take = folders.Folder.make, folders.Folder.open, disk.take

    def make(self: folders.Folder, name: str, mode: int = 0o777) -> None:
        real_make(self, name, mode)
        at("made")  # type: ignore[operator]

    def opening(self: folders.Folder, name: str, flags: int, mode: int = 0o666) -> int:
        handle = real_open(self, name, flags, mode)
        if name == "lock":
            at("opened")  # type: ignore[operator]
        return handle

    def take(handle: int) -> None:
        real_take(handle)
        at("taken")  # type: ignore[operator]

    monkeypatch.setattr(folders.Folder, "make", make)
    monkeypatch.setattr(folders.Folder, "open", opening)
    monkeypatch.setattr(disk, "take", take)


RACE = """
for at in range(150):
    whole.write(folder / f"{name}-{at}", b"x" * at, replace=False)
"""


@posix
def test_writers_that_begin_in_one_folder_at_once_do_not_remove_each_others_work(tmp_path: Path) -> None:
    head = "import sys\nfrom pathlib import Path\nfrom asfound.archive import whole\nfolder, name = Path(sys.argv[1]), sys.argv[2]\n"
    many = [subprocess.Popen([sys.executable, "-c", head + RACE, str(tmp_path), str(at)]) for at in range(4)]
    assert [process.wait() for process in many] == [0, 0, 0, 0]
    assert {path.name: path.stat().st_size for path in tmp_path.iterdir()} == {
        f"{name}-{at}": at for name in range(4) for at in range(150)
    }


FOR_EVER = """
at = 0
print("ready", flush=True)
while True:
    at += 1
    whole.write(folder / "a", bytes([at % 256]) * 300_000, replace=True)
"""


@posix
def test_at_whatever_instant_a_writer_is_killed_the_old_or_the_new_file_is_there(tmp_path: Path) -> None:
    chance, left = random.Random(4), 0
    whole.write(tmp_path / "a", b"\0" * 300_000, replace=False)
    for _ in range(8):
        process = writer(tmp_path, FOR_EVER)
        time.sleep(chance.uniform(0, 0.1))
        process.send_signal(signal.SIGKILL)
        killed(process)
        data = (tmp_path / "a").read_bytes()
        assert len(data) == 300_000 and len(set(data)) == 1
        left += len(hidden(tmp_path))
        whole.write(tmp_path / "b", b"b", replace=True)
        assert hidden(tmp_path) == []
    assert left, "no kill hit a writer at work"


def test_a_folder_gets_its_name_with_all_that_is_in_it(tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    if sys.platform != "win32":
        (tmp_path / "there").chmod(0o700)
    for name in ("new", "there"):
        with whole.among(tmp_path) as made:
            folder = made.fresh()
            (folder / "sub").mkdir(parents=True)
            (folder / "sub" / "file").write_bytes(NEW)
            made.put_folder(folder.name, name)
        assert (tmp_path / name / "sub" / "file").read_bytes() == NEW
    assert hidden(tmp_path) == []
    if sys.platform != "win32":
        assert stat.S_IMODE((tmp_path / "there").stat().st_mode) == 0o700


def test_a_folder_replaces_nothing(tmp_path: Path) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "mine").write_text("mine")
    (tmp_path / "file").write_text("mine")
    for name in ("full", "file"):
        with pytest.raises(OSError), whole.among(tmp_path) as made:
            folder = made.fresh()
            folder.mkdir()
            made.put_folder(folder.name, name)
    assert (tmp_path / "full" / "mine").read_text() == (tmp_path / "file").read_text() == "mine"
    assert hidden(tmp_path) == []


@posix
def test_a_folder_for_a_while_is_gone_after_it_and_after_a_kill(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    killed(writer(tmp_path, "with whole.scratch() as made:\n    (made / 'x').write_bytes(b'x')\n    wait()\n"))
    assert len(hidden(tmp_path)) == 1
    monkeypatch.setattr("tempfile.tempdir", None)
    with whole.scratch() as made:
        assert list(made.iterdir()) == []
        assert made.is_relative_to(tmp_path)
        (made / "sub").mkdir()
    assert list(tmp_path.iterdir()) == []


# --- disks ------------------------------------------------------------------------------------------------------------


def run(*command: object) -> int:
    return subprocess.run([str(word) for word in command], capture_output=True, check=False).returncode


@pytest.fixture
def stick(tmp_path: Path) -> Iterator[Path]:
    """A disk of its own of 1 MB."""
    folder = tmp_path / "stick"
    folder.mkdir()
    if sys.platform != "linux" or run("mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", folder):
        pytest.skip("a file system of its own may not be mounted here")
    yield folder
    run("umount", "-l", folder)


def refusal(to: Path) -> Problem:
    with pytest.raises(OSError) as caught:
        whole.write(to, NEW * 2, replace=True)
    return whole.refused(caught.value, to, "choose another file")


def test_on_a_full_or_read_only_disk_the_old_file_stays_and_the_sentence_says_why(stick: Path) -> None:
    to = stick / "a"
    whole.write(to, OLD, replace=False)
    assert str(refusal(to)) == f"{to}: the disk is full; make room on it and try again."
    assert (to.read_bytes(), hidden(stick)) == (OLD, [])
    assert run("mount", "-o", "remount,ro", stick) == 0
    assert str(refusal(to)) == f"{to}: the disk is read-only; unlock it, or choose another file."
    assert to.read_bytes() == OLD


@posix
def test_a_folder_that_is_swapped_for_a_link_while_it_is_open_changes_nothing(tmp_path: Path) -> None:
    mine, other = tmp_path / "mine", tmp_path / "other"
    mine.mkdir()
    other.mkdir()
    with folders.opened(mine) as folder, whole.beside(folder) as made:
        mine.rename(tmp_path / "moved")
        mine.symlink_to(other)
        made.put(made.write([NEW]), "a")
    assert list(other.iterdir()) == []
    assert (tmp_path / "moved" / "a").read_bytes() == NEW
    assert hidden(tmp_path / "moved") == []


def test_two_threads_write_beside_each_other(tmp_path: Path) -> None:
    many = [
        threading.Thread(target=whole.write, args=(tmp_path / str(at), NEW), kwargs={"replace": False})
        for at in range(8)
    ]
    for each in many:
        each.start()
    for each in many:
        each.join()
    assert sorted(path.name for path in tmp_path.iterdir()) == [str(at) for at in range(8)]


@pytest.mark.skipif(sys.platform != "linux", reason="sync(2) waits there")
def test_a_large_folder_is_synced_as_a_whole_before_it_has_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    events: list[str] = []
    real = os.rename
    monkeypatch.setattr(os, "sync", lambda: events.append("sync"))
    monkeypatch.setattr(os, "rename", lambda *names, **more: (events.append("name"), real(*names, **more)))
    with whole.among(tmp_path) as made:
        folder = made.fresh()
        folder.mkdir()
        for at in range(whole.MANY + 1):
            (folder / str(at)).touch()
        made.put_folder(folder.name, "large")
    assert events == ["sync", "name"]


@posix
def test_a_restore_syncs_each_file_and_in_the_end_their_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    events: list[str] = []
    real = os.fsync

    def fsync(handle: int) -> None:
        real(handle)
        events.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")

    monkeypatch.setattr(os, "fsync", fsync)
    files = [(str(at), lambda: (b"x",)) for at in range(3)]
    sources = [Source(name, hashlib.sha256(b"x").hexdigest(), 1, "") for name, _ in files]
    restoring.write(files, sources, tmp_path, "running")
    assert events == ["file", "file", "file", "folder"]
