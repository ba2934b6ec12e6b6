"""One page to sign by hand: what to do before, during and after, with the values of the station filled in.

The steps are common practice; the maker's procedure and the site's rules decide. What does not fit on one page is
counted, and stands in the report of ``asfound ready``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from asfound.analysis.overlaps import modules_of
from asfound.checks.readiness.losses import Loss, differences, unvalued
from asfound.checks.readiness.readiness import Readiness
from asfound.checks.readiness.situation import Purpose, Situation
from asfound.model.station import FAULTS, KEEPER_WORDS
from asfound.reports.cards import text
from asfound.reports.page import page
from asfound.reports.readiness import PURPOSE_WORDS, verdict

MOST_OPEN, MOST_VALUES, MOST_FORCES = 7, 8, 4
"""Rows that fit on one page."""
LONGEST, FACT, NAME, INDICATORS = 88, 48, 30, 150
"""Characters of a text, a fact, a name from outside and the indicators, so that none pushes the
signatures to a second page."""

FIRST = (
    "Permit to work; operation and control room know. People are clear of whatever may move.",
    "Isolated, locked out and proved dead where somebody works.",
    "The process can stand still; what must not stop is on another source or in hand operation.",
)
DURING: dict[Purpose, tuple[str, ...]] = {
    "reset": (
        "{stop}",
        "Memory reset by the maker's procedure. Wait until it is ready, as the maker says.",
        "{loads}",
    ),
    "download": (
        "Compare what is in the tool with what was approved.",
        "Load it. Accept a stop only if it is planned.",
        "Wait until it is ready, as the maker says.",
    ),
    "firmware": (
        "{stop}",
        "Load the firmware by the maker's procedure. Do not interrupt the supply.",
        "{loads}",
    ),
    "battery": (
        "{unsupplied}",
        "Change the battery by the maker's procedure, with the supply on or off as it says; keep clear of live parts.",
        "{battery}Write the date on the battery.",
    ),
}
AFTER = (
    "{fault}",
    "{clock}",
    "{run}, with somebody watching the machine. Interlocks tried.",
)


class Fact(NamedTuple):
    """A line of the box with the station's own values."""

    name: str
    value: str


def write(found: Readiness, s: Situation) -> str:
    """Return the whole page."""
    found = replace(found, station=_cut(found.station, NAME))
    title = f"Checklist for {PURPOSE_WORDS[found.purpose]}: {found.station}"
    head = (
        f'<header><h1>{text(title)}</h1><p class="verdict">{text(verdict(found))} '
        f"Judged for {text(found.day)}.</p></header>\n"
    )
    body = [
        head,
        _facts(facts(s)),
        _steps("Before", [*FIRST, *_before(found)], "before"),
        _steps("During", _filled(DURING[found.purpose], s), "during"),
        _steps("After", [*_after(found, s), *_filled(AFTER, s), _leaving(found)], "after"),
        _values(found.losses),
        f'<section class="small"><h2>Cautions</h2><p>{" ".join(map(text, found.cautions))} The steps are common '
        "practice; the maker's procedure decides.</p></section>\n",
        _signatures(),
    ]
    return page(title, "".join(body), skip=("before", "Skip to the steps"), sheets=("report.css", "checklist.css"))


def _cut(words: str, most: int = LONGEST) -> str:
    return words if len(words) <= most else f"{words[: most - 4].rpartition(' ')[0] or words[: most - 4]} ..."


def facts(s: Situation) -> Iterator[Fact]:
    """What is known of the station, a dotted line to fill in where it is not."""
    yield Fact("Controller", _controller(s))
    for name, held in s.held.items():
        yield Fact(f"Copy {name}", f"{_cut(held.reference, FACT)}, {held.time[:16].replace('T', ' ')}")
    known = s.indicators()
    if known is None or known:
        seen_now = {name: light for name, (light, _) in s.lights(known or ()).items()}
        yield Fact("Indicators", _cut(", ".join(f"{name} {light}" for name, light in seen_now.items()), INDICATORS))
    place = KEEPER_WORDS[s.brings_back] if s.brings_back else ""
    yield Fact("Brought back by", place)
    mode = (
        ("Mode switch", "switch", False)
        if s.equipment.switch or s.seen("switch")
        else ("Operating mode", "mode", False)
    )
    for title, field, ever in (
        mode,
        ("Memory card", "card", False),
        ("Battery", "battery", False),
        ("Supply voltage", "voltage", True),
        ("Passwords", "protection", True),
        ("Safety program", "safety", False),
    ):
        seen = s.seen(field, ever=ever)
        yield Fact(title, _cut(seen[0], FACT) if seen else "")
    yield Fact("Second place", _cut(s.second.address, FACT) if s.second else "")


def _controller(s: Situation) -> str:
    devices = s.running.copy.hardware.devices if s.running else ()
    modules = [m for device in devices for m, _, _ in modules_of(device) if m.kind.lower() == "cpu"]
    return _cut("; ".join(f"{m.name}, part number {m.order_number}, firmware {m.firmware or '?'}" for m in modules))


def _facts(found: Iterator[Fact]) -> str:
    rows = "".join(
        f"<div><dt>{text(fact.name)}</dt><dd>{text(fact.value) or '<span class=blank></span>'}</dd></div>"
        for fact in found
    )
    return f"<section><h2>This station</h2><dl>{rows}</dl></section>\n"


