"""Checks of what is stored: there, whole, documented, in agreement, in a second place."""

from __future__ import annotations

from asfound.analysis.overlaps import modules_of
from asfound.checks.inspection import inspect
from asfound.checks.readiness.outcome import Outcome, besides, good, missing, without
from asfound.checks.readiness.situation import Note, Situation
from asfound.compare.parts.one_sided_lists import is_one_sided
from asfound.compare.parts.quantities import same
from asfound.compare.result import QUIET, Change
from asfound.compare.side_by_side import FATES, Row
from asfound.language.walk import every_pou
from asfound.model.copy import Copy

STORE = "export it, and store it with `asfound store`"
NO_UPLOAD = (
    "where the maker gives no upload, keep the maker's backup with `asfound store --attach` and set the level of "
    "running-today in station.toml"
)
LISTS = ("value", "force")
"""Areas that only the running copy can hold; they have checks of their own."""


def current(s: Situation) -> Outcome:
    """A copy of what the controller runs, stored today."""
    if s.running is None:
        return missing("no running copy is stored", f"upload the program; {STORE}; {NO_UPLOAD}")
    if not s.is_today(s.running.time):
        text = f"the running copy is of {s.running.time[:10]}, not of {s.today}"
        return missing(text, f"upload the program again; {STORE}", s.running)
    return good(f"the running copy was stored at {s.running.time[11:16]} today", s.running)


def restorable(s: Situation) -> Outcome:
    """Every copy that is judged here was restored into a temporary folder and compared byte for byte."""
    if not s.held:
        return missing("nothing is stored that could be restored", STORE)
    wrong = [f"{held.reference}: {held.proof.wrong}" for held in s.held.values() if held.proof.wrong]
    if wrong:
        todo = "store the copies again; `asfound check` names the damage, `--from` mends it from another archive"
        return missing(f"a restore failed: {'; '.join(wrong)}", todo, *s.held.values())
    files, size = (sum(getattr(held.proof, what) for held in s.held.values()) for what in ("files", "size"))
    text = f"{files} files, {size:,} bytes ({', '.join(s.held)}) restored and compared byte for byte"
    return good(text, *s.held.values())


def way_back(s: Situation) -> Outcome:
    """Which record brings the present state back."""
    if s.running is None or s.running.proof.wrong:
        return missing("no running copy that can be restored", f"upload the program; {STORE}", s.running)
    return good(f"`asfound restore {s.running.reference} --to FOLDER` gives this program back", s.running)


def second_place(s: Situation) -> Outcome:
    """Each record relied on here is in another archive as well."""
    if s.second is None:
        return missing("the archive was never exchanged with another one", "`asfound sync` with a stick or a server")
    if s.second.lacking:
        text = f"{', '.join(s.second.lacking)} missing in the second place {s.second.address} (last sync {_minute(s)})"
        return missing(text, f"`asfound sync` with {s.second.address}")
    return good(f"all of it is also in {s.second.address} (last sync {_minute(s)})")


def _minute(s: Situation) -> str:
    return s.second.time[:16].replace("T", " ") if s.second else ""


def documentation(s: Situation) -> Outcome:
    """Uploads may lose comments and names (common practice): at least one copy has both."""
    counts = {name: documented(held.copy) for name, held in s.held.items()}
    full = [name for name, (names, comments) in counts.items() if names and comments]
    said = "; ".join(f"{name}: {names} names, {comments} comments" for name, (names, comments) in counts.items())
    if not full:
        todo = "store the project as the office copy (`asfound store --office`)"
        return missing(f"no copy holds names and comments ({said or 'nothing is stored'})", todo, *s.held.values())
    return good(said, *(s.held[name] for name in full))


def documented(copy: Copy) -> tuple[int, int]:
    """How many names of inputs, outputs and variables a copy has, and how many comments."""
    tags = [tag for table in copy.tables for tag in table.tags]
    pous = list(every_pou(copy.program.pous))
    variables = [v for pou in pous for v in pou.variables]
    variables += [v for block in copy.program.globals for v in block.variables]
    networks = [n for pou in pous for body in pou.bodies for n in body.networks]
    comments = [text for n in networks for text in (n.comment, n.title)] + [pou.comment for pou in pous]
    comments += [tag.comment for tag in tags] + [v.comment for v in variables]
    return len(tags) + len(variables), sum(bool(comment) for comment in comments)


