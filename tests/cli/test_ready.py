"""``asfound note``, ``ready`` and ``checklist`` over a real archive; the visit of the demonstration piece by piece."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

import jsonschema
import pytest
from stored_visit import Run

from asfound.archive.archive import Archive
from asfound.checks.readiness import gathering
from asfound.checks.readiness.table import reasons
from asfound.cli.demo import sample_exports
from asfound.model.panel import Panel
from asfound.model.station import ROLES, BringsBack
from asfound.readers.reading import gather

DAY = "2026-11-17"
TIME = datetime.fromisoformat(f"{DAY}T08:35:00+01:00")
EARLIER = Panel(
    system_fault="lit", bus_fault="dark", force="lit", stop="dark", run="lit", supply="lit", switch="run",
    card="256 kB", battery="low", voltage="230 V", protection="known", safety="none",
)  # fmt: skip
"""A note as it was stored before indicators had names of their own."""
SETTINGS = (sample_exports() / "booster-1" / "station.toml").read_bytes()
ROOT = Path(__file__).parents[2]


def files(record: str, copy: str) -> list[tuple[str, bytes]]:
    return gather(sample_exports() / "booster-1" / record / copy)


@pytest.fixture(scope="module")
def visit(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An archive as it is on arrival: three copies, nothing else."""
    folder = tmp_path_factory.mktemp("visit")
    with Archive.create(folder / "plant.git") as archive:
        copies = {name: files("2-as-found-2026", name) for name in ("running", "card", "office")}
        archive.store("booster-1", "as-found", copies, person="Bert", time=TIME)
    return folder / "plant.git"


