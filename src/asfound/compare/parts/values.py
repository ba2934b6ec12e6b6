"""Values read from a running controller, and forces: paired by name.

Values are compared as what they mean (see quantities), numbers exactly or within a tolerance that somebody states.
Where only one copy holds actual values they are held against the values with which the program of the other starts.
"""

from __future__ import annotations

from fractions import Fraction

from asfound.analysis.places import Place
from asfound.compare.changes import strongest, summed, worded, worded_one_sided
from asfound.compare.lines import Lines, differs, settings, told
from asfound.compare.pairing.by_name import by_name
from asfound.compare.parts.one_sided_lists import comparable, counted, one_sided_list
from asfound.compare.parts.quantities import same, shift
from asfound.compare.result import Change, Effect
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
    for value, kind in (*((v, "removed") for v, _ in found.removed), *((v, "added") for v in found.added)):
        said = f"actual value of {value.name} {'no longer' if kind == 'removed' else 'now'} recorded: {_text(value)}"
        at = _place(value.name)
        details = ("nothing to compare it with",)
        changes.append(worded_one_sided("value", kind, "undecided", at, _text(value), said, details))
    return changes


def _only_one_side(old: Copy, new: Copy, tolerance: Fraction) -> Change:
    """One of the copies carries no actual values: the values that its program starts with stand for them."""
    holder, other, side = (old, new, "new") if old.values else (new, old, "old")
    starts = _starts(other)
    values = sorted(holder.values, key=lambda v: (v.name.lower(), v.name, v.actual))
    lines = [_line(v) for v in values]
    known = [(v, starts[v.name.lower()]) for v in values if v.name.lower() in starts]
    differing = [(v, start) for v, start in known if not same(v.actual, start, tolerance)]
    said = f"{counted(len(lines), 'actual value')} cannot be compared: the {side} copy holds no value list"
    effect: Effect = "undecided"
    details = [f"{_line(v)}; the {side} copy starts with {start}" for v, start in differing]
    if differing:
        first, start = differing[0]
        effect, more = "behaviour", f" (and {len(differing) - 1} more)" if len(differing) > 1 else ""
        said = f"{first.name} tuned: {_text(first)}, the {side} copy starts with {start}{more}"
    elif len(known) == len(values):
        effect, said = "equivalent", f"the {side} copy starts with the {len(lines)} actual values of the other"
    tuned = [v for v in values if v.actual and v.initial and not same(v.actual, v.initial, tolerance)]
    if tuned and not differing:
        said += f"; {len(tuned)} of them tuned: {_line(tuned[0])}"
    details += [line for line in lines if not any(d.startswith(line) for d in details)]
    at, listed = Place("values", ("values",)), "\n".join(lines)
    if old.values:
        return worded("value", "removed", effect, at, listed, None, said, details)
    return worded("value", "added", effect, at, None, listed, said, details)


def _starts(copy: Copy) -> dict[str, str]:
    """The initial values that a program declares for its global variables and the variables of its programs."""
    found: dict[str, str] = {}
    for pou in copy.program.pous:
        found |= {f"{pou.name}.{v.name}".lower(): v.initial for v in pou.variables if v.initial}
    for block in copy.program.globals:
        found |= {v.name.lower(): v.initial for v in block.variables if v.initial}
    return found


def _line(value: ActualValue) -> str:
    tuned = value.initial and value.actual and not same(value.actual, value.initial)
    return f"{value.name}: {_text(value)}" + (f" (initial {value.initial})" if tuned else "")


def _place(name: str) -> Place:
    return Place(f"value {name}", (f"value:{name}",))


def _text(value: ActualValue) -> str:
    return f"{value.actual} {value.unit}".strip()


def _value(old: ActualValue, new: ActualValue, tolerance: Fraction) -> list[Change]:
    if old == new:
        return []
    lines: Lines = []
    for what, before, after in (("actual", old.actual, new.actual), ("initial", old.initial, new.initial)):
        if before != after:
            lines.append(_written(what, before, after, new.unit if old.unit == new.unit else "", tolerance))
            if old.unit != new.unit and lines[-1][0] == "documentation":
                lines[-1] = ("behaviour", lines[-1][1])
    lines += differs("unit", old.unit, new.unit, "undecided")
    lines += settings(old.settings, new.settings, "column", "undecided")
    lines += differs("comment:", old.comment, new.comment, "documentation")
    lines += differs("spelling of the name:", old.name, new.name, "documentation")
    if not lines:
        return []
    details = [line for _, line in lines]
    tuned = lines[0][1].startswith("actual value") and lines[0][0] == "behaviour"
    if new.actual and new.initial and not same(new.actual, new.initial, tolerance):
        details.append(f"differs from the initial value {new.initial}, which a cold start or a download brings back")
    values = f"{old.actual or 'none'} -> {new.actual or 'none'} {new.unit}".strip()
    said = f"{new.name} tuned: {values}" if tuned else f"{new.name}: {summed(details)}"
    effect = strongest(e for e, _ in lines)
    return [worded("value", "changed", effect, _place(new.name), _text(old), _text(new), said, details)]


def _written(what: str, before: str, after: str, unit: str, tolerance: Fraction) -> tuple[Effect, str]:
    """A value written in another way, or another one and by how much."""
    words = f"{what} value {before or 'none'} -> {after or 'none'} {unit}".rstrip()
    if before and after and same(before, after):
        return "documentation", f"{words} (the same value)"
    if before and after and same(before, after, tolerance):
        return "documentation", f"{words} (within the stated tolerance)"
    by = shift(before, after)
    return "behaviour", f"{words} ({by})" if by else words


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
    for force, kind in (*((f, "removed") for f, _ in found.removed), *((f, "added") for f in found.added)):
        said = f"{_forced(force)} is {'no longer ' if kind == 'removed' else ''}forced to {force.value}"
        changes.append(
            worded_one_sided("force", kind, "behaviour", _force_place(force), _force_text(force), said, (said,))
        )
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
    lines: Lines = []
    if old.value != new.value:
        type = "BOOL" if new.address.startswith(("%IX", "%QX", "%MX")) else ""
        equal = same(canonical(old.value, type), canonical(new.value, type))
        lines.append(("documentation" if equal else "behaviour", f"forced to {old.value} -> {new.value}"))
    lines += differs("address", old.address, new.address, "behaviour")
    lines += settings(old.settings, new.settings, "column", "undecided")
    lines += differs("comment:", old.comment, new.comment, "documentation")
    lines += differs("spelling of the name:", old.name, new.name, "documentation")
    return told("force", _force_place(new), _forced(new), lines, (_force_text(old), _force_text(new)))
