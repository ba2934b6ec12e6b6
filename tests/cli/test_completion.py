"""What a shell gets when Tab is pressed, asked the way each shell asks."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from stored_visit import FIRST, Run

from asfound.archive.archive import Archive
from asfound.archive.stations import branches_on_disk
from asfound.cli import completion
from asfound.cli.main import app
from asfound.model.copy import COPY_NAMES, MOMENTS

Asked = Callable[..., list[str]]


@pytest.fixture
def tab(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Asked:
    """The lines bash gets for these words, the last one unfinished; bash has taken them apart at ``:`` and ``@``."""

    def asked(*words: str) -> list[str]:
        monkeypatch.setenv("_ASFOUND_COMPLETE", "complete_bash")
        monkeypatch.setenv("COMP_WORDS", "\n".join(words))
        monkeypatch.setenv("COMP_CWORD", str(len(words) - 1))
        with pytest.raises(SystemExit) as ended:
            completion.answer(app)
        shown = capsys.readouterr()
        assert (ended.value.code, shown.err) == (0, "")
        return shown.out.split("\n")[:-1] if shown.out != "\n" else []

    return asked


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("asfound s", ["store", "show", "sync"]),
        ("asfound git-", ["git-setup"]),
        ("asfound show --q", ["--quiet"]),
        ("asfound show pl", ["plant.git:booster-1", "plant.git"]),
        ("asfound show plant.git :", ["booster-1"]),
        ("asfound show plant.git : boo", ["booster-1"]),
        ("asfound show plant.git : mixer", []),
        ("asfound show plant.git : booster-1 @ as", ["as-found", "as-left"]),
        ("asfound show plant.git : booster-1 @ as-left : ca", ["card"]),
        ("asfound show plant.git : booster-1 : ", []),
        ("asfound compare plant.git : booster-1 @ as-left plant.git : b", ["booster-1"]),
        ("asfound ready plant.git b", ["booster-1"]),
        ("asfound ready plant.git booster-1 --for d", ["download"]),
        ("asfound ready plant.git booster-1 --for download --new ne", []),
        ("asfound store plant.git booster-1 --moment as", ["as-found", "as-left"]),
        ("asfound compare old new --fail-on b", ["behaviour"]),
        ("asfound show --archive plant.git b", ["booster-1"]),
        ("asfound show --archive none.git b", []),
        ("asfound show nowhere/x", []),
        ("asfound nonsense x", []),
    ],
)
def test_what_bash_is_offered(plant: Path, tab: Asked, words: str, expected: list[str]) -> None:
    assert tab(*words.split(" ")) == expected


def test_a_whole_station_may_go_on_to_a_moment_or_a_copy(plant: Path, tab: Asked) -> None:
    moments, copies = [f"booster-1@{m}" for m in MOMENTS], [f"booster-1:{c}" for c in COPY_NAMES]
    assert tab("asfound", "show", "plant.git", ":", "booster-1") == ["booster-1", *moments, *copies]
    assert (completion.MOMENTS, completion.COPIES) == (MOMENTS, COPY_NAMES)


def test_the_archive_of_the_variable_is_asked(plant: Path, tab: Asked, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASFOUND_ARCHIVE", str(plant))
    assert tab("asfound", "history", "b") == ["booster-1"]
    assert tab("asfound", "show", "booster-1", "@", "r") == ["routine"]
    assert tab("asfound", "show", "") == ["booster-1", "plant.git:booster-1", "new", "old", "plant.git"]


def test_a_word_that_bash_was_told_not_to_divide_is_answered_whole(plant: Path, tab: Asked) -> None:
    assert tab("asfound", "show", "plant.git:boo") == ["plant.git:booster-1"]


def test_names_with_blanks_are_escaped_and_what_a_shell_would_act_on_is_not_offered(
    plant: Path, tab: Asked, run: Run
) -> None:
    Path("a.st").write_bytes(FIRST)
    for name in ("Mixer süd", "mixer $(reboot)", "mixer;x"):
        assert run("store", "plant.git", name, "--moment", "routine", "--running", "a.st", "--by", "A").exit_code == 0
    assert tab("asfound", "show", "plant.git", ":", "mix") == ["mixer\\ süd"]
    assert tab("asfound", "show", "plant.git", ":", "mixer\\ süd", "@", "r") == ["routine"]


def test_the_branches_are_read_as_git_reads_them(plant: Path, run: Run) -> None:
    Path("a.st").write_bytes(FIRST)
    assert branches_on_disk(plant) == ["booster-1"]
    subprocess.run(["git", "-C", str(plant), "pack-refs", "--all"], check=True)
    assert branches_on_disk(plant) == ["booster-1"]
    assert run("store", "plant.git", "a..b", "--moment", "routine", "--running", "a.st", "--by", "A").exit_code == 0
    with Archive.open(plant) as archive:
        assert branches_on_disk(plant) == sorted(archive.stations()) == ["a..b", "booster-1"]
    assert branches_on_disk(Path("nowhere")) == []


def asked_by(shell: str, **environment: str) -> subprocess.CompletedProcess[str]:
    surroundings = {**os.environ, "_ASFOUND_COMPLETE": f"complete_{shell}", **environment}
    command = [sys.executable, "-m", "asfound"]
    return subprocess.run(command, env=surroundings, capture_output=True, text=True, check=False, encoding="utf-8")


@pytest.mark.parametrize(
    ("shell", "environment", "expected"),
    [
        ("bash", {"COMP_WORDS": "asfound\nshow\nplant.git\n:\nb", "COMP_CWORD": "4"}, "booster-1\n"),
        ("zsh", {"_TYPER_COMPLETE_ARGS": "asfound show plant.git:b"}, '(("plant.git\\\\:booster-1"))'),
        (
            "fish",
            {"_TYPER_COMPLETE_ARGS": "asfound show plant.git:b", "_TYPER_COMPLETE_FISH_ACTION": "get-args"},
            "plant.git:booster-1\n",
        ),
        (
            "powershell",
            {"_TYPER_COMPLETE_ARGS": "asfound show plant.git:b", "_TYPER_COMPLETE_WORD_TO_COMPLETE": "plant.git:b"},
            "plant.git:booster-1::: \n",
        ),
    ],
)
def test_each_shell_is_answered_in_its_own_way(
    plant: Path, shell: str, environment: dict[str, str], expected: str
) -> None:
    done = asked_by(shell, **environment)
    assert (done.returncode, done.stderr) == (0, "")
    assert expected in done.stdout


@pytest.mark.parametrize(
    "environment",
    [{}, {"COMP_WORDS": "asfound show x", "COMP_CWORD": "many"}, {"COMP_WORDS": "asfound show 'x", "COMP_CWORD": "2"}],
)
def test_nothing_is_ever_said_to_a_person_who_is_typing(plant: Path, environment: dict[str, str]) -> None:
    done = asked_by("bash", **environment)
    assert done.stderr == "" and "Traceback" not in done.stdout


def test_completion_loads_nothing_heavy(plant: Path) -> None:
    script = (
        "import sys\nfrom asfound.cli.main import run\n"
        "try:\n    run()\nfinally:\n"
        "    print([m for m in ('lxml', 'git', 'msgspec', 'rich', 'z3', 'lark') if m in sys.modules], file=sys.stderr)"
    )
    environment = {"_ASFOUND_COMPLETE": "complete_bash", "COMP_WORDS": "asfound\nshow\nplant.git:", "COMP_CWORD": "2"}
    done = subprocess.run(
        [sys.executable, "-c", script], env={**os.environ, **environment}, capture_output=True, check=True
    )
    assert (done.stdout, done.stderr) == (b"plant.git:booster-1\n", b"[]\n")


@pytest.mark.skipif(not shutil.which("bash"), reason="no bash")
def test_bash_itself_with_the_script_it_is_given(plant: Path, tmp_path: Path) -> None:
    program = tmp_path / "asfound"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m asfound "$@"\n')
    program.chmod(0o755)
    script = (
        f'eval "$({program} --show-completion bash)"\n'
        "COMP_WORDS=(asfound show plant.git : booster-1 @ as)\nCOMP_CWORD=6\n"
        f'_asfound_completion {program}\nprintf "%s\\n" "${{COMPREPLY[@]}}"'
    )
    done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout == "as-found\nas-left\n"


def test_installing_writes_below_the_home_folder(tmp_path: Path) -> None:
    done = installing(tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "complete_fish" in (tmp_path / ".config/fish/completions/asfound.fish").read_text("utf-8")


def test_a_home_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "home").touch()
    done = installing(tmp_path / "home")
    folder = tmp_path / "home/.config/fish/completions"
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f"{folder}: cannot be written (Not a directory); use --show-completion.\n"


def installing(home: Path) -> subprocess.CompletedProcess[str]:
    """Install for fish, whatever shell runs the tests."""
    surroundings = {**os.environ, "HOME": str(home), "_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1"}
    command = [sys.executable, "-m", "asfound", "--install-completion", "fish"]
    return subprocess.run(command, env=surroundings, capture_output=True, text=True, check=False)


def test_outside_of_any_shell_it_could_not_be_done(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    import shellingham

    def nowhere() -> tuple[str, str]:
        raise shellingham.ShellDetectionFailure

    monkeypatch.setattr(shellingham, "detect_shell", nowhere)
    done = run("--show-completion")
    assert (done.exit_code, done.stdout) == (2, "")
    assert "not supported" in done.stderr
