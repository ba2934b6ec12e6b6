"""Running the commands in this process, and a stored visit to run them on."""

from __future__ import annotations

from pathlib import Path

import pytest
from stored_visit import FIRST, SECOND, Run
from typer.testing import CliRunner

from asfound.cli.main import app


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Run:
    """``run("history", "plant.git")`` in an empty folder; standard error is in ``result.stderr``."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ASFOUND_ARCHIVE", raising=False)
    monkeypatch.setenv("NO_COLOR", "1")
    return lambda *words, **more: CliRunner().invoke(app, [str(word) for word in words], prog_name="asfound", **more)


@pytest.fixture
def plant(run: Run, tmp_path: Path) -> Path:
    """``plant.git`` with two records of booster-1: running and card, then running and office."""
    for name, data in (("old", FIRST), ("new", SECOND)):
        (tmp_path / name).mkdir()
        (tmp_path / name / "main.st").write_bytes(data)
    assert run("init", "plant.git").exit_code == 0
    common = ("--by", "Ada Lind", "--note", "first visit")
    first = run("store", "plant.git", "booster-1", "--moment", "as-left", "--running", "old", "--card", "old", *common)
    second = run(
        "store", "plant.git:booster-1", "--moment", "as-found", "--running", "new", "--office", "old", "--by", "Bo Ek"
    )
    assert (first.exit_code, second.exit_code) == (0, 0), first.output + second.output
    return tmp_path / "plant.git"
