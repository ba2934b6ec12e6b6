"""The documents say what the program does."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

import asfound
from asfound.readers.registry import readers

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "src", "schemas", "tests", "sample_exports"}


def formats_table() -> str:
    """The formats table of the README, made from the list of readers."""
    rows = ["| format | files | holds | standard |", "| --- | --- | --- | --- |"]
    rows += [f"| {r.title} | {' '.join(r.suffixes)} | {r.holds} | {r.standard} |" for r in readers()]
    return "\n".join(rows)


def test_readme_lists_the_formats_that_are_read() -> None:
    assert formats_table() in README, f"put this into README.md:\n{formats_table()}"


def test_ci_runs_the_readmes_test_command() -> None:
    command = re.search(r"\| the tests \| `(.*?)` \|", README)
    assert command and command[1] in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_one_version_everywhere() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["version"] == asfound.__version__
    assert f"\n{asfound.__version__}: " in DEVELOPERS


def test_top_level_holds_what_was_agreed() -> None:
    found = {p.name for p in ROOT.iterdir() if not p.name.startswith(".") and p.name not in ("build", "dist")}
    assert found == TOP


def commands() -> list[str]:
    from asfound.cli.main import app

    return sorted(c.name or c.callback.__name__.replace("_", "-") for c in app.registered_commands if c.callback)


@pytest.mark.parametrize("name", commands())
def test_every_command_has_help_with_an_example(name: str) -> None:
    from asfound.cli.main import app

    result = CliRunner().invoke(app, [name, "--help"])
    assert result.exit_code == 0
    assert re.search(rf"asfound {name} \S+", result.output.partition("Example")[2]), result.output


def test_readme_shows_only_commands_that_exist() -> None:
    quoted = [a or b for a, b in re.findall(r"`([^`\n]+)`|^\$ (.*)$", README, re.M)]
    shown = {word for text in quoted for word in re.findall(r"asfound ([a-z][\w-]*)", text)}
    assert shown <= set(commands()), shown - set(commands())
