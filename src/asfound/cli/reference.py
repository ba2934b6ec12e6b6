"""What a person writes to name something: a file, a folder, or a record in an archive.

::

    REFERENCE = FILE | FOLDER                     all exports below a folder are one copy
              | [ARCHIVE ":"] RECORD [":" COPY]
    RECORD    = STATION ["@" SELECTOR]            without a selector the latest record
    SELECTOR  = NUMBER ["." ID]                   counted from 1; ID tells two records of one number apart
              | YYYY-MM-DD                        the last record of that day, in the record's own time zone
              | "as-found" | "as-left" | "routine"    the latest one of that moment
    COPY      = "running" | "card" | "office"     without: running, else card, else office

A FILE or FOLDER that exists and is not itself an archive wins. ARCHIVE is a path and may hold colons, of a Windows
drive (``C:\\plants\\plant.git:booster-1@2``) or any other: the first part before a colon that is an archive is taken.
Without ARCHIVE the one of ``--archive`` or of the environment variable ASFOUND_ARCHIVE is meant.

Commands that take ``[ARCHIVE] STATION`` understand ``plant.git booster-1``, ``plant.git:booster-1`` and, with the
option or the variable, ``booster-1``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from asfound.model.problem import Problem, command, meant

VARIABLE = "ASFOUND_ARCHIVE"
_COPIES = ("running", "card", "office")
_DRIVE = re.compile(r"[A-Za-z]:[\\/]")
_ADVICE = f"check the name; for a record write ARCHIVE:STATION, or name the archive with --archive or {VARIABLE}"
NAME_IT = f"name it, or set {VARIABLE}; `asfound init` with a new name makes one"


class Stored(NamedTuple):
    """A record in an archive; ``selector`` and ``copy`` are empty when not given."""

    archive: Path
    station: str
    selector: str = ""
    copy: str = ""


def parse(text: str, archive: Path | None = None) -> Path | Stored:
    """A path that exists, or a record. ``archive`` is the default one; nothing is opened here."""
    path = Path(text)
    there = bool(text) and _exists(path)
    if there and not is_archive(path):
        return path
    if not there and text and path.is_symlink():
        raise Problem("is a link to something that is not there", where=text, advice="mend or remove the link")
    if there:
        advice = f"add a station, {text}:STATION; {command('history', text)} lists them"
        raise Problem("is an archive", where=text, advice=advice)
    return _stored(text, archive)


def record(text: str, archive: Path | None) -> Stored:
    """A record; a :class:`Problem` for a path."""
    found = parse(text, archive)
    if isinstance(found, Path):
        advice = "`asfound store` makes a record of it; then write ARCHIVE:STATION[@SELECTOR][:COPY]"
        raise Problem("is not in an archive", where=text, advice=advice)
    return found


def _exists(path: Path) -> bool:
    try:
        return path.exists()
    except OSError as error:
        raise Problem(
            f"cannot be looked at ({error.strerror})", where=str(path)[:100], advice="check the name"
        ) from None


def is_archive(path: Path) -> bool:
    """Whether a folder is an archive (a quick look, without git)."""
    from asfound.archive.creating import looks_like_archive

    return path.is_dir() and looks_like_archive(path)


def _stored(text: str, archive: Path | None) -> Stored:
    where, rest = divided(text)
    if not where and _DRIVE.match(text):
        raise Problem("does not exist", where=text, advice=_near(text) + "check the name")
    record, colon, copy = rest.partition(":")
    station, at, selector = record.partition("@")
    if colon and copy not in _COPIES:
        raise Problem(f"'{copy}' is no copy", where=text, advice=f"a copy is one of {', '.join(_COPIES)}")
    if at and not selector:
        raise Problem("nothing follows the @", where=text, advice="write a number, a day or a moment")
    chosen = Path(where) if where else archive
    if chosen is None:
        raise Problem("is no file or folder, and no archive is named", where=text or "''", advice=_near(text) + _ADVICE)
    return Stored(chosen, station, selector, copy)


def _near(text: str) -> str:
    """The question whether a file or folder is meant that is called nearly so."""
    from contextlib import suppress

    with suppress(OSError, ValueError):
        return meant(Path(text).name, sorted(each.name for each in Path(text).parent.iterdir()))
    return ""


def divided(text: str) -> tuple[str, str]:
    """The archive (empty when none is named) and the rest."""
    colons = [match.start() for match in re.finditer(":", text)]
    if _DRIVE.match(text):
        colons = colons[1:]
    for at in colons:
        if is_archive(Path(text[:at])):
            return text[:at], text[at + 1 :]
    if colons and text[colons[-1] + 1 :] in _COPIES:
        colons.pop()
    return (text[: colons[-1]], text[colons[-1] + 1 :]) if colons else ("", text)


def station(words: Sequence[str], archive: Path | None) -> tuple[Path, str]:
    """The archive and the station out of ``[ARCHIVE] STATION``."""
    where, name = station_or_all(words, archive)
    if name:
        return where, name
    if is_archive(where):
        raise Problem(
            "no station is named",
            where=str(where),
            advice=f"write {where} STATION; {command('history', where)} lists them",
        )
    raise Problem("no archive is named", where=str(where), advice=f"write ARCHIVE STATION, or set {VARIABLE}")


def station_or_all(words: Sequence[str], archive: Path | None) -> tuple[Path, str]:
    """The archive and the station out of ``[ARCHIVE] [STATION]``; the station is empty when none is named."""
    if len(words) > 2:
        raise Problem(f"'{words[2]}' is one word too many", advice="quote a name that holds blanks")
    if len(words) == 2:
        return Path(words[0]), words[1]
    if not words:
        if archive is None:
            raise Problem("no archive is named", advice=NAME_IT)
        return archive, ""
    if is_archive(Path(words[0])):
        return Path(words[0]), ""
    where, name = divided(words[0])
    if where:
        return Path(where), name
    return (archive, name) if archive is not None else (Path(words[0]), "")