def _before(found: Readiness) -> list[str]:
    """What is still open, then what has been done already."""
    open_ = [line for line in found.checks if line.check in found.reasons]
    steps = [f"OPEN {line.title}: {_cut(line.text)}" for line in open_[:MOST_OPEN]]
    if len(open_) > MOST_OPEN:
        steps.append(f"OPEN {len(open_) - MOST_OPEN} more; `asfound ready` tells them")
    return steps


def _filled(steps: Sequence[str], s: Situation) -> list[str]:
    """Steps in the words of what this controller has."""
    roles = {*(s.indicators() or {}).values()}
    words = {
        "stop": f"{_to('stop', s)}. Outputs are as expected.",
        "run": _to("run", s),
        "unsupplied": "Without supply and battery the program, retained data and the clock may be lost.",
        "battery": f"{_named(s, 'battery')} dark. " if "battery" in roles else "",
        "clock": "" if s.lacks("clock") else "Date and time are set, and the zone if it has one.",
        "fault": "No fault indicator is lit." if roles & {*FAULTS} else "Log, display or tool show no new fault.",
        "loads": _loads(s),
    }
    return [filled for step in steps if (filled := step.format(**words))]


def _to(role: str, s: Situation) -> str:
    """Stop or run it, in the words of its mode switch where it is stated to have a position for it."""
    there = [name for name, each in (s.equipment.switch or {}).items() if each == role]
    return f"Mode switch to {_cut(' or '.join(there), NAME)}" if there else f"Controller to {role}"


def _named(s: Situation, role: str) -> str:
    names = [name for name, each in (s.indicators() or {}).items() if each == role]
    return f"Indicator {_cut(', '.join(names), NAME)}"


def _loads(s: Situation) -> str:
    """Where the program comes from."""
    seen, back = s.seen("card"), f"the program is in {s.running.reference}" if s.running else "load the program"
    by_hand = f"load the program by the maker's procedure; {back}."
    if s.brings_back == "nothing":
        return f"Nothing brings the program back: {by_hand}"
    if s.brings_back in ("built-in", "battery"):
        return f"{KEEPER_WORDS[s.brings_back].capitalize()} brings the program back: wait. If it does not, {back}."
    if s.without_card():
        return f"There is no card: {by_hand}"
    size = f" ({seen[0]})" if seen and seen[0] else ""
    if s.brings_back == "card":
        return f"The card{size} brings the program back: wait. If it does not, {back}."
    return f"What brings the program back is not stated. Wait; where nothing does, {by_hand}"


def _after(found: Readiness, s: Situation) -> list[str]:
    steps = []
    if found.purpose != "download":
        rows = differences(s) if s.card and s.brings_back == "card" else []
        back = f" ({len(rows)} differences from the card)" if rows else ""
        here = s.running.reference if s.running else "the running copy"
        steps.append(f"Hardware and program are those of {here}{back}; upload and compare.")
    else:
        steps.append("Upload again: it is what was loaded.")
    counted = list(unvalued(s.running)) if s.running else []
    if counted:
        steps.append(f"Retained data without a stored value looked at: {_cut(', '.join(x.where for x in counted))}.")
    return steps


def _leaving(found: Readiness) -> str:
    return f"Stored again: asfound store ARCHIVE {found.station} --moment as-left; exchanged with the second place."


def _steps(title: str, steps: Sequence[str], id_: str) -> str:
    items = "".join(f"<li>{text(step)}</li>" for step in steps)
    return f'<section id="{id_}"><h2>{title}</h2><ul class="boxes">{items}</ul></section>\n'


def _values(losses: Sequence[Loss]) -> str:
    """Values to enter and forces, the forces last, each with its number in the table of the report."""
    numbered = list(enumerate(losses, 1))
    tuned = [(n, x) for n, x in numbered if x.kind == "tuned value"]
    forced = [(n, x) for n, x in numbered if x.kind == "force"]
    shown = [*tuned[:MOST_VALUES], *forced[:MOST_FORCES]]
    if not shown:
        return "<section><h2>Values to enter</h2><p>No tuned value and no force is known.</p></section>\n"
    left = len(tuned) + len(forced) - len(shown)
    more = f" {left} more stand there only." if left else ""
    items = "".join(f"<li>{_value(number, loss)}</li>" for number, loss in shown)
    return (
        f'<section><h2>Values to enter</h2><ul class="boxes two">{items}</ul>'
        f"<p>Numbers as in the report of asfound ready.{more}</p></section>\n"
    )


def _value(number: int, loss: Loss) -> str:
    """One value in half a line. A long name is cut, its number tells it; a value is written whole or not at all."""
    name, now = text(_cut(loss.where, 24)), f"<b>{text(loss.now)}</b>" if len(loss.now) <= 16 else "as in the report"
    if loss.kind == "force":
        return f"{number} {name}: force {now}, if still meant"
    after = f", not {text(loss.after)}" if len(loss.after) <= 12 else ""
    return f"{number} {name}: enter {now}{after}"


def _signatures() -> str:
    roles = ("Done by", "Released for operation by")
    lines = "".join(f"<div><span>{role}</span><span>Date, time</span><span>Signature</span></div>" for role in roles)
    return f'<section class="signatures">{lines}</section>\n'
