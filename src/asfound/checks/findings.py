"""What inspections report, and the document that ``asfound inspect --json`` prints."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal as Choice

import msgspec

from asfound.analysis.places import Place
from asfound.model.copy import Source
from asfound.model.logic import Node

SCHEMA = "asfound/inspection/1"
SEVERITIES = ("note", "warning", "error")
"""Weakest first."""
Severity = Choice["note", "warning", "error"]


class Finding(Node, frozen=True, omit_defaults=False):
    """``check`` names the inspection, ``text`` what was found, ``reason`` why it matters, ``evidence`` what shows it.

    ``id`` is the place in the report, from 1; 0 while findings are collected. ``path`` is the place for programs, as in
    a comparison, empty for the whole.
    """

    id: int
    check: str
    severity: Severity
    where: str
    text: str
    reason: str
    evidence: tuple[str, ...] = ()
    path: tuple[str, ...] = ()


class Counts(Node, frozen=True, omit_defaults=False):
    """How many findings have each severity."""

    note: int = 0
    warning: int = 0
    error: int = 0


class Inspection(Node, frozen=True, omit_defaults=False):
    """``limits`` are what could not be inspected, and what the copy itself cannot vouch for."""

    schema: str
    reference: str
    sources: tuple[Source, ...]
    counts: Counts
    findings: tuple[Finding, ...]
    limits: tuple[str, ...]


def finding(
    check: str, severity: Severity, place: Place, text: str, reason: str, evidence: Iterable[str] = ()
) -> Finding:
    """One finding, not yet numbered."""
    return Finding(0, check, severity, place.where, text, reason, tuple(evidence), place.path)


def numbered(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The most severe first, those of one severity in the order in which they were found."""
    ordered = sorted(findings, key=lambda f: -SEVERITIES.index(f.severity))
    return tuple(msgspec.structs.replace(f, id=n) for n, f in enumerate(ordered, 1))
