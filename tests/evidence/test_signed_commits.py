"""Records stored with a key: their commits carry git's SSH signature."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from .kit import needs_openssh, run


def git(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(["git", "-C", "plant.git", *words], capture_output=True, text=True, check=False)


@pytest.fixture
def signed(plant: Path) -> Path:
    """A third record, signed; by somebody whose name git would tidy up."""
    words = ("plant.git", "booster-1", "--moment", "as-left", "--running", "old", "--key", "id")
    done = run("store", *words, "--by", "Ada Lind.", "--note", "line one\nline two")
    assert done.exit_code == 0, done.output
    return plant


@needs_openssh
def test_git_verifies_the_commit(signed: Path) -> None:
    trust = ("-c", f"gpg.ssh.allowedSignersFile={signed / 'signers'}")
    done = git(*trust, "verify-commit", "stations/booster-1")
    assert done.returncode == 0, done.stderr
    assert 'Good "git" signature for ada@example.org' in done.stderr
    assert git(*trust, "verify-commit", "stations/booster-1~1").returncode == 1
    assert git("fsck", "--full", "--strict").returncode == 0


def test_a_signed_record_is_one_like_any_other(signed: Path) -> None:
    assert run("check", "plant.git").exit_code == 0
    message = git("log", "-1", "--format=%an|%s|%b", "stations/booster-1").stdout
    unsigned = run("store", "plant.git", "other", "--moment", "as-left", "--running", "old", "--by", "Ada Lind.")
    assert unsigned.exit_code == 0
    other = git("log", "-1", "--format=%an|%s|%b", "stations/other").stdout
    assert message.split("|")[0] == other.split("|")[0]
    assert "line one\nline two" in message
    assert git("log", "--format=%s", "stations/booster-1").stdout.count("booster-1") == 3