def open_checks(run: Run, archive: Path, *more: str) -> list[str]:
    done = run("ready", archive, "booster-1", "--for", "reset", "--on", DAY, "--json", "-", *more)
    document = json.loads(done.stdout)
    assert done.exit_code == (0 if document["verdict"] == "ready" else 1), done.stderr
    validator = json.loads((ROOT / "schemas" / "readiness.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(validator).validate(document)
    return list(document["reasons"])


def test_the_visit_is_not_ready_for_what_was_planted_and_ready_when_the_pieces_are_stored(
    run: Run, visit: Path, tmp_path: Path
) -> None:
    unseen = ["forces", "indicators", "switch", "card", "protection", "safety"]
    assert open_checks(run, visit) == ["second-place", "comes-back", "card-fits", *unseen]
    with Archive.open(visit) as archive:
        archive.store("booster-1", "as-found", {}, panel=EARLIER, person="Bert", time=TIME)
    assert open_checks(run, visit) == ["second-place", "comes-back", "card-fits", "indicators"]
    said = ("--brings-back", "reset=card,restart=card", "--source", "tried")
    assert run("note", visit, "booster-1", *said).exit_code == 0
    assert open_checks(run, visit) == ["second-place", "card-fits", "indicators"]
    with Archive.open(visit) as archive:
        why = Panel(explanation="the battery is low")
        archive.store("booster-1", "routine", {}, panel=why, person="Bert", time=TIME)
    assert open_checks(run, visit) == ["second-place", "card-fits"]
    with Archive.open(visit) as archive:
        card = {"card": files("3-as-left-2026", "card")}
        archive.store("booster-1", "routine", card, person="Bert", time=TIME)
    assert open_checks(run, visit) == ["second-place"]
    assert run("init", "stick.git").exit_code == 0
    assert run("sync", visit, "stick.git").exit_code == 0
    assert open_checks(run, visit) == []
    done = run("ready", visit, "booster-1", "--for", "reset", "--on", DAY, "--understood")
    assert done.exit_code == 0
    assert done.stdout.startswith("READY for a memory reset of booster-1, as far as the checks below can tell.\n")
    assert "tuned value, SP_Pressure: 5.8 bar" in done.stdout
    assert "Isolate and lock out" in done.stdout


def test_the_state_of_an_earlier_record_is_judged_without_what_came_later(run: Run, visit: Path) -> None:
    done = run("ready", f"{visit}:booster-1@1", "--for", "reset", "--on", DAY, "--json", "-")
    found = json.loads(done.stdout)["reasons"]
    assert {"card-fits", "indicators", "switch", "safety"} <= set(found)


def test_a_card_that_is_no_longer_there_is_left_out(run: Run, plant: Path) -> None:
    """The first record of the plant holds a card copy."""
    with Archive.open(plant) as archive:
        assert gathering.gather(archive, "booster-1", "reset", DAY).card is not None
        archive.store("booster-1", "routine", {}, panel=Panel(card="none"), person="Bo", time=TIME)
        found = gathering.gather(archive, "booster-1", "reset", DAY)
    assert found.card is None and found.without_card()
    assert found.side is not None and found.side.stored == ("running", "office")


def test_a_restore_that_gives_other_bytes_is_found(visit: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Archive.open(visit) as archive:
        record = archive.record("booster-1", copy="office")
        assert gathering.prove(archive, record, "office").wrong == ""
        restore = archive.restore

        def altered(*words: object) -> object:
            done = restore(*words)  # type: ignore[arg-type]
            done[0].path.write_bytes(b"altered")
            return done

        monkeypatch.setattr(archive, "restore", altered)
        assert gathering.prove(archive, record, "office").wrong == "conversions.st came back with other bytes"
        monkeypatch.setattr(archive, "restore", lambda *words: restore(*words)[:-1])
        assert gathering.prove(archive, record, "office").wrong == "not all files came back"


def test_a_download_is_judged_by_what_it_changes(run: Run, visit: Path) -> None:
    new = f"{visit}:booster-1@1:office"
    done = run("ready", visit, "booster-1@1", "--for", "download", "--new", new, "--on", DAY, "--json", "-")
    document = json.loads(done.stdout)
    lines = {line["check"]: line for line in document["checks"]}
    assert (lines["changes"]["state"], lines["compatible"]["state"], lines["stop"]["state"]) == ("ok", "open", "open")
    assert any(change["effect"] == "behaviour" and change["reach"] for change in document["changes"])
    assert not any("statements" in change for change in document["changes"])
    shown = run("ready", visit, "booster-1@1", "--for", "download", "--new", new, "--on", DAY).stdout
    assert "What the download changes\n" in shown and "Can reach " in shown


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--for", "tea"), "'tea' is no purpose; write --for reset, download, firmware or battery."),
        (("--for", "reset", "--on", "1.1.26"), "'1.1.26' is no day; write --on YEAR-MONTH-DAY, such as 2026-03-31."),
        (
            ("--for", "reset", "--on", "2026-02-30"),
            "'2026-02-30' is no day; write --on YEAR-MONTH-DAY, such as 2026-03-31.",
        ),
        (("--for", "reset", "--new", "x"), "x: --new is for a download; write --for download."),
    ],
)
def test_words_that_mean_nothing(run: Run, visit: Path, words: tuple[str, ...], said: str) -> None:
    done = run("ready", visit, "booster-1", *words)
    assert (done.exit_code, done.stderr) == (2, f"{said}\n")


# --- settings ---------------------------------------------------------------------------------------------------

HEAD = 'schema = "asfound/station/1"\nname = "booster-1"\n'


def settings(run: Run, plant: Path, text: str) -> str:
    Path("station.toml").write_text(text, encoding="utf-8")
    done = run("note", plant, "booster-1", "--settings", "station.toml", "--by", "Bo")
    return str(done.stderr) if done.exit_code else ""


def test_a_station_says_which_checks_are_mandatory(run: Run, plant: Path) -> None:
    assert settings(run, plant, f'{HEAD}[ready.reset]\nswitch = "off"\nbattery = "mandatory"\ncard = "advised"\n') == ""
    document = json.loads(run("ready", plant, "booster-1", "--for", "reset", "--json", "-").stdout)
    lines = {line["check"]: line["level"] for line in document["checks"]}
    assert ("switch" in lines, lines["battery"], lines["card"]) == (False, "mandatory", "advised")
    assert document["settings"] == {"battery": "mandatory", "card": "advised", "switch": "off"}
    assert "battery" in document["reasons"] and "card" not in document["reasons"]
    shown = run("ready", plant, "booster-1", "--for", "reset").stdout
    assert "  Levels set in station.toml: battery mandatory, card advised, switch off\n" in shown
    other = json.loads(run("ready", plant, "booster-1", "--for", "firmware", "--json", "-").stdout)
    assert "switch" in {line["check"] for line in other["checks"]}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            '[ready.reset]\nswich = "off"\n',
            "station.toml: [ready.reset] names the unknown check 'swich'; the checks are ",
        ),
        ('[ready.reset]\nswitch = "maybe"\n', "station.toml: cannot be understood (Invalid enum value 'maybe'"),
        ("[ready.tea]\n", "station.toml: cannot be understood (Object contains unknown field `tea` - at `$.ready`)"),
        ("colour = 1\n", "station.toml: cannot be understood (Object contains unknown field `colour`)"),
        ("[[", "station.toml: is not valid TOML ("),
    ],
)
def test_settings_that_are_unknown_are_refused_by_name(run: Run, plant: Path, text: str, said: str) -> None:
    assert settings(run, plant, HEAD + text).startswith(said)


