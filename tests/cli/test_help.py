"""Help, version, and what they load."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from stored_visit import Run

import asfound
from asfound.cli import main
from asfound.cli.main import app

COMMANDS = [info.callback.__name__.replace("_", "-") for info in app.registered_commands if info.callback]
HEAVY = ("lxml", "z3", "lark", "git", "deepdiff", "msgspec", "rich", "cryptography", "typst")


HELP = """\
To begin:
  demo       Play a visit through at an invented waterworks.
  init       Make a new, empty archive.

On arrival and on leaving:
  store      Store what a station holds: exact bytes and normal form.
  history    List the records, the latest first.
  show       Print all that was understood of a copy, as text.

What changed, and what hangs on it:
  compare    Say what differs, and what effect it has.
  where      Say where a name or an address is declared, read and written.
  inspect    Look for overlaps, doubtful tags and hardware, values, forces.

Before a reset or a download:
  note       Store what a person sees on the panel of a controller.
  ready      Say READY or NOT READY before a reset or a download, and why.
  checklist  Write one page to sign by hand, with the values of the station.
  restore    Write the exact files of a record back.

Proof for the client:
  attest     State what a station held and what differs from before.
  handover   Write a folder for a client: files, report, statement, history.
  verify     Check a statement or a hand-over; say what is proved.
  key        Make a key to sign with, or show how others recognise one.

Looking after archives:
  watch      Store a record whenever an export lands in a folder.
  check      Read a whole archive and compare it with what vouches for it.
  sync       Exchange records with another archive.

Formats and tables:
  formats    List the formats that are read.
  profile    Propose how a table is to be read.

In an ordinary git repository:
  git-setup  Make git diff, log -p and blame show rungs.
"""


def test_the_help_lists_the_commands_by_task_one_line_each(run: Run) -> None:
    shown = run("--help").stdout
    assert HELP in shown
    assert not set("\x1b│╭─") & set(shown)


def test_every_command_stands_in_one_group() -> None:
    assert sorted(COMMANDS) == sorted(set(COMMANDS)), "a command stands twice"
    folder = Path(main.__file__).parent
    written = {p.stem for p in folder.glob("*.py") if "\ncommand = " in p.read_text("utf-8")}
    assert {name.replace("-", "_") for name in COMMANDS} == written


def test_a_narrow_terminal_wraps_the_summaries_and_cuts_nothing() -> None:
    shown = asfound_process("--help", COLUMNS="40").stdout.decode()
    assert max(map(len, shown.splitlines())) <= 52
    assert " ".join(HELP.split()) in " ".join(shown.split())


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
        f"{tmp_path / 'no.xml'}: is no file or folder, and no archive is named; check the name; for a record "
        "write ARCHIVE:STATION, or name the archive with --archive or ASFOUND_ARCHIVE.\n"
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
