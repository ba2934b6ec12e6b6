"""A statement: what a station held at a moment, and what differs from an earlier record.

An in-toto Statement v1 (github.com/in-toto/attestation, spec/v1): the subjects are the files and the commit, each with
its digest; the predicate of our own type says what they are.
"""

from __future__ import annotations

from typing import Literal as Choice

import msgspec

from asfound.compare.result import Comparison, Counts, Effect
from asfound.model.logic import Node
from asfound.model.panel import Panel
from asfound.model.station import BringsBack

STATEMENT_TYPE = "https://in-toto.io/Statement/v1"
PREDICATE_TYPE = "urn:asfound:statement:1"
SCHEMA = "asfound/statement/1"

PROVED = (
    "The digests fix every byte of the files named here, and the commit id fixes this record and all before it: "
    "whatever were altered would give another one."
)
NOT_PROVED = (
    "That the exports came from the controller named here and are complete is the word of the person who made them, "
    "and the times are those of that person's computer."
)
"""Both stand in every statement of this schema, word by word; one that promises something else is of another kind."""


def without_controller(copy: str) -> str:
    """What stands first in a statement about another copy than the running one."""
    return (
        f"THIS PROVES NOTHING ABOUT WHAT THE CONTROLLER RUNS: it is about the {copy} copy, which was not read from the "
        "running controller."
    )


class Subject(Node, frozen=True):
    """What is stated about: a name and its digests (``sha256`` of files, ``gitCommit`` of the record)."""

    name: str
    digest: dict[str, str]


class File(Node, frozen=True):
    """An original. ``path`` is where it lies in the record and in a hand-over, ``name`` what it was called."""

    path: str
    name: str
    sha256: str
    size: int


class StatedCopy(Node, frozen=True):
    """One copy; ``normal_sha256`` is the digest of its normal form."""

    name: str
    normal_sha256: str
    files: tuple[File, ...]


class Earlier(Node, frozen=True):
    """The record that was compared with; ``record`` is what it is called behind the ``@``."""

    record: str
    moment: str
    time: str
    person: str
    commit: str


class StatedChange(Node, frozen=True):
    """A change as in the comparison, without the texts and drawings."""

    id: int
    effect: Effect
    area: str
    kind: str
    where: str
    summary: str


class Compared(Node, frozen=True, omit_defaults=False):
    """The result of comparing one copy with the same copy of an earlier record."""

    copy: str
    earlier: Earlier
    old_normal_sha256: str
    new_normal_sha256: str
    verdict: Choice["identical", "noise", "documentation", "equivalent", "undecided", "behaviour"]
    counts: Counts
    limits: tuple[str, ...]
    changes: tuple[StatedChange, ...]


class Predicate(Node, frozen=True, omit_defaults=False):
    """Who stored it (``person``, ``time``), and who says all this (``stated_by``, ``stated_time``).

    ``caution`` stands only in a statement about another copy than the running one (see :func:`without_controller`).
    ``brings_back`` is what was stated of the station by then; earlier statements do not hold it.
    """

    schema: str
    station: str
    record: str
    moment: Choice["as-found", "as-left", "routine"]
    time: str
    person: str
    note: str
    clock: str
    commit: str
    stored_with: str
    stated_by: str
    stated_time: str
    stated_with: str
    copies: tuple[StatedCopy, ...]
    attachments: tuple[File, ...]
    panel: Panel | None
    compared: Compared | None
    proved: str = PROVED
    not_proved: str = NOT_PROVED
    caution: str | msgspec.UnsetType = msgspec.UNSET
    brings_back: BringsBack | msgspec.UnsetType = msgspec.UNSET


def caution(said: Predicate) -> str:
    """What has to be said before anything else of a statement; empty when it is about a running copy.

    It is told from the copies where a statement does not say it itself, as those written before it did.
    """
    if said.caution is not msgspec.UNSET:
        return said.caution
    names = [copy.name for copy in said.copies]
    return without_controller(names[0]) if names and "running" not in names else ""


class Statement(Node, frozen=True, omit_defaults=False, rename={"type": "_type", "predicate_type": "predicateType"}):
    """The whole document."""

    type: str
    subject: tuple[Subject, ...]
    predicate_type: str
    predicate: Predicate


def wrapped(predicate: Predicate) -> Statement:
    """The statement around a predicate; its subjects are all files and the commit."""
    files = [*(file for copy in predicate.copies for file in copy.files), *predicate.attachments]
    subjects = [Subject(file.path, {"sha256": file.sha256}) for file in files]
    commit = Subject(f"{predicate.station}@{predicate.record}", {"gitCommit": predicate.commit})
    return Statement(STATEMENT_TYPE, (*subjects, commit), PREDICATE_TYPE, predicate)


def compared(comparison: Comparison, copy: str, earlier: Earlier) -> Compared:
    """What a statement says of a comparison."""
    changes = tuple(StatedChange(c.id, c.effect, c.area, c.kind, c.where, c.summary) for c in comparison.changes)
    digests = comparison.old.normal_sha256, comparison.new.normal_sha256
    return Compared(copy, earlier, *digests, comparison.verdict, comparison.counts, comparison.limits, changes)


def written(statement: Statement) -> bytes:
    """The statement as bytes of a file."""
    return msgspec.json.format(msgspec.json.encode(statement), indent=2) + b"\n"
