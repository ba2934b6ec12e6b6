"""Which record and copy a side of a comparison is, and what has to be said of that choice."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from asfound.compare.result import Comparison, Origin
from asfound.model.record import Record


def origin(label: str, record: Record, copy: str) -> Origin:
    """The origin of a copy; ``label`` is what the record is called behind the ``@``."""
    return Origin(record.station, label, record.moment, record.time, copy)  # type: ignore[arg-type]


def with_origins(
    comparison: Comparison, old: Origin | None, new: Origin | None, limits: Sequence[str] = ()
) -> Comparison:
    """The comparison with the records that its sides are of, and what that choice cannot vouch for, among the limits.

    ``limits`` are further sentences about the choice.
    """
    own = [*limits]
    if old is not None and old == new:
        own.append("both sides are one record: nothing was stored in between")
    if old and new and "running" not in (old.copy, new.copy):
        own.append("neither side was read from the running controller: this says nothing about what it runs")
    return replace(
        comparison,
        old=replace(comparison.old, origin=old),
        new=replace(comparison.new, origin=new),
        limits=(*own, *comparison.limits),
    )


def passed_over(origin: Origin, passed: Sequence[Record]) -> list[str]:
    """A sentence where later records were passed over, since they do not hold the copy."""
    if not passed:
        return []
    numbers = ", ".join(str(record.number) for record in passed)
    which, verb = ("records", "hold") if len(passed) > 1 else ("record", "holds")
    return [f"{origin.station} {which} {numbers}, later than record {origin.record}, {verb} no {origin.copy} copy"]
