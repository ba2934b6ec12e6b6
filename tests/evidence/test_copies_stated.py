"""A statement and a hand-over are about what a controller runs, or say loudly that they are not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import Result

from .kit import FIRST, run, sentence

LOUD = (
    "THIS PROVES NOTHING ABOUT WHAT THE CONTROLLER RUNS: it is about the office copy, which was not read from the "
    "running controller."
)
BY = ("--by", "Ada Lind <ada@example.org>")


def said(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture
def office(plant: Path, tmp_path: Path) -> Path:
    """A station of which only the office project was ever stored, twice."""
    for number, data in enumerate((FIRST, FIRST.replace(b"a := b", b"a := NOT b")), 1):
        (tmp_path / f"project-{number}").mkdir()
        (tmp_path / f"project-{number}" / "main.st").write_bytes(data)
        assert store("desk-1", "as-left", "--office", f"project-{number}").exit_code == 0
    return plant


def store(station: str, moment: str, *more: str) -> Result:
    return run("store", "plant.git", station, "--moment", moment, *more, *BY)


@pytest.mark.parametrize("words", [("attest", "plant.git:desk-1"), ("handover", "plant.git:desk-1", "--to", "out")])
def test_without_a_running_copy_nothing_is_stated(office: Path, words: tuple[str, ...]) -> None:
    done = run(*words, *BY)
    assert (done.exit_code, done.stdout) == (2, "")
    assert said(done.stderr) == (
        "record 2 of station desk-1: holds no running copy, only office: nothing would be proved about the controller; "
        "name a record with a running copy; or --copy office, which states that copy and says so."
    )
    assert not Path("out").exists() and not list(Path().glob("desk-1*"))


@pytest.mark.parametrize("ref", [("plant.git:desk-1", "--copy", "office"), ("plant.git:desk-1:office",)])
def test_a_statement_about_the_office_copy_says_first_what_it_does_not_prove(
    office: Path, ref: tuple[str, ...]
) -> None:
    done = run("attest", *ref, *BY, "--quiet")
    assert (done.exit_code, said(done.stderr)) == (0, LOUD)
    text = Path("desk-1-2.txt").read_text(encoding="utf-8")
    assert said(text).startswith(f"STATEMENT ON THE PROGRAM OF A CONTROLLER {LOUD}")
    assert "neither side was read from the running controller" in said(text)
    assert json.loads(Path("desk-1-2.json").read_bytes())["predicate"]["caution"] == LOUD
    checked = run("verify", "desk-1-2.txt", "--unsigned")
    assert checked.exit_code == 0, checked.output
    assert LOUD in sentence(checked)


def test_a_statement_about_a_running_copy_warns_of_nothing(office: Path) -> None:
    assert run("attest", "plant.git:booster-1", *BY).stderr == ""
    assert "caution" not in json.loads(Path("booster-1-2.json").read_bytes())["predicate"]
    assert "THIS PROVES NOTHING" not in Path("booster-1-2.txt").read_text(encoding="utf-8")


def test_a_warning_that_was_altered_is_refused(office: Path) -> None:
    run("attest", "plant.git:desk-1", "--copy", "office", *BY)
    path = Path("desk-1-2.json")
    path.write_text(path.read_text(encoding="utf-8").replace(LOUD, "All is well."), encoding="utf-8")
    Path("desk-1-2.txt").unlink()
    done = run("verify", "desk-1-2.json", "--unsigned")
    assert done.exit_code == 1 and "warns of something else" in done.stdout
    written = path.read_text(encoding="utf-8").replace(',\n    "caution": "All is well."', "")
    path.write_text(written, encoding="utf-8")
    assert LOUD in sentence(run("verify", "desk-1-2.json", "--unsigned"))


def test_every_page_of_a_hand_over_of_the_office_copy_says_it(office: Path) -> None:
    done = run("handover", "plant.git:desk-1", "--copy", "office", "--to", "out", *BY)
    assert (done.exit_code, said(done.stderr)) == (0, LOUD)
    for name in ("index.html", "report.html", "statement.txt", "VERIFY.txt"):
        assert LOUD in said((Path("out") / name).read_text(encoding="utf-8")), name
    assert "What a controller holds" not in Path("out/index.html").read_text(encoding="utf-8")
    assert LOUD in sentence(run("verify", "out", "--unsigned"))


def test_the_newest_record_with_a_running_copy_is_stated_and_later_ones_are_named(office: Path) -> None:
    assert store("booster-1", "routine", "--office", "project-1").exit_code == 0
    done = run("attest", "plant.git:booster-1", *BY)
    assert done.stdout.startswith("stated booster-1 record 2 ")
    assert said(done.stderr) == "booster-1 record 3, later than record 2, holds no running copy"
    assert "record 3, later than record 2, holds no running copy" in said(Path("booster-1-2.txt").read_text("utf-8"))
    refused = run("attest", "plant.git:booster-1@3", *BY)
    assert refused.exit_code == 2 and "holds no running copy, only office" in said(refused.stderr)


def test_copy_and_reference_must_not_contradict_each_other(office: Path) -> None:
    done = run("attest", "plant.git:desk-1:office", "--copy", "card", *BY)
    assert (done.exit_code, said(done.stderr)) == (
        2, "plant.git:desk-1:office: names the copy 'office', and --copy another; leave one of them out.",
    )  # fmt: skip
    odd = run("attest", "plant.git:desk-1", "--copy", "desk", *BY)
    assert said(odd.stderr) == "'desk' is no copy; a copy is one of running, card, office."
