"""Checks of a download: what it brings, whether it fits the rack, whether it stops the controller."""

from __future__ import annotations

from asfound.checks.readiness.outcome import Outcome, besides, good, missing, without
from asfound.checks.readiness.situation import Situation
from asfound.checks.readiness.stored_copies import is_hardware, is_lone_list
from asfound.compare.result import QUIET, Change

STOPPING = {"hardware": "the hardware", "task": "the tasks", "datatype": "data types", "declaration": "variables"}
"""Areas whose changes a running controller often cannot take over (common practice; the maker's manual decides)."""


def changes(s: Situation) -> Outcome:
    """What the download changes is known, with effect and reach."""
    if s.new is None:
        todo = "name it with --new REF"
        return missing("what is to be downloaded is not named, or there is no running copy to compare it with", todo)
    found = s.new.comparison
    if not found.changes:
        return good(f"{s.new.reference} holds what is running", s.running)
    counts = ((count, word) for word in ("behaviour", "undecided") if (count := getattr(found.counts, word)))
    said = ", ".join(f"{count} {word}" for count, word in counts) or "none of behaviour"
    return good(f"{s.new.reference}: {len(found.changes)} changes, {said}; listed below", s.running)


def _of(s: Situation, *areas: str) -> list[Change]:
    """Changes of these areas, also those proved to act the same: a new variable moves the memory of others."""
    found = s.new.comparison.changes if s.new else ()
    return [c for c in found if c.area in areas and c.effect != "documentation" and not is_lone_list(c)]


def compatible(s: Situation) -> Outcome:
    """Types and addresses of the modules are those of the rack."""
    if s.new is None or s.running is None:
        return without("there are not two copies to compare")
    if not s.new.copy.hardware.devices or not s.running.copy.hardware.devices:
        return missing("one of the two holds no hardware list", "export the hardware configuration too", s.running)
    found = [change for change in _of(s, "hardware") if is_hardware(change) and change.effect not in QUIET]
    if found:
        text = f"the download brings hardware that is not in the rack: {found[0].summary}{besides(len(found))}"
        return missing(text, "correct the configuration, or change the modules first and store again", s.running)
    return good("modules, types and addresses are those of the running copy", s.running)


def stop(s: Situation) -> Outcome:
    """Nothing in it makes the controller stop."""
    if s.new is None:
        return without("what is to be downloaded is not named")
    found = list(dict.fromkeys(STOPPING[c.area] for c in _of(s, *STOPPING)))
    if not found and any(c.area == "hardware" and is_lone_list(c) for c in s.new.comparison.changes):
        text = "whether it changes the hardware is not known: only one of the two holds a hardware list"
        return missing(text, "export the hardware configuration too", s.running)
    if found:
        text = f"it changes {' and '.join(found)}: a controller often stops for that"
        return missing(text, "plan a stop of the plant; the maker's manual decides", s.running)
    return good("nothing in it usually needs a stop", s.running)
