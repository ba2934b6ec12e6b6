"""Whether what ``record.json`` says can be: each field of a record, whoever wrote it.

A record may come from another laptop, a stick, a bundle. What it says names branches, folders and files, stands in
statements and is compared with clocks; so each field is looked at when it is read, and whatever could not have been
stored by this program is refused. Names of exports are data: any text, which :mod:`.names` makes safe for a disk.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from datetime import datetime

from asfound.archive.people import git_date, name_and_address
from asfound.archive.stations import checked
from asfound.model.copy import COPY_NAMES, Source
from asfound.model.problem import Problem
from asfound.model.record import Join, Record

MOST = 1_000_000_000
"""The greatest number of a record."""
_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d(:\d\d)?")
_VERSION = re.compile(r"[0-9A-Za-z][0-9A-Za-z.+!_-]{0,60}")
_DIGEST = re.compile(r"[0-9a-f]{64}")
_COMMIT = re.compile(r"[0-9a-f]{40}")
_WORD = re.compile(r"[\w .,()-]{0,60}")
_NO_LINE = ("Cc", "Cs", "Zl", "Zp")


def objections(record: Record | Join) -> Iterator[str]:
    """Everything about a record that cannot be, in words."""
    try:
        checked(record.station)
    except Problem as problem:
        yield f"its station: {problem.what}"
    if not 0 < record.number <= MOST:
        yield f"the number {record.number}"
    yield from _times([record.time])
    yield from _joined(record) if isinstance(record, Join) else _stored(record)


def _joined(join: Join) -> Iterator[str]:
    for line in join.lines:
        if not _COMMIT.fullmatch(line.commit):
            yield f"the commit {line.commit!r}"
        yield from _people([line.person])
        yield from _times([line.time])


def _stored(record: Record) -> Iterator[str]:
    yield from _people([record.person])
    if not _VERSION.fullmatch(record.tool_version):
        yield f"the version {record.tool_version!r}"
    if not _is_line(record.clock):
        yield "a remark on the clock that is no line"
    if any(unicodedata.category(sign) == "Cs" or sign == "\0" for sign in record.note):
        yield "a note that is no text"
    names = [copy.name for copy in record.copies]
    if len(set(names)) < len(names) or not set(names) <= set(COPY_NAMES):
        yield f"the copies {', '.join(map(repr, names))}"
    for copy in record.copies:
        yield from _sources(copy.sources)
        if not _DIGEST.fullmatch(copy.normal_sha256):
            yield f"the digest {copy.normal_sha256!r}"
    yield from _sources(record.attachments)


def _sources(sources: Iterable[Source]) -> Iterator[str]:
    names = [source.name for source in sources]
    if len(set(names)) < len(names):
        yield "two files of one name"
    for source in sources:
        if not source.name or not _DIGEST.fullmatch(source.sha256) or source.size < 0:
            yield f"the file {source.name!r}, with its digest and size"
        if not _WORD.fullmatch(source.format) or not _WORD.fullmatch(source.encoding):
            yield f"the format {source.format!r} or encoding {source.encoding!r}"


def _times(times: Iterable[str]) -> Iterator[str]:
    for time in times:
        try:
            fits = bool(_TIME.fullmatch(time)) and bool(git_date(datetime.fromisoformat(time)))
        except (ValueError, OverflowError, Problem):
            fits = False
        if not fits:
            yield f"the time {time!r}"


def _people(people: Iterable[str]) -> Iterator[str]:
    for person in people:
        try:
            name_and_address(person)
        except Problem:
            yield f"the person {person!r}"


def _is_line(text: str) -> bool:
    return not any(unicodedata.category(sign) in _NO_LINE for sign in text)
