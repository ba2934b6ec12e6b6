"""The one exception for everything a user can mend: what is wrong, where, and what to do next."""

from __future__ import annotations

import re
from collections.abc import Iterable

from asfound.model.visible import visible, without_password

DONE, DIFFERS, FAILED = 0, 1, 2
"""Exit codes: 0 done or nothing differs, 1 differs or not ready, 2 could not do it."""

LONGEST = 600
"""Characters of each part of a sentence."""


class Problem(Exception):
    """A user error. ``str()`` is the whole sentence shown on stderr; the exit code is always :data:`FAILED`.

    Names and texts from outside stand in it: the sentence is made :func:`visible`, so that none of them can act,
    and holds no password of an address.

    >>> str(Problem("is empty", where="plc.xml", advice="export it again"))
    'plc.xml: is empty; export it again.'
    """

    def __init__(self, what: str, *, where: str = "", advice: str = "") -> None:
        self.what, self.where, self.advice = what, where, advice
        what, where, advice = map(_clipped, (what, where, advice))
        sentence = f"{where}: {what}" if where else what
        super().__init__(visible(f"{sentence}; {advice}." if advice else f"{sentence}."))

    def __reduce__(self) -> tuple[object, ...]:
        """So that one raised in another process arrives as it was."""
        return _again, (self.what, self.where, self.advice)


def _again(what: str, where: str, advice: str) -> Problem:
    return Problem(what, where=where, advice=advice)


def command(*words: object) -> str:
    """A command of ours to type, for an advice.

    >>> command("history", "my plant.git")
    '`asfound history "my plant.git"`'
    """
    return typed("asfound", *words)


def typed(*words: object) -> str:
    """Any command to type, for an advice."""
    quoted = (text if re.fullmatch(r"[^\s\"'$`;&|<>()*?!#]+", text) else f'"{text}"' for text in map(str, words))
    return f"`{' '.join(quoted)}`"


def meant(word: str, known: Iterable[str]) -> str:
    """A question for an advice, when one of the known words is near to what was written, else nothing.

    >>> meant("boster-1", ["booster-1", "screens-1"]), meant("mixer", ["booster-1"])
    ('did you mean booster-1? ', '')
    """
    near = nearest(word, known)
    return f"did you mean {near}? " if near else ""


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that is nearly what was written, else nothing."""
    from difflib import get_close_matches

    by_fold = {each.casefold(): each for each in known}
    near = get_close_matches(word.casefold(), sorted(by_fold), 1, 0.7)
    return by_fold[near[0]] if near else ""


def _clipped(text: str) -> str:
    """Without passwords, and without its middle when a name from outside makes it endless."""
    if len(text) > 20 * LONGEST:
        text = f"{text[: 10 * LONGEST]}...{text[-10 * LONGEST :]}"
    text = without_password(text)
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 100]}...{text[-97:]}"
