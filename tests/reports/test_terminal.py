from __future__ import annotations

import io
import re

import pytest
from rich.console import Console

from asfound.compare.result import Comparison
from asfound.reports import terminal

from .sample import CHANGES, comparison, reaching


def printed(made: Comparison, *, width: int = 80, quiet: bool = False, terminal_: bool = False, **more: object) -> str:
    stream = io.StringIO()
    console = Console(file=stream, width=width, force_terminal=terminal_, **more)  # type: ignore[arg-type]
    terminal.write(made, console, quiet=quiet)
    return stream.getvalue()


def test_report_of_one_change() -> None:
    assert (
        printed(comparison(CHANGES[:1]))
        == """\
The machine may act differently: 1 change of behaviour.
1 change: 1 of behaviour.
booster-1@as-left compared with booster-1.

Logic: PumpControl
  ~ PumpControl / rung 1 [may act differently]
    Contact BYPASS added in parallel to LOW_SUCTION_OK in the rung of PUMP_1.
      The interlock LOW_SUCTION_OK no longer stops PUMP_1 while BYPASS is TRUE.
      - |    START_1      STOP_1    LOW_SUCTION_OK    PUMP_1_FAULT    PUMP_1
      - ++-----| |-----+----|/|-----------| |--------------|/|----------( )
      - ||  PUMP_1     |
      - |+----| |------+
      + |    START_1      STOP_1      LOW_SUCTION_OK      PUMP_1_FAULT    PUMP_1
      + ++-----| |-----+----|/|----+--------| |--------+-------|/|----------( )
      + ||  PUMP_1     |           |+ BYPASS           |
      + |+----| |------+           +----| |------------+
      With BYPASS=TRUE and LOW_SUCTION_OK=FALSE and START_1=TRUE and STOP_1=FALSE: before
      PUMP_1=FALSE, now PUMP_1=TRUE
      Can reach 2 outputs:
        PUMP_1 (%QX0.0), written directly
        PUMP_1 -> PUMP_RUNS -> STATION_READY (%QX0.3)

What this comparison cannot vouch for
  * The library Util is linked as newest: its code is not part of the export.
  * The export has no tasks: how often PumpControl runs is not known.
"""
    )


def test_quiet_is_the_verdict_and_the_counts() -> None:
    assert printed(comparison(), quiet=True) == (
        "The machine may act differently: 8 changes of behaviour.\n"
        "12 changes: 8 of behaviour, 2 undecided, 1 proved to act the same, 1 of documentation.\n"
    )


@pytest.mark.parametrize(
    ("verdict", "sentence"),
    [
        ("identical", "Nothing differs: both are the same bytes."),
        ("noise", "Nothing that matters differs: only data such as ids, time stamps and positions changed."),
    ],
)
def test_nothing_differs(verdict: str, sentence: str) -> None:
    assert printed(comparison((), verdict)).splitlines()[0] == sentence


def test_what_follows_hangs_under_its_cause() -> None:
    lines = printed(comparison()).splitlines()
    cause = lines.index("  @ Inputs / LOW_SUCTION_OK [may act differently]")
    follower = lines.index("      ~ PumpControl / rung 4 [may act differently]")
    assert cause < follower < lines.index("Hardware: Rack 0")


@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_is_wider_than_the_terminal(width: int) -> None:
    lines = printed(comparison(), width=width, terminal_=True, no_color=True, color_system=None).splitlines()
    assert all(len(line) <= width or _one_word(line) for line in lines), [x for x in lines if len(x) > width]


def _one_word(line: str) -> bool:
    return len(line.split()) <= 2


def test_piped_output_is_the_same_whatever_the_window_and_has_no_escapes() -> None:
    narrow, wide = printed(comparison(), width=40), printed(comparison(), width=200)
    assert narrow == wide
    assert "\x1b" not in narrow


def test_colour_only_adds_to_the_signs() -> None:
    coloured = printed(comparison(), terminal_=True, color_system="standard", no_color=False, width=100)
    assert "\x1b[" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == printed(comparison())


def test_ascii_console_shows_other_characters_escaped() -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="ascii", write_through=True)
    change = {**CHANGES[4], "summary": "Rung of VENTIL_ÖFFNEN added.", "after": "VENTIL := X;"}
    terminal.write(comparison((change,)), Console(file=stream))
    assert b"Rung of VENTIL_\\xd6FFNEN added." in raw.getvalue()


HOSTILE = ("\x1b[2J\x1b]0;title\x07", "[bold]markup[/bold] :smile:", "line\nbreak\r\u202etxt")


@pytest.mark.parametrize("name", HOSTILE)
def test_names_from_exports_do_not_act_on_the_terminal(name: str) -> None:
    change = {
        **CHANGES[0],
        "where": name,
        "summary": name,
        "details": (name + "!",),
        "before": name,
        "after": "A := B;",
    }
    text = printed(comparison((change,)))
    assert not {"\x1b", "\x07", "\r", "\u202e"} & set(text)
    assert "[bold]" in text or "bold" not in name


def test_reach_of_the_cause_is_not_said_again() -> None:
    cause = {**CHANGES[6], **reaching("PUMP_1")}
    follower = {**CHANGES[7], "follows_from": 1, **reaching("PUMP_1")}
    assert printed(comparison((cause, follower))).count("Can reach") == 1
