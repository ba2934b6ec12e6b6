"""A branch that is gone or emptied, as a power cut leaves it: every command names it, none begins anew, one mends it."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from asfound.archive.archive import Archive
from asfound.cli.main import app

SOURCE = b"PROGRAM Main VAR a, b : BOOL; END_VAR a := b; END_PROGRAM"


@pytest.fixture(autouse=True)
def small_readers() -> None:
    """The real readers: the commands run as they are typed."""


def run(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words], prog_name="asfound")


@pytest.fixture
def plant(tmp_path: Path) -> Path:
    (tmp_path / "main.st").write_bytes(SOURCE)
    path = tmp_path / "plant.git"
    assert run("init", path).exit_code == 0
    for station in ("booster-1", "screens-1"):
        assert store(path, station).exit_code == 0
    return path


def store(path: Path, station: str = "booster-1") -> Result:
    return run("store", path, station, "--moment", "as-left", "--running", path.parent / "main.st")


def branch(path: Path) -> Path:
    return path / "refs" / "heads" / "stations" / "booster-1"


def emptied(path: Path) -> None:
    branch(path).write_bytes(b"")


def zeros(path: Path) -> None:
    branch(path).write_bytes(bytes(41))


def packed_and_cut(path: Path) -> None:
    subprocess.run(["git", "-C", str(path), "pack-refs", "--all"], check=True)
    (path / "packed-refs").write_bytes(b"")


def all_gone(path: Path) -> None:
    for file in branch(path).parent.iterdir():
        file.unlink()
    branch(path).parent.rmdir()


LOSSES: dict[str, Callable[[Path], None]] = {
    "removed": lambda path: branch(path).unlink(),
    "emptied": emptied,
    "zeros, as some file systems leave": zeros,
    "packed and cut off": packed_and_cut,
    "all branches, their folder too": all_gone,
}


@pytest.mark.parametrize("how", sorted(LOSSES))
def test_a_lost_branch_is_named_and_never_begun_anew(plant: Path, how: str) -> None:
    LOSSES[how](plant)
    gone = f"{plant}: the branch of booster-1 is gone, although its log knows it; `asfound check {plant} --mend` puts it back"
    listed = run("history", plant)
    assert listed.exit_code == 1 and gone in listed.stderr and "no records yet" not in listed.output
    for words in (
        ["show", f"{plant}:screens-1"],
        ["where", "a", f"{plant}:screens-1"],
        ["inspect", f"{plant}:screens-1"],
    ):
        assert gone in run(*words).stderr, words
    for refused in (
        store(plant),
        run("note", plant, "booster-1", "--switch", "run"),
        run("history", plant, "booster-1"),
        run("show", f"{plant}:booster-1"),
        run("ready", plant, "booster-1", "--for", "reset"),
    ):
        assert refused.exit_code == 2
        assert (
            f"{plant}, station booster-1: its branch is gone, although its log knows it; `asfound check {plant} --mend` "
            "puts it back, with --from OTHER also from a copy.\n"
        ) in refused.stderr
    assert run("check", plant).exit_code == 1


@pytest.mark.parametrize("how", sorted(LOSSES))
@pytest.mark.parametrize("copy", [False, True])
def test_a_lost_branch_is_put_back(plant: Path, how: str, copy: bool, tmp_path: Path) -> None:
    other = tmp_path / "backup.git"
    subprocess.run(["cp", "-r", str(plant), str(other)], check=True)
    before = branch(plant).read_text()
    LOSSES[how](plant)
    done = run("check", plant, *(["--from", other] if copy else ["--mend"]))
    assert done.exit_code == 0, done.output
    with Archive.open(plant) as archive:
        assert archive.commit_of(archive.record("booster-1")) == before.strip()
        assert not archive.lost()
    assert store(plant).exit_code == 0


def test_a_sync_does_not_bring_a_lost_branch_back_by_itself(plant: Path, tmp_path: Path) -> None:
    """The other laptop may hold an older end of it."""
    other = tmp_path / "other.git"
    run("init", other)
    assert run("sync", plant, other).exit_code == 0
    assert store(plant).exit_code == 0
    branch(plant).unlink()
    done = run("sync", plant, other)
    assert done.exit_code == 1
    assert "booster-1: not exchanged: its branch is gone, although its log knows it\n" in done.stderr
    assert run("check", plant, "--mend").exit_code == 0
    assert "1 sent" in run("sync", plant, other).output


def test_a_hostile_copy_moves_no_branch_of_ours(plant: Path, tmp_path: Path) -> None:
    """Names that lead elsewhere, and the end of another station under the name of a damaged one."""
    other = tmp_path / "backup.git"
    subprocess.run(["cp", "-r", str(plant), str(other)], check=True)
    screens = (branch(plant).with_name("screens-1")).read_text().strip()
    lines = [f"{screens} refs/heads/stations/../stations/booster-1", f"{screens} refs/heads/stations/booster-1"]
    branch(other).unlink()
    (other / "packed-refs").write_text("".join(f"{line}\n" for line in lines))
    before = branch(plant).read_text()
    assert run("check", plant, "--from", other).exit_code == 0
    assert branch(plant).read_text() == before
    subprocess.run(["rm", "-r", str(plant / "logs")], check=True)
    branch(plant).write_bytes(b"")
    done = run("check", plant, "--from", other)
    assert done.exit_code == 0, "the records themselves say where their branch ends"
    assert branch(plant).read_text() == before
    assert branch(plant).with_name("screens-1").read_text().strip() == screens
