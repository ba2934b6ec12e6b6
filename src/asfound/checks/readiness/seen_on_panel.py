"""Checks of what a person saw on the panel and knows about the station. Facts without a source are common practice."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Mapping

from asfound.checks import memory_card as sizes
from asfound.checks.readiness.outcome import Outcome, good, missing, without
from asfound.checks.readiness.situation import Situation
from asfound.model.station import FAULTS, Role

NOTE = "look, and note it with `asfound note`"
STATE = "state them once, as printed on it: `asfound note --indicators 'NAME=ROLE, ...'` (or --indicators none)"


def forces(s: Situation) -> Outcome:
    """Forces are listed or there are none, and the indicator of forces says the same."""
    listed = s.running.copy.forces if s.running else ()
    names = ", ".join(f.name or f.address for f in listed[:3]) + (" ..." if len(listed) > 3 else "")
    if s.lacks("forces") and not listed:
        return without("this controller cannot force")
    known = s.indicators()
    told = [name for name, role in (known or {}).items() if role == "forced"]
    if known is not None and not told:
        return _by_list(s, names)
    if known is None:
        return missing(f"whether there is an indicator of forces is not stated ({_listed(names)})", STATE, s.running)
    seen = s.lights(told)
    if len(seen) < len(told):
        text = f"the indicator of forces was not noted today ({_listed(names)})"
        return missing(text, f"{NOTE} ({_how(told)})", s.running, files="force-list")
    notes = [note for _, note in seen.values()]
    on = [light for light, _ in seen.values() if light != "dark"]
    if not on:
        if listed:
            text = f"the indicator of forces is dark, but forces are listed: {names}"
            return missing(text, "export the list of forces again and store it", s.running, *notes, files="force-list")
        return good("no forces: none are listed and the indicator is dark", s.running, *notes)
    if not listed:
        todo = "export the list of forces, or remove them safely, and store the running copy again"
        return missing(f"the indicator of forces is {on[0]}, but no forces are listed", todo, s.running, *notes)
    text = f"{len(listed)} listed: {names}; the indicator of forces is {on[0]}"
    return good(text, s.running, *notes, files="force-list")


def _listed(names: str) -> str:
    return f"listed: {names}" if names else "no forces are listed"


def _how(names: Iterable[str]) -> str:
    """Options of a note that names these indicators."""
    listed = ",".join(names)
    return f"--lit {shlex.quote(listed)}, or --dark"


def _by_list(s: Situation, names: str) -> Outcome:
    """Without an indicator only a list can tell, an empty one too."""
    lists = [x for x in s.running.copy.sources if x.format == "force-list"] if s.running else []
    if not lists and not names:
        todo = (
            "export the list of forces, also when it is empty, and store it with the running copy; or state that it "
            "cannot force: `asfound note --lacks forces`"
        )
        return missing("there is no indicator of forces, and no list of forces is stored", todo, s.running)
    text = f"there is no indicator of forces; listed: {names or 'none'}"
    return good(text, s.running, files="force-list")


def indicators(s: Situation) -> Outcome:
    """All indicators of the station were noted today, they fit together, and a lit fault is explained."""
    known = s.indicators()
    if known is None:
        return missing("which indicators the controller has is not stated", STATE)
    roles = {name: role for name, role in known.items() if role != "forced"}
    if not roles:
        return without("there is no indicator but of forces: log, display or tool tell")
    seen = s.lights(roles)
    notes = [note for _, note in seen.values()]
    if unseen := [name for name in roles if name not in seen]:
        return missing(f"not noted today: {', '.join(unseen)}", f"{NOTE} (--lit, --flashing, --dark)", *notes)
    on = {name: light for name, (light, _) in s.lights(known).items() if light != "dark"}
    said = ", ".join(f"{name} {light}" for name, light in on.items()) or "all dark"
    if clash := _clash(known, on):
        return missing(f"{said}: {clash}", "find the cause, and note the panel again", *notes)
    odd = [name for name in on if known[name] in FAULTS or (known[name] in _STEADY and on[name] == "flashing")]
    if not odd:
        return good(said, *notes)
    why = s.explained()
    if why is None:
        todo = "look it up in the event log, on a display or in the tool; then `asfound note --explain TEXT`"
        return missing(f"{said}, and nobody has explained {', '.join(odd)}", todo, *notes)
    return good(f"{said}; explained: {why[0]}", *notes, why[1])


_STEADY: tuple[Role, ...] = ("running", "stopped", "power")
"""Roles of which a flashing light means something else, by the maker's manual."""


def _clash(roles: Mapping[str, Role], on: Mapping[str, str]) -> str:
    """Why what was seen cannot all be so; empty when it can."""
    present, lit = set(roles.values()), {roles[name] for name in on}
    if "power" in present and "power" not in lit:
        return "no indicator of a supply is lit"
    if {"running", "stopped"} <= present and ("running" in lit) == ("stopped" in lit):
        return f"{'both' if 'running' in lit else 'neither'} of running and stopped"
    return ""


