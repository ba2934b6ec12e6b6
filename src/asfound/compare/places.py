"""Where a piece stands: the words for people and the path for programs, built side by side."""

from __future__ import annotations

import re
from typing import NamedTuple

from asfound.model.program import Body

NOUNS = {"LD": "rung"}
"""What one piece of a diagram is called, by language; ``network`` for every other one."""


class Place(NamedTuple):
    """``where`` as in ``PumpControl / rung 3``, ``path`` as in ``("PumpControl", "network:3")``."""

    where: str
    path: tuple[str, ...]

    def down(self, words: str, step: str) -> Place:
        """A place inside this one."""
        return Place(f"{self.where} / {words}", (*self.path, step))

    def statement(self, index: int) -> Place:
        """The statement at ``index``, counted from 0; people count from 1."""
        return self.down(f"statement {index + 1}", f"statement:{index + 1}")

    def network(self, index: int, noun: str) -> Place:
        """The rung or network at ``index``, counted from 0."""
        return self.down(f"{noun} {index + 1}", f"network:{index + 1}")


def top(name: str) -> Place:
    """Place of something that stands at the top, a POU or a type."""
    return Place(name, (name,))


def noun(body: Body) -> str:
    """``rung`` or ``network``."""
    return NOUNS.get(body.language, "network")


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Sort key in which ``network:10`` comes behind ``network:9``; total, because the text itself comes last."""
    parts = re.split(r"(\d+)", text)
    numbers = tuple((0, int(p), "") if re.fullmatch("[0-9]{1,18}", p) else (1, 0, p.lower()) for p in parts if p)
    return (*numbers, (2, 0, text))


def natural_path(path: tuple[str, ...]) -> tuple[tuple[tuple[int, int, str], ...], ...]:
    """Sort key of a path."""
    return tuple(map(natural, path))
