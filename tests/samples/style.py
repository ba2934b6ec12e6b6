"""The two writers of the sample plant: the project editor of the office, and the upload from a controller or card.

An upload knows nothing of comments; it numbers, orders, splits and draws in its own way. Whatever differs here must
not show up as a change of the program.
"""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True)
class Style:
    """How a file is written. ``created`` is an ISO time; ``scale`` is (factor, offset) of drawing positions."""

    created: str
    comments: bool
    product: str
    release: str
    prefix: str
    indent: str
    scale: tuple[int, int]
    one_rail: bool
    sorted_pous: bool
    explicit: bool
    section_limit: int
    wires: bool
    """Whether sizes, pins and the course of wires are written; without them an importer draws anew."""

    def number(self, number: int, total: int, pou: int) -> int:
        """The local id of a shape: counted up by the editor, down and in steps by the upload."""
        return number if self.one_rail else 100_000 * (pou + 1) + 7 * (total - number) + 3

    def point(self, value: int) -> int:
        """A coordinate on this writer's grid."""
        return value * self.scale[0] + self.scale[1]

    def text(self, text: str) -> str:
        """Structured text or instruction list as this writer keeps it."""
        return text if self.comments else bare(text)


def office(created: str) -> Style:
    """The project on the engineer's disk."""
    return Style(created, True, "Project editor", "4.2", "xhtml", "", (1, 0), True, False, False, 1000, True)


def upload(created: str) -> Style:
    """What comes back from a controller or its card."""
    return Style(created, False, "Upload service", "2.0", "h", "", (2, 100), False, True, True, 14, False)


_REMARK = re.compile(r"\(\*.*?\*\)|//[^\n]*", re.DOTALL)


def bare(text: str) -> str:
    """Program text without its comments, empty lines and inner alignment; tabs instead of blanks."""
    lines = (line.rstrip() for line in _REMARK.sub("", text).splitlines())
    return "\n".join(re.sub(r"^( {2,4})+", _tabs, line) for line in lines if line.strip()) + "\n"


def _tabs(found: re.Match[str]) -> str:
    return "\t" * (len(found[0]) // 2)
