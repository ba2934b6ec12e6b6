"""A plant that was visited, with a key to sign with."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from .kit import FIRST, run


@pytest.fixture(scope="session")
def visited(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """``plant.git`` with a record as left and one as found, a key without passphrase, and its line in ``signers``."""
    folder, before = tmp_path_factory.mktemp("visited"), Path.cwd()
    os.chdir(folder)
    try:
        for name, data in (("old", FIRST), ("new", FIRST.replace(b"a := b;", b"a := NOT b;"))):
            Path(name).mkdir()
            Path(name, "main program.st").write_bytes(data)
        assert run("init", "plant.git").exit_code == 0
        for moment, copy in (("as-left", "old"), ("as-found", "new")):
            words = ("plant.git", "booster-1", "--moment", moment, "--running", copy, "--by", "Ada Lind")
            assert run("store", *words).exit_code == 0
        made = run("key", "new", "id", "--by", "Ada Lind <ada@example.org>", input="\n\n")
        assert made.exit_code == 0, made.output
        Path("signers").write_text(made.stdout.splitlines()[-1] + "\n", encoding="utf-8", newline="\n")
    finally:
        os.chdir(before)
    return folder


@pytest.fixture
def plant(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, visited: Path) -> Path:
    """A copy of the visited plant, as the current folder."""
    shutil.copytree(visited, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture(scope="session")
def handed(visited: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A signed hand-over ``ho`` of a signed record; the archive holds another station, which must not be in it."""
    folder, before = tmp_path_factory.mktemp("handed"), Path.cwd()
    shutil.copytree(visited, folder, dirs_exist_ok=True)
    os.chdir(folder)
    try:
        Path("photo.jpg").write_bytes(bytes(range(256)))
        copies = ("--running", "new", "--card", "old", "--attach", "photo.jpg")
        words = ("plant.git", "booster-1", "--moment", "as-left", *copies, "--by", "Ada Lind", "--key", "id")
        assert run("store", *words).exit_code == 0
        Path("secret").mkdir()
        Path("secret/x.st").write_bytes(b"PROGRAM Another\nVAR\n  zebra : BOOL;\nEND_VAR\nEND_PROGRAM\n")
        words = ("plant.git", "other", "--moment", "as-left", "--running", "secret", "--by", "Eve")
        assert run("store", *words).exit_code == 0
        words = ("plant.git:booster-1", "--to", "ho", "--key", "id", "--by", "Ada Lind <ada@example.org>")
        done = run("handover", *words)
        assert done.exit_code == 0, done.output
    finally:
        os.chdir(before)
    return folder


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, handed: Path) -> Path:
    """A copy of the hand-over, beside its archive; the folder above it is the current one."""
    shutil.copytree(handed, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    return tmp_path / "ho"
