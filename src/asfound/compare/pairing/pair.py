"""A piece of the old copy, its partner in the new one, and the old one as it was written before any rename."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, NamedTuple, TypeVar

T_co = TypeVar("T_co", covariant=True)
U = TypeVar("U")


class Pair(NamedTuple, Generic[T_co]):
    """``old`` has the names of the new copy where they were renamed; ``written`` is what people know it by."""

    old: T_co
    new: T_co
    written: T_co

    def each(self, part: Callable[[T_co], U]) -> Pair[U]:
        """The pair of one part of the three."""
        return Pair(part(self.old), part(self.new), part(self.written))
