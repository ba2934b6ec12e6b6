"""What brings the program back afterwards: stated of the station, never assumed."""

from __future__ import annotations

from asfound.checks.readiness.outcome import Outcome, good, missing
from asfound.checks.readiness.situation import Situation
from asfound.model.station import INTERRUPTION_WORDS, KEEPER_WORDS


def comes_back(s: Situation) -> Outcome:
    """It is known what brings the program back: the card, built-in memory, or nothing."""
    after, place = INTERRUPTION_WORDS[s.interruption], s.brings_back
    said = s.equipment.brings_back.source
    according = f"; according to: {said}" if said else "; who says so was not stated"
    if place == "":
        todo = (
            "look it up in the maker's manual, or try it where it does no harm; then "
            f"`asfound note --brings-back {s.interruption}=card` (or built-in, battery, nothing)"
        )
        return missing(f"what brings the program back after {after} is not stated for this station", todo)
    if place == "card":
        return _by_card(s, after, according)
    here = f"the program is in {s.running.reference}" if s.running else "no running copy is stored"
    if place == "nothing":
        return good(f"nothing brings the program back after {after}{according}; {here}", s.running)
    text = f"{KEEPER_WORDS[place]} brings the program back after {after}, and no copy shows what it holds"
    if place == "battery" and s.purpose == "battery":
        text += "; it is lost if the supply fails while the battery is out"
    return good(f"{text}{according}; {here}", s.running)


def _by_card(s: Situation, after: str, according: str) -> Outcome:
    noted = s.seen("card")
    if noted and s.without_card():
        text = f"the card should bring the program back after {after}, but there is none"
        todo = "put a card with this program in, or state what does: `asfound note --brings-back`"
        return missing(text, todo, noted[1])
    return good(f"the card brings the program back after {after}{according}", s.card)
