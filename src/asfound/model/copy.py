"""A copy: one place where a program lives, read from one or more exports."""

from __future__ import annotations

from typing import Literal as Choice

from asfound.model.hardware import Hardware
from asfound.model.logic import Node
from asfound.model.program import Program
from asfound.model.tags import TagTable
from asfound.model.values import ActualValue, Force

COPY_NAMES = ("running", "card", "office")
MOMENTS = ("as-found", "as-left", "routine")


class Source(Node, frozen=True):
    """A file that a copy was read from.

    ``name`` is relative to the folder given, with ``/``; ``sha256`` of its bytes in hexadecimal, ``size`` in bytes;
    ``encoding`` of a text (``utf-8``, ``cp1252``), empty for XML and packages, which say it themselves.
    """

    name: str
    sha256: str
    size: int
    format: str
    """Name of the reader, empty when no reader knows the file (it is then stored, and compared byte by byte)."""
    encoding: str = ""


class Finding(Node, frozen=True):
    """Something an engineer should know about the data itself: a duplicate name, an address nobody can read."""

    severity: Choice["note", "warning", "error"]
    where: str
    text: str


class Copy(Node, frozen=True):
    """Everything we understood of one copy, and what we cannot vouch for.

    ``sources`` are the files, sorted by name; ``program`` everything logical, ``tables`` the tags outside of it,
    ``hardware`` racks, modules and networks, ``values`` and ``forces`` what was read from the running controller.
    Whatever an export does not hold is empty. ``findings`` concern the data itself (duplicates, addresses nobody can
    read), ``limits`` are sentences that every comparison of this copy repeats. ``words`` is what a person stated of the
    station, no export says it: whether the number of a word address (``%IW1``) counts bytes or words.
    """

    sources: tuple[Source, ...] = ()
    program: Program = Program()
    tables: tuple[TagTable, ...] = ()
    hardware: Hardware = Hardware()
    values: tuple[ActualValue, ...] = ()
    forces: tuple[Force, ...] = ()
    findings: tuple[Finding, ...] = ()
    limits: tuple[str, ...] = ()
    words: Choice["", "byte", "word"] = ""
