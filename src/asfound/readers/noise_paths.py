"""The small path language of the noise tables, in one place.

A path names one node of an export: the local names of the elements from the root down, joined by ``/``, ending in
``@name`` for an attribute or ``text()`` for text. Tables use the same form with the heading of a column as last step.
A pattern is such a path in which ``*`` stands for exactly one step and ``**`` for any number of steps, also none.
A pattern that names an element covers everything below it when it ends in ``/**``.
A step may say which element of that name is meant, ``Attribute[BuiltIn]``. A last step with ``()`` that is not
``text()`` names an aspect of a node: ``order()`` of its children, ``removed()`` when it says nothing more than its
absence, ``empty()`` when it is empty, and others whose name speaks for itself (``padding()``); ``@name=value`` is one
value of an attribute.

>>> matches("**/position/@x", "project/types/position/@x")
True
>>> matches("*/position/@x", "project/types/position/@x")
False
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import lru_cache
from typing import Protocol


class Entry(Protocol):
    """What a noise table holds: see :class:`asfound.readers.reader.Noise`."""

    @property
    def path(self) -> str:
        """Pattern in the language of this module."""


class Table(Protocol):
    """Anything with a noise table: see :class:`asfound.readers.reader.Reader`."""

    @property
    def noise(self) -> tuple[Entry, ...]:
        """The declared noise, each with a reason."""


@lru_cache(maxsize=1024)
def _expression(pattern: str) -> re.Pattern[str]:
    """One regular expression for a pattern; every step is matched with its leading ``/``."""
    steps = (
        "(?:/[^/]+)*" if step == "**" else "/[^/]+" if step == "*" else "/" + re.escape(step)
        for step in pattern.split("/")
    )
    return re.compile("".join(steps))


def matches(pattern: str, path: str) -> bool:
    """Whether the whole of ``path`` fits ``pattern``."""
    return _expression(pattern).fullmatch("/" + path) is not None


def is_noise(reader: Table, path: str) -> bool:
    """Whether ``reader`` declares the node at ``path`` (from the root element down) as noise."""
    return any(matches(entry.path, path) for entry in reader.noise)


def filter_of(patterns: Iterable[str], prefix: str = "") -> Callable[[str], bool]:
    """The same question as a function, for :func:`asfound.readers.xml.leftovers`.

    ``prefix`` is put before each path, for leftovers whose owner is not the root (``"project/types/"``).
    """
    known = tuple(patterns)
    return lambda path: any(matches(pattern, prefix + path) for pattern in known)
