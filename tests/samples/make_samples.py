"""Write sample_exports/: run ``python -m samples.make_samples`` in tests/ after a change of the story.

The files are committed; a test writes them again elsewhere and compares byte for byte.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from samples import aml_writer, booster, screens, tables, tc6_writer
from samples.plant import Station
from samples.style import Style, office, upload

ROOT = Path(__file__).resolve().parents[2] / "sample_exports"


@dataclass(frozen=True)
class Record:
    """One visit to one station: what each copy holds, and when its files were written."""

    station: str
    folder: str
    moment: str
    time: str
    person: str
    note: str
    running: Station
    card: Station | None
    """None where the controller has no card."""
    office: Station
    edited: str
    """When the office last saved its project."""
    panel: tuple[tuple[str, str], ...] = ()
    """What was seen on the controller, by the options of ``asfound note``."""
    synced: str = ""
    """When the archive was exchanged with the stick afterwards."""
    judged: bool = False
    """Whether the demonstration asks, after it, for which reasons a memory reset has to wait."""


SETTINGS = {
    "booster-1": """\
# What somebody states of the station once; `asfound note` adds to it.
schema = "asfound/station/1"
name = "booster-1"

[indicators]
"Supply" = "power"
"Operating" = "running"
"Fault" = "fault"
"Network" = "communication fault"
"Forced" = "forced"
"Battery" = "battery"

[switch]
"Operate" = "run"
"Service" = "program/remote"
"Halt" = "stop"

[brings_back]
reset = "card"
restart = "card"
source = "tried in the workshop, 2024-05-07"
""",
    "screens-1": """\
# What somebody states of the station once. The one light is listed once for each of its colours.
schema = "asfound/station/1"
name = "screens-1"

[indicators]
"Status green" = "running"
"Status red" = "fault"

# This controller has no mode switch.
[switch]

[lacks]
card = true
battery = true

