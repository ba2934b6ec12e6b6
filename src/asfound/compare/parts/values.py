"""Values read from a running controller, and forces: paired by name.

Values are compared as what they mean (see quantities), numbers exactly or within a tolerance that somebody states.
Where only one copy holds actual values they are held against the values with which the program of the other starts.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from asfound.analysis.places import Place
from asfound.compare.changes import change, one_sided_change, one_sided_edit
from asfound.compare.lines import differs, settings, told
from asfound.compare.pairing.by_name import by_name
from asfound.compare.parts.one_sided_lists import comparable, counted, lacking, one_sided_list
from asfound.compare.parts.quantities import same, shift
from asfound.compare.result import Change, Edit, Effect
from asfound.compare.wording.phrases import edit, phrase
from asfound.language.literals import canonical
from asfound.model.copy import Copy
from asfound.model.values import ActualValue, Force

EXACT = Fraction(0)


def compare_values(old: Copy, new: Copy, tolerance: Fraction = EXACT) -> list[Change]:
    """Changes of actual values; a value that only one side knows is undecided."""
    if old.values == new.values:
        return []
    if not old.values or not new.values:
        return [_only_one_side(old, new, tolerance)]
    found = by_name(old.values, new.values, lambda v: v.name)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _value(before, after, tolerance)
    for kind, value in found.alone:
        edits = [one_sided_edit("value", kind, _text(value), of=value.name), edit("incomparable")]
        changes.append(one_sided_change("value", kind, _place(value.name), _text(value), edits))
    return changes


def _only_one_side(old: Copy, new: Copy, tolerance: Fraction) -> Change:
    """One of the copies carries no actual values: the values that its program starts with stand for them."""
    holder, other, side = (old, new, "new") if old.values else (new, old, "old")
    starts = _starts(other)
    values = sorted(holder.values, key=lambda v: (v.name.lower(), v.name, v.actual))
    known = [(v, starts[v.name.lower()]) for v in values if v.name.lower() in starts]
    differing = [(v, start) for v, start in known if not same(v.actual, start, tolerance)]
    tuned = [_listed(v) for v in values if v.actual and v.initial and not same(v.actual, v.initial, tolerance)]
    headline = lacking("value", old, new, counted(len(values), "actual value"), tuned)
    if differing:
        inner = [edit("more", new=str(len(differing) - 1))] if len(differing) > 1 else []
        headline = _beside("tuned beside start", *differing[0], side, inner)
    elif len(known) == len(values):
        headline = edit("same starts", of=str(len(values)), owner=side, inner=tuned)
    edits = [_beside("other start", v, start, side, _initial(v)) for v, start in differing]
    told = [v for v, _ in differing]
    edits += [_listed(v) for v in values if v not in told]
    at, text = Place("values", ("values",)), "\n".join(phrase(_listed(v)) for v in values)
    return one_sided_change("value", "removed" if old.values else "added", at, text, [headline, *edits])


def _beside(field: str, value: ActualValue, start: str, side: str, inner: Sequence[Edit]) -> Edit:
    """A value beside the one that the program of the other side starts with."""
    sides = (_text(value), start) if side == "new" else (start, _text(value))
    return edit(field, *sides, of=value.name, owner=side, inner=inner)


def _starts(copy: Copy) -> dict[str, str]:
    """The initial values that a program declares for its global variables and the variables of its programs."""
    found: dict[str, str] = {}
    for pou in copy.program.pous:
        found |= {f"{pou.name}.{v.name}".lower(): v.initial for v in pou.variables if v.initial}
    for block in copy.program.globals:
        found |= {v.name.lower(): v.initial for v in block.variables if v.initial}
    return found


def _initial(value: ActualValue) -> list[Edit]:
    """The initial value of one that was tuned."""
    tuned = value.initial and value.actual and not same(value.actual, value.initial)
    return [edit("initial", new=value.initial)] if tuned else []


def _listed(value: ActualValue) -> Edit:
    return edit("listed value", new=_text(value), of=value.name, inner=_initial(value))


def _place(name: str) -> Place:
    return Place(f"value {name}", (f"value:{name}",))


def _text(value: ActualValue) -> str:
    return f"{value.actual} {value.unit}".strip()


def _value(old: ActualValue, new: ActualValue, tolerance: Fraction) -> list[Change]:
    if old == new:
        return []
    units = "" if old.unit != new.unit else new.unit
    edits: list[Edit] = []
    for field, before, after in (("actual value", old.actual, new.actual), ("start value", old.initial, new.initial)):
        if before != after:
            effect, remarks = _judged(before, after, tolerance)
            effect = effect if old.unit == new.unit else None
            edits.append(edit(field, before or None, after or None, of=units, inner=remarks, effect=effect))
    edits += differs("unit", old.unit, new.unit)
    edits += settings("column", old.settings, new.settings)
    edits += differs("comment", old.comment, new.comment)
    edits += differs("spelling", old.name, new.name)
    if not edits:
        return []
    subject = new.name
    if edits[0].field == "actual value" and edits[0].effect == "behaviour":
        subject = f"{new.name} tuned"
        edits.insert(0, edit("tuned", old.actual or None, new.actual or None, of=new.unit))
    if new.actual and new.initial and not same(new.actual, new.initial, tolerance):
        edits.append(edit("not initial", new=new.initial))
    return [change("value", "changed", _place(new.name), (_text(old), _text(new)), subject, edits)]


def _judged(before: str, after: str, tolerance: Fraction) -> tuple[Effect | None, list[Edit]]:
    """A value written in another way, or another one and by how much."""
    if before and after and same(before, after):
        return "documentation", [edit("the same value")]
    if before and after and same(before, after, tolerance):
        return "documentation", [edit("within the stated tolerance")]
    by = shift(before, after)
    return None, [edit("by", new=by)] if by else []


def compare_forces(old: Copy, new: Copy) -> list[Change]:
    """Changes of forces; those of a list that only one side holds are one undecided change."""
    if old.forces == new.forces:
        return []
    if not comparable("force", old, new):
        lines = sorted(_force_text(force) for force in (*old.forces, *new.forces))
        return [one_sided_list("force", old, new, counted(len(lines), "force"), lines)]
    found = by_name(old.forces, new.forces, _forced)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _force(before, after)
    for kind, force in found.alone:
        edits = [one_sided_edit("force", kind, force.value, of=_forced(force))]
        changes.append(one_sided_change("force", kind, _force_place(force), _force_text(force), edits))
    return changes


def _forced(force: Force) -> str:
    return force.name or force.address


def _force_place(force: Force) -> Place:
    return Place(f"force {_forced(force)}", (f"force:{_forced(force)}",))


def _force_text(force: Force) -> str:
    at = f" AT {force.address}" if force.address else ""
    return f"{force.name}{at} := {force.value}".strip()


def _force(old: Force, new: Force) -> list[Change]:
    if old == new:
        return []
    type = "BOOL" if new.address.startswith(("%IX", "%QX", "%MX")) else ""
    equal = same(canonical(old.value, type), canonical(new.value, type))
    edits = differs("forced", old.value, new.value, effect="documentation" if equal else "behaviour")
    edits += differs("address", old.address, new.address)
    edits += settings("column", old.settings, new.settings)
    edits += differs("comment", old.comment, new.comment)
    edits += differs("spelling", old.name, new.name)
    return told("force", _force_place(new), _forced(new), edits, (_force_text(old), _force_text(new)))
