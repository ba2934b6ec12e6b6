"""A profile that lies beside a table counts, although only the table was named."""

from __future__ import annotations

from pathlib import Path

from stored_visit import Run

TABLE = '"Run";"Q 0.3"\n"Door";"I 1.2"\n'
PROFILE = 'schema = "asfound/profile/1"\nfiles = ["{}"]\nheading = 0\n[columns]\nname = 1\naddress = 2\n'


def test_show_uses_the_profile_beside_the_table(run: Run, tmp_path: Path) -> None:
    (tmp_path / "t.csv").write_text(TABLE)
    (tmp_path / "t.profile.toml").write_text(PROFILE.format("t.csv"))
    done = run("show", str(tmp_path / "t.csv"))
    assert done.exit_code == 0
    assert "Run,%QX0.3,," in done.stdout
    assert "t.csv is read with t.profile.toml, which lies beside it" in done.stderr
    assert run("show", "--quiet", str(tmp_path / "t.csv")).stderr == ""


def test_a_profile_for_another_table_does_not_count(run: Run, tmp_path: Path) -> None:
    (tmp_path / "t.csv").write_text(TABLE)
    (tmp_path / "other.toml").write_text(PROFILE.format("other.csv"))
    done = run("show", str(tmp_path / "t.csv"))
    assert done.exit_code == 2
    assert "`asfound profile" in done.stderr.partition("asfound formats")[0]
