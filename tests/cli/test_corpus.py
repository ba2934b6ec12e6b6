"""Every real export of ../shared/corpus is stored, shown and restored byte for byte."""

from __future__ import annotations

from pathlib import Path

import pytest
from stored_visit import Run

CORPUS = Path(__file__).resolve().parents[2].parent / "shared" / "corpus"
pytestmark = pytest.mark.skipif(not CORPUS.is_dir(), reason="../shared is absent")


def test_every_export_is_stored_shown_and_restored(run: Run) -> None:
    files = sorted(path for path in CORPUS.rglob("*") if path.suffix in (".xml", ".st"))
    assert len(files) > 20
    run("init", "plant.git")
    for number, path in enumerate(files, 1):
        stored = run("store", "plant.git", "all", "--moment", "routine", "--running", path, "--by", "A")
        assert stored.exit_code == 0, f"{path}: {stored.output}"
        shown = run("show", f"plant.git:all@{number}", "--quiet")
        assert shown.exit_code == 0 and shown.stdout.startswith("(* ==== "), path
        assert run("compare", f"plant.git:all@{number}", path).exit_code == 0, path
        assert run("restore", f"plant.git:all@{number}", "--to", f"out/{number}").exit_code == 0
        assert (Path("out") / str(number) / "running" / path.name).read_bytes() == path.read_bytes()
