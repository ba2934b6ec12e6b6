"""Odd files of an archive that somebody prepared: none of them runs a program, leads elsewhere or hides a record."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from asfound.archive import premises
from asfound.archive.archive import Archive

TIME = datetime.fromisoformat("2026-03-31T09:30:00+02:00")
FILES = [("main.st", b"PROGRAM Main VAR a, b : BOOL; END_VAR a := b; END_PROGRAM")]


@pytest.fixture(autouse=True)
def small_readers() -> Iterator[None]:
    """The real readers: the commands run as they are typed."""
    return iter([None])


def git(folder: Path, *words: str) -> str:
    done = subprocess.run(["git", "-C", str(folder), *words], capture_output=True, text=True, check=True)
    return done.stdout.strip()


def asfound(*words: object, **variables: str) -> subprocess.CompletedProcess[str]:
    known = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    return subprocess.run(
        [sys.executable, "-m", "asfound", *map(str, words)],
        capture_output=True,
        text=True,
        check=False,
        env={**known, "ASFOUND_CACHE": "off", **variables},
        timeout=60,
        stdin=subprocess.DEVNULL,
    )


def plant(path: Path, name: str = "plant.git") -> Path:
    with Archive.create(path / name) as archive:
        for _ in range(2):
            for station in ("booster-1", "screens-1"):
                archive.store(station, "as-left", {"running": FILES}, person="Ada", time=TIME)
    (path / "main.st").write_bytes(FILES[0][1])
    return path / name


def storing(archive: Path, station: str = "booster-1") -> list[object]:
    export = archive.parent / "main.st"
    return ["store", archive, station, "--moment", "as-found", "--running", export, "--by", "Ada"]


@pytest.fixture
def canary(tmp_path: Path) -> Path:
    """A file that comes into being when a program of the stranger runs."""
    return tmp_path / "it-ran"


@pytest.fixture
def program(canary: Path, tmp_path: Path) -> Path:
    path = tmp_path / "stranger.sh"
    path.write_text(f"#!/bin/sh\necho \"$0 $@\" >> '{canary}'\nexit 1\n")
    path.chmod(0o755)
    return path


def refused_everywhere(archive: Path, name: str) -> None:
    """Each command names the file and does nothing; the check says so too, and mends it."""
    for words in (["history", archive], ["show", f"{archive}:booster-1"], storing(archive)):
        done = asfound(*words)
        assert done.returncode == 2 and f"its file {name} " in done.stderr, (words, done)
        assert len(done.stderr.splitlines()) == 1 and "--mend" in done.stderr, done.stderr
    looked = asfound("check", archive)
    assert looked.returncode == 1 and name in looked.stdout, looked
    mended = asfound("check", archive, "--mend")
    assert mended.returncode == 0 and "2 stations, 4 records" in mended.stdout, mended
    assert asfound("history", archive).stdout.count("as-left") == 4
    assert asfound(*storing(archive)).returncode == 0
    assert asfound("check", archive).returncode == 0


def test_hooks_where_git_is_told_that_there_are_none_do_not_run(tmp_path: Path, program: Path, canary: Path) -> None:
    archive = plant(tmp_path)
    (archive / "no-hooks").mkdir()
    for name in ("reference-transaction", "post-update", "pre-push"):
        (archive / "no-hooks" / name).symlink_to(program)
    refused_everywhere(archive, "no-hooks")
    assert not canary.exists()


def test_nor_when_they_come_after_the_look(tmp_path: Path, program: Path, canary: Path, monkeypatch) -> None:
    monkeypatch.setattr(premises, "odd", lambda folder: [])
    archive = plant(tmp_path)
    (archive / "no-hooks").mkdir()
    (archive / "no-hooks" / "reference-transaction").symlink_to(program)
    (archive / "no-grafts").write_text(git(archive, "rev-parse", "stations/booster-1") + "\n")
    with Archive.open(archive) as opened:
        opened.store("booster-1", "as-left", {"running": FILES}, person="Ada", time=TIME)
        assert len(opened.records("booster-1")) == 3
    assert not canary.exists()


@pytest.mark.parametrize("name", ["no-grafts", "no-index"])
def test_files_where_git_is_told_that_there_are_none_hide_no_record(tmp_path: Path, name: str) -> None:
    archive = plant(tmp_path)
    (archive / name).write_text(git(archive, "rev-parse", "stations/booster-1") + "\n")
    refused_everywhere(archive, name)


@pytest.mark.parametrize("folder", ["remotes", "branches"])
def test_no_file_of_an_archive_sends_a_sync_elsewhere(tmp_path: Path, program: Path, canary: Path, folder: str) -> None:
    """Files named like the address that a person types; git has replaced addresses by them since its first days."""
    archive = plant(tmp_path)
    (archive / folder).mkdir()
    (archive / folder / "server:plant.git").write_text("URL: elsewhere:other.git\n")
    done = asfound("sync", archive, "server:plant.git", GIT_SSH_COMMAND=str(program))
    assert done.returncode == 2 and f"{folder}/server:plant.git" in done.stderr, done
    assert not canary.exists()
    refused_everywhere(archive, f"{folder}/server:plant.git")


LINKS = ["logs/refs/heads/stations/booster-1", "logs", "refs/heads/stations", "asfound.lock", "damaged"]


@pytest.mark.parametrize("name", LINKS)
def test_a_link_in_an_archive_leads_no_command_out_of_it(tmp_path: Path, name: str) -> None:
    """A log that is a link: git would add a line to the user's file at each store."""
    archive, outside = plant(tmp_path), tmp_path / "outside"
    place = archive / name
    if place.is_dir():
        place.rename(outside)
    elif name == "damaged":
        outside.mkdir()
    else:
        outside.write_text("precious")
        place.unlink()
    place.symlink_to(outside)
    before = {p: p.read_bytes() for p in [outside, *outside.rglob("*")] if p.is_file()}
    for words in (["history", archive], storing(archive)):
        done = asfound(*words)
        assert done.returncode == 2 and f"its file {name} " in done.stderr, (words, done)
    assert asfound("check", archive).returncode == 1
    asfound("check", archive, "--mend")
    assert not any(path.is_symlink() for path in archive.rglob("*") if "damaged" not in path.parts)
    assert {p: p.read_bytes() for p in [outside, *outside.rglob("*")] if p.is_file()} == before
    assert asfound("check", archive, "--mend").returncode == 0 or name == "refs/heads/stations"


