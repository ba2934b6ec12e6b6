"""A row of the table of fields (see phrases)."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from asfound.compare.result import Edit, Effect


class Field(NamedTuple):
    """How an edit of a field is said, and its effect where the field alone decides it.

    ``words`` hold ``{old}``, ``{new}`` (``none`` for what is empty), ``{name}`` (the one of both that there is),
    ``{came}`` (``added``, ``removed`` or ``changed``), ``{of}``, ``{owner}``, ``{inner}`` (the first edit inside, and
    how many there are besides), ``{about}`` (the same behind ``of``, unless it names that) and ``{all}`` of them, or
    are made by a function. A ``note`` explains and is no difference; a ``whole`` one is a headline that says what all
    other edits of its change are about; a ``proof`` is a note that is told before them; of one with ``each`` every
    inner edit is told by itself; one that is ``named`` says itself what its change is about.
    """

    words: str | Callable[[Edit], str]
    effect: Effect | None = None
    note: bool = False
    whole: bool = False
    proof: bool = False
    each: bool = False
    named: bool = False


def note(words: str | Callable[[Edit], str]) -> Field:
    """A row of what explains."""
    return Field(words, note=True)


def headline(words: str | Callable[[Edit], str], effect: Effect | None = None) -> Field:
    """A row of what is said before all else."""
    return Field(words, effect, whole=True)


def named(words: str) -> Field:
    """A row that says itself what the change is about."""
    return Field(words, named=True)


def proof(words: str) -> Field:
    """A row of what was proved about all edits of a change."""
    return Field(words, note=True, proof=True)


def each(words: str, *, note: bool = False) -> Field:
    """A row of what holds several edits, told one by one."""
    return Field(words, note=note, each=True)


def came(e: Edit) -> str:
    """What became of a thing that one side or both have."""
    return "added" if e.old is None else "removed" if e.new is None else "changed"


def name(e: Edit) -> str:
    """What a thing is called, by the new side where it has it."""
    return (e.old or "") if e.new is None else e.new


def short(words: str, length: int = 100) -> str:
    """At most ``length`` characters on one line."""
    line = " ".join(words.split())
    return line if len(line) <= length else line[: length - 1].rstrip() + "…"