def test_settings_of_another_station_are_refused(run: Run, plant: Path) -> None:
    said = settings(run, plant, HEAD.replace("booster-1", "screens-1"))
    assert said == "station.toml: is for the station 'screens-1'; write name = \"booster-1\".\n"
    assert settings(run, plant, HEAD.replace("/1", "/9")).startswith("station.toml: has the schema asfound/station/9; ")


def test_the_schema_of_the_settings_knows_the_checks() -> None:
    schema = json.loads((ROOT / "schemas" / "station.json").read_text(encoding="utf-8"))
    validator = jsonschema.Draft202012Validator(schema)
    good = {"schema": "asfound/station/1", "name": "a", "ready": {"reset": {"switch": "off"}}}
    assert validator.is_valid(good)
    assert not validator.is_valid({**good, "ready": {"reset": {"swich": "off"}}})


# --- note -------------------------------------------------------------------------------------------------------


STATED = ("--indicators", "ERR=fault, COM = communication fault,FRC=forced,RUN=Running,24 V=power")
SWITCH = ("--positions", "ON=run,SERVICE=program/remote,OFF=stop")


def test_a_note_stores_what_was_seen_by_the_names_that_are_printed(run: Run, plant: Path) -> None:
    assert run("note", plant, "booster-1", *STATED, *SWITCH).exit_code == 0
    done = run(
        "note", plant, "booster-1", "--lit", "Run, 24  v", "--flashing", "frc", "--dark", "rest", "--switch", "service",
        "--card", "32 GB", "--serial", "CPU=A 1", "--explain", "two\nlines", "--by", "Bo",
    )  # fmt: skip
    assert (done.exit_code, done.stderr) == (0, "")
    with Archive.open(plant) as archive:
        (*_, record) = archive.records("booster-1")
    assert record.panel is not None and record.panel.lines() == (
        "indicator ERR (fault): dark", "indicator COM (communication fault): dark", "indicator FRC (forced): flashing",
        "indicator RUN (running): lit", "indicator 24 V (power): lit", "explanation: two lines",
        "switch: SERVICE (program/remote)", "card: 32 GB", "serial number of CPU: A 1",
    )  # fmt: skip
    assert "panel noted" in run("history", plant, "booster-1").stdout
    assert run("show", f"{plant}:booster-1").exit_code == 0, "the latest record with a copy is meant"


def test_what_is_stated_of_a_station_is_kept_and_added_to(run: Run, plant: Path) -> None:
    assert settings(run, plant, f'{HEAD}# by hand\n[ready.reset]\ncard = "advised"  # no slot\n') == ""
    assert run("note", plant, "booster-1", *STATED, "--brings-back", "reset=nothing").exit_code == 0
    words = ("--brings-back", "restart = built-in", "--source", "manual", "--positions", "none")
    assert run("note", plant, "booster-1", *words).exit_code == 0
    with Archive.open(plant) as archive:
        text = archive.settings("booster-1").decode()
        found = archive.equipment("booster-1")
    assert "# by hand\n" in text and 'card = "advised"  # no slot\n' in text
    assert found.switch == {} and found.brings_back == BringsBack("nothing", "built-in", "", "manual")
    assert list(found.indicators or ()) == ["ERR", "COM", "FRC", "RUN", "24 V"]
    lines = {
        x["check"]: x["text"]
        for x in json.loads(run("ready", plant, "booster-1", "--for", "reset", "--json", "-").stdout)["checks"]
    }
    assert lines["comes-back"].startswith("nothing brings the program back after a memory reset; according to: manual")
    assert lines["switch"] == "there is no mode switch, and the operating mode was not noted today"


