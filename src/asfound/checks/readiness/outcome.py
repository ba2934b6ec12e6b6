"""The result of one check."""

from __future__ import annotations

from typing import Literal as Choice

from asfound.checks.readiness.situation import Held, Note
from asfound.model.logic import Node

State = Choice["ok", "open", "not applicable"]


class Evidence(Node, frozen=True, omit_defaults=False):
    """What shows it: the record, the file in it (empty where it is the whole record), the time it was stored."""

    record: str
    file: str
    time: str


class Outcome(Node, frozen=True, omit_defaults=False):
    """``text`` says what was found; ``todo`` what to do, empty unless the check is open."""

    state: State
    text: str
    evidence: tuple[Evidence, ...] = ()
    todo: str = ""


Shown = Held | Note | None


def good(text: str, *shown: Shown, files: str = "") -> Outcome:
    """The check is fulfilled. ``files`` narrows the evidence to the files that one reader read."""
    return Outcome("ok", text, evidence(shown, files))


def missing(text: str, todo: str, *shown: Shown, files: str = "") -> Outcome:
    """The check is open."""
    return Outcome("open", text, evidence(shown, files), todo)


def without(text: str, *shown: Shown) -> Outcome:
    """The check does not apply here."""
    return Outcome("not applicable", text, evidence(shown))


def besides(count: int, what: str = "change") -> str:
    """How many more there are than the first one, which is told whole.

    >>> besides(1), besides(2), besides(3, "error")
    ('', '; 1 more change', '; 2 more errors')
    """
    return "" if count == 1 else f"; {count - 1} more {what}{'' if count == 2 else 's'}"


def evidence(shown: tuple[Shown, ...], files: str = "") -> tuple[Evidence, ...]:
    """Records and files, each once."""
    found = [part for each in shown if each is not None for part in _parts(each, files)]
    return tuple(dict.fromkeys(found))


def _parts(shown: Held | Note, files: str) -> list[Evidence]:
    names = [s.name for s in shown.copy.sources if s.format == files] if files and isinstance(shown, Held) else []
    return [Evidence(shown.reference, name, shown.time) for name in names or [""]]
