"""The page to sign by hand and the page of a judgement: what they hold, and on paper one page."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from asfound.checks.readiness.readiness import readiness
from asfound.checks.readiness.situation import PURPOSES, Note, Purpose, Second, Situation
from asfound.model.panel import Panel
from asfound.model.values import ActualValue, Force
from asfound.reports import checklist, readinesspage
from asfound.reports import readiness as terminal
from asfound.reports.words import CAUTIONS
from checks import ready_kit as kit

from .test_browser import BROWSER, run
from .test_html import Outline

TUNED = (ActualValue("Set", "5.8", "5.2", "bar"), ActualValue("<b>x</b>", "1", "0"))
USUAL = kit.running(values=TUNED, forces=kit.FORCE)(kit.FINE)
ENDLESS = "An_Endless_Name_Of_Something_" * 12
WORST = kit.running(
    values=tuple(ActualValue(f"{ENDLESS}{n}", "5.8" * 20, "5.2" * 20, "bar") for n in range(30)),
    forces=tuple(Force(f"{ENDLESS}{n}", "TRUE" * 30, "%IX0.0") for n in range(30)),
)(replace(kit.FINE, second=Second(ENDLESS, kit.YESTERDAY, (ENDLESS,)), notes=(), new=None))


def page(s: Situation, station: str = "booster-1") -> str:
    return checklist.write(readiness(s, station, {}, CAUTIONS), s)


def test_the_values_of_the_station_are_filled_in() -> None:
    text = page(USUAL)
    for words in (
        "Checklist for a memory reset: booster-1",
        "CPU, part number X-1, firmware 1.2",
        "S@1:running, 2026-11-17 08:35",
        "ERR dark, COM dark, FRC dark, HALT dark, RUN lit, BATT dark, 24V lit, TEMP dark",
        "The card (1 kB) brings the program back: wait.",
        "<dt>Brought back by</dt><dd>the card</dd>",
        "2 Set: enter <b>5.8 bar</b>, not 5.2 bar",
        "3 &lt;b&gt;x&lt;/b&gt;: enter <b>1</b>, not 0",
        "5 Go (%IX0.0): force <b>TRUE</b>, if still meant",
        "OPEN Forces: the indicator of forces is dark, but forces are listed: Go",
        "Isolate and lock out",
        "Released for operation by",
    ):
        assert words in text


def test_a_value_is_written_whole_or_not_at_all() -> None:
    text = page(WORST)
    assert "2 An_Endless_Name_Of_S ...: enter as in the report" in text
    assert "5.85" not in text and "TRUET" not in text
    assert "48 more stand there only" in text


def test_what_is_not_known_is_left_to_be_filled_in() -> None:
    text = page(replace(kit.FINE, notes=(Note("S@2", kit.NOW, Panel(card="none")),)))
    assert "There is no card: load the program" in text
    assert "<dt>Indicators</dt><dd><span" in text
    assert re.search(r"<dt>Battery</dt><dd><span class=.?blank.?></span></dd>", text)


def steps(s: Situation) -> list[str]:
    return [text for text in re.findall(r"<li>(.*?)</li>", page(s)) if not text.startswith("OPEN")]


def test_the_steps_are_in_the_words_of_what_the_controller_has() -> None:
    battery = replace(kit.FINE, purpose="battery")
    assert "Indicator BATT dark. Write the date on the battery." in steps(battery)
    assert "Write the date on the battery." in steps(kit.without("battery")(battery))
    bare = steps(kit.station(indicators={}, switch={})(kit.FINE))
    for step in ("Controller to stop. Outputs are as expected.", "Log, display or tool show no new fault."):
        assert step in bare
    assert "No fault indicator is lit." in steps(kit.FINE) and "No fault indicator is lit." not in bare
    assert "Mode switch to RUN, with somebody watching the machine. Interlocks tried." in steps(kit.FINE)
    assert "Controller to stop. Outputs are as expected." in steps(kit.FINE), "its switch has no position for it"
    halt = steps(kit.station(switch={"Halt": "stop", "ON": "run"})(kit.FINE))
    assert "Mode switch to Halt. Outputs are as expected." in halt
    clock = "Date and time are set, and the zone if it has one."
    assert clock in steps(kit.FINE) and clock not in steps(kit.station(lacks=("clock",))(kit.FINE))
    assert "<dt>Indicators</dt>" not in page(kit.station(indicators={})(kit.FINE))


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ("card", "The card (1 kB) brings the program back: wait. If it does not, the program is in S@1:running."),
        (
            "built-in",
            "Built-in non-volatile memory brings the program back: wait. If it does not, the program is in S@1:running.",
        ),
        ("nothing", "Nothing brings the program back: load the program by the maker&#x27;s procedure; the program is"),
        ("", "What brings the program back is not stated. Wait; where nothing does, load the program by the maker"),
    ],
)
def test_what_brings_the_program_back_is_said_as_it_is_stated(place: str, said: str) -> None:
    text = page(kit.stated(reset=place)(kit.FINE))
    assert said in text
    assert ("<dt>Brought back by</dt><dd><span" in text) == (place == ""), "a line to fill in"


@pytest.mark.parametrize("purpose", PURPOSES)
def test_pages_are_well_formed_and_ask_for_nothing(purpose: Purpose) -> None:
    s = replace(WORST, purpose=purpose)
    judged = readiness(s, "booster-1", {"values": "advised"}, CAUTIONS)
    for text in (page(s), readinesspage.write(judged)):
        found = Outline(text)
        assert found.tags.count("main") == found.tags.count("h1") == 1
        assert {target[1:] for target in found.values("href")} <= set(found.values("id"))
        assert "default-src 'none'" in text and not re.search(r"https?://|<script|\bsrc=", text)
        assert all(caution.replace("'", "&#x27;") in text for caution in CAUTIONS)


def test_the_page_of_a_judgement_says_what_the_terminal_says() -> None:
    judged = readiness(replace(USUAL, purpose="download"), "booster-1", {}, CAUTIONS)
    text = readinesspage.write(judged)
    assert terminal.verdict(judged) in text
    for line in judged.checks:
        assert line.title in text and line.source in text
    assert text.count("To do:") == sum(bool(line.todo) for line in judged.checks)
    assert "<td>5.8 bar</td><td>5.2 bar</td>" in text


@pytest.mark.skipif(BROWSER is None, reason="no browser")
@pytest.mark.parametrize("paper", ["A4", "letter"])
@pytest.mark.parametrize(("s", "station"), [(USUAL, "booster-1"), (WORST, ENDLESS)], ids=["usual", "worst"])
def test_it_is_one_page_of_paper(tmp_path: Path, s: Situation, station: str, paper: str) -> None:
    text = page(s, station)
    assert "@page { margin" in text
    sized = text.replace("@page { margin: 10mm", f"@page {{ size: {paper}; margin: 10mm")
    run(tmp_path, sized, "--no-pdf-header-footer", f"--print-to-pdf={tmp_path / 'page.pdf'}")
    assert len(re.findall(rb"/Type\s*/Page\b", (tmp_path / "page.pdf").read_bytes())) == 1
