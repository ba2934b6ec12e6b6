"""The result of a comparison: what ``compare --json`` prints, and what every report is made from."""

from __future__ import annotations

from typing import Literal as Choice

from msgspec import UNSET, UnsetType

from asfound.model.copy import Source
from asfound.model.logic import Node, Statement
from asfound.prove.witness import Witness

EFFECTS = ("documentation", "equivalent", "undecided", "behaviour")
"""Weakest first."""
QUIET = ("documentation", "equivalent")
"""Counted, not listed, where a person looks for what matters."""
VERDICTS = ("identical", "noise", *EFFECTS)
SCHEMA = "asfound/comparison/2"

Effect = Choice["documentation", "equivalent", "undecided", "behaviour"]
Sides = tuple[tuple[Statement, ...] | None, tuple[Statement, ...] | None]
"""What stands before and now, None where there is nothing."""


class Origin(Node, frozen=True):
    """The copy of a record that was compared; ``record`` is what it is called behind the ``@``, ``time`` ISO 8601."""

    station: str
    record: str
    moment: Choice["as-found", "as-left", "routine"]
    time: str
    copy: Choice["running", "card", "office"]


class Side(Node, frozen=True):
    """One of the two things compared.

    ``reference`` is what the user wrote, ``origin`` the record it is of, if any. ``normal_sha256`` is the digest of the
    normal form, in hexadecimal: two sides with the same one differ in nothing but noise.
    """

    reference: str
    sources: tuple[Source, ...] = ()
    normal_sha256: str = ""
    origin: Origin | None = None


class Edit(Node, frozen=True):
    """One thing that differs, as data: the fact from which sentences are made last.

    ``field`` is a row of the table in compare/wording (``type``, ``input``, ``contact removed``), ``of`` says which one
    of several (the pin, the setting, the operand), ``owner`` whose it is. ``old`` and ``new`` are texts, None where
    there is none. ``inner`` are edits inside of this one. ``effect`` is None for what explains, and for what was judged
    together with the whole change.
    """

    field: str
    old: str | None = None
    new: str | None = None
    of: str = ""
    owner: str = ""
    inner: tuple[Edit, ...] = ()
    effect: Effect | None = None


class Reached(Node, frozen=True, omit_defaults=False):
    """An output that a change can touch, through instances: which cylinder, not which type of cylinder.

    ``physical`` outputs lie at ``%Q`` (one address is one output, whatever it is called), an ``access path`` is what
    other stations read, ``block`` an output of a block instance or program, ``global`` a global variable. ``name``
    begins with the program unless it is global; ``at`` is the address or the access path, empty where there is none.
    ``way`` are the names from what the change writes to the output, both included, so one name alone is written
    directly; it is told to the three nearest outputs of a kind and empty for those further away. A document holds only
    those to which it is told; ``reach`` names all.
    """

    kind: Choice["physical", "access path", "block", "global"]
    name: str
    at: str
    way: tuple[str, ...]


class Change(Node, frozen=True, omit_defaults=False):
    """One difference a person would name.

    ``id`` counts from 1 in the order of the report; ``where`` names the place for people (``PumpControl / rung 3``),
    ``path`` for programs (``("PumpControl", "network:3")``, counted from 1). ``before`` and ``after`` are the normal
    form of that piece, None where there is none. ``edits`` are what differs, as data, the first one first to be told;
    ``subject`` is what they are about where the place does not say it, ``names`` are the folded names concerned.
    ``summary`` (one line) and ``details`` are the same in the words of the trade, made last. ``witness`` is a case in
    which both act differently, where one was found. ``reached`` are the outputs that the change can touch and that
    leave the controller, the nearest first; where there are none, those of blocks, else global variables. ``reach``
    names them in that order and then the outputs of blocks, if these are not among them. ``old_path`` is the path in
    the old copy where it is another one, with the names of now.
    ``follows_from`` is the ``id`` of the change that brings this one with it (a new address, the use of a variable, an
    edit of a rung).
    """

    id: int
    area: Choice[
        "logic", "declaration", "datatype", "task", "tag", "hardware", "value", "force", "extension", "document"
    ]
    kind: Choice["added", "removed", "changed", "renamed", "moved", "readdressed"]
    effect: Effect
    where: str
    path: tuple[str, ...]
    before: str | None
    after: str | None
    summary: str
    details: tuple[str, ...] = ()
    subject: str = ""
    edits: tuple[Edit, ...] = ()
    names: tuple[str, ...] = ()
    witness: Witness | None = None
    reach: tuple[str, ...] = ()
    reached: tuple[Reached, ...] = ()
    follows_from: int | None = None
    old_path: tuple[str, ...] = ()
    statements: Sides | UnsetType = UNSET
    """Of a rung or network, or of what moved, to be drawn; no part of the document."""


class Counts(Node, frozen=True, omit_defaults=False):
    """How many changes have each effect."""

    documentation: int = 0
    equivalent: int = 0
    undecided: int = 0
    behaviour: int = 0


class Comparison(Node, frozen=True, omit_defaults=False):
    """What differs between two copies.

    Version 2 of the contract: what version 1 said in ``summary`` and ``details`` alone stands in ``edits`` as data; who
    read meaning out of those words reads ``edits`` now, their ``field`` above all. All else is as it was.

    ``verdict`` is the strongest effect among the changes; without changes ``identical`` means the very same bytes, and
    ``noise`` that they differ in nothing that acts or is read. ``limits`` are sentences: what this comparison cannot
    vouch for. ``changes`` stand in the order of the report, those of one place together.
    """

    schema: str
    old: Side
    new: Side
    verdict: Choice["identical", "noise", "documentation", "equivalent", "undecided", "behaviour"]
    limits: tuple[str, ...]
    counts: Counts
    changes: tuple[Change, ...]
