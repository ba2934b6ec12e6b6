"""The result of a comparison: what ``compare --json`` prints, and what every report is made from."""

from __future__ import annotations

from typing import Literal as Choice

from asfound.model.copy import Source
from asfound.model.logic import Node

EFFECTS = ("documentation", "equivalent", "undecided", "behaviour")
"""Weakest first."""
VERDICTS = ("identical", "noise", *EFFECTS)
SCHEMA = "asfound/comparison/1"

Effect = Choice["documentation", "equivalent", "undecided", "behaviour"]


class Side(Node, frozen=True):
    """One of the two things compared. ``reference`` is what the user wrote."""

    reference: str
    sources: tuple[Source, ...] = ()
    normal_sha256: str = ""


class Witness(Node, frozen=True):
    """Inputs for which old and new act differently, and what each does then; values as IEC literals."""

    inputs: dict[str, str]
    old: dict[str, str]
    new: dict[str, str]


class Change(Node, frozen=True, omit_defaults=False):
    """One difference a person would name; the fields are explained in the JSON Schema's order in DEVELOPERS.md."""

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
    witness: Witness | None = None
    reach: tuple[str, ...] = ()
    follows_from: int | None = None


class Counts(Node, frozen=True, omit_defaults=False):
    """How many changes have each effect."""

    documentation: int = 0
    equivalent: int = 0
    undecided: int = 0
    behaviour: int = 0


class Comparison(Node, frozen=True, omit_defaults=False):
    """``verdict`` is the strongest effect among the changes; ``identical`` means the very same bytes."""

    schema: str
    old: Side
    new: Side
    verdict: Choice["identical", "noise", "documentation", "equivalent", "undecided", "behaviour"]
    limits: tuple[str, ...]
    counts: Counts
    changes: tuple[Change, ...]
