"""The documents say what the program does."""

from __future__ import annotations

import ast
import io
import os
import re
import shutil
import subprocess
import sys
import tokenize
import tomllib
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

import asfound
import reference
from asfound.cli.main import app
from asfound.model.problem import DIFFERS, DONE, FAILED
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
    ignored = {line.strip("/") for line in (ROOT / ".gitignore").read_text(encoding="utf-8").split()}
    found = {p.name for p in ROOT.iterdir() if not p.name.startswith(".") and p.name not in ignored}
    assert found == TOP


def commands() -> list[str]:
    return sorted(c.name or c.callback.__name__.replace("_", "-") for c in app.registered_commands if c.callback)


@pytest.mark.parametrize("name", commands())
def test_every_command_has_help_with_an_example(name: str) -> None:
    result = CliRunner().invoke(app, [name, "--help"])
    assert result.exit_code == 0
    assert re.search(rf"asfound {name} \S+", result.output.partition("Example")[2]), result.output


def test_the_reference_in_the_readme_is_what_help_says() -> None:
    assert reference.written(README) == README, "run: python tests/reference.py"
    names = re.findall(r"^asfound ([a-z-]+)", README.partition(reference.BEGIN)[2].partition(reference.END)[0], re.M)
    assert sorted([*names, "git-driver"]) == commands()


def test_the_python_of_the_readme_runs_as_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (code,) = re.findall(r"^```python\n(.*?)^```$", README, re.M | re.S)
    shutil.copytree(ROOT / "sample_exports", tmp_path / "sample_exports")
    monkeypatch.chdir(tmp_path)
    demo = CliRunner().invoke(app, ["demo"])
    assert demo.exit_code == 0, demo.output
    done = subprocess.run([sys.executable, "-c", code], env=surroundings(), capture_output=True, text=True, check=True)
    lines = done.stdout.splitlines()
    assert lines[0] == "behaviour 13"
    assert any(line.startswith("PumpControl / rung 25 - P2_Permit: contact Test_On added") for line in lines)
    assert lines[-3:] == RECORDS


RECORDS = [
    "1 as-left 2025-10-14T15:20:00+02:00 ['running', 'card', 'office']",
    "2 as-found 2026-11-17T08:35:00+01:00 ['running', 'card', 'office']",
    "3 as-left 2026-11-17T16:05:00+01:00 ['running', 'card', 'office']",
]


def surroundings() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(ROOT / "src"), "PYTHONIOENCODING": "utf-8"}


def test_the_readme_says_every_exit_code() -> None:
    table = re.findall(r"^\| (\d+) \|", README.partition("| exit code |")[2].partition("\n\n")[0], re.M)
    sources = "".join(path.read_text("utf-8") for path in (ROOT / "src/asfound").rglob("*.py"))
    given = {str(code) for code in (DONE, DIFFERS, FAILED)} | set(re.findall(r"typer\.Exit\((\d+)\)", sources))
    assert set(table) == given == {"0", "1", "2", "130"}


def test_readme_shows_only_commands_that_exist() -> None:
    quoted = [a or b for a, b in re.findall(r"`([^`\n]+)`|^\$ (.*)$", README, re.M)]
    shown = {word for text in quoted for word in re.findall(r"asfound ([a-z][\w-]*)", text)}
    assert shown <= set(commands()), shown - set(commands())


FILE = re.compile(r"(?<![\w/.*{}<>~-])((?:[\w-]+/)*[\w-]+\.(?:py|md|lark|typ|css))\b(?![(/])")
FLOORS = "|".join(path.name for path in (ROOT / "src/asfound").iterdir() if path.is_dir())
MODULE = re.compile(rf"(?<![\w./])(?:asfound\.)?((?:{FLOORS})\.[a-z_]\w*(?:\.[a-z_]\w*)*)\b(?!\()")
FOLDER = re.compile(r"(?<![\w/.-])(?:[\w-]+/)+(?:[\w-]+(?:\.\w+)?)?")
MADE_UP = re.compile(r"NAME\.|report\.md$|review\.md$")
"""Files to be written, or made by an example."""


def remarks(path: Path) -> Iterator[str]:
    """What a file tells people: its comments and docstrings, or a whole document. Examples that run are left out."""
    text = path.read_text(encoding="utf-8")
    if path.suffix != ".py":
        yield text
        return
    yield from (t.string for t in tokenize.generate_tokens(io.StringIO(text).readline) if t.type == tokenize.COMMENT)
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str):
            yield re.sub(r"^\s*(>>>|\.\.\.).*$", "", node.value.value, flags=re.M)


def is_there(name: str, said_in: Path, near: Iterable[Path] = ()) -> bool:
    """A file below the folder of whoever names it or one above, or in a folder that is named beside it."""
    folders = [*said_in.parents, ROOT / "src/asfound", ROOT / "tests", *near]
    return any((folder / name).exists() for folder in folders)


def named_folders(text: str) -> list[Path]:
    """Folders that a text names, alone, before a file, or as one that lies below the first of them."""
    found = [name.rpartition("/")[0] if "." in name else name.rstrip("/") for name in FOLDER.findall(text)]
    tops = (ROOT, ROOT / "src", ROOT / "src/asfound", ROOT / "tests")
    return [top / folder for folder in [*found, *(f"{found[0]}/{each}" for each in found)] for top in tops]


def lost(path: Path) -> Iterator[str]:
    """Files that a document names where they are not: in a line of the layout, else anywhere in its section."""
    for section in re.split(r"^#+ ", path.read_text(encoding="utf-8"), flags=re.M):
        for line in section.splitlines():
            near = named_folders(line if re.match(r"  [a-z]+/ ", line) else section)
            yield from (n for n in FILE.findall(line) if not MADE_UP.search(n) and not is_there(n, path, near))


def is_module(name: str) -> bool:
    """A module or package, or a name in one."""
    found, *rest = ROOT / "src/asfound", *name.split(".")
    while rest and (found / rest[0]).is_dir():
        found /= rest.pop(0)
    inside = found / "__init__.py"
    return not rest or (found / f"{rest[0]}.py").exists() or rest[0] in re.findall(r"\w+", inside.read_text("utf-8"))


SPEAKING = [
    ROOT / "README.md",
    ROOT / "DEVELOPERS.md",
    *(p for top in ("src", "tests") for kind in ("*.py", "*.lark") for p in (ROOT / top).rglob(kind)),
]


@pytest.mark.parametrize("top", ["README.md", "DEVELOPERS.md", "src", "tests"])
def test_what_is_pointed_to_is_in_the_repository(top: str) -> None:
    """Files and modules; ``../shared`` is beside the repository, and tests skip without it."""
    missing = [f"{p.name}: {name}" for p in SPEAKING if p.name == top for name in lost(p)]
    for path in (p for p in SPEAKING if p.relative_to(ROOT).parts[0] == top):
        for text in remarks(path):
            named = FILE.findall(text) if path.suffix != ".md" else ()
            files = {name for name in named if not MADE_UP.search(name) and not is_there(name, path)}
            modules = {
                name
                for name in MODULE.findall(text)
                if name.split(".")[-1] not in ("py", "git") and not is_module(name)
            }
            missing += [f"{path.relative_to(ROOT)}: {name}" for name in sorted(files | modules)]
    assert missing == []