def agreement(s: Situation) -> Outcome:
    """The copies agree, or what a restart loses and brings back is listed; the card as it is today."""
    if s.running is None:
        return missing("without a running copy nothing can be compared", f"upload the program; {STORE}", s.card)
    if s.card is None and s.by_card() and not s.without_card():
        todo = f"read the card; {STORE} (or note that there is none: `asfound note --card none`)"
        return missing("no card copy is stored: what would come back is not known", todo, s.running)
    if s.card is not None and not s.without_card() and not s.is_today(s.card.time):
        text = f"the card copy is of {s.card.time[:10]}: what the card holds today is not known"
        return missing(text, f"read the card again; {STORE}", s.card)
    lacking = "" if s.office else "; no office copy is stored"
    if s.side is None:
        return good(f"there is no second copy to compare{lacking}", s.running)
    rows = [row for row in s.side.rows if row.effect not in QUIET and row.area not in LISTS]
    if not rows:
        return good(f"{', '.join(s.side.stored)} act the same{lacking}", *s.held.values())
    counts = [(fate, sum(row.fate == fate for row in rows)) for fate in FATES]
    said = ", ".join(f"{count} {'in the ' if fate == 'office only' else ''}{fate}" for fate, count in counts if count)
    return good(f"the differences are listed ({said}){lacking}", *s.held.values())


def hardware_rows(s: Situation) -> list[Row]:
    """Differences of hardware between running and card that are more than words, or the name of a channel's tag."""
    rows = s.side.rows if s.side else ()
    apart = ("office only", "not comparable")
    return [r for r in rows if is_hardware(r) and r.fate not in apart and r.effect not in QUIET]


def is_hardware(row: Row | Change) -> bool:
    """Whether a difference is about the rack, not about which tag hangs on a channel."""
    told = {e.field for e in row.edits if e.effect is not None and e.effect not in QUIET}
    return row.area == "hardware" and told != {"tag"}


def is_lone_list(change: Change) -> bool:
    """Whether a change is about a list that only one of the copies holds: nothing is known of what differs."""
    return is_one_sided(change.area, change.kind, change.effect, change.path)


def card_fits(s: Situation) -> Outcome:
    """The hardware configuration that the card would bring back is that of the rack."""
    if s.without_card():
        return without("there is no card", *_noted(s, "card"))
    if not s.by_card():
        return without("the card is not what brings the program back")
    if s.running is None or s.card is None:
        return without("running and card are not both stored: see the checks of the copies")
    rows = hardware_rows(s)
    if rows:
        text = f"the card would bring back hardware that is not in the rack: {rows[0].summary}{besides(len(rows))}"
        todo = "bring the card up to date first, read it and store it; else the controller may not start"
        return missing(text, todo, s.running, s.card)
    if not s.card.copy.hardware.devices:
        return missing("the card copy holds no hardware list", "export the hardware of the card and store it", s.card)
    if not s.running.copy.hardware.devices:
        todo = "export the hardware of the controller and store it with the running copy"
        return missing("the running copy holds no hardware list", todo, s.running)
    return good("the hardware on the card is that of the running copy", s.running, s.card)


def _noted(s: Situation, field: str) -> tuple[Note, ...]:
    found = s.seen(field)
    return (found[1],) if found else ()


def values(s: Situation) -> Outcome:
    """Actual values are stored, so that tuned ones can be entered again."""
    if s.running is None or not s.running.copy.values:
        todo = "export the actual values of the controller as a list, store them with the running copy"
        return missing("no actual values are stored", todo, s.running)
    count = len(s.running.copy.values)
    changed = sum(bool(v.initial) and not same(v.actual, v.initial) for v in s.running.copy.values if v.actual)
    listed = " (listed below with the value to enter)" if changed else ""
    text = f"{count} actual value{'' if count == 1 else 's'} stored, {changed} tuned{listed}"
    return good(text, s.running, files="value-list")


def hardware(s: Situation) -> Outcome:
    """The list of modules is stored with the firmware of the controller."""
    if s.running is None or not s.running.copy.hardware.devices:
        todo = "export the hardware configuration or a list of modules, store it with the running copy"
        return missing("no hardware list is stored with the running copy", todo, s.running)
    modules = [m for device in s.running.copy.hardware.devices for m, _, _ in modules_of(device)]
    controllers = [m for m in modules if m.kind.lower() == "cpu"]
    stated = [m for m in controllers or modules if m.firmware]
    silent = [m.name for m in controllers if not m.firmware]
    if silent or not stated:
        text = f"the firmware of {', '.join(silent) or 'every module'} is not stated"
        return missing(text, "read it from the controller and store it with the hardware list", s.running)
    counted = sum(bool(m.firmware) for m in modules)
    part = f", part number {stated[0].order_number}" if stated[0].order_number else ""
    shown = f"{stated[0].name}{part}, firmware {stated[0].firmware}"
    return good(f"{len(modules)} modules, {counted} with firmware; {shown}", s.running)


def inspection(s: Situation) -> Outcome:
    """The inspection of the running copy finds no error."""
    if s.running is None:
        return without("there is no running copy to inspect")
    errors = [f for f in inspect(s.running.copy).findings if f.severity == "error"]
    if errors:
        todo = f"`asfound inspect {s.running.reference}` tells them all"
        return missing(f"{errors[0].text}{besides(len(errors), 'error')}", todo, s.running)
    return good("no errors found", s.running)