PIPES = ["packed-refs", "logs/refs/heads/stations/booster-1", "refs/heads/stations/booster-1", "TIP",
         "objects/info/commit-graph", "objects/pack/multi-pack-index", "asfound.lock"]  # fmt: skip


@pytest.mark.parametrize("name", PIPES)
def test_a_pipe_in_an_archive_holds_no_command_for_ever(tmp_path: Path, name: str) -> None:
    archive = plant(tmp_path)
    tip = git(archive, "rev-parse", "stations/booster-1")
    name = name.replace("TIP", f"objects/{tip[:2]}/{tip[2:]}")
    (archive / name).unlink(missing_ok=True)
    os.mkfifo(archive / name)
    for words in (["history", archive], ["show", f"{archive}:booster-1"], storing(archive)):
        done = asfound(*words)
        assert done.returncode == 2 and f"its file {name} " in done.stderr, (words, done)
    assert asfound("check", archive).returncode == 1
    asfound("check", archive, "--mend")
    assert (archive / "damaged" / Path(name).name).is_fifo()
    assert asfound("history", archive).returncode == (2 if name.startswith("objects/" + tip[:2]) else 0)


def test_setting_aside_looks_at_the_archive_first(tmp_path: Path) -> None:
    archive = plant(tmp_path)
    git(archive, "config", "--file", str(archive / "config"), "include.path", "more")
    done = asfound("check", archive, "--set-aside", "booster-1")
    assert done.returncode == 2 and "config sets include.path" in done.stderr, done


@pytest.mark.parametrize("entry", ["", "."])
def test_a_program_called_git_in_an_archive_is_not_run(tmp_path: Path, program: Path, canary: Path, entry: str) -> None:
    """With such an entry in the PATH; git was started in the folder of the archive, where the person never was."""
    archive = plant(tmp_path)
    for name in ("git", "ssh", "sh", "ssh-keygen"):
        shutil.copy(program, archive / name)
    path = f"{entry}{os.pathsep}{os.environ['PATH']}"
    for words in (["history", archive], storing(archive), ["check", archive, "--mend"]):
        done = asfound(*words, PATH=path)
        assert done.returncode == 0, (words, done)
    assert asfound("sync", archive, "host.invalid:x", PATH=path).returncode == 2
    assert not canary.exists()


def test_a_repository_within_an_archive_is_never_taken_for_it(tmp_path: Path) -> None:
    """git prefers it; its configuration was not looked at."""
    mine, other, inner = plant(tmp_path), plant(tmp_path, "other.git"), plant(tmp_path, "inner.git")
    asfound(*storing(inner))
    inner.rename(other / ".git")
    for words in (["sync", mine, other], ["sync", mine, f"file://{other}"], ["check", mine, "--from", other]):
        done = asfound(*words)
        assert done.returncode == 2 and "its file .git is another repository" in done.stderr, done
    refused_everywhere(other, ".git")
    assert asfound("history", mine, "booster-1").stdout.count("@") == 2


def test_an_address_with_a_host_is_no_folder_beside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The folder host/x was looked at, and git went to /x."""
    mine, other = plant(tmp_path), plant(tmp_path, "other.git")
    asfound(*storing(other))
    monkeypatch.chdir(tmp_path.parent)
    done = asfound("sync", mine, f"file://{other.relative_to(tmp_path.parent)}")
    assert done.returncode == 2 and "transport 'file' not allowed" in done.stderr, done
