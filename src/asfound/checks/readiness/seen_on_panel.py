"""Checks of what a person saw on the panel and knows about the station. Facts without a source are common practice."""

from __future__ import annotations

from asfound.checks import memory_card as sizes
from asfound.checks.readiness.outcome import Outcome, good, missing, without
from asfound.checks.readiness.situation import Note, Situation

NOTE = "look, and note it with `asfound note`"


def forces(s: Situation) -> Outcome:
    """Forces are listed or there are none, and the force indicator says the same."""
    listed = s.running.copy.forces if s.running else ()
    names = ", ".join(f.name or f.address for f in listed[:3]) + (" ..." if len(listed) > 3 else "")
    found = s.seen("force")
    if found is None:
        text = f"the force indicator was not noted today ({f'listed: {names}' if listed else 'no forces are listed'})"
        return missing(text, f"{NOTE} (--lit force, or --dark force)", s.running, files="force-list")
    light, note = found
    if light == "absent":
        return _by_list(s, note, names)
    if light == "dark":
        if listed:
            text = f"the force indicator is dark, but forces are listed: {names}"
            return missing(text, "export the list of forces again and store it", s.running, note, files="force-list")
        return good("no forces: none are listed and the indicator is dark", s.running, note)
    if not listed:
        todo = "export the list of forces, or remove them safely, and store the running copy again"
        return missing(f"the force indicator is {light}, but no forces are listed", todo, s.running, note)
    text = f"{len(listed)} listed: {names}; the force indicator is {light}"
    return good(text, s.running, note, files="force-list")


def _by_list(s: Situation, note: Note, names: str) -> Outcome:
    """Without an indicator only a list can tell, an empty one too."""
    lists = [x for x in s.running.copy.sources if x.format == "force-list"] if s.running else []
    if not lists and not names:
        todo = "export the list of forces, also when it is empty, and store it with the running copy"
        return missing("there is no force indicator, and no list of forces is stored", todo, s.running, note)
    text = f"there is no force indicator; listed: {names or 'none'}"
    return good(text, s.running, note, files="force-list")


LIGHTS = ("system_fault", "bus_fault", "stop", "run", "supply")


def indicators(s: Situation) -> Outcome:
    """All indicators were noted today, and a lit fault is explained."""
    found = {light: s.seen(light) for light in LIGHTS}
    unseen = [_word(light) for light, seen in found.items() if seen is None]
    notes = [seen[1] for seen in found.values() if seen]
    if unseen:
        return missing(f"not noted today: {', '.join(unseen)}", f"{NOTE} (--lit, --flashing, --dark)", *notes)
    state = {light: seen[0] for light, seen in found.items() if seen}
    on = [light for light in LIGHTS if state[light] in ("lit", "flashing")]
    said = ", ".join(f"{_word(light)} {state[light]}" for light in on) or "all dark"
    if state["supply"] == "dark" or state["stop"] == state["run"] != "absent":
        return missing(f"{said}: this does not fit together", "find the cause, and note the panel again", *notes)
    why = s.explained()
    if any(light.endswith("fault") for light in on):
        if why is None:
            todo = "read the event log and store it; then `asfound note --explain TEXT`"
            return missing(f"{said}, and nobody has explained the fault", todo, *notes)
        return good(f"{said}; explained: {why[0]}", *notes, why[1])
    return good(said, *notes)


def _word(light: str) -> str:
    return light.replace("_", " ")


def switch(s: Situation) -> Outcome:
    """Where the mode switch stands."""
    found = s.seen("switch")
    if found is None:
        return missing("the position of the mode switch was not noted today", f"{NOTE} (--switch)")
    position, note = found
    if position == "absent":
        return without("there is no mode switch", note)
    if position == "memory reset":
        return missing("the mode switch stands at memory reset", "put it back, look at the panel, note it again", note)
    return good(f"it stands at {position}", note)


def card(s: Situation) -> Outcome:
    """A card is there, and large enough for the program."""
    found = s.seen("card")
    if found is None:
        return missing("whether there is a memory card was not noted today", f"{NOTE} (--card SIZE, or --card none)")
    text, note = found
    if text == "none":
        return without("there is no card: after a restart nothing comes back by itself", note)
    held = s.card or s.running
    size, needed = sizes.size_of(text), sizes.needed(held.copy) if held else 0
    if size is None or not needed:
        return missing(f"{text}: whether the program fits is not known", "note a size in kB, MB or GB", note, held)
    if needed * sizes.HEADROOM > size:
        what = f"{text} is little for a program of about {sizes.words(needed)}"
        return missing(what, "use a larger card, or clear away what else is on it", note, held)
    return good(f"{text}, enough for a program of about {sizes.words(needed)}", note, held)


def battery(s: Situation) -> Outcome:
    """The backup battery keeps retained data and the clock when the supply goes."""
    found = s.seen("battery")
    if found is None:
        return missing("the battery was not noted today", f"{NOTE} (--battery)")
    state, note = found
    if state == "none":
        return without("there is no battery", note)
    if state == "low" and s.purpose != "battery":
        return missing("the battery is low", "change it first, with the supply on (common practice)", note)
    return good(f"it is {state}" + ("; change it with the supply on" if s.purpose == "battery" else ""), note)


def voltage(s: Situation) -> Outcome:
    """The supply voltage, and what its selector is set to if it has one, before it is switched off and on."""
    found = s.seen("voltage", ever=True)
    if found is None:
        return missing("the supply voltage was not noted", f"{NOTE} (--supply-voltage '230 V')")
    return good(found[0], found[1])


def serials(s: Situation) -> Outcome:
    """Serial numbers, for the maker and for the guarantee."""
    found = s.seen("serials", ever=True)
    if found is None:
        return missing("no serial number was noted", f"{NOTE} (--serial CPU=NUMBER)")
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
    found = s.seen("safety")
    if found is None:
        todo = f"{NOTE} (--safety SIGNATURE or CHECKSUM, or --safety none)"
        return missing("whether there is a safety program was not noted today", todo)
    if found[0] == "none":
        return without("there is no safety program", found[1])
    text = f"there is a safety program, signature or checksum {found[0]}: the matter is left to the competent person"
    return good(text, found[1])