def test_indicators_of_earlier_notes_are_known_where_nothing_is_stated(run: Run, plant: Path) -> None:
    with Archive.open(plant) as archive:
        archive.store("booster-1", "as-found", {}, panel=Panel(run="lit", bus_fault="absent"), person="B", time=TIME)
    done = run("note", plant, "booster-1", "--dark", "RUN")
    assert (done.exit_code, done.stderr) == (0, "") and "  indicator run (running): dark\n" in done.stdout
    assert run("note", plant, "booster-1", "--dark", "bus fault").stderr.startswith(
        "'bus fault' is no indicator of this"
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("--lit", "RUN"),
            f"the indicators of this station are not known; state them once, as printed on the device: --indicators 'ERR=fault,RUN=running'; roles: {', '.join(ROLES)}.",
        ),
        (
            (*STATED, "--lit", "RNU"),
            "'RNU' is no indicator of this station; its indicators are ERR, COM, FRC, RUN, 24 V; all are stated anew with --indicators.",
        ),
        (
            ("--indicators", "none", "--lit", "RUN"),
            "'RUN' is no indicator of this station; it has none; all are stated anew with --indicators.",
        ),
        ((*STATED, "--lit", "RUN", "--dark", "run"), "the indicator 'RUN' is named twice; name it once."),
        (
            ("--indicators", "ERR=red"),
            f"'ERR=red' is no indicator with its role; write NAME=ROLE, such as ERR=fault,RUN=running; the roles are {', '.join(ROLES)}.",
        ),
        (("--indicators", "ERR=fault,err=other"), "the indicator 'ERR' is named twice; name it once."),
        (
            ("--positions", "UP=none"),
            "'UP=none' is no position with its role; write NAME=ROLE, such as RUN=run,SERVICE=program/remote; the roles are run, stop, program/remote, other.",
        ),
        (
            ("--switch", "up"),
            "what the position 'up' of the mode switch does is not known; state the positions once, as printed: --positions 'RUN=run,SERVICE=program/remote' (or none).",
        ),
        ((*SWITCH, "--switch", "up"), "'up' is no position of the mode switch; its positions are ON, SERVICE, OFF."),
        (
            ("--positions", "none", "--switch", "run"),
            "the station has no mode switch; note the operating mode with --mode.",
        ),
        (("--mode", "fast"), "'fast' is no operating mode; write one of run, stop, other."),
        (
            ("--brings-back", "card"),
            "'card' does not say what brings the program back; write OPERATION=PLACE, such as reset=card: reset, restart, firmware = card, built-in, battery, nothing.",
        ),
        (("--indicators", ","), "',' names nothing; write ERR=fault,RUN=running, or none."),
        (("--positions", " , "), "' , ' names nothing; write RUN=run,SERVICE=program/remote, or none."),
        (
            ("--indicators", "rest=fault"),
            "the indicator is called 'rest', which is a word of the commands; write it as it is printed.",
        ),
        (("--brings-back", "reset=card,reset=nothing"), "the operation 'reset' is named twice; name it once."),
        (
            (*SWITCH, "--switch", "none"),
            "the mode switch has the positions ON, SERVICE, OFF; note where it stands; --positions none states that there is no switch.",
        ),
        (
            ("--lacks", "wheels"),
            "'wheels' is nothing that is asked for; write some of card, battery, clock, forces, safety program, or none.",
        ),
        (("--battery", "full"), "'full' is no state of a battery; write one of good, low, none."),
        (("--protection", "secret7"), "'secret7' is no answer on passwords; write one of none, known, unknown."),
        (("--serial", "A1"), "'A1' is no serial number; write WHAT=NUMBER, such as controller=A-1234."),
        ((), "nothing is noted; say what you see, such as --lit Operating --dark rest."),
    ],
)
def test_a_note_that_means_nothing_is_refused(run: Run, plant: Path, words: tuple[str, ...], said: str) -> None:
    done = run("note", plant, "booster-1", *words)
    assert (done.exit_code, done.stderr) == (2, f"{said}\n")
    with Archive.open(plant) as archive:
        assert len(archive.records("booster-1")) == 2


