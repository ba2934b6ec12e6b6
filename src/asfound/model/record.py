"""A record: what was stored for one station at one moment."""

from __future__ import annotations

from typing import Literal as Choice

from asfound.model.copy import Source
from asfound.model.logic import Node
from asfound.model.panel import Panel


class StoredCopy(Node, frozen=True):
    """One copy inside a record; ``normal_sha256`` is the digest of its normal form (see language.normal)."""

    name: str
    sources: tuple[Source, ...]
    normal_sha256: str


class Record(Node, frozen=True):
    """``record.json`` of the archive.

    ``number`` counts from 1 along a line of records; ``time`` is ISO 8601 with zone, ``person`` whoever stored it.
    ``attachments`` are files stored as they are; ``clock`` says so when the time is before that of an earlier record.
    ``panel`` is what a person saw on the controller; a record may hold nothing else.
    """

    schema: str
    station: str
    number: int
    moment: Choice["as-found", "as-left", "routine"]
    time: str
    person: str
    tool_version: str
    copies: tuple[StoredCopy, ...]
    note: str = ""
    attachments: tuple[Source, ...] = ()
    clock: str = ""
    panel: Panel | None = None


class Line(Node, frozen=True):
    """The end of a line of records: its last commit, its greatest number, the time and person of its last record."""

    commit: str
    number: int
    time: str
    person: str


class Join(Node, frozen=True):
    """``record.json`` of a joining record: two laptops stored the station apart, both lines go on from here.

    ``number`` is the greatest of both lines and ``time`` the latest; a join has no number of its own. It is made of
    the two lines alone, so that every laptop makes the same one.
    """

    schema: str
    station: str
    number: int
    time: str
    lines: tuple[Line, Line]
