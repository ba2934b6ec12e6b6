"""Help, version, and what they load."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from stored_visit import Run

import asfound
from asfound.cli.main import app

COMMANDS = [info.callback.__name__.replace("_", "-") for info in app.registered_commands if info.callback]
HEAVY = ("lxml", "z3", "lark", "git", "deepdiff", "msgspec", "rich", "cryptography", "typst")


def test_the_commands_stand_in_the_order_of_a_visit() -> None:
    assert COMMANDS == [
        "init",
        "store",
        "compare",
        "history",
        "show",
        "where",
        "inspect",
        "note",
        "ready",
        "checklist",
        "restore",
        "check",
        "sync",
        "attest",
        "handover",
        "verify",
        "key",
        "formats",
        "profile",
        "git-setup",
        "git-driver",
        "demo",
    ]


@pytest.mark.parametrize("command", COMMANDS)
def test_the_help_of_every_command_holds_a_real_example(run: Run, command: str) -> None:
    shown = run(command, "--help").stdout
    assert f"\n  Example:\n    asfound {command} " in shown
    example = shown.rsplit("asfound ", 1)[1].split()
    options = [word for word in example if word.startswith("--")]
    assert all(f"{option} " in shown.split("Example:")[0] for option in options)


def test_version(run: Run) -> None:
    assert run("--version").stdout == f"asfound {asfound.__version__}\n"


@pytest.mark.parametrize("words", [["--version"], ["--help"], *([c, "--help"] for c in COMMANDS)], ids=" ".join)
def test_version_and_help_load_nothing_heavy(words: list[str]) -> None:
    script = (
        "import sys\nfrom asfound.cli.main import app\n"
        "try:\n    app(sys.argv[1:])\nexcept SystemExit:\n    pass\n"
        f"print([m for m in {HEAVY!r} if m in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", script, *words], capture_output=True, text=True, check=True)
    assert done.stderr == "[]\n"


def asfound_process(*words: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "asfound", *words]
    return subprocess.run(command, capture_output=True, check=False, env={**os.environ, **environment})


def test_python_m_asfound_is_the_same_program(tmp_path: Path) -> None:
    done = asfound_process("show", str(tmp_path / "no.xml"))
    assert done.returncode == 2
    assert done.stderr.decode() == (
        f"{tmp_path / 'no.xml'}: is no file or folder, and no archive is named; write ARCHIVE:STATION, or name the "
        "archive with --archive or ASFOUND_ARCHIVE.\n"
    )


def test_piped_output_is_utf_8_whatever_the_console_speaks(tmp_path: Path) -> None:
    file = tmp_path / "süd.st"
    file.write_text("PROGRAM Main\nVAR\n  a : BOOL; (* Förderband ≥ 3 *)\nEND_VAR\na := TRUE;\nEND_PROGRAM\n", "utf-8")
    for encoding in ("cp437", "ascii"):
        done = asfound_process("show", str(file), "--quiet", PYTHONIOENCODING=encoding)
        assert done.returncode == 0, done.stderr
        assert "Förderband ≥ 3" in done.stdout.decode("utf-8")
        assert b"\r" not in done.stdout and b"\x1b" not in done.stdout


def test_a_closed_pipe_is_not_an_error_message() -> None:
    command = [sys.executable, "-m", "asfound", "formats", "--noise"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout is not None and process.stderr is not None
    process.stdout.close()
    assert process.stderr.read() == b""
    assert process.wait() == 2
