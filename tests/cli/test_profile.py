"""``asfound profile`` and ``--profile``: from a table nobody understands to one that is read in every record."""

from __future__ import annotations

from pathlib import Path

import pytest
from stored_visit import Run

TABLE = "Name;Address;Type\nStart;IN0;BOOL\nStop;IN17;BOOL\nRun;OUT3;BOOL\n"


@pytest.fixture
def table(run: Run) -> Path:
    Path("up").mkdir()
    Path("up/tags.csv").write_text(TABLE, encoding="utf-8")
    return Path("up/tags.csv")


def test_refused_proposed_saved_read_and_stored(run: Run, table: Path) -> None:
    refused = run("show", "up/tags.csv")
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert refused.stderr == (
        "tags.csv, row 2, column 2 (Address): the address 'IN0' is in no known form, like 3 of 3 addresses of this "
        "table; `asfound profile up/tags.csv` proposes how to read them.\n"
    )
    proposed = run("profile", table)
    assert (proposed.exit_code, proposed.stderr) == (0, "")
    assert "`asfound profile up/tags.csv`" in run("compare", "up", "up").stderr
    assert run("show", "up").exit_code == 2  # a proposal changes nothing
    saved = run("profile", table, "--to", "up/tags.profile.toml")
    assert saved.stderr == f"wrote {Path('up/tags.profile.toml')}: check it before you read the table with it\n"
    assert Path("up/tags.profile.toml").read_text(encoding="utf-8") == proposed.stdout
    assert "Stop,%IX2.1,BOOL," in run("show", "up").stdout
    run("init", "plant.git")
    assert run("store", "plant.git", "s", "--moment", "as-found", "--running", "up", "--by", "A").exit_code == 0
    assert "Stop,%IX2.1,BOOL," in run("show", "plant.git:s").stdout
    assert run("compare", "plant.git:s", "up").exit_code == 0


def test_a_profile_named_on_the_command_line_is_as_good_and_is_stored_too(run: Run, table: Path) -> None:
    run("profile", table, "--to", "mine.toml")
    for words in (("show", "up"), ("show", table)):
        assert "Run,%QX0.3,BOOL," in run(*words, "--profile", "mine.toml").stdout
    assert run("compare", "up", table, "--profile", "mine.toml").exit_code == 0
    run("init", "plant.git")
    words = ("store", "plant.git", "s", "--moment", "as-found", "--by", "A", "--profile", "mine.toml")
    assert run(*words, "--running", "up").exit_code == 0
    shown = run("show", "plant.git:s", "--profile", "mine.toml")
    assert "Run,%QX0.3,BOOL," in shown.stdout
    assert "plant.git:s: --profile is not used, a record carries the profiles it was stored with\n" in shown.stderr


def test_mistakes(run: Run, table: Path) -> None:
    Path("mine.toml").write_text('[columns]\nname = "N"\n', encoding="utf-8")
    assert run("show", table, "--profile", "mine.toml").stderr == (
        'mine.toml: is no profile; its first line must be schema = "asfound/profile/1"; '
        "`asfound profile TABLE` proposes one.\n"
    )
    assert run("profile", table, "--to", "mine.toml").stderr == (
        "mine.toml: exists already; name another file, or remove it first.\n"
    )
    assert run("profile", "up").stderr == "up: is a folder; name the one table in it.\n"
    assert (
        run("show", table, "--profile", "no.toml").stderr
        == "no.toml: does not exist; did you mean mine.toml? check the name.\n"
    )
    Path("up/mine.toml").write_text('schema = "asfound/profile/1"\n[columns]\nname = "N"\n', encoding="utf-8")
    Path("mine.toml").write_text('schema = "asfound/profile/1"\n[columns]\nname = "M"\n', encoding="utf-8")
    assert run("show", "up", "--profile", "mine.toml").stderr == (
        "mine.toml: a file of that name is among the exports; rename the profile.\n"
    )
