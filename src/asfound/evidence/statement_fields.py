"""Whether each field of a statement is what it claims to be, before anything of it is used or shown.

The words of a statement are read aloud, typed and signed: a commit that is an option of a command, a time with a line
break in it, a path that leads out of its folder must not get that far. What people wrote (notes, remarks on changes)
may be any text; it is shown on its own lines only (see :mod:`asfound.reports.statement`).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from functools import partial

import msgspec

from asfound.archive.people import git_date, name_and_address
from asfound.archive.stations import checked
from asfound.evidence.statement import (
    NOT_PROVED,
    PREDICATE_TYPE,
    PROVED,
    SCHEMA,
    STATEMENT_TYPE,
    Compared,
    File,
    Predicate,
    Statement,
    without_controller,
    wrapped,
    written,
)
from asfound.model.copy import COPY_NAMES, MOMENTS
from asfound.model.problem import Problem

_COMMIT, _DIGEST = re.compile(r"[0-9a-f]{40}"), re.compile(r"[0-9a-f]{64}")
_LABEL = re.compile(r"[1-9][0-9]{0,8}(\.[0-9a-f]{6,40})?")
_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d(:\d\d)?", re.ASCII)
_VERSION = re.compile(
    r"\d{1,5}(\.\d{1,5}){1,3}((a|b|rc)\d{1,5})?(\.post\d{1,5})?(\.dev\d{1,5})?(\+[a-z0-9.]{1,40})?", re.ASCII
)
"""A release as PEP 440 writes it, without an epoch."""
_WORD = re.compile(r"[a-z][a-z -]{0,39}")
_LONGEST_NAME = 300
"""Characters of a person; no name is longer, and what looks at names takes the square of it."""
_MOST = 10**9
_NO_PATH = frozenset('<>:"|?*\\')
"""What :mod:`asfound.archive.safe_names` always spells otherwise; ``%`` is how it does."""


_ALTERED = "it was altered"


def read(data: bytes, where: str = "") -> Statement:
    """A statement from the bytes of a file; a :class:`Problem` when it is none, or contradicts itself.

    Every field is what it claims to be, and the bytes are those that :func:`written` gives, so that
    nothing can stand in them twice.
    """
    try:
        statement = msgspec.json.decode(data, type=Statement)
    except (ValueError, RecursionError) as error:  # of msgspec, or no UTF-8
        raise Problem(f"is no statement ({error})", where=where, advice="`asfound attest` writes one") from None
    if statement.type != STATEMENT_TYPE or statement.predicate_type != PREDICATE_TYPE:
        raise Problem("is a statement of another kind", where=where, advice="update asfound")
    said = statement.predicate
    if said.schema != SCHEMA:
        raise Problem(f"has the schema {said.schema}", where=where, advice="update asfound")
    if (said.proved, said.not_proved) != (PROVED, NOT_PROVED):
        raise Problem("says something else of what is proved than every statement", where=where, advice=_ALTERED)
    if said.caution is not msgspec.UNSET and said.caution not in [without_controller(c.name) for c in said.copies]:
        raise Problem("warns of something else than a statement about a copy it holds", where=where, advice=_ALTERED)
    if odd := next(faults(said), ""):
        raise Problem(odd, where=where, advice=_ALTERED)
    if wrapped(said) != statement:
        raise Problem("its subjects are not the files it describes", where=where, advice=_ALTERED)
    if written(statement) != data:
        raise Problem("is not in the form in which statements are written", where=where, advice=_ALTERED)
    return statement


def faults(said: Predicate) -> Iterator[str]:
    """What is wrong, field by field; nothing when all is as it should be."""
    yield from _matching(said)
    yield from _persons_and_times(said)
    names = [copy.name for copy in said.copies]
    if any(name not in COPY_NAMES for name in names) or len(set(names)) < len(names):
        yield f"its copies are {', '.join(map(repr, names))}, and each can only be one of {', '.join(COPY_NAMES)}"
    for copy in said.copies:
        yield from _files(copy.files, f"originals/{copy.name}/")
    yield from _files(said.attachments, "attachments/")
    paths = [file.path for copy in said.copies for file in copy.files] + [file.path for file in said.attachments]
    if len(set(paths)) < len(paths):
        yield "it names two files of one path"
    if said.compared is not None:
        yield from _compared(said.compared)


def _odd(field: str, value: str, pattern: re.Pattern[str], what: str) -> Iterator[str]:
    if not pattern.fullmatch(value):
        yield f"its {field} is {value!r}, which is not {what}"


def _matching(said: Predicate) -> Iterator[str]:
    try:
        checked(said.station)
    except Problem as problem:
        yield f"its station is {said.station!r} ({problem.what})"
    yield from _odd("record", said.record, _LABEL, "the number of a record")
    yield from _odd("commit", said.commit, _COMMIT, "40 hexadecimal digits")
    yield from _odd("program that stored", said.stored_with, _VERSION, "a version")
    yield from _odd("program that stated", said.stated_with, _VERSION, "a version")
    for copy in said.copies:
        yield from _odd("digest of a normal form", copy.normal_sha256, _DIGEST, "64 hexadecimal digits")


def _persons_and_times(said: Predicate) -> Iterator[str]:
    earlier = [said.compared.earlier] if said.compared else []
    for person in (said.person, said.stated_by, *(one.person for one in earlier)):
        if len(person) > _LONGEST_NAME or not _fine(partial(name_and_address, person)):
            yield f"it names the person {person[:_LONGEST_NAME]!r}, which is no name of a person"
    for time in (said.time, said.stated_time, *(one.time for one in earlier)):
        if not _TIME.fullmatch(time) or not _fine(partial(_date, time)):
            yield f"it has the time {time!r}, which is no time with a zone between 1970 and 2099"


def _date(time: str) -> str:
    return git_date(datetime.fromisoformat(time))


def _fine(look: Callable[[], object]) -> bool:
    try:
        look()
    except (Problem, ValueError, OverflowError):
        return False
    return True


def _files(files: Iterable[File], folder: str) -> Iterator[str]:
    for file in files:
        if not file.path.startswith(folder) or not _leads_inside(file.path):
            yield f"it names the file {file.path!r}, which is no path below {folder}"
        if not file.name or "\0" in file.name:
            yield f"the file {file.path!r} was called nothing"
        yield from _odd("digest of a file", file.sha256, _DIGEST, "64 hexadecimal digits")
        if not 0 <= file.size < 2**63:
            yield f"the file {file.path!r} has a size that no file has"


def _leads_inside(path: str) -> bool:
    """Whether a path is one that :mod:`asfound.archive.safe_names` can make: below its folder everywhere."""
    return all(part not in ("", ".", "..") for part in path.split("/")) and not any(
        sign in _NO_PATH or unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Zl", "Zp") for sign in path
    )


def _compared(found: Compared) -> Iterator[str]:
    if found.copy not in COPY_NAMES:
        yield f"it compares the copy {found.copy!r}, which is none of {', '.join(COPY_NAMES)}"
    earlier = found.earlier
    yield from _odd("earlier record", earlier.record, _LABEL, "the number of a record")
    yield from _odd("earlier commit", earlier.commit, _COMMIT, "40 hexadecimal digits")
    if earlier.moment not in MOMENTS:
        yield f"its earlier record has the moment {earlier.moment!r}, which is none of {', '.join(MOMENTS)}"
    for digest in (found.old_normal_sha256, found.new_normal_sha256):
        yield from _odd("digest of a normal form", digest, _DIGEST, "64 hexadecimal digits")
    counts = found.counts
    numbers = (counts.documentation, counts.equivalent, counts.undecided, counts.behaviour)
    if not all(0 <= number < _MOST for number in (*numbers, *(change.id for change in found.changes))):
        yield "it counts or numbers changes as nobody can"
    for change in found.changes:
        yield from _odd("area of a change", change.area, _WORD, "a word")
        yield from _odd("kind of a change", change.kind, _WORD, "a word")
