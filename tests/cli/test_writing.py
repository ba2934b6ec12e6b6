"""Whatever else a command writes: profiles, archives, the demo, what git-setup puts into a repository."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from stored_visit import Run

from asfound.archive import creating, remembered_exchanges
from asfound.cli import demo

posix = pytest.mark.skipif(sys.platform == "win32", reason="links, pipes and modes of POSIX")
LEFT = ".asfound-new-0123456789abcdef"


def left_over(folder: Path) -> None:
    (folder / LEFT / "new0" / "objects").mkdir(parents=True)
    (folder / LEFT / "lock").touch()


def killed_at(place: str, *words: str) -> None:
    """Run a command for real, and kill it when it calls this function."""
    module, _, name = place.rpartition(".")
    script = f"import os, {module} as m\nfrom asfound.cli import main\nm.{name} = lambda *w, **k: os.kill(os.getpid(), 9)\nmain.run()"
    assert subprocess.run([sys.executable, "-c", script, *words], capture_output=True, check=False).returncode == -9


# --- profile ----------------------------------------------------------------------------------------------------------


@pytest.fixture
def table(run: Run) -> Path:
    Path("tags.csv").write_text("Name;Address;Type\nStart;IN0;BOOL\nStop;IN17;BOOL\nRun;OUT3;BOOL\n", encoding="utf-8")
    return Path("tags.csv")


@pytest.mark.parametrize("there", [b"mine", b""])
def test_a_profile_replaces_nothing_not_even_an_empty_file(run: Run, table: Path, there: bytes) -> None:
    Path("p.toml").write_bytes(there)
    done = run("profile", table, "--to", "p.toml")
    assert (done.exit_code, done.stderr) == (2, "p.toml: exists already; name another file, or remove it first.\n")
    assert Path("p.toml").read_bytes() == there


@posix
def test_a_profile_is_not_written_through_a_link_to_nothing(run: Run, table: Path) -> None:
    Path("p.toml").symlink_to("elsewhere")
    assert run("profile", table, "--to", "p.toml").exit_code == 2
    assert not Path("elsewhere").exists()


def test_a_profile_leaves_nothing_beside_it_and_removes_what_a_killed_one_left(run: Run, table: Path) -> None:
    left_over(Path())
    assert run("profile", table, "--to", "p.toml").exit_code == 0
    assert sorted(path.name for path in Path().iterdir()) == ["p.toml", "tags.csv"]
    done = run("profile", table, "--to", "no/p.toml")
    said = "no/p.toml: cannot be written (No such file or directory); choose another file.\n"
    assert (done.exit_code, done.stderr) == (2, said)


# --- init and demo ----------------------------------------------------------------------------------------------------


@posix
def test_a_killed_init_leaves_no_archive_and_the_next_one_tidies(run: Run, tmp_path: Path) -> None:
    killed_at("asfound.archive.disk.sync_files", "init", "plant.git")
    assert [path.name[:13] for path in tmp_path.iterdir()] == [".asfound-new-"]
    assert run("init", "plant.git").exit_code == 0
    assert [path.name for path in tmp_path.iterdir()] == ["plant.git"]
    assert run("check", "plant.git").exit_code == 0


@posix
def test_all_of_a_new_archive_is_synced_before_it_has_its_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done: set[int] = set()
    real_sync, real_rename = os.fsync, os.rename

    def fsync(handle: int) -> None:
        real_sync(handle)
        done.add(os.fstat(handle).st_ino)

    def rename(*names: str, **more: int) -> None:
        made = next(tmp_path.glob(".asfound-new-*/new0"))
        assert {path.stat().st_ino for path in [made, *made.rglob("*")]} <= done
        real_rename(*names, **more)

    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(os, "rename", rename)
    creating.create(tmp_path / "plant.git")
    assert tmp_path.stat().st_ino in done


@posix
def test_a_killed_demo_leaves_no_demo_and_the_next_one_plays_it(run: Run, tmp_path: Path) -> None:
    killed_at("asfound.cli.demo._write_report", "demo", "-q")
    assert [path.name[:13] for path in tmp_path.iterdir()] == [".asfound-new-"]
    assert run("demo", "-q").exit_code == 0
    assert [path.name for path in tmp_path.iterdir()] == [demo.FOLDER]
    remembered = [
        place.address for place in remembered_exchanges.places((tmp_path / demo.FOLDER / "plant.git").resolve())
    ]
    assert remembered == [str(tmp_path.resolve() / demo.FOLDER / "stick.git")]
    ready = run("ready", f"{demo.FOLDER}/plant.git", "booster-1@3", "--for", "reset", "--on", "2026-11-17").stdout
    assert LEFT[:13] not in ready


@pytest.mark.parametrize("name", [".", ".."])
def test_a_demo_needs_a_folder_with_a_name(run: Run, name: str) -> None:
    said = f"{name}: is no name for a new folder; name a new folder with --to.\n"
    assert run("demo", "--to", name).stderr == said


# --- git-setup --------------------------------------------------------------------------------------------------------


@pytest.fixture
def repository(run: Run, tmp_path: Path) -> Path:
    subprocess.run(["git", "init", "-q", "exports"], check=True)
    return tmp_path / "exports"


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if not path.name.endswith(".sample"))


def test_git_setup_leaves_nothing_beside_its_files_and_the_hook_can_be_run(run: Run, repository: Path) -> None:
    for folder in (repository / ".git" / "info", repository / ".git" / "hooks"):
        folder.mkdir(exist_ok=True)
        left_over(folder)
    for _ in range(2):
        assert run("git-setup", repository).exit_code == 0
    assert names(repository / ".git" / "info") == ["attributes", "exclude"]
    assert names(repository / ".git" / "hooks") == ["pre-commit"]
    if sys.platform != "win32":
        assert stat.S_IMODE((repository / ".git" / "hooks" / "pre-commit").stat().st_mode) == 0o755


@posix
@pytest.mark.parametrize("part", ["info/attributes", "info"])
def test_git_setup_writes_through_no_link_out_of_the_repository(run: Run, repository: Path, part: str) -> None:
    """A repository that somebody else prepared."""
    outside, place = repository.parent / "outside", repository / ".git" / part
    outside.mkdir()
    (outside / "attributes").write_text("mine\n")
    if part == "info":
        place.rename(repository.parent / "moved")
    place.symlink_to(outside if part == "info" else outside / "attributes")
    done = run("git-setup", repository)
    file = repository / ".git" / "info" / "attributes"
    said = f"{file}: is reached by a link that leads elsewhere; remove the link.\n"
    assert (done.exit_code, done.stdout, done.stderr) == (2, "", said)
    assert names(outside) == ["attributes"] and (outside / "attributes").read_text() == "mine\n"
    config = subprocess.run(["git", "-C", str(repository), "config", "--list"], capture_output=True, check=True).stdout
    assert b"asfound" not in config


@posix
@pytest.mark.parametrize("part", ["info/attributes", "hooks/pre-commit"])
def test_a_pipe_in_the_place_of_a_file_of_git_holds_nobody_up(run: Run, repository: Path, part: str) -> None:
    place = repository / ".git" / part
    place.parent.mkdir(exist_ok=True)
    os.mkfifo(place)
    done = run("git-setup", repository)
    assert (done.exit_code, done.stderr) == (2, f"{place}: is no file; remove it.\n")