def switch(s: Situation) -> Outcome:
    """Where the mode switch stands; for a controller without one the mode that a tool shows."""
    if s.has_no_switch():
        return _mode(s, "there is no mode switch")
    found = s.seen("switch")
    if found is not None:
        position, note = found
        remote = (
            ": a tool may be allowed to change mode or program" if note.panel.position() == "program/remote" else ""
        )
        return good(f"it stands at {position}{remote}", note)
    if s.equipment.switch is None and not s.seen("switch", ever=True):
        return _mode(s, "whether there is a mode switch is not stated")
    return missing("the position of the mode switch was not noted today", f"{NOTE} (--switch)")


def _mode(s: Situation, known: str) -> Outcome:
    found = s.seen("mode")
    if found is None:
        once = "" if s.has_no_switch() else "state it: `asfound note --positions 'NAME=ROLE, ...'` (or none); and "
        todo = f"{once}look up the mode in the programming tool; `asfound note --mode run` (or stop)"
        return missing(f"{known}, and the operating mode was not noted today", todo)
    mode, note = found
    return good(f"{known}; the operating mode is {mode}", note)


def card(s: Situation) -> Outcome:
    """A card is there, and large enough for the program."""
    if s.lacks("card"):
        return without("this controller takes no card")
    found = s.seen("card")
    if found is None:
        todo = f"{NOTE} (--card SIZE, or none; --lacks card where it takes none)"
        return missing("whether there is a memory card was not noted today", todo)
    text, note = found
    if text == "none":
        return without("there is no card", note)
    held = s.card or s.running
    size, needed = sizes.size_of(text), sizes.needed(held.copy) if held else 0
    if size is None or not needed:
        return good(f"{text}; whether the program fits is not known: no size in kB, MB or GB was noted", note, held)
    if needed * sizes.HEADROOM > size:
        what = f"{text} is little for a program of about {sizes.words(needed)}"
        return missing(what, "use a larger card, or clear away what else is on it", note, held)
    return good(f"{text}; the program needs about {sizes.words(needed)}, what else is on it is not known", note, held)


def battery(s: Situation) -> Outcome:
    """The backup battery keeps retained data and the clock when the supply goes."""
    found = s.seen("battery")
    if s.lacks("battery") or (found and found[0] == "none"):
        noted = found[1] if found else None
        if s.purpose == "battery":
            return missing("there is no battery: nothing to change", "ask what is meant", noted)
        return without("there is no battery", noted)
    if found is None:
        return missing("the battery was not noted today", f"{NOTE} (--battery; --lacks battery where it has none)")
    state, note = found
    told = [name for name, role in (s.indicators() or {}).items() if role == "battery"]
    lit = {name: seen for name, seen in s.lights(told).items() if seen[0] != "dark"}
    if lit and state == "good":
        name, (light, seen_in) = next(iter(lit.items()))
        todo = "look at it again, and note what is so"
        return missing(f"it was noted as good, but the indicator {name} is {light}", todo, note, seen_in)
    if state == "low" and s.purpose != "battery":
        return missing("the battery is low", "change it first, as the maker's manual says", note)
    return good(f"it is {state}", note)


def voltage(s: Situation) -> Outcome:
    """The supply voltage, and what its selector is set to if it has one, before it is switched off and on."""
    found = s.seen("voltage", ever=True)
    if found is None:
        return missing("the supply voltage was not noted", f"{NOTE} (--supply-voltage TEXT)")
    return good(found[0], found[1])


def serials(s: Situation) -> Outcome:
    """Serial numbers, for the maker and for the guarantee."""
    found = s.seen("serials", ever=True)
    if found is None:
        return missing("no serial number was noted", f"{NOTE} (--serial controller=NUMBER)")
    return good(", ".join(f"{each.name} {each.value}" for each in found[1].panel.serials), found[1])


def protection(s: Situation) -> Outcome:
    """Somebody here knows the passwords. They are never stored."""
    found = s.seen("protection", ever=True)
    if found is None:
        return missing("whether passwords protect it was not noted", f"{NOTE} (--protection none, known or unknown)")
    state, note = found
    if state == "unknown":
        return missing("nobody here knows the passwords", "ask whoever keeps them before going on", note)
    return good("no password protects it" if state == "none" else "the passwords are known here (not stored)", note)


def safety(s: Situation) -> Outcome:
    """A safety program is noted with its signature or checksum, and left to the competent person."""
    if s.lacks("safety program"):
        return without("there is no safety program")
    found = s.seen("safety")
    if found is None:
        todo = f"{NOTE} (--safety SIGNATURE or CHECKSUM, or none; --lacks 'safety program' where it can have none)"
        return missing("whether there is a safety program was not noted today", todo)
    if found[0] == "none":
        return without("there is no safety program", found[1])
    text = f"there is a safety program, signature or checksum {found[0]}: the matter is left to the competent person"
    return good(text, found[1])
