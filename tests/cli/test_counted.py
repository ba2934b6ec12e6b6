"""How words are counted, at the keyboard: where, inspect, compare, ready, and what station.toml states."""

from __future__ import annotations

from pathlib import Path

import pytest
from stored_visit import Run

WORDS = "VAR a AT %IW0 : INT; b AT %IW1 : INT; c AT %IW2 : INT; y AT %QW0 : INT; END_VAR"
BYTES = "VAR a AT %IW0 : INT; b AT %IW2 : INT; c AT %IW3 : INT; y AT %QW0 : INT; o AT %QW2 : INT; END_VAR"
NONE = "VAR a AT %IW0 : INT; c AT %IX1.0 : BOOL; w AT %IW7 : INT; y AT %QW0 : INT; END_VAR"
HEAD = 'schema = "asfound/station/1"\nname = "booster-1"\n'


def program(name: str, declared: str) -> None:
    Path(name).write_text(f"PROGRAM P {declared} y := a; END_PROGRAM", encoding="utf-8")


def test_inspect_finds_no_overlap_and_says_why(run: Run) -> None:
    program("p.st", WORDS)
    shown = run("inspect", "p.st").stdout
    assert "overlap" not in shown
    assert "  * words are counted by word: %IW0, %IW1, %IW2 are neighbours one apart\n" in shown


def test_where_names_no_neighbour(run: Run) -> None:
    program("p.st", WORDS)
    done = run("where", "%IW1", "p.st")
    assert "b AT %IW1" in done.stdout and "%IW0" not in done.stdout and "%IW2" not in done.stdout
    assert "limit: words are counted by word: " in done.stderr


def test_where_marks_what_is_not_known(run: Run) -> None:
    program("p.st", "VAR a AT %IW1 : INT; b AT %IX2.0 : BOOL; y : INT; END_VAR")
    shown = run("where", "a", "p.st").stdout
    assert "Perhaps also reached as b (%IX2.0): whether words are counted by byte or by word is not known" in " ".join(
        shown.split()
    )
    assert "b AT %IX2.0 : BOOL; (perhaps)" in shown


def table(*rows: str) -> None:
    Path("tags.csv").write_text("Name,Address,Type\n" + "".join(f"{row}\n" for row in rows), encoding="utf-8")


def test_inspect_notes_what_is_not_known(run: Run) -> None:
    table("A,%IW0,INT", "B,%IW1,INT", "C,%QW0,INT", "D,%QW2,INT")
    done = run("inspect", "tags.csv")
    assert (done.exit_code, "A may share memory with B" in done.stdout) == (0, True), done.stdout
    assert "Errors" not in done.stdout and "Warnings" not in done.stdout


def stored(run: Run, settings: str = "") -> str:
    """An archive with tags that contradict each other, and what ``note`` said of the settings."""
    table("A,%IW0,INT", "B,%IW1,INT", "C,%QW0,INT", "D,%QW2,INT")
    Path("up").mkdir()
    Path("tags.csv").rename("up/tags.csv")
    assert run("init", "plant.git").exit_code == 0
    done = run("store", "plant.git", "booster-1", "--moment", "as-found", "--running", "up", "--by", "Bo")
    assert done.exit_code == 0, done.output
    if settings:
        Path("station.toml").write_text(HEAD + settings, encoding="utf-8")
        return str(run("note", "plant.git", "booster-1", "--settings", "station.toml", "--by", "Bo").stderr)
    return ""


@pytest.mark.parametrize(
    ("settings", "error", "said"),
    [
        ("", 0, "whether words are counted by byte or by word is not known"),
        ('[addresses]\nwords = "byte"\n', 1, "words are counted by byte, as station.toml states, although %IW0, %IW1"),
        ('[addresses]\nwords = "word"\n', 0, "words are counted by word, as station.toml states, although %QW0, %QW2"),
    ],
)
def test_station_toml_fixes_it_everywhere(run: Run, settings: str, error: int, said: str) -> None:
    assert stored(run, settings) == ""
    done = run("inspect", "plant.git:booster-1@1")
    assert (done.exit_code, "A lies across B" in done.stdout) == (error, bool(error)), done.stdout
    for words in (
        ("inspect", "plant.git:booster-1@1"),
        ("compare", "plant.git:booster-1@1", "plant.git:booster-1@1"),
        ("where", "%IW1", "plant.git:booster-1@1"),
        ("ready", "plant.git", "booster-1", "--for", "reset"),
    ):
        done = run(*words)
        assert said in " ".join(done.output.split()), words
    ready = " ".join(run("ready", "plant.git", "booster-1", "--for", "reset").stdout.split())
    assert ("A lies across B" in ready) == bool(error)


def test_an_unknown_way_is_refused(run: Run) -> None:
    said = stored(run, '[addresses]\nwords = "nibble"\n')
    assert said == (
        "station.toml: cannot be understood (Invalid enum value 'nibble' - at `$.addresses.words`); write words = "
        '"byte" or words = "word" in [addresses].\n'
    )
    assert run("show", "plant.git:booster-1").exit_code == 0
