"""What a person writes of a panel and of a station, as data; a :class:`Problem` for what cannot be meant."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import Any, TypeVar

from asfound.archive.stated import LONGEST, wrong_name
from asfound.cli import streams
from asfound.model.panel import BATTERIES, LIGHTS, MODES, PROTECTIONS, Indicator, Panel
from asfound.model.problem import Problem
from asfound.model.program import Setting
from asfound.model.station import (
    FAULTS,
    INTERRUPTION_WORDS,
    INTERRUPTIONS,
    KEEPERS,
    LACKS,
    ROLES,
    SWITCH_ROLES,
    Equipment,
    Position,
    Role,
)  # fmt: skip
from asfound.model.visible import visible

T = TypeVar("T")

Known = Mapping[str, Role]
Tables = dict[str, dict[str, str | bool]]
"""Tables of a station.toml."""
ALIASES = {"program": "program/remote", "remote": "program/remote"}


def tables(
    indicators: str = "", positions: str = "", brings_back: str = "", source: str = "", lacks: str = ""
) -> Tables:
    """What the options state of a station, as tables of its station.toml."""
    found: Tables = {}
    if indicators.strip():
        found["indicators"] = _named(indicators, ROLES, "indicator", "ERR=fault,RUN=running")
    if positions.strip():
        found["switch"] = _named(positions, SWITCH_ROLES, "position", "RUN=run,SERVICE=program/remote")
    if brings_back.strip():
        rows = [_brings_back(part) for part in _parts(brings_back, "reset=card")]
        found["brings_back"] = _once(rows, "operation")
    if lacks.strip():
        found["lacks"] = _lacks(lacks)
    if source.strip():
        found.setdefault("brings_back", {})["source"] = source.strip()
    return found


def _named(text: str, roles: Sequence[str], what: str, such_as: str) -> dict[str, str | bool]:
    """``{name: role}`` of ``NAME=ROLE, ...``; ``none`` is an empty table."""
    if text.strip().lower() == "none":
        return {}
    rows: list[tuple[str, str]] = []
    for part in _parts(text, such_as):
        name, _, role = (" ".join(word.split()) for word in part.rpartition("="))
        role = ALIASES.get(role.lower(), role.lower()) if what == "position" else role.lower()
        if not name or role not in roles:
            advice = f"write NAME=ROLE, such as {such_as}; the roles are {', '.join(roles)}"
            raise Problem(f"'{part.strip()}' is no {what} with its role", advice=advice)
        if wrong := wrong_name(name):
            raise Problem(f"the {what} is called '{name[:LONGEST]}', {wrong}", advice="write it as it is printed")
        rows.append((name, role))
    return _once(rows, what)


def _parts(text: str, such_as: str) -> list[str]:
    """What stands between commas; at least one."""
    found = [part.strip() for part in text.split(",") if part.strip()]
    if not found:
        raise Problem(f"'{text}' names nothing", advice=f"write {such_as}, or none")
    return found


def _once(rows: Sequence[tuple[str, str]], what: str) -> dict[str, str | bool]:
    """The rows as a table; a name that stands in two is refused."""
    names = [_folded(name) for name, _ in rows]
    if twice := next((name for name, _ in rows if names.count(_folded(name)) > 1), ""):
        raise Problem(f"the {what} '{twice}' is named twice", advice="name it once")
    return dict(rows)


def _lacks(text: str) -> dict[str, str | bool]:
    if text.strip().lower() == "none":
        return {}
    names = [" ".join(part.split()).lower() for part in _parts(text, "card,battery")]
    if unknown := next((name for name in names if name not in LACKS), ""):
        raise Problem(f"'{unknown}' is nothing that is asked for", advice=f"write some of {', '.join(LACKS)}, or none")
    return dict.fromkeys(names, True)


def _brings_back(part: str) -> tuple[str, str]:
    operation, _, place = (word.strip().lower() for word in part.partition("="))
    if operation not in INTERRUPTIONS or place not in KEEPERS:
        advice = f"write OPERATION=PLACE, such as reset=card: {', '.join(INTERRUPTIONS)} = {', '.join(KEEPERS)}"
        raise Problem(f"'{part.strip()}' does not say what brings the program back", advice=advice)
    return operation, place


def panel(
    given: Mapping[str, str], lists: Mapping[str, str], serials: Sequence[str], station: Equipment, known: Known | None
) -> Panel | None:
    """The panel that the words describe; None when they say nothing of it.

    ``lists`` are names of indicators by how they were seen, ``known`` the indicators of the station.
    """
    stated: dict[str, Any] = {key: text.strip() for key, text in given.items() if text.strip()}
    for field, (what, allowed) in _WORDS.items():
        if field in stated:
            stated[field] = _word(stated[field], what, allowed)
    if stated.get("card", "").lower() == "none":
        stated["card"] = "none"
    if "switch" in stated:
        stated["switch"], stated["switch_role"] = _position(stated["switch"], station)
    if seen := _seen(lists, known):
        stated["indicators"] = seen
    if not stated and not serials:
        return None
    return Panel(**stated, serials=tuple(map(_serial, serials)))


_WORDS = {
    "battery": ("state of a battery", BATTERIES),
    "protection": ("answer on passwords", PROTECTIONS),
    "mode": ("operating mode", MODES),
}


def _word(text: str, what: str, allowed: Sequence[str]) -> str:
    if text.lower() not in allowed:
        raise Problem(f"'{text}' is no {what}", advice=f"write one of {', '.join(allowed)}")
    return text.lower()


def _position(text: str, station: Equipment) -> tuple[str, Position]:
    """The position as printed, and what it does."""
    if text.lower() == "none":
        if station.switch:
            what = f"the mode switch has the positions {', '.join(station.switch)}"
            raise Problem(what, advice="note where it stands; --positions none states that there is no switch")
        return "none", "none"
    if station.switch is not None:
        for name, role in station.switch.items():
            if _folded(name) == _folded(text):
                return name, role
        if not station.switch:
            raise Problem("the station has no mode switch", advice="note the operating mode with --mode")
        what = f"'{text}' is no position of the mode switch"
        raise Problem(what, advice=f"its positions are {', '.join(station.switch)}")
    for plain in SWITCH_ROLES:
        if ALIASES.get(text.lower(), text.lower()) == plain:
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


def _serial(text: str) -> Setting:
    what, equals, number = text.partition("=")
    if not equals or not what.strip() or not number.strip():
        raise Problem(f"'{text}' is no serial number", advice="write WHAT=NUMBER, such as controller=A-1234")
    return Setting(what.strip(), number.strip())


# --- a form ----------------------------------------------------------------------------------------------------------

Answer = Callable[[str], str]
_QUESTIONS = (
    ("card", "Memory card (its size, such as 256 kB, or none)"),
    ("battery", "Battery (good, low, none)"),
    ("voltage", "Supply voltage (and how its selector is set, if it has one)"),
    ("protection", "Passwords (none, known, unknown; never the password itself)"),
    ("safety", "Signature or checksum of the safety program, or none"),
)
_LACKED = {"card": "card", "battery": "battery", "safety": "safety program"}


def asked_of_station(answer: Answer, station: Equipment, known: Known | None) -> Tables:
    """What is not stated of the station yet, asked one by one."""
    found: Tables = {}
    if known is None:
        found |= answer_of(f"Indicators as printed, NAME=ROLE, ... or none ({', '.join(ROLES)})", answer, tables)
    if station.switch is None:
        question = f"Positions of the mode switch, NAME=ROLE, ... or none ({', '.join(SWITCH_ROLES)})"
        found |= answer_of(question, answer, lambda text: tables(positions=text))
    back: dict[str, str | bool] = {}
    for operation in (each for each in INTERRUPTIONS if not station.brings_back.after(each)):
        question = f"What brings the program back after {INTERRUPTION_WORDS[operation]} ({', '.join(KEEPERS)})"
        back |= answer_of(question, answer, partial(_after, operation)).get("brings_back", {})
    if back:
        source = answer("Who or what says so (such as the maker's manual)")
        found["brings_back"] = {**back, **({"source": source} if source else {})}
    if not station.lacks:
        question = f"What this controller does not have ({', '.join(LACKS)}, or none)"
        found |= answer_of(question, answer, lambda text: tables(lacks=text))
    return found


def _after(operation: str, place: str) -> Tables:
    return tables(brings_back=place and f"{operation}={place}")


def answer_of(question: str, answer: Answer, meant: Callable[[str], T]) -> T:
    """What an answer means; one that means nothing is asked for again."""
    while True:
        try:
            return meant(answer(question))
        except Problem as problem:
            streams.note(str(problem))


def asked(answer: Answer, station: Equipment, known: Known | None) -> Panel | None:
    """What is seen, asked one by one; an empty answer is not noted."""

    def seen(question: str, field: str) -> str:
        def checked(text: str) -> str:
            panel({field: text}, {}, [], station, known)
            return text

        return answer_of(question, answer, checked)

    lists: dict[str, list[str]] = {how: [] for how in LIGHTS}
    for name in known or ():
        if how := answer_of(f"Indicator {name} ({', '.join(LIGHTS)})", answer, _light):
            lists[how].append(name)
    if station.switch is not None and not station.switch:
        given = {"mode": seen(f"Operating mode as a tool shows it ({', '.join(MODES)})", "mode")}
    else:
        given = {"switch": seen(f"Mode switch ({', '.join(station.switch or ('run', 'stop', 'none'))})", "switch")}
    asked_for = [(field, words) for field, words in _QUESTIONS if _LACKED.get(field) not in station.lacks]
    given |= {field: seen(words, field) for field, words in asked_for}
    if any((known or {})[name] in FAULTS for name in (*lists["lit"], *lists["flashing"])):
        given["explanation"] = answer("Why is a fault indicator lit")
    serials = [part for part in answer("Serial numbers (controller=A-1234, ...)").split(",") if part.strip()]
    return panel(given, {how: ",".join(names) for how, names in lists.items()}, serials, station, known)


def _light(text: str) -> str:
    return _word(text, "state of an indicator", LIGHTS) if text else ""


def told(station: Equipment) -> Iterator[str]:
    """What is stated of a station, one line each."""
    if station.indicators is not None:
        yield f"indicators: {_table(station.indicators)}"
    if station.switch is not None:
        yield f"positions of the mode switch: {_table(station.switch)}"
    yield f"what brings the program back: {station.brings_back.told()}"
    if station.lacks:
        yield f"not there: {', '.join(station.lacks)}"


def _table(names: Mapping[str, str]) -> str:
    return visible(", ".join(f"{name} ({role})" for name, role in names.items())) or "none"
