"""Who stored a record: a name, with an address if the person wants it there."""

from __future__ import annotations

import re
import unicodedata
from datetime import datetime

from asfound.model.problem import Problem

_PERSON = re.compile(r"([^<>\n]*[^<>\n\s.,:;\"'\\][^<>\n]*?)\s*(?:<([^<>\s]*)>)?")
END = 4_102_444_800
"""The first second that git takes no more, 2100-01-01 in UTC (tried with git 2.39: "invalid date format")."""
_CRUD = " .,:;<>\"\\'"


def name_and_address(person: str) -> tuple[str, str]:
    """``Ada Lind <ada@example.org>`` taken apart; the address is empty when there is none.

    The name is what git makes of it, which takes stops and the like off its ends (``Ada Lind jr.``).
    """
    found = _PERSON.fullmatch(person.strip())
    if not found or any(unicodedata.category(sign) in ("Cc", "Cs") for sign in person):
        raise Problem(f"{person!r} is no name of a person", advice="write --by NAME or --by 'NAME <ADDRESS>'")
    return found[1].strip(_CRUD), found[2] or ""


def stating(by: str) -> str:
    """Who states something: the person that is named, else the usual one; a :class:`Problem` when it is no name."""
    person = by or usual_person()
    name_and_address(person)
    return person


def usual_person() -> str:
    """The user.name of the user's git, else the name they are logged in with, else ``unknown``."""
    import getpass

    from asfound.archive.gitprogram import git_module

    module = git_module()
    try:
        name = str(module.Git().config("--get", "user.name"))
    except module.GitCommandError:
        name = ""
    try:
        return name.strip() or getpass.getuser()
    except (KeyError, OSError, ImportError):
        return "unknown"


def git_date(time: datetime) -> str:
    """Seconds since 1970 and the zone, as git writes it; a :class:`Problem` for another time or one without a zone.

    A time without a zone could never be compared with that of the next record. Git takes none after 2099.
    """
    if time.utcoffset() is None:
        raise Problem(f"the time {time.isoformat()} has no time zone", advice="give it one")
    seconds = int(time.timestamp())
    if seconds >= END:
        raise Problem(f"the time {time.isoformat()} is after 2099", advice="set the clock of this computer")
    if seconds < 0:
        raise Problem(f"the time {time.isoformat()} is before 1970", advice="set the clock of this computer")
    return f"{seconds} {time.strftime('%z')[:5]}"