def test_the_form_asks_for_everything(run: Run, plant: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from asfound.cli import note

    answers = iter(
        [
            "ERR", "ERR=fault,COM=communication fault,FRC=forced,RUN=running", "RUN=run,STOP=stop",  # asked again
            "disk", "card", "card", "", "manual", "clock",
            "lit", "dark", "", "lit", "somewhere", "stop", "256 kB", "full", "Good", "230 V", "known", "none", "fan", "CPU=1",
        ]
    )  # fmt: skip
    monkeypatch.setattr(note, "_answer", lambda question: next(answers))
    monkeypatch.setattr(note, "_is_terminal", lambda: True)
    done = run("note", plant, "booster-1", "--by", "Bo")
    assert done.exit_code == 0, done.stderr
    for line in (
        "indicator ERR (fault): lit",
        "switch: STOP",
        "explanation: fan",
        "card: 256 kB",
        "serial number of CPU: 1",
    ):
        assert f"  {line}\n" in done.stdout
    assert "indicator FRC" not in done.stdout, "an empty answer is not noted"
    with Archive.open(plant) as archive:
        found = archive.equipment("booster-1")
    assert (found.brings_back, found.lacks) == (BringsBack("card", "card", "", "manual"), ("clock",))
    for line in ("indicators: ERR (fault), COM", "not there: clock", "battery: good"):
        assert f"  {line}" in done.stdout
    assert "'ERR' is no indicator with its role; " in done.stderr and "'full' is no state of a battery; " in done.stderr


def test_a_form_for_a_controller_without_lights_and_switch_asks_for_the_mode(
    run: Run, plant: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from asfound.cli import note

    back = ("--brings-back", "reset=nothing,restart=built-in,firmware=nothing")
    words = ("--indicators", "none", "--positions", "none", "--lacks", "card, Battery,safety program", *back)
    stated = run("note", plant, "booster-1", *words).stdout
    for line in ("indicators: none", "positions of the mode switch: none", "not there: card, battery, safety program"):
        assert f"  {line}\n" in stated
    assert "station stated" in run("history", plant, "booster-1").stdout
    asked: list[str] = []

    def answer(question: str) -> str:
        asked.append(question)
        return "run" if question.startswith("Operating mode") else ""

    monkeypatch.setattr(note, "_answer", answer)
    monkeypatch.setattr(note, "_is_terminal", lambda: True)
    assert "  mode: run\n" in run("note", plant, "booster-1").stdout
    assert [words.split(" (")[0] for words in asked] == [
        "Operating mode as a tool shows it", "Supply voltage", "Passwords", "Serial numbers",
    ]  # fmt: skip


# --- confirmation -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("answer", "code"), [("y\n", 0), ("n\n", 1)])
def test_at_a_terminal_the_cautions_are_asked_for(
    run: Run, visit: Path, monkeypatch: pytest.MonkeyPatch, answer: str, code: int
) -> None:
    from asfound.checks.readiness import readiness as made
    from asfound.cli import ready

    monkeypatch.setattr(ready, "_is_terminal", lambda: True)
    monkeypatch.setattr(made, "reasons", lambda lines: reasons([]))
    monkeypatch.setattr(made, "verdict", lambda lines, understood: "ready" if understood else "not ready")
    done = run("ready", visit, "booster-1@1", "--for", "reset", "--on", DAY, "--quiet", input=answer)
    assert done.exit_code == code
    assert "* Isolate and lock out, and prove dead, before work on the machine.\n" in done.stdout
    assert ("\nREADY for" in done.stdout) == (code == 0)
