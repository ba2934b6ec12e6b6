"""What a restart would lose or replace, in the order in which it is put back: one table.

The order (hardware, program, retained data, tuned values, clock, forces) and what each purpose may lose are common
practice, without a source; the maker's manual decides. Retained data is told from the retain flags of the declarations.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Literal as Choice

from asfound.checks.readiness.situation import Held, Purpose, Situation
from asfound.checks.readiness.stored_copies import LISTS, is_hardware
from asfound.compare.parts.quantities import same
from asfound.compare.result import QUIET
from asfound.compare.side_by_side import Row
from asfound.model.logic import Node
from asfound.model.program import VariableDeclaration
from asfound.model.values import ActualValue, Force

Kind = Choice["hardware", "program", "retained data", "tuned value", "time of day", "force"]
KINDS: tuple[Kind, ...] = ("hardware", "program", "retained data", "tuned value", "time of day", "force")
"""In the order of a restart."""
AT_RISK: dict[Purpose, tuple[Kind, ...]] = {
    "reset": KINDS,
    "download": ("retained data", "tuned value", "force"),
    "firmware": KINDS,
    "battery": KINDS,
}
GLOBALS = "globals"
LONGEST = 120
"""Characters of a piece of the program that are shown."""


class Loss(Node, frozen=True, omit_defaults=False):
    """``now`` is what is there before, ``after`` what is there afterwards at worst, ``back`` how it is put back."""

    kind: Kind
    where: str
    now: str
    after: str
    back: str


def losses(s: Situation) -> tuple[Loss, ...]:
    """The table; empty for what no copy tells."""
    found = [*differences(s), *_quiet(s)]
    if s.running is not None:
        found += [*unvalued(s.running), *_at_start(s.running), *_tuned(s.running), *_forces(s.running.copy.forces)]
    if not s.lacks("clock"):
        found.append(
            Loss("time of day", "clock", "", "may stand still or start anew", "set date and time, check the zone")
        )
    kept = [loss for loss in found if loss.kind in AT_RISK[s.purpose]]
    return tuple(sorted(kept, key=lambda loss: KINDS.index(loss.kind)))


def _all_of_it(s: Situation) -> Iterator[Loss]:
    """Where no copy shows what comes back."""
    if s.running is None or (s.card is not None and s.brings_back == "card"):
        return
    here = s.running.reference
    again = f"download the program again; the bytes are in {here}"
    compared = f"upload it and compare it with {here}; download that where it is another one"
    after, back = {
        "nothing": ("nothing comes back", again),
        "built-in": ("what built-in memory holds; no copy of that is stored", compared),
        "battery": ("what the memory holds, nothing if its battery fails; no copy of that is stored", compared),
        "card": ("not known: no card copy is stored", again),
        "": ("not known: what brings it back is not stated", compared),
    }[s.brings_back]
    if s.by_card() and s.without_card():
        after = "nothing: there is no card" if s.brings_back else f"{after}, and there is no card"
    yield Loss("program", "all of it", "running", after, back)


def _then(words: str, s: Situation) -> str:
    """What is there afterwards, on a condition where it is not stated that the card comes back."""
    return words if s.brings_back == "card" else f"{words}, if the card comes back"


def _rows(s: Situation) -> list[Row]:
    """Differences between running and card."""
    rows = s.side.rows if s.side and s.running and s.card and s.by_card() else ()
    return [row for row in rows if row.fate != "office only" and row.area not in LISTS]


def differences(s: Situation) -> list[Loss]:
    """Where hardware and program are other ones after a restart."""
    return [_difference(row, s) for row in _rows(s) if row.effect not in QUIET] + list(_all_of_it(s))


def _quiet(s: Situation) -> Iterator[Loss]:
    """Differences that are only words are counted."""
    quiet = [row for row in _rows(s) if row.effect in QUIET]
    if quiet:
        words = f"{len(quiet)} differences in what people read, or proved to act the same"
        yield Loss("program", "elsewhere", words, _then("as the card has it", s), "nothing to do")


def _difference(row: Row, s: Situation) -> Loss:
    kind: Kind = "hardware" if is_hardware(row) else "program"
    now, after = row.summary, "as the card has it"
    if row.fate == "not comparable":
        back = "export what lacks the list, store it and ask again; or compare by hand"
        return Loss(kind, row.where, now, "not known", back)
    if row.fate == "lost":
        now, after = f"only running: {_start(row.running) or row.summary}", "gone"
    elif row.fate == "brought back":
        now, after = f"only on the card: {_start(row.card) or row.summary}", "there again"
    here = s.running.reference if s.running else ""
    return Loss(kind, row.where, now, _then(after, s), f"write the card before, or download {here} after")


def _start(text: str | None) -> str:
    """The beginning of a piece, on one line."""
    words = " ".join((text or "").split())
    return words if len(words) <= LONGEST else f"{words[: LONGEST - 4]} ..."


def unvalued(held: Held) -> Iterator[Loss]:
    """Variables that keep their value, by owner; those with a stored value are told as values."""
    stored = {value.name.lower() for value in held.copy.values}
    program = held.copy.program
    owned = [(pou.name, f"{pou.name}.{v.name}", v) for pou in program.pous for v in pou.variables]
    owned += [(GLOBALS, v.name, v) for block in program.globals for v in block.variables]
    kept = [(owner, v) for owner, name, v in owned if _keeps(v) and name.lower() not in stored]
    for owner, group in groupby(sorted(kept, key=lambda each: each[0]), key=lambda each: each[0]):
        names = ", ".join(v.name for _, v in group)
        back = "note the values that matter before; enter them again, or let them count anew"
        yield Loss("retained data", owner, f"{names}: no value is stored", "the values of the declaration", back)


def _at_start(held: Held) -> Iterator[Loss]:
    at_start = [v for v in held.copy.values if v.actual and v.initial and same(v.actual, v.initial)]
    if at_start:
        now = f"{len(at_start)} value{'' if len(at_start) == 1 else 's'} as loaded"
        yield Loss("retained data", "value list", now, "the same values", f"compare with {held.reference}")


def _keeps(variable: VariableDeclaration) -> bool:
    return variable.retain == "retain" or variable.persistent


def _tuned(held: Held) -> Iterator[Loss]:
    for value in held.copy.values:
        if value.actual and not (value.initial and same(value.actual, value.initial)):
            now, initial = _text(value.actual, value), _text(value.initial, value)
            after = initial if value.initial else "not known"
            yield Loss("tuned value", value.name, now, after, f"enter {now} again, if it is still right")


def _text(digits: str, value: ActualValue) -> str:
    return f"{digits} {value.unit}".strip()


def _forces(forces: Sequence[Force]) -> Iterator[Loss]:
    for force in forces:
        name = f"{force.name} ({force.address})" if force.name and force.address else force.name or force.address
        back = "only if it is still meant, last of all, by whoever answers for it"
        yield Loss("force", name, force.value, "not known: it may be gone, or still there", back)
