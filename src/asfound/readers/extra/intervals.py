"""How often a task runs: the interval in each of its spellings, and task settings that override it."""

from __future__ import annotations

import re

from asfound.language.literals import canonical, value
from asfound.model.program import Extension, Setting

_CLOCK = re.compile(r"(\d{2}):(\d{2}):(\d{2}(?:\.\d+)?)")
_PERIOD = re.compile(r"(-?)P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+(?:\.\d+)?)S)?)?")


def scheduled(
    text: str, kind: str, settings: tuple[Setting, ...]
) -> tuple[str, tuple[Setting, ...], tuple[Extension, ...]]:
    """The interval a task really has, its other settings, and the interval of its attribute where it says otherwise."""
    said, (real, others) = interval(text.strip()), cycle(kind, settings)
    if not real or not said or said == real:
        return real or said, others, ()
    return real, others, (Extension(path="task/@interval", text=said),)


def interval(text: str) -> str:
    """A duration in canonical spelling; version 1.x writes a time of day (xsd:time), others ``PT0.02S`` (xsd:duration).

    >>> interval("t#20ms"), interval("00:00:00.02"), interval("PT0.02S"), interval("CycleTime")
    ('T#20ms', 'T#20ms', 'T#20ms', 'CycleTime')
    """
    clock, period = _CLOCK.fullmatch(text), _PERIOD.fullmatch(text)
    if clock is not None:
        sign, days, (hours, minutes, seconds) = "", "0", clock.groups()
    elif period is not None and any(period.groups()[1:]):
        sign = period.group(1)
        days, hours, minutes, seconds = (part or "0" for part in period.groups()[1:])
    else:
        return canonical(text, "TIME")
    return canonical(f"T#{sign}{days}d{hours}h{minutes}m{seconds}s", "TIME")


def cycle(kind: str, settings: tuple[Setting, ...]) -> tuple[str, tuple[Setting, ...]]:
    """The interval that the settings of a cyclic task give, as a duration literal, and the other settings.

    Empty, with all settings kept, for other kinds of task and where it is no duration.

    >>> cycle("Cyclic", (Setting("Interval", "10000"), Setting("IntervalUnit", "us"), Setting("Watchdog", "1")))
    ('T#10ms', (Setting(name='Watchdog', value='1'),))
    """
    given = {s.name: s.value.strip() for s in settings if s.name in ("Interval", "IntervalUnit")}
    text, unit = given.get("Interval", ""), given.get("IntervalUnit", "")
    if kind.lower() != "cyclic" or sum(s.name in given for s in settings) != len(given):
        return "", settings
    literal = canonical(text if "#" in text else f"T#{text}{unit}")
    if value(literal)[0] != "duration":
        return "", settings
    used = ("Interval",) if "#" in text else ("Interval", "IntervalUnit")
    return literal, tuple(s for s in settings if s.name not in used)
