"""The decision table: every check in each state, alone and two at a time, and the verdict made of them.

What the checks ask for is common practice or from the sources named in asfound.checks.readiness.table.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import NamedTuple, get_args

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from ready_kit import (
    CARD,
    FINE,
    FORCE,
    HARDWARE,
    PROGRAM,
    RUNNING,
    YESTERDAY,
    Change,
    copies,
    held,
    lights,
    new,
    panel,
    replaced,
    running,
    stated,
    station,
    without,
)

from asfound.checks.readiness.outcome import State
from asfound.checks.readiness.situation import PURPOSES, New, Proof, Purpose, Second, Situation
from asfound.checks.readiness.table import CHECKS, LEVELS, NAMES, Line, judge, reasons, verdict
from asfound.compare.comparison import compare
from asfound.language.documents import parse_program
from asfound.model.hardware import AddressRange, Channel, Hardware, Module
from asfound.model.values import ActualValue


class Case(NamedTuple):
    """One change of a station that is in order; ``also`` are other checks that are open or fall away by it."""

    check: str
    state: State
    words: str
    change: Change
    also: tuple[str, ...] = ()
    purpose: Purpose = "reset"


def same(s: Situation) -> Situation:
    return s


def wired(kind: str, tag: str) -> Change:
    """The rack has a digital channel with the tag Go; the card and the download have this one."""
    was, now = (
        replaced(channels=(Channel(0, direction="input", kind=k, tag=t),)) for k, t in (("digital", "Go"), (kind, tag))
    )

    def change(s: Situation) -> Situation:
        brought = msgspec.structs.replace(CARD, hardware=now)
        found = running(hardware=was)(copies(card=held("card", brought))(s))
        return replace(found, new=New("new/", brought, compare(msgspec.structs.replace(CARD, hardware=was), brought)))

    return change


BARE = msgspec.structs.replace(CARD, tables=())
LARGE = PROGRAM.replace("Lamp := Start;", "\n".join(["Lamp := Start;"] * 80))
COPY_CHECKS = ("way-back", "agreement", "card-fits", "values", "hardware", "inspection", "running-today", "compatible")
CASES = (
    Case("running-today", "ok", "stored at 08:35 today", same),
    Case("running-today", "open", "is of 2026-11-16, not of 2026-11-17", copies(running=held("running", RUNNING, YESTERDAY))),
    Case("running-today", "open", "no running copy is stored", copies(running=None), COPY_CHECKS),
    Case("restorable", "ok", "6 files, 300 bytes (running, card, office) restored and compared", same),
    Case("restorable", "open", "S@1:card: lost", copies(card=held("card", CARD, proof=Proof(1, 0, "lost")))),
    Case("restorable", "open", "nothing is stored", copies(running=None, card=None, office=None), (*COPY_CHECKS, "documentation", "card")),
    Case("way-back", "ok", "`asfound restore S@1:running --to FOLDER`", same),
    Case("way-back", "open", "no running copy that can be restored", copies(running=held("running", RUNNING, proof=Proof(0, 0, "lost"))), ("restorable",)),
    Case("second-place", "ok", "all of it is also in stick (last sync 2026-11-17 08:35)", same),
    Case("second-place", "open", "was never exchanged", lambda s: replace(s, second=None)),
    Case("second-place", "open", "S@2 missing in the second place stick", lambda s: replace(s, second=Second("stick", YESTERDAY, ("S@2",)))),
    Case("documentation", "ok", "office: 4 names, 1 comments", same),
    Case("documentation", "open", "no copy holds names and comments", lambda s: running(tables=())(copies(card=held("card", BARE), office=held("office", BARE))(s))),
    Case("agreement", "ok", "running, card, office act the same", same),
    Case("agreement", "ok", "the differences are listed (1 replaced)", running(program=parse_program(PROGRAM.replace(":= Start", ":= NOT Start"), "p.st"))),
    Case("agreement", "ok", "no office copy is stored", copies(office=None)),
    Case("agreement", "ok", "no second copy to compare; no office", lambda s: panel(card="none")(copies(card=None, office=None)(s)), ("card", "card-fits", "comes-back")),
    Case("agreement", "ok", "no second copy to compare", lambda s: stated(reset="built-in")(copies(card=None, office=None)(s)), ("card-fits",)),
    Case("agreement", "open", "what would come back is not known", copies(card=None), ("card-fits",)),
    Case("agreement", "open", "the card copy is of 2026-11-16", copies(card=held("card", CARD, YESTERDAY))),
    Case("card-fits", "ok", "the hardware on the card is that of the running copy", same),
    Case("card-fits", "open", "module DI replaced: part number X-2 -> X-9", copies(card=held("card", msgspec.structs.replace(CARD, hardware=replaced(order_number="X-9"))))),
    Case("card-fits", "open", "module DI", copies(card=held("card", msgspec.structs.replace(CARD, hardware=replaced(addresses=(AddressRange("input", 4, 8),)))))),
    Case("card-fits", "open", "the card copy holds no hardware list", lambda s: running(hardware=Hardware())(copies(card=held("card", BARE_HARDWARE))(s)), ("hardware", "compatible")),
    Case("card-fits", "open", "the running copy holds no hardware list", running(hardware=Hardware()), ("hardware", "compatible")),
    Case("card-fits", "open", "the card copy holds no hardware list", lambda s: copies(card=held("card", BARE_HARDWARE))(s)),
    Case("card-fits", "not applicable", "there is no card", panel(card="none"), ("card", "comes-back")),
    Case("card-fits", "not applicable", "the card is not what brings the program back", stated(reset="nothing")),
    Case("values", "ok", "1 actual value stored, 0 tuned", same),
    Case("values", "ok", "1 tuned (listed below with the value to enter)", running(values=(ActualValue("Set", "5.8", "5.2", "bar"),))),
    Case("values", "open", "no actual values are stored", running(values=())),
    Case("comes-back", "ok", "the card brings the program back after a memory reset; according to: manual", same),
    Case("comes-back", "ok", "nothing brings the program back after a memory reset; according to: manual; the program is in S@1:running", stated(reset="nothing"), ("card-fits",)),
    Case("comes-back", "ok", "built-in non-volatile memory brings the program back after a memory reset, and no copy shows", stated(reset="built-in"), ("card-fits",)),
    Case("comes-back", "ok", "memory held by a battery brings the program back after a memory reset, and no copy", stated(reset="battery"), ("card-fits",)),
    Case("comes-back", "ok", "it is lost if the supply fails while the battery is out", stated(restart="battery"), ("card-fits",), "battery"),
    Case("comes-back", "ok", "who says so was not stated", stated(source="")),
    Case("comes-back", "ok", "brings the program back after a firmware update", same, purpose="firmware"),
    Case("comes-back", "ok", "brings the program back after power off and on", same, purpose="download"),
    Case("comes-back", "open", "after a memory reset is not stated for this station", stated(reset="")),
    Case("comes-back", "open", "after a firmware update is not stated for this station", stated(firmware=""), purpose="firmware"),
    Case("comes-back", "open", "but there is none", panel(card="none"), ("card", "card-fits")),
    Case("forces", "ok", "none are listed and the indicator is dark", same),
    Case("forces", "ok", "1 listed: Go; the indicator of forces is lit", lambda s: running(forces=FORCE)(lights(FRC="lit")(s))),
    Case("forces", "ok", "there is no indicator of forces; listed: none", without("forced")),
    Case("forces", "open", "the indicator of forces was not noted today (no forces are listed)", lights(FRC="")),
    Case("forces", "open", "the indicator of forces was not noted today (listed: Go)", lambda s: running(forces=FORCE)(lights(FRC="")(s))),
    Case("forces", "open", "the indicator of forces is lit, but no forces are listed", lights(FRC="lit")),
    Case("forces", "open", "the indicator of forces is flashing, but no forces are listed", lights(FRC="flashing")),
    Case("forces", "open", "is dark, but forces are listed: Go", running(forces=FORCE)),
    Case("forces", "open", "no indicator of forces, and no list", lambda s: running(sources=())(without("forced")(s))),
    Case("indicators", "ok", "RUN lit, 24V lit", same),
    Case("indicators", "ok", "HALT lit, 24V lit", lights(HALT="lit", RUN="dark")),
    Case("indicators", "ok", "RUN lit, 24V lit, TEMP flashing", lights(TEMP="flashing")),
    Case("indicators", "ok", "RUN lit, 24V lit", lambda s: lights(COM="", HALT="")(without("communication fault", "stopped")(s))),
    Case("indicators", "ok", "all dark", lambda s: lights(RUN="dark", V24="dark")(without("stopped", "power")(s))),
    Case("indicators", "ok", "explained: fan of the cabinet", lambda s: panel(explanation="fan of the cabinet")(lights(ERR="lit")(s))),
    Case("indicators", "open", "not noted today: COM, 24V", lights(COM="", V24="")),
    Case("indicators", "open", "ERR lit, RUN lit, 24V lit, and nobody has explained ERR", lights(ERR="lit")),
    Case("indicators", "open", "COM flashing", lights(COM="flashing")),
    Case("indicators", "open", "RUN lit: no indicator of a supply is lit", lights(V24="dark")),
    Case("indicators", "open", "HALT lit, RUN lit, 24V lit: both of running and stopped", lights(HALT="lit")),
    Case("indicators", "open", "24V lit: neither of running and stopped", lights(RUN="dark")),
    Case("indicators", "open", "RUN flashing, 24V lit, and nobody has explained RUN", lights(RUN="flashing")),
    Case("indicators", "open", "which indicators the controller has is not stated", lambda s: panel(indicators=())(station(indicators=None)(s)), ("forces",)),
    Case("indicators", "not applicable", "log, display or tool tell", station(indicators={})),
    Case("switch", "ok", "it stands at RUN", same),
    Case("switch", "ok", "it stands at REM: a tool may be allowed to change mode or program", panel(switch="REM", switch_role="program/remote")),
    Case("switch", "ok", "there is no mode switch; the operating mode is stop", lambda s: panel(switch="", switch_role="", mode="stop")(station(switch={})(s))),
    Case("switch", "open", "was not noted today", panel(switch="")),
    Case("switch", "open", "whether there is a mode switch is not stated, and the operating mode was not noted", lambda s: panel(switch="", switch_role="")(station(switch=None)(s))),
    Case("switch", "ok", "whether there is a mode switch is not stated; the operating mode is run", lambda s: panel(switch="", switch_role="", mode="run")(station(switch=None)(s))),
    Case("switch", "open", "there is no mode switch, and the operating mode was not noted today", station(switch={})),
    Case("switch", "open", "there is no mode switch, and the operating mode was not noted", lambda s: panel(switch="none", switch_role="none")(station(switch=None)(s))),
    Case("hardware", "ok", "2 modules, 1 with firmware; CPU, part number X-1, firmware 1.2", same),
    Case("hardware", "open", "no hardware list is stored", running(hardware=Hardware()), ("card-fits", "compatible")),
    Case("hardware", "open", "the firmware of CPU is not stated", lambda s: running(hardware=SILENT)(copies(card=held("card", msgspec.structs.replace(CARD, hardware=SILENT)))(s))),
    Case("hardware", "open", "the firmware of CPU 2 is not stated", lambda s: running(hardware=TWO)(copies(card=held("card", msgspec.structs.replace(CARD, hardware=TWO)))(s)), ("compatible",)),
    Case("card-fits", "ok", "the hardware on the card", wired("digital", "Other"), ("compatible", "stop")),
    Case("card-fits", "open", "input channel 0: tag Go -> Other (and 1 more)", wired("analog", "Other"), ("compatible", "stop")),
    Case("card-fits", "open", "input channel 0: kind digital -> analog", wired("analog", "Go"), ("compatible", "stop")),
    Case("compatible", "ok", "are those of the running copy", wired("digital", "Other"), ("stop",), "download"),
    Case("compatible", "open", "input channel 0: tag Go -> Other (and 1 more)", wired("analog", "Other"), ("card-fits", "stop"), "download"),
    Case("card", "ok", "1 kB; the program needs about 1 kB, what else is on it is not known", same),
    Case("card", "open", "was not noted today", panel(card="")),
    Case("card", "open", "little for a program of about", copies(card=held("card", msgspec.structs.replace(CARD, program=parse_program(LARGE, "p.st"))))),
    Case("card", "not applicable", "there is no card", panel(card="none"), ("card-fits", "comes-back")),
    Case("battery", "ok", "it is good", same),
    Case("battery", "ok", "it is low", panel(battery="low"), purpose="battery"),
    Case("battery", "open", "the battery was not noted today", panel(battery="")),
    Case("battery", "open", "it was noted as good, but the indicator BATT is lit", lights(BATT="lit")),
    Case("battery", "open", "the battery is low", panel(battery="low")),
    Case("battery", "not applicable", "there is no battery", panel(battery="none")),
    Case("battery", "not applicable", "there is no battery", lambda s: panel(battery="")(station(lacks=("battery",))(s))),
    Case("battery", "open", "there is no battery: nothing to change", station(lacks=("battery",)), purpose="battery"),
    Case("battery", "open", "there is no battery: nothing to change", panel(battery="none"), purpose="battery"),
    Case("card", "not applicable", "this controller takes no card", lambda s: panel(card="")(stated(reset="built-in")(station(lacks=("card",))(s))), ("card-fits",)),
    Case("card", "ok", "cartridge; whether the program fits is not known", panel(card="cartridge")),
    Case("forces", "not applicable", "this controller cannot force", lambda s: running(sources=())(station(lacks=("forces",))(s))),
    Case("forces", "ok", "1 listed: Go", lambda s: running(forces=FORCE)(lights(FRC="lit")(station(lacks=("forces",))(s)))),
    Case("safety", "not applicable", "there is no safety program", lambda s: panel(safety="")(station(lacks=("safety program",))(s))),
    Case("protection", "ok", "the passwords are known here (not stored)", same),
    Case("protection", "ok", "no password protects it", panel(protection="none")),
    Case("protection", "open", "whether passwords protect it was not noted", panel(protection="")),
    Case("protection", "open", "nobody here knows the passwords", panel(protection="unknown")),
    Case("safety", "ok", "signature or checksum A1B2: the matter is left to the competent person", same),
    Case("safety", "open", "whether there is a safety program was not noted today", panel(safety="")),
    Case("safety", "not applicable", "there is no safety program", panel(safety="none")),
    Case("voltage", "ok", "230 V", same),
    Case("voltage", "open", "was not noted", panel(voltage="")),
    Case("serials", "ok", "CPU 7", same, purpose="firmware"),
    Case("serials", "open", "no serial number was noted", panel(serials=()), purpose="firmware"),
    Case("inspection", "ok", "no errors found", same),
    Case("inspection", "open", "AI and DI both claim input byte 0", lambda s: running(hardware=CLASH)(copies(card=held("card", msgspec.structs.replace(CARD, hardware=CLASH)))(s))),
    Case("changes", "ok", "new/ holds what is running", same, purpose="download"),
    Case("changes", "ok", "1 changes, 1 behaviour; listed below", new(PROGRAM.replace(":= Start", ":= NOT Start")), purpose="download"),
    Case("changes", "open", "what is to be downloaded is not named", lambda s: replace(s, new=None), ("compatible", "stop"), "download"),
    Case("compatible", "ok", "are those of the running copy", same, purpose="download"),
    Case("compatible", "open", "hardware that is not in the rack: module DI replaced", new(hardware=replaced(order_number="X-9")), ("stop",), "download"),
    Case("compatible", "open", "one of the two holds no hardware list", new(hardware=Hardware()), ("stop",), "download"),
    Case("compatible", "not applicable", "there are not two copies", lambda s: replace(s, new=None), ("changes", "stop"), "download"),
    Case("stop", "ok", "nothing in it usually needs a stop", same, purpose="download"),
    Case("stop", "open", "it changes variables", new(PROGRAM.replace("Lamp : BOOL;", "Lamp : BOOL; More : INT := 3;")), purpose="download"),
    Case("stop", "open", "whether it changes the hardware is not known", new(hardware=Hardware()), ("compatible",), "download"),
    Case("stop", "not applicable", "is not named", lambda s: replace(s, new=None), ("changes", "compatible"), "download"),
)  # fmt: skip
BARE_HARDWARE = msgspec.structs.replace(CARD, hardware=Hardware())
SILENT = Hardware((msgspec.structs.replace(HARDWARE.devices[0], modules=(Module("CPU", 1, kind="CPU"),)),))
TWO = Hardware((
    msgspec.structs.replace(
        HARDWARE.devices[0], modules=(*HARDWARE.devices[0].modules, Module("CPU 2", 3, kind="CPU"))
    ),
))  # fmt: skip
CLASH = Hardware((
    msgspec.structs.replace(
        HARDWARE.devices[0],
        modules=(*HARDWARE.devices[0].modules, Module("AI", 3, addresses=(AddressRange("input", 0, 8),))),
    ),
))  # fmt: skip
ALL = dict.fromkeys(NAMES, LEVELS[0])
"""Everything mandatory, so that every check is seen for every purpose."""


def named(case: Case) -> str:
    return f"{case.check} {case.state}: {case.words[:30]}"


def states(s: Situation) -> dict[str, State]:
    return {line.check: line.state for line in judge(s, ALL)}


@pytest.mark.parametrize("case", CASES, ids=named)
def test_a_check_says_what_is_missing_and_no_other_check_minds(case: Case) -> None:
    before = replace(FINE, purpose=case.purpose)
    lines = {line.check: line for line in judge(case.change(before), ALL)}
    line = lines[case.check]
    assert (line.state, case.words in line.text) == (case.state, True), line.text
    assert bool(line.todo) == (line.state == "open"), "what is open says what to do, and nothing else does"
    assert line.source
    others = {name: lines[name].state for name in NAMES if name not in (case.check, *case.also)}
    assert others == {name: state for name, state in states(before).items() if name in others}


def test_a_station_in_order_is_in_order_for_every_purpose() -> None:
    for purpose in PURPOSES:
        assert set(states(replace(FINE, purpose=purpose)).values()) == {"ok"}


def test_the_table_of_cases_covers_every_check_in_both_states() -> None:
    assert {(case.check, case.state) for case in CASES} >= set(itertools.product(NAMES, ("ok", "open")))


OPEN = tuple(case for case in CASES if case.state == "open" and case.purpose != "battery")
_FIELDS = ("running", "card", "office", "notes", "second", "new", "side", "equipment")


def touched(case: Case) -> set[str]:
    before = replace(FINE, purpose=case.purpose)
    after = case.change(before)
    return {field for field in _FIELDS if getattr(before, field) != getattr(after, field)}


def test_two_things_that_are_missing_are_both_told() -> None:
    """All pairs of cases that change different parts of the situation."""
    count = 0
    alone = {case: {n for n, state in states(case.change(FINE)).items() if state == "open"} for case in OPEN}
    parts = {case: touched(case) - {"side"} for case in OPEN}
    for one, other in itertools.combinations(OPEN, 2):
        if parts[one] & parts[other] or "running" in parts[one] | parts[other]:
            continue
        found = other.change(one.change(FINE))
        both, lifted = reasons(judge(found, ALL)), {"card", "compatible", "stop"}
        if found.without_card():  # then no card copy is missed
            lifted |= {"agreement", "card-fits"}
        assert set(both) >= (alone[one] | alone[other]) - lifted, (named(one), named(other))
        count += 1
    assert count > 100


# --- levels and verdict -----------------------------------------------------------------------------------------

TABLE = """
                reset      download   firmware   battery
