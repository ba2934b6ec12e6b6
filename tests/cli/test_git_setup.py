"""An ordinary repository shows rungs: git itself is asked, not us."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from stored_visit import FIRST, SECOND, Run

SOURCES = Path(__file__).parents[2] / "src"
SAMPLES = Path(__file__).parents[2] / "sample_exports" / "booster-1"


@pytest.fixture
def git(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """A new repository in a folder with a blank and an apostrophe in its name; ``git("diff")`` runs there."""
    folder = tmp_path / "Bert's exports"
    folder.mkdir()
    for key in [key for key in os.environ if key.startswith("GIT_")]:
        monkeypatch.delenv(key)
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    monkeypatch.setenv("PYTHONPATH", str(SOURCES))

    def typed(*words: str) -> subprocess.CompletedProcess[str]:
        identity = ["-c", "user.name=Ada", "-c", "user.email=ada@example.org"]
        return subprocess.run(
            ["git", *identity, *words], cwd=folder, capture_output=True, encoding="utf-8", check=False, timeout=60
        )

    assert typed("init", "-q").returncode == 0
    return typed  # type: ignore[return-value]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "Bert's exports"


def ladder(pou: str) -> bytes:
    return (SAMPLES / pou / "running" / "program.xml").read_bytes()


def committed(git: Run, folder: Path, name: str, *versions: bytes) -> None:
    for number, data in enumerate(versions):
        (folder / name).write_bytes(data)
        git("add", name)
        done = git("commit", "-qm", f"version {number}")
        assert done.returncode == 0, done.stderr


def test_diff_log_and_blame_show_rungs(run: Run, git: Run, folder: Path) -> None:
    assert run("git-setup", folder).exit_code == 0
    old, new = ladder("1-as-left-2025"), ladder("2-as-found-2026")
    committed(git, folder, "program.xml", old, new)
    bridged = next(line for line in git("log", "-p", "-1").stdout.splitlines() if line.startswith("+  P2_Permit := "))
    assert "Test_On" in bridged
    (folder / "program.xml").write_bytes(old)
    shown = git("diff").stdout
    assert f"-{bridged[1:]}" in shown.splitlines()
    assert "<" not in "".join(line[1:] for line in shown.splitlines() if line[:1] in "+-" and "xml" not in line)
    git("checkout", "-q", "program.xml")
    blamed = [line for line in git("blame", "-s", "program.xml").stdout.splitlines() if bridged[1:] in line]
    assert len(blamed) == 1 and not blamed[0].startswith("^")


def test_redrawn_or_exported_again_shows_no_difference(run: Run, git: Run, folder: Path) -> None:
    run("git-setup", folder)
    committed(git, folder, "main.st", FIRST)
    (folder / "main.st").write_bytes(FIRST.replace(b"\n", b"\r\n  "))
    assert [line for line in git("diff").stdout.splitlines() if line[:1] in "+-"] == []


def test_a_file_that_cannot_be_read_is_shown_as_it_is_and_said_to_be(run: Run, git: Run, folder: Path) -> None:
    run("git-setup", folder)
    (folder / "main.st").write_bytes(FIRST)
    git("add", ".")
    (folder / "main.st").write_bytes(b"PROGRAM Main\nVAR a : ;; BOOL\n")
    shown = git("diff").stdout
    assert "+(* not read by asfound, shown as it is: " in shown
    assert "+VAR a : ;; BOOL" in shown


def test_a_commit_of_a_damaged_export_is_refused(run: Run, git: Run, folder: Path) -> None:
    run("git-setup", folder)
    (folder / "süd").mkdir()
    (folder / "süd" / "half.xml").write_bytes(ladder("1-as-left-2025")[:5000])
    (folder / "note.txt").write_bytes(b"not an export\n")
    git("add", ".")
    done = git("commit", "-m", "half")
    assert done.returncode == 1
    assert "süd/half.xml: " in done.stderr and "Traceback" not in done.stderr
    assert git("log").returncode != 0
    (folder / "süd" / "half.xml").write_bytes(ladder("1-as-left-2025"))
    assert git("commit", "-m", "whole, but not staged").returncode == 1
    git("add", ".")
    assert git("commit", "-m", "whole").returncode == 0


def test_what_is_no_export_can_be_taken_out(run: Run, git: Run, folder: Path) -> None:
    run("git-setup", folder, "--for", "*.xml", "--for", "exports/**")
    (folder / "build.xml").write_bytes(b"<project/>")
    git("add", ".")
    refused = git("commit", "-m", "x")
    assert (refused.returncode, "info/attributes" in refused.stderr) == (1, True)
    with (folder / ".git" / "info" / "attributes").open("a") as lines:
        lines.write("build.xml !diff\n")
    assert git("commit", "-m", "x").returncode == 0


def test_the_difftool_tells_effects_also_of_a_new_file(run: Run, git: Run, folder: Path) -> None:
    run("git-setup", folder)
    committed(git, folder, "main.st", FIRST)
    (folder / "main.st").write_bytes(SECOND)
    (folder / "new.st").write_bytes(FIRST.replace(b"Main", b"Other"))
    git("add", "-N", "new.st")
    done = git("difftool", "--tool=asfound", "--no-prompt")
    assert "The machine may act differently" in done.stdout, done.stderr
    assert "main.st\n" in done.stdout and "new.st\n" in done.stdout


def test_setting_up_twice_writes_the_same_and_keeps_what_others_wrote(run: Run, git: Run, folder: Path) -> None:
    attributes = folder / ".git" / "info" / "attributes"
    attributes.parent.mkdir(exist_ok=True)
    attributes.write_text("*.pdf binary", encoding="utf-8")
    run("git-setup", folder)
    first = [path.read_bytes() for path in (attributes, folder / ".git/config", folder / ".git/hooks/pre-commit")]
    run("git-setup", folder)
    assert first == [
        path.read_bytes() for path in (attributes, folder / ".git/config", folder / ".git/hooks/pre-commit")
    ]
    assert first[0].startswith(b"*.pdf binary\n# asfound begin\n")


def test_a_hook_of_somebody_else_is_not_touched(run: Run, git: Run, folder: Path) -> None:
    hook = folder / ".git" / "hooks" / "pre-commit"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text("#!/bin/sh\nexit 0\n", encoding="utf-8")
    done = run("git-setup", folder)
    assert hook.read_text(encoding="utf-8") == "#!/bin/sh\nexit 0\n"
    assert "is not touched; add this line to it: " in done.stderr


def test_no_module_of_the_repository_stands_in_for_ours(run: Run, git: Run, folder: Path) -> None:
    run("git-setup", folder)
    (folder / "typer.py").write_text("raise SystemExit('taken over')", encoding="utf-8")
    committed(git, folder, "main.st", FIRST)
    (folder / "main.st").write_bytes(SECOND)
    assert "a := NOT b;" in git("diff").stdout


def test_a_python_in_program_files_is_quoted_for_the_shell_of_git(monkeypatch: pytest.MonkeyPatch) -> None:
    from asfound.cli import git_setup

    monkeypatch.setattr(sys, "executable", "/Program Files/it's/python")
    assert git_setup.shell_command("text").startswith("""'/Program Files/it'"'"'s/python' -P -m asfound """)


def test_a_folder_without_repository_is_one_sentence(run: Run, tmp_path: Path) -> None:
    (tmp_path / "none").mkdir()
    done = run("git-setup", tmp_path / "none")
    assert done.exit_code == 2
    assert "`git init` makes a repository" in done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such names")
@pytest.mark.parametrize(
    "name", ["1:x.st", "0:x.st", ":x.st", ":/x.st", ":(top)x.st", "-x.st", "./:1:x.st", "a\nb.st", b"\xff.st"]
)
def test_a_name_that_git_may_take_for_another_thing_is_read_as_it_is_staged(
    run: Run, git: Run, folder: Path, name: str | bytes
) -> None:
    """Read as staged, not as it lies in the work tree, and refused once it is damaged."""
    run("git-setup", folder)
    file = folder / os.fsdecode(name)
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(FIRST)
    assert git("add", "--all", ".").returncode == 0
    done = git("commit", "-m", "whole")
    assert done.returncode == 0, done.stderr
    file.write_bytes(b"PROGRAM Main\nVAR a : ;; BOOL\n")
    git("add", "--all", ".")
    file.write_bytes(FIRST)
    done = git("commit", "-m", "damaged")
    assert done.returncode == 1 and "nothing is committed" in done.stderr
    assert "fatal" not in done.stderr and "git cat-file" not in done.stderr
    file.write_bytes(SECOND)
    shown = git("diff").stdout
    assert "a := NOT b;" in shown
