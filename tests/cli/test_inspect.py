"""``asfound inspect``: the report, the JSON document, the exit code."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from stored_visit import Run

import asfound

MODULES = "Slot;Module;Input start;Input length (bytes)\n1;AI 1;64;16\n2;CT 1;76;8\n"


@pytest.fixture
def station(run: Run) -> Path:
    Path("up").mkdir()
    Path("up/modules.csv").write_text(MODULES, encoding="utf-8")
    return Path("up")


def test_the_report(run: Run, station: Path) -> None:
    done = run("inspect", station)
    assert (done.exit_code, done.stderr) == (1, "")
    assert done.stdout.startswith(
        "1 error.\n"
        "\n"
        "Errors\n"
        "  ! device modules / Rack / slot 1 AI 1 [module overlap]\n"
        "    AI 1 and CT 1 both claim input bytes 76 to 79\n"
        "      Because: whatever reads them cannot tell the two apart\n"
        "      module slot 1 AI 1 (input bytes 64 to 79)\n"
        "      module slot 2 CT 1 (input bytes 76 to 83)\n"
        "\n"
        "What this inspection cannot vouch for\n"
    )
    assert run("inspect", station, "--quiet").stdout == "1 error.\n"


def test_the_exit_code_follows_the_severity(run: Run, station: Path) -> None:
    Path("up/modules.csv").write_text("Slot;Module\n1;A\n4;B\n", encoding="utf-8")
    assert run("inspect", station).exit_code == 0
    assert run("inspect", station, "--fail-on", "note").exit_code == 1
    Path("up/forces.csv").write_text("Name;Forced value\nA;1\n", encoding="utf-8")
    assert run("inspect", station).exit_code == 1
    assert run("inspect", station, "--fail-on", "error").exit_code == 0
    assert run("inspect", station, "--fail-on", "loud").stderr == (
        "'loud' is no severity; write one of note, warning, error.\n"
    )


def test_the_json_document_is_valid(run: Run, station: Path) -> None:
    document = json.loads(run("inspect", station, "--json", "-").stdout)
    assert (document["schema"], document["reference"]) == ("asfound/inspection/1", "up")
    assert document["counts"] == {"note": 0, "warning": 0, "error": 1}
    assert document["findings"][0]["check"] == "module overlap"
    schema = json.loads((Path(__file__).parents[2] / "schemas" / "inspection.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(document)


def test_a_record_of_an_archive(run: Run, plant: Path) -> None:
    done = run("inspect", "plant.git:booster-1@1:card")
    assert done.exit_code == 0
    assert done.stderr.startswith("booster-1 record 1 (as-left, ")


def test_it_is_the_same_in_every_process(tmp_path: Path) -> None:
    names = " AND ".join(f"Name_{n}" for n in range(9))
    text = f"VAR_GLOBAL g : BOOL; END_VAR\nPROGRAM P\nVAR a : BOOL; END_VAR\na := {names} AND g;\nEND_PROGRAM\n"
    (tmp_path / "p.st").write_text(text, encoding="utf-8")
    outputs = set()
    for seed in ("1", "2"):
        surroundings = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(asfound.__file__).parents[1])}
        command = [sys.executable, "-m", "asfound", "inspect", str(tmp_path / "p.st"), "--json", "-"]
        outputs.add(subprocess.run(command, env=surroundings, capture_output=True, check=False).stdout)
    assert len(outputs) == 1 and len(json.loads(outputs.pop())["findings"]) > 9


def test_compare_with_a_stated_tolerance(run: Run) -> None:
    Path("a.csv").write_text("Name;Actual\nSP;5.20\n", encoding="utf-8")
    Path("b.csv").write_text("Name;Actual\nSP;5.21\n", encoding="utf-8")
    assert "SP tuned: 5.20 -> 5.21" in run("compare", "a.csv", "b.csv").stdout
    within = run("compare", "a.csv", "b.csv", "--tolerance", "0.01", "--fail-on", "equivalent")
    assert within.exit_code == 0
    assert "within the stated tolerance" in within.stdout
    assert "numbers of value lists count as the same within 0.01, as stated" in within.stdout
    assert run("compare", "a.csv", "b.csv", "--tolerance", "1%").stderr == (
        "'1%' is no tolerance; write a number with a point, such as 0.01.\n"
    )
