"""Every example in a docstring runs, and says what it says."""

from __future__ import annotations

import ast
import doctest
import importlib
from pathlib import Path

import pytest

import asfound

SOURCES = Path(asfound.__file__).parent
MODULES = sorted(
    ".".join(("asfound", *path.relative_to(SOURCES).with_suffix("").parts)).removesuffix(".__init__")
    for path in SOURCES.rglob("*.py")
    if ">>> " in path.read_text(encoding="utf-8")
)
PUBLIC = [
    *(f"model/{path.name}" for path in sorted((SOURCES / "model").glob("*.py"))),
    *(f"evidence/{path.name}" for path in sorted((SOURCES / "evidence").glob("*.py"))),
    "readers/reading.py",
    "compare/comparison.py",
    "compare/side_by_side.py",
    "analysis/crossreference.py",
    "compare/result.py",
    "archive/archive.py",
    "checks/findings.py",
    "checks/inspection.py",
]


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # an example needs no file of ours, and leaves none
    failed, tried = doctest.testmod(importlib.import_module(name))
    assert tried > 0 and failed == 0


def test_no_example_is_skipped() -> None:
    assert not [path.name for path in SOURCES.rglob("*.py") if "doctest:" in path.read_text(encoding="utf-8")]


def test_the_entrances_have_examples() -> None:
    assert {
        "asfound",
        "asfound.archive.archive",
        "asfound.checks.inspection",
        "asfound.compare.comparison",
        "asfound.analysis.crossreference",
        "asfound.model.problem",
        "asfound.readers.reading",
    } <= set(MODULES)


@pytest.mark.parametrize("name", PUBLIC)
def test_what_is_public_says_what_it_is_and_what_it_raises(name: str) -> None:
    tree = ast.parse((SOURCES / name).read_text(encoding="utf-8"))
    silent = []
    for node in ast.walk(tree):
        if not isinstance(node, ast.ClassDef | ast.FunctionDef) or node.name.startswith("_"):
            continue
        text = ast.get_docstring(node) or ""
        raises = isinstance(node, ast.FunctionDef) and any(map(_raises_problem, ast.walk(node)))
        if len(text.split()) < 2 or (raises and "Problem" not in text):
            silent.append(node.name)
    inner = {"attempt"}  # a function inside a function
    assert set(silent) <= inner


def _raises_problem(node: ast.AST) -> bool:
    raised = node.exc if isinstance(node, ast.Raise) else None
    return isinstance(raised, ast.Call) and isinstance(raised.func, ast.Name) and raised.func.id == "Problem"
