"""A record: what was stored for one station at one moment."""

from __future__ import annotations

from typing import Literal as Choice

from asfound.model.copy import Source
from asfound.model.logic import Node


class StoredCopy(Node, frozen=True):
    """One copy inside a record; ``normal_sha256`` is the digest of its normal form (see language.normal)."""

    name: str
    sources: tuple[Source, ...]
    normal_sha256: str


class Record(Node, frozen=True):
    """``record.json`` of the archive.

    ``number`` counts from 1 per station; ``time`` is ISO 8601 with zone, ``person`` whoever stored it.
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