[brings_back]
reset = "nothing"
restart = "built-in"
source = "maker's manual"
""",
}
"""``station.toml`` of each station."""
KNOWN = (
    ("switch", "Operate"), ("card", "1 GB"), ("voltage", "230 V"), ("protection", "known"), ("safety", "none"),
)  # fmt: skip
FOUND = (("lit", "Supply,Operating,Fault,Forced,Battery"), ("dark", "rest"), *KNOWN, ("battery", "low"))
LEFT = (("lit", "Supply,Operating"), ("dark", "rest"), *KNOWN, ("battery", "good"))
SCREENS = (("lit", "Status green"), ("dark", "rest"), ("mode", "run"))


RECORDS = (
    Record("booster-1", "1-as-left-2025", "as-left", "2025-10-14T15:20:00+02:00", "Ines (service)",
           "Yearly service done; running, card and office agree.",
           booster.as_left_2025(), booster.as_left_2025(), booster.as_left_2025(), "2025-10-14T14:05:10"),
    Record("screens-1", "1-as-left-2025", "as-left", "2025-10-15T11:40:00+02:00", "Ines (service)",
           "Yearly service done; running and office agree. This controller has no card.",
           screens.as_left_2025(), None, screens.as_left_2025(), "2025-10-15T10:31:44"),
    Record("booster-1", "2-as-found-2026", "as-found", "2026-11-17T08:35:00+01:00", "Bert (service)",
           "On arrival. The operator says pump 2 'had trouble with suction' in summer.",
           booster.found_2026(), booster.spring_2026(), booster.spring_2026(), "2026-03-17T16:12:09",
           panel=FOUND, judged=True),
    Record("screens-1", "2-as-found-2026", "as-found", "2026-11-18T08:10:00+01:00", "Bert (service)",
           "On arrival. Rake A wears its wiper.",
           screens.found_2026(), None, screens.spring_2026(), "2026-03-18T09:47:30", panel=SCREENS),
    Record("booster-1", "3-as-left-2026", "as-left", "2026-11-17T16:05:00+01:00", "Bert (service)",
           "Bridge of the suction lockout removed, start delay back to 8 s, force removed. "
           "Door contact moved to a spare channel. Battery changed. "
           "Card and office brought up to date.",
           booster.as_left_2026(), booster.as_left_2026(), booster.as_left_2026(), "2026-11-17T15:31:20",
           panel=LEFT, synced="2026-11-17T16:20:00+01:00", judged=True),
    Record("screens-1", "3-as-left-2026", "as-left", "2026-11-18T14:50:00+01:00", "Bert (service)",
           "Wiper time and order of the branches restored. Office brought up to date.",
           screens.as_left_2026(), None, screens.as_left_2026(), "2026-11-18T14:02:51"),
)  # fmt: skip

COMPARISONS = (
    ("What changed in the controller since last year", "booster-1@1:running", "booster-1@2:running"),
    ("What the office project does not know", "booster-1@2:office", "booster-1@2:running"),
    ("What the card would bring back after a power failure", "booster-1@2:card", "booster-1@2:running"),
    ("What this visit changed in the controller", "booster-1@2:running", "booster-1@3:running"),
    ("The office on leaving against the controller", "booster-1@3:office", "booster-1@3:running"),
    ("The screens since last year", "screens-1@1:running", "screens-1@2:running"),
    ("The screens, office against controller", "screens-1@2:office", "screens-1@2:running"),
)


def files(station: Station, style: Style, running: bool) -> dict[str, bytes]:
    """All files of one copy by name."""
    found = {
        "program.xml": tc6_writer.write(station, style),
        "hardware.aml": aml_writer.write(station, style),
        "tags.csv": tables.tags(station, style.comments),
    }
    for number, text in enumerate(station.text_pous):
        name = "conversions.st" if not number else f"conversions-{number + 1}.st"
        found[name] = style.text(text).encode("utf-8")
    if running:
        found["values.csv"] = tables.values(station)
        found["forces.csv"] = tables.forces(station)
    return found


def write(target: Path) -> None:
    """Write every record below ``target``, and the list of them."""
    for record in RECORDS:
        stamp = record.time[:19]
        copies: tuple[tuple[str, Station | None, Callable[[str], Style], str], ...] = (
            ("running", record.running, upload, stamp),
            ("card", record.card, upload, stamp[:17] + "30"),
            ("office", record.office, office, record.edited),
        )
        for copy, station, style, created in copies:
            if station is None:
                continue
            folder = target / record.station / record.folder / copy
            folder.mkdir(parents=True, exist_ok=True)
            for name, data in files(station, style(created), copy == "running").items():
                (folder / name).write_bytes(data)
    for name, text in SETTINGS.items():
        (target / name / "station.toml").write_text(text, encoding="utf-8", newline="\n")
    (target / "demo.toml").write_text(plan(), encoding="utf-8", newline="\n")


def plan() -> str:
    """demo.toml: what the demonstration stores, judges and compares, in this order."""
    lines = ["# What the demonstration stores, judges and compares, in this order. Written by tests/samples.", ""]
    for record in RECORDS:
        lines += [
            "[[record]]",
            f'station = "{record.station}"',
            f'moment = "{record.moment}"',
            f"time = {record.time}",
            f'person = "{record.person}"',
            f'note = "{record.note}"',
            f'folder = "{record.station}/{record.folder}"',
            *([f"synced = {record.synced}"] if record.synced else []),
            *(["judged = true"] if record.judged else []),
            *(["[record.panel]"] if record.panel else []),
            *(f'{name} = "{seen}"' for name, seen in record.panel),
            "",
        ]
    for title, old, new in COMPARISONS:
        lines += ["[[compare]]", f'title = "{title}"', f'old = "{old}"', f'new = "{new}"', ""]
    return "\n".join(lines)


if __name__ == "__main__":
    write(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT)
