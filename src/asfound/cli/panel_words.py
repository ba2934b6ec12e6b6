"""What a person writes of a panel and of a station, as data; a :class:`Problem` for what cannot be meant."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from asfound.model.panel import BATTERIES, LIGHTS, MODES, PROTECTIONS, Indicator, Panel
from asfound.model.problem import Problem
from asfound.model.program import Setting
from asfound.model.station import OPERATION_WORDS, OPERATIONS, PLACES, POSITIONS, ROLES, Equipment, Position, Role

Known = Mapping[str, Role]
Tables = dict[str, dict[str, str]]
"""Tables of a station.toml."""
_ROLES_HERE = POSITIONS[:-1]
"""Roles that a position can have: a switch that is there has no position ``none``."""


def tables(indicators: str, positions: str, brings_back: str, source: str) -> Tables:
    """What the options state of a station, as tables of its station.toml."""
    found: Tables = {}
    if indicators.strip():
        found["indicators"] = _named(indicators, ROLES, "indicator", "ERR=fault,RUN=running")
    if positions.strip():
        found["switch"] = _named(positions, _ROLES_HERE, "position", "RUN=run,SERVICE=program/remote")
    given = [part for part in brings_back.split(",") if part.strip()]
    if given:
        found["brings_back"] = dict(_brings_back(part) for part in given)
    if source.strip():
        found.setdefault("brings_back", {})["source"] = source.strip()
    return found


def _named(text: str, roles: Sequence[str], what: str, such_as: str) -> dict[str, str]:
    """``{name: role}`` of ``NAME=ROLE, ...``; ``none`` is an empty table."""
    if text.strip().lower() == "none":
        return {}
    found: dict[str, str] = {}
    for part in (part for part in text.split(",") if part.strip()):
        name, _, role = (" ".join(word.split()) for word in part.rpartition("="))
        if not name or role.lower() not in roles:
            advice = f"write NAME=ROLE, such as {such_as}; the roles are {', '.join(roles)}"
            raise Problem(f"'{part.strip()}' is no {what} with its role", advice=advice)
        if _folded(name) in map(_folded, found):
            raise Problem(f"the {what} '{name}' is named twice", advice="name it once")
        found[name] = role.lower()
    return found


def _brings_back(part: str) -> tuple[str, str]:
    operation, _, place = (word.strip().lower() for word in part.partition("="))
    if operation not in OPERATIONS or place not in PLACES:
        advice = f"write {', '.join(OPERATIONS)}, each = {', '.join(PLACES)}, such as reset=card"
        raise Problem(f"'{part.strip()}' does not say what brings the program back", advice=advice)
    return operation, place


def panel(
    given: Mapping[str, str], lists: Mapping[str, str], serials: Sequence[str], station: Equipment, known: Known | None
) -> Panel | None:
    """The panel that the words describe; None when they say nothing of it.

    ``lists`` are names of indicators by how they were seen, ``known`` the indicators of the station.
    """
    stated: dict[str, Any] = {key: text.strip() for key, text in given.items() if text.strip()}
    for field, allowed in (("battery", BATTERIES), ("protection", PROTECTIONS), ("mode", MODES)):
        if stated.get(field, allowed[0]) not in allowed:
            raise Problem(f"'{stated[field]}' is no {field}", advice=f"write one of {', '.join(allowed)}")
    _refuse_size(stated.get("card", "none"))
    if "switch" in stated:
        stated["switch"], stated["switch_role"] = _position(stated["switch"], station)
    if seen := _seen(lists, known):
        stated["indicators"] = seen
    if not stated and not serials:
        return None
    return Panel(**stated, serials=tuple(map(_serial, serials)))


def _position(text: str, station: Equipment) -> tuple[str, Position]:
    """The position as printed, and what it does."""
    if text.lower() == "none":
        return "none", "none"
    if station.switch is not None:
        for name, role in station.switch.items():
            if _folded(name) == _folded(text):
                return name, role
        there = ", ".join(station.switch) or "none: the station has no mode switch"
        raise Problem(f"'{text}' is no position of the mode switch", advice=f"its positions are {there}")
    for plain in _ROLES_HERE:
        if text.lower() == plain:
            return text, plain
    advice = "state the positions once, as printed: --positions 'RUN=run,SERVICE=program/remote' (or none)"
    raise Problem(f"what the position '{text}' of the mode switch does is not known", advice=advice)


def _seen(lists: Mapping[str, str], known: Known | None) -> tuple[Indicator, ...]:
    """The indicators; one that is named twice or that the station does not have is refused."""
    named: dict[str, str] = {}
    for how, text in lists.items():
        words = [part.strip() for part in text.split(",") if part.strip()]
        if words and known is None:
            advice = "state them once, as printed on the device: --indicators 'ERR=fault,RUN=running'"
            raise Problem("the indicators of this station are not known", advice=f"{advice}; roles: {', '.join(ROLES)}")
        rest = how == "dark" and [word.lower() for word in words] == ["rest"]
        names = [name for name in known or () if name not in named] if rest else _found(words, known or {})
        for name in names:
            if name in named:
                raise Problem(f"the indicator '{name}' is named twice", advice="name it once")
            named[name] = how
    return tuple(Indicator(name, role, named[name]) for name, role in (known or {}).items() if name in named)  # type: ignore[arg-type]


def _found(words: Iterable[str], known: Known) -> list[str]:
    spelled = {_folded(name): name for name in known}
    for word in words:
        if _folded(word) not in spelled:
            there = f"its indicators are {', '.join(known)}" if known else "it has none"
            advice = f"{there}; all are stated anew with --indicators"
            raise Problem(f"'{word}' is no indicator of this station", advice=advice)
    return [spelled[_folded(word)] for word in words]


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()


def _refuse_size(card: str) -> None:
    from asfound.checks.memory_card import size_of

    if card != "none" and size_of(card) is None:
        raise Problem(f"'{card}' is no size of a card", advice="write a number with its unit, such as 256 kB, or none")


def _serial(text: str) -> Setting:
    what, equals, number = text.partition("=")
    if not equals or not what.strip() or not number.strip():
        raise Problem(f"'{text}' is no serial number", advice="write WHAT=NUMBER, such as CPU=A-1234")
    return Setting(what.strip(), number.strip())


# --- a form ----------------------------------------------------------------------------------------------------------

Answer = Callable[[str], str]
_QUESTIONS = (
    ("card", "Memory card (its size, such as 256 kB, or none)"),
    ("battery", "Battery (good, low, none)"),
    ("voltage", "Supply voltage (and its selector, if any)"),
    ("protection", "Passwords (none, known, unknown; never the password itself)"),
    ("safety", "Signature or checksum of the safety program, or none"),
)


def asked_of_station(answer: Answer, station: Equipment, known: Known | None) -> Tables:
    """What is not stated of the station yet, asked one by one."""
    indicators = positions = source = ""
    if known is None:
        indicators = answer(f"Indicators as printed, NAME=ROLE, ... or none ({', '.join(ROLES)})")
    if station.switch is None:
        positions = answer(f"Positions of the mode switch, NAME=ROLE, ... or none ({', '.join(_ROLES_HERE)})")
    told = []
    for operation in OPERATIONS:
        if not station.brings_back.after(operation):
            place = answer(f"What brings the program back after {OPERATION_WORDS[operation]} ({', '.join(PLACES)})")
            told += [f"{operation}={place}"] if place else []
    if told:
        source = answer("Who or what says so (such as the maker's manual)")
    return tables(indicators, positions, ",".join(told), source)


def asked(answer: Answer, station: Equipment, known: Known | None) -> Panel | None:
    """What is seen, asked one by one; an empty answer is not noted."""
    lists: dict[str, list[str]] = {how: [] for how in LIGHTS}
    for name in known or ():
        how = answer(f"Indicator {name} ({', '.join(LIGHTS)})")
        if how and how not in lists:
            raise Problem(f"'{how}' is no state of an indicator", advice=f"write one of {', '.join(LIGHTS)}")
        if how:
            lists[how].append(name)
    given = dict([_switch(answer, station)])
    given |= {field: answer(question) for field, question in _QUESTIONS}
    if any((known or {})[name] in ("fault", "communication fault") for name in (*lists["lit"], *lists["flashing"])):
        given["explanation"] = answer("Why is a fault indicator lit")
    serials = [part for part in answer("Serial numbers (CPU=A-1234, ...)").split(",") if part.strip()]
    return panel(given, {how: ",".join(names) for how, names in lists.items()}, serials, station, known)


def _switch(answer: Answer, station: Equipment) -> tuple[str, str]:
    if station.switch is not None and not station.switch:
        return "mode", answer(f"Operating mode as a tool shows it ({', '.join(MODES)})")
    return "switch", answer(f"Mode switch ({', '.join(station.switch or ('run', 'stop'))})")
