"""The contract each reader keeps.

A reader turns the bytes of one export into a :class:`~asfound.model.copy.Copy` without sources (whoever calls adds
them). It accounts for everything in its input: understood, declared noise (``noise``), or kept as an extension.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from asfound.model.copy import Copy
from asfound.readers.encoding import decode
from asfound.readers.xml import root_of


@dataclass(frozen=True)
class Noise:
    """One kind of node that cannot change what the machine does or what a person reads."""

    path: str
    """Pattern of element names, ``*/position``, ``@name`` for an attribute (syntax: readers.noise_paths)."""
    reason: str


class Probe:
    """What a reader may look at to recognise its format; each view is computed once.

    ``root`` is ``(namespace, local name)`` of an XML document's root element, or None.
    """

    def __init__(self, data: bytes, name: str) -> None:
        self.data, self.name = data, name

    @cached_property
    def root(self) -> tuple[str, str] | None:
        """``(namespace, local name)`` of an XML document's root element, or None."""
        return root_of(self.data)

    @cached_property
    def text(self) -> str:
        """The first 64 kB as text."""
        return decode(self.data[:65536]).text

    @property
    def suffix(self) -> str:
        """Lower-case file name ending with its dot, or empty: a hint, never proof."""
        dot = self.name.rfind(".")
        return self.name[dot:].lower() if dot >= 0 else ""


@dataclass(frozen=True)
class Reader:
    """One open format. ``title`` is for people, ``standard`` names the specification, ``holds`` what it can carry."""

    name: str
    title: str
    standard: str
    suffixes: tuple[str, ...]
    holds: str
    recognise: Callable[[Probe], bool]
    read: Callable[[bytes, str], Copy]
    noise: tuple[Noise, ...] = ()