running-today   mandatory  mandatory  mandatory  mandatory
restorable      mandatory  mandatory  mandatory  mandatory
way-back        mandatory  mandatory  mandatory  mandatory
second-place    mandatory  mandatory  mandatory  mandatory
documentation   mandatory  mandatory  mandatory  advised
agreement       mandatory  advised    mandatory  mandatory
comes-back      mandatory  advised    mandatory  advised
card-fits       mandatory  off        mandatory  mandatory
values          mandatory  mandatory  mandatory  mandatory
forces          mandatory  mandatory  mandatory  advised
indicators      mandatory  mandatory  mandatory  mandatory
switch          mandatory  advised    mandatory  advised
hardware        mandatory  mandatory  mandatory  advised
card            mandatory  advised    mandatory  advised
battery         advised    advised    advised    mandatory
protection      mandatory  mandatory  mandatory  advised
safety          mandatory  mandatory  mandatory  mandatory
voltage         advised    off        advised    off
serials         off        off        advised    off
inspection      advised    advised    advised    off
changes         off        mandatory  off        off
compatible      off        mandatory  off        off
stop            off        advised    off        off
"""


def test_the_levels_when_a_station_says_nothing() -> None:
    heads, *rows = TABLE.strip().splitlines()
    assert tuple(heads.split()) == PURPOSES
    expected = {row.split()[0]: row.split()[1:] for row in rows}
    assert expected == {check.name: [check.level(purpose) for purpose in PURPOSES] for check in CHECKS}


def line(check: str, level: str, state: str) -> Line:
    return Line(check, check, level, state, "", (), "", "")  # type: ignore[arg-type]


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("state", get_args(State))
def test_only_an_open_mandatory_check_stands_in_the_way(level: str, state: str) -> None:
    stands = (level, state) == ("mandatory", "open")
    assert reasons([line("a", level, state)]) == (("a",) if stands else ())
    assert verdict([line("a", level, state)], understood=True) == ("not ready" if stands else "ready")
    assert verdict([line("a", level, state)], understood=False) == "not ready"


ROWS = st.tuples(st.sampled_from(NAMES), st.sampled_from(LEVELS), st.sampled_from(get_args(State)))


@given(st.lists(ROWS, max_size=30), st.booleans())
def test_the_verdict_is_a_function_of_the_table(rows: list[tuple[str, str, str]], understood: bool) -> None:
    lines = [line(*row) for row in rows]
    stands = [name for name, level, state in rows if level == "mandatory" and state == "open"]
    assert list(reasons(lines)) == stands
    assert verdict(lines, understood=understood) == ("ready" if understood and not stands else "not ready")


@pytest.mark.parametrize("case", OPEN, ids=named)
def test_a_station_can_switch_a_check_off_or_make_it_advice(case: Case) -> None:
    s = case.change(replace(FINE, purpose=case.purpose))
    for level in ("advised", "off"):
        assert case.check not in reasons(judge(s, {**ALL, case.check: level}))
    assert case.check in reasons(judge(s, ALL))
