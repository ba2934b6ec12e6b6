"""Which record and which copy are meant, where two of them are compared or three are set side by side.

The same copy on both sides: the one that a person names, else the first of running, card and office that both sides
can give; of each side the newest admitted record that holds it. A running copy is compared with another copy only where
somebody names both. Rejected: the newest record whatever it holds, and then its best copy (a record of the office
project stored after a visit would be set against what the controller ran, and every difference told as a change).

The records of one visit follow each other as found, routine, as left; the running copy, the card and the office project
may be stored one after the other. A routine record belongs to a visit of its own day only.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from asfound.model.copy import COPY_NAMES
from asfound.model.problem import Problem
from asfound.model.record import Record

Admitted = Sequence[tuple[str, Record]]
"""Records in order, each after what it is called behind the ``@``."""
_ORDER = {"as-found": 0, "routine": 1, "as-left": 2}


class Chosen(NamedTuple):
    """A copy of a record. ``passed`` are later admitted records that hold copies, but not this one."""

    label: str
    record: Record
    copy: str
    passed: tuple[Record, ...] = ()


class Asked(NamedTuple):
    """What a person wrote of one side, the records that it admits, and the copy if one is named."""

    text: str
    admitted: Admitted
    copy: str = ""


def newest(admitted: Admitted, copy: str) -> Chosen | None:
    """The newest record that holds a copy; None when none does."""
    passed: list[Record] = []
    for label, record in reversed(admitted):
        if copy in held(record):
            return Chosen(label, record, copy, tuple(reversed(passed)))
        if record.copies:
            passed.append(record)
    return None


def held(record: Record) -> tuple[str, ...]:
    """The copies of a record."""
    return tuple(copy.name for copy in record.copies)


def pair(old: Asked, new: Asked) -> tuple[Chosen, Chosen]:
    """The two copies to compare.

    A :class:`Problem` when the sides have no copy in common, or when the very same one is all that both can give
    although another record came later.
    """
    if old.copy and new.copy:
        return _named(old, old.copy), _named(new, new.copy)
    wanted = old.copy or new.copy
    for copy in (wanted,) if wanted else COPY_NAMES:
        first, second = newest(old.admitted, copy), newest(new.admitted, copy)
        if first and second:
            _refuse_same(old, new, first, second)
            return first, second
    raise _nothing_in_common(old, new)


def _named(asked: Asked, copy: str) -> Chosen:
    found = newest(asked.admitted, copy)
    if found is None:
        there = f"it holds {_listed(asked.admitted)}" if _copies(asked.admitted) else "name another record"
        raise Problem(f"there is no copy '{copy}'", where=asked.text, advice=there)
    return found


def _copies(admitted: Admitted) -> tuple[str, ...]:
    there = {name for _, record in admitted for name in held(record)}
    return tuple(name for name in COPY_NAMES if name in there)


def _listed(admitted: Admitted) -> str:
    return ", ".join(_copies(admitted)) or "no copy"


def _nothing_in_common(old: Asked, new: Asked) -> Problem:
    for one, other in ((old, new), (new, old)):
        if one.copy and _copies(other.admitted):
            return Problem(
                f"holds no {one.copy} copy to compare with that of {one.text}",
                where=other.text,
                advice=f"it holds {_listed(other.admitted)}; to compare one of these write it, "
                f"such as {other.text}:{_copies(other.admitted)[0]}",
            )
    both = f"the first holds {_listed(old.admitted)}, the second {_listed(new.admitted)}"
    advice = f"name a copy of each, such as {old.text}:{(*_copies(old.admitted), 'office')[0]}"
    return Problem(f"have no copy in common: {both}", where=f"{old.text} and {new.text}", advice=advice)


def _refuse_same(old: Asked, new: Asked, first: Chosen, second: Chosen) -> None:
    """Never say that nothing differs where a later record was passed over for want of the copy."""
    passed = first.passed or second.passed
    if (first.record, first.label) == (second.record, second.label) and passed and old.text != new.text:
        later = passed[-1]
        raise Problem(
            f"no record after record {first.label} holds a {first.copy} copy, record {later.number} holds "
            f"{', '.join(held(later))}",
            where=f"station {later.station}",
            advice=f"store the {first.copy} copy first, or name a copy on both sides, such as "
            f"{new.text.removesuffix(f':{new.copy}') if new.copy else new.text}:{held(later)[0]}",
        )


def visit(admitted: Admitted) -> dict[str, Chosen]:
    """The newest of each copy in the visit to which the last of these records that holds copies belongs."""
    found: dict[str, Chosen] = {}
    rank, day = len(_ORDER), ""
    for label, record in reversed([(label, record) for label, record in admitted if record.copies]):
        own = _ORDER[record.moment]
        day = day or record.time[:10]
        if own > rank or (record.moment == "routine" and record.time[:10] != day):
            break
        rank = own
        for name in held(record):
            found.setdefault(name, Chosen(label, record, name))
    return {name: found[name] for name in COPY_NAMES if name in found}
