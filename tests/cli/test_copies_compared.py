"""Which copies are compared, and that every report says it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from stored_visit import FIRST, Run

CROSSED = "The office copy is compared with the running copy: two places of a program, not one place at two moments."


def store(run: Run, moment: str, **copies: str) -> None:
    words = [word for name, folder in copies.items() for word in (f"--{name}", folder)]
    done = run("store", "plant.git", "booster-1", "--moment", moment, *words, "--by", "Ada")
    assert done.exit_code == 0, done.output


def said(text: str) -> str:
    return " ".join(text.split())


def test_an_office_project_stored_later_is_not_set_against_what_ran(run: Run, plant: Path) -> None:
    """Record 1 as left: running and card; record 2 as found: running and office; record 3: the office project alone."""
    store(run, "routine", office="old")
    done = run("compare", "plant.git:booster-1@as-left", "plant.git:booster-1")
    text = said(done.stdout)
    assert text.startswith(
        "The machine may act differently: 1 change of behaviour. Compared: booster-1 record 1 (as-left, "
    )
    assert "with booster-1 record 2 (as-found, " in text and "), copy running of both. " in text
    assert "* booster-1 record 3, later than record 2, holds no running copy" in text
    assert done.stderr == ""


def test_the_record_of_a_moment_is_the_newest_that_holds_the_copy(run: Run, plant: Path) -> None:
    store(run, "as-left", office="new")
    text = said(run("compare", "plant.git:booster-1@as-left:card", "plant.git:booster-1@as-left:office").stdout)
    assert "booster-1 record 1 (as-left, " in text and "copy card, with booster-1 record 3 (as-left, " in text
    assert "neither side was read from the running controller" in text


def test_running_against_office_is_said_before_anything_else_in_every_report(run: Run, plant: Path) -> None:
    sides = ("plant.git:booster-1@2:office", "plant.git:booster-1@2:running")
    done = run("compare", *sides, "--html", "a.html", "--markdown", "a.md", "--pdf", "a.pdf")
    text = said(done.stdout)
    assert text.startswith(CROSSED)
    page = Path("a.html").read_text(encoding="utf-8")
    assert (
        page.index(CROSSED) < page.index("The machine may act differently") < page.index("Compared: booster-1 record 2")
    )
    review = Path("a.md").read_text(encoding="utf-8")
    assert review.index(CROSSED) < review.index("### The machine") < review.index("Compared: booster-1 record 2")
    document = json.loads(run("compare", *sides, "--json", "-").stdout)
    origins = [document[side]["origin"] for side in ("old", "new")]
    assert [(o["station"], o["record"], o["moment"], o["copy"]) for o in origins] == [
        ("booster-1", "2", "as-found", "office"), ("booster-1", "2", "as-found", "running"),
    ]  # fmt: skip


def test_one_named_copy_is_meant_on_both_sides(run: Run, plant: Path) -> None:
    done = run("compare", "plant.git:booster-1@1", "plant.git:booster-1@2:office")
    assert (done.exit_code, done.stdout) == (2, "")
    assert said(done.stderr) == (
        "plant.git:booster-1@1: holds no office copy to compare with that of plant.git:booster-1@2:office; it holds "
        "running, card; to compare one of these write it, such as plant.git:booster-1@1:running."
    )


def test_nothing_differs_is_never_said_of_a_record_with_itself_while_a_later_one_is_passed_over(
    run: Run, plant: Path
) -> None:
    same = run("compare", "plant.git:booster-1@as-found", "plant.git:booster-1")
    assert same.exit_code == 0
    assert "* both sides are one record: nothing was stored in between" in same.stdout
    store(run, "routine", office="old")
    refused = run("compare", "plant.git:booster-1@as-found", "plant.git:booster-1")
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert said(refused.stderr).startswith(
        "station booster-1: no record after record 2 holds a running copy, record 3 holds office; "
    )


def test_three_takes_the_copies_of_one_visit_from_several_records(run: Run, plant: Path) -> None:
    store(run, "as-found", card="old")
    document = json.loads(run("compare", "--three", "plant.git:booster-1", "--json", "-").stdout)
    assert document["stored"] == ["running", "card", "office"]
    assert [(each["copy"], each["record"]) for each in document["origins"]] == [
        ("running", "2"), ("card", "3"), ("office", "2"),
    ]  # fmt: skip
    first = said(run("compare", "--three", "plant.git:booster-1").stdout)
    assert first.startswith("booster-1 record 2 (as-found, ") and "): running and office; booster-1 record 3" in first
    alone = run("compare", "--three", "plant.git:booster-1@1")
    assert said(alone.stdout).startswith("booster-1 record 1 (as-left, ")


def test_a_download_is_compared_as_the_office_copy_unless_another_is_named(run: Run, plant: Path) -> None:
    words = ("ready", "plant.git", "booster-1", "--for", "download", "--new")
    assert "booster-1@2:office: 1 changes" in said(run(*words, "plant.git:booster-1").stdout)
    assert "booster-1@2:running holds what is running" in said(run(*words, "plant.git:booster-1:running").stdout)


@pytest.mark.parametrize("side", ["old", "plant.git:booster-1"])
def test_a_record_beside_a_folder_is_named_too(run: Run, plant: Path, side: str) -> None:
    Path("other").mkdir()
    Path("other/main.st").write_bytes(FIRST)
    text = said(run("compare", side, "other").stdout)
    assert ("Compared: booster-1 record 2" in text) == (side != "old")
