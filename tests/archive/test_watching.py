"""A folder that exports land in: what is stored, when, and what is said; nobody sleeps here."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from stand_ins import TIME

from asfound.archive import disk
from asfound.archive.archive import Archive
from asfound.archive.settling import AGAIN, LOOKS, Settling, Trace, look
from asfound.archive.storing import LOCK
from asfound.archive.watching import Seen, Target, Watcher
from asfound.model.problem import Problem
from asfound.model.record import Record
from asfound.readers.reading import gather
from asfound.readers.single_files import Files


class Bench:
    """A watched folder: ``step()`` is one look, as a word or two; ``reading`` runs whenever the files are read."""

    def __init__(self, folder: Path, archive: Path, copy: str = "running") -> None:
        self.folder, self.archive, self.reads = folder, archive, 0
        self.reading = lambda: None
        folder.mkdir(exist_ok=True)
        Archive.create(archive).close()
        self.watcher = Watcher(folder, Target(lambda: Archive.open(archive), "b-1", copy, self.store), self.read)
        self.copy = copy

    def store(self, archive: Archive, files: Files) -> Record:
        return archive.store("b-1", "routine", {self.copy: files}, person="Ada", time=TIME)

    def read(self, folder: Path) -> Files:
        self.reads += 1
        files = gather(folder)
        self.reading()
        return files

    def step(self) -> str:
        try:
            seen = self.watcher.step()
        except Problem as problem:
            return str(problem) if self.watcher.news(problem) else "again"
        if seen:
            self.watcher.fine()
        return "wait" if seen is None else self.words(seen)

    @staticmethod
    def words(seen: Seen) -> str:
        before = f" after {seen.before.number}" if seen.before and seen.stored else ""
        return f"{'stored' if seen.stored else 'same as'} {seen.record.number}{before}"

    def steps(self, count: int) -> list[str]:
        return [self.step() for _ in range(count)]

    def write(self, text: str, name: str = "main.pou") -> None:
        (self.folder / name).write_text(text, encoding="utf-8")

    def stored(self) -> list[bytes]:
        with Archive.open(self.archive) as opened:
            return [opened.files(record, self.copy)[0][1] for record in opened.records("b-1")]


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path / "exports", tmp_path / "plant.git")


def test_what_has_settled_is_stored_once(bench: Bench) -> None:
    bench.write("POU One")
    assert bench.steps(5) == ["wait", "wait", "stored 1", "wait", "wait"]
    bench.write("POU Other")
    assert bench.steps(5) == ["wait", "wait", "stored 2 after 1", "wait", "wait"]
    assert bench.stored() == [b"POU One", b"POU Other"]


def test_nothing_is_stored_while_it_is_being_written(bench: Bench) -> None:
    for at in range(1, 9):
        bench.write("POU One".ljust(7 + at))
        assert bench.steps(LOOKS - 1) == ["wait"] * (LOOKS - 1)
    assert bench.reads == 0
    assert bench.step() == "stored 1"
    assert bench.stored() == [b"POU One        "]


@pytest.mark.parametrize("change", ["another size", "another time", "another file", "one less", "renamed"])
def test_any_trace_of_a_change_starts_the_wait_again(bench: Bench, change: str) -> None:
    bench.write("POU One")
    bench.write("POU Two", "two.pou")
    assert bench.steps(LOOKS - 1) == ["wait"] * (LOOKS - 1)
    file = bench.folder / "two.pou"
    if change == "another size":
        about = file.stat()
        file.write_bytes(b"POU Twos")
        os.utime(file, ns=(about.st_atime_ns, about.st_mtime_ns))
    elif change == "another time":
        os.utime(file, ns=(1, 1))
    elif change == "another file":
        bench.write("POU Three", "deeper.pou")
    elif change == "one less":
        file.unlink()
    else:
        file.rename(bench.folder / "three.pou")
    assert bench.steps(LOOKS) == ["wait", "wait", "stored 1"]


def test_what_moves_while_it_is_read_does_not_count(bench: Bench) -> None:
    bench.write("POU One")
    bench.reading = lambda: bench.write(f"POU One{' ' * bench.reads}")
    assert bench.steps(LOOKS * 2) == ["wait"] * (LOOKS * 2)
    assert bench.reads == 2
    bench.reading = lambda: None
    assert bench.steps(LOOKS) == ["wait", "wait", "stored 1"]
    assert bench.stored() == [b"POU One  "]


def test_the_same_bytes_written_again_are_no_new_record(bench: Bench) -> None:
    bench.write("POU One")
    bench.steps(LOOKS)
    bench.write("POU One")
    os.utime(bench.folder / "main.pou", ns=(5, 5))
    assert bench.steps(LOOKS + 1) == ["wait", "wait", "same as 1", "wait"]


def test_a_file_more_or_under_another_name_is_a_new_record(bench: Bench) -> None:
    bench.write("POU One")
    bench.steps(LOOKS)
    bench.write("no export", "notes.txt")
    assert bench.steps(LOOKS)[-1] == "stored 2 after 1"
    (bench.folder / "main.pou").rename(bench.folder / "Main.pou")
    assert bench.steps(LOOKS)[-1] == "stored 3 after 2"


def test_only_the_latest_record_with_that_copy_counts(tmp_path: Path) -> None:
    bench = Bench(tmp_path / "exports", tmp_path / "plant.git", "card")
    bench.write("POU One")
    assert bench.steps(LOOKS)[-1] == "stored 1"
    with Archive.open(bench.archive) as opened:
        opened.store("b-1", "routine", {"running": [("main.pou", b"POU Two")]}, person="Ada", time=TIME)
    os.utime(bench.folder / "main.pou", ns=(5, 5))
    assert bench.steps(LOOKS)[-1] == "same as 1"
    bench.write("POU Two")
    assert bench.steps(LOOKS)[-1] == "stored 3 after 1"
    bench.write("POU One")  # back to what it was: a change too
    assert bench.steps(LOOKS)[-1] == "stored 4 after 3"


def test_half_a_file_is_told_once_and_stored_when_it_is_whole(bench: Bench) -> None:
    bench.write("POU One half")
    told = "main.pou: ends too early."
    found = bench.steps(LOOKS + AGAIN * 2)
    assert [word for word in found if word not in ("wait", "again")] == [told]
    assert found[LOOKS - 1] == told and found.count("again") == 2
    bench.write("POU One")
    assert bench.steps(LOOKS) == ["wait", "wait", "stored 1"]
    bench.write("POU Two half")
    assert bench.steps(LOOKS)[-1] == told
    assert bench.stored() == [b"POU One"]


def test_an_empty_folder_waits_and_one_that_vanishes_comes_back(bench: Bench, tmp_path: Path) -> None:
    assert bench.steps(AGAIN * 2) == ["wait"] * AGAIN * 2
    bench.write("POU One")
    assert bench.steps(LOOKS)[-1] == "stored 1"
    away = bench.folder.rename(tmp_path / "away")
    assert bench.steps(3) == [f"{bench.folder}: does not exist; check the name.", "again", "again"]
    away.rename(bench.folder)
    assert bench.steps(LOOKS + 1) == ["wait", "wait", "same as 1", "wait"]
    bench.folder.rename(tmp_path / "away")
    assert "does not exist" in bench.step()


def test_a_file_that_vanishes_while_it_is_read_is_no_fault(bench: Bench) -> None:
    bench.write("POU One")
    bench.write("POU Two", "two.pou")

    def gone(folder: Path) -> Files:
        (folder / "two.pou").unlink()
        raise Problem("cannot be read (No such file or directory)", where="two.pou")

    bench.watcher._read = gone
    assert bench.steps(LOOKS) == ["wait"] * LOOKS
    bench.watcher._read = gather
    assert bench.steps(LOOKS)[-1] == "stored 1"


def test_a_share_that_is_late_with_a_size_is_not_believed(bench: Bench) -> None:
    bench.write("POU One")
    bench.watcher._look = lambda folder: (Trace("main.pou", 4, 1, 1),)
    assert bench.steps(LOOKS)[-1].startswith(f"{bench.folder}: main.pou is 7 bytes long and its folder says 4;")
    bench.watcher._look = look
    assert bench.steps(LOOKS)[-1] == "stored 1"


def test_an_archive_that_is_locked_or_away_is_told_once_and_tried_again(
    bench: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(disk, "PATIENCE", 0.1)
    bench.write("POU One")
    with disk.hold(bench.archive / LOCK):
        found = bench.steps(LOOKS + AGAIN)
    assert found[LOOKS - 1].endswith("another process is storing in this archive; try again later.")
    assert found[-1] == "again" and set(found) == {"wait", "again", found[LOOKS - 1]}
    away = bench.archive.rename(tmp_path / "away.git")
    assert "does not exist" in bench.steps(AGAIN)[-1]
    away.rename(bench.archive)
    assert bench.steps(AGAIN) == ["wait"] * (AGAIN - 1) + ["stored 1"]


def test_errors_of_a_share_are_one_sentence(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    def stale(path: Path, **more: object) -> bool:
        raise OSError(116, "Stale file handle", str(path))

    with monkeypatch.context() as patch:
        patch.setattr(Path, "exists", stale)
        assert bench.steps(2) == [
            f"{bench.folder}: cannot be reached (Stale file handle); check the disk or share.",
            "again",
        ]
    bench.write("POU One")
    assert bench.steps(LOOKS)[-1] == "stored 1"


def test_hidden_files_are_neither_stored_nor_waited_for(bench: Bench) -> None:
    bench.write("POU One")
    for at in range(LOOKS - 1):
        bench.write("x" * at, ".main.pou.part")
        assert bench.step() == "wait"
    bench.write("y", ".main.pou.part")
    assert bench.step() == "stored 1"


def test_looks_count_and_not_the_time_between_them() -> None:
    settling, sight = Settling(), (Trace("a", 1, 1, 1),)
    assert [settling.ripe(sight) for _ in range(LOOKS)] == [False] * (LOOKS - 1) + [True]
    settling.failed()
    assert [settling.ripe(sight) for _ in range(AGAIN)] == [False] * (AGAIN - 1) + [True]
    settling.lost()
    assert [settling.ripe(sight) for _ in range(LOOKS)] == [False] * (LOOKS - 1) + [True]
