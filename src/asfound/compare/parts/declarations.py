"""Declared variables: of a POU, of a global list, of a structure.

Paired by folded name. Whatever can act differently is behaviour: section, type, address, initial value (on a cold
start), constant, retain, persistent, edge; a comment is documentation; pragmas and unknown data are undecided. A
variable that came or went and that nothing uses is equivalent, unless it sets an output or memory at the start. Two
variables that swapped their addresses are one change.
Cost: linear, plus one look-up of the uses per address that changed.
Known weakness: a variable that only another station or screen reads counts as unused; the details say so.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from asfound.analysis.places import Place
from asfound.compare.changes import Area, Kind, listed, strongest, summed, worded, worded_one_sided
from asfound.compare.lines import Lines, differs, named
from asfound.compare.pairing.alignment import align
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.parts.swaps import swaps
from asfound.compare.result import Change, Effect
from asfound.language.initials import initial_key
from asfound.language.printer import variable as text
from asfound.language.standard import STRINGS, initial_value
from asfound.model.program import VariableDeclaration

SECTIONS = {
    "input": "input", "output": "output", "in_out": "in/out variable", "local": "local variable", "temp": "temporary",
    "external": "external variable", "global": "global variable", "access": "access path",
    "config": "configured variable", "member": "member",
}  # fmt: skip
INTERFACE = frozenset(("input", "output", "in_out", "access", "config", "member"))
SEEN_OUTSIDE = frozenset(("external", "global", "input", "output", "in_out"))
Finder = Callable[[str], tuple[str, ...]]


@dataclass(frozen=True)
class Owner:
    """Where a set of variables is declared. ``uses`` finds the places that use a name; ``ordered`` sections matter.

    ``sets`` says whether a declaration sets memory at the start (see start_values).
    """

    place: Place
    uses: Finder
    area: Area = "declaration"
    ordered: frozenset[str] = frozenset()
    sets: Callable[[VariableDeclaration], bool] = lambda _: False


Triple = tuple[VariableDeclaration, VariableDeclaration, VariableDeclaration]
"""Old, new, and old before any rename was applied."""


def compare_variables(
    owner: Owner,
    old: Sequence[VariableDeclaration],
    new: Sequence[VariableDeclaration],
    originals: Sequence[VariableDeclaration],
) -> list[Change]:
    """Changes between two lists of declarations."""
    if old == new:
        return []
    found = align([v.name.lower() for v in old], [v.name.lower() for v in new])
    pairs = sorted((*found.kept, *found.moved), key=lambda m: (m[1], m[0]))
    triples = [(old[i], new[j], originals[i]) for i, j in pairs]
    swapped = swaps([(b.name, a.address, b.address) for a, b, _ in triples])
    by_name = {t[1].name.lower(): t for t in triples}
    changes = [_swap(owner, by_name[first.lower()], by_name[second.lower()]) for first, second in swapped]
    in_swap = frozenset(name.lower() for pair in swapped for name in pair)
    for triple in triples:
        changes += _variable(owner, triple, triple[1].name.lower() in in_swap)
    changes += [_one_sided(owner, "removed", originals[i]) for i in found.removed]
    changes += [_one_sided(owner, "added", new[j]) for j in found.added]
    moved = [old[i].name for i, _ in found.moved]
    return changes + _order(owner, old, new, moved)


def variable_place(owner: Owner, name: str) -> Place:
    """Place of a declared variable."""
    return owner.place.down(name, f"variable:{name}")


def _swap(owner: Owner, first: Triple, second: Triple) -> Change:
    names = first[1].name, second[1].name
    said = f"{names[0]} and {names[1]} swapped their addresses {first[0].address} and {second[0].address}"
    details = [f"{t[1].name}: {t[0].address} -> {t[1].address}" for t in (first, second)]
    details += [f"{n} {use}" for n in names for use in listed(owner.uses(n))]
    at = Place(f"{owner.place.where} / {names[0]}, {names[1]}", (*owner.place.path, f"variable:{names[0]}"))
    before, after = (f"{text(first[i])}\n{text(second[i])}" for i in (2, 1))
    return worded(owner.area, "readdressed", "behaviour", at, before, after, said, details)


def _variable(owner: Owner, triple: Triple, swapped: bool) -> list[Change]:
    old, new, original = triple
    if old == new:
        return []
    at = variable_place(owner, new.name)
    lines = differing(old, new)
    readdressed = not swapped and old.address.upper() != new.address.upper()
    if readdressed:
        lines = [*differs("address", old.address, new.address, "behaviour"), *lines]
    changes: list[Change] = []
    if lines:
        effect: Effect = strongest(e for e, _ in lines)
        details = [line for _, line in lines]
        uses = owner.uses(new.name) if effect == "behaviour" else ()
        kind: Kind = "readdressed" if readdressed else "changed"
        said = f"{new.name}: {summed(details)}"
        details += listed(uses)
        changes.append(worded(owner.area, kind, effect, at, text(original), text(new), said, details))
    return changes + compare_extensions(at, old.extensions, new.extensions)


def differing(old: VariableDeclaration, new: VariableDeclaration) -> Lines:
    """Everything but the address, each with its effect, strongest reasons first."""
    lines: Lines = []
    if old.type.lower() != new.type.lower():
        lines.append(("behaviour", f"type {old.type} -> {new.type}"))
    if old.section != new.section:
        lines.append(("behaviour", f"{SECTIONS[old.section]} -> {SECTIONS[new.section]}"))
    lines += initial_values(old.initial, new.initial, new.type if old.type.lower() == new.type.lower() else "")
    for what, before, after in (
        ("constant", old.constant, new.constant),
        ("persistent", old.persistent, new.persistent),
    ):
        if before != after:
            lines.append(("behaviour", f"{'now' if after else 'no longer'} {what}"))
    for what, was, now in (("retain", old.retain, new.retain), ("edge", old.edge, new.edge)):
        if was != now:
            lines.append(("behaviour", f"{what}: {was or 'no'} -> {now or 'no'}"))
    if old.access != new.access:
        lines.append(("behaviour", f"access: {old.access or 'not given'} -> {new.access or 'not given'}"))
    if sorted(old.pragmas) != sorted(new.pragmas):
        lines.append(("undecided", f"pragmas: {named(old.pragmas)} -> {named(new.pragmas)}"))
    elif old.pragmas != new.pragmas:
        lines.append(("undecided", "pragmas in another order"))
    lines += differs("comment:", old.comment, new.comment, "documentation")
    spelled = (
        (old.name, new.name),
        (old.type, new.type),
        (old.address, new.address),
    )
    lines += [("documentation", f"spelling: {a} -> {b}") for a, b in spelled if a != b and a.lower() == b.lower()]
    return lines


def initial_values(old: str, new: str, type: str) -> Lines:
    """The difference of two initial values; an absent one is the default of the type."""
    if old == new:
        return []
    words = f"initial value {old or 'none'} -> {new or 'none'}"
    if _value(old, type) == _value(new, type):
        return [("documentation", f"{words} (the same value)")]
    return [("behaviour", f"{words} (takes effect on a cold start)")]


def _value(initial: str, type: str) -> str:
    word = type.partition("[")[0].upper()
    initial = initial or initial_value(type)
    return initial_key(initial, word if word in STRINGS else type) if initial else ""


def _one_sided(owner: Owner, kind: str, variable: VariableDeclaration) -> Change:
    uses = owner.uses(variable.name)
    sets = owner.sets(variable)
    effect: Effect = "behaviour" if uses or sets or variable.section in INTERFACE else "equivalent"
    said = f"{SECTIONS[variable.section]} {variable.name} : {variable.type} {kind}"
    details: list[str] = [f"at {variable.address}"] if variable.address else []
    details += ["its memory does not start with zero"] if sets else []
    details += listed(uses) or ("no statement of this program uses it",)
    at = variable_place(owner, variable.name)
    return worded_one_sided(owner.area, kind, effect, at, text(variable), said, details)


def _order(
    owner: Owner, old: Sequence[VariableDeclaration], new: Sequence[VariableDeclaration], moved: Sequence[str]
) -> list[Change]:
    if not moved:
        return []
    changes = []
    for section in sorted(owner.ordered):
        before = [v.name for v in old if v.section == section]
        after = [v.name for v in new if v.section == section]
        inside = {n.lower() for n in after} & {n.lower() for n in before}
        before, after = ([n for n in names if n.lower() in inside] for names in (before, after))
        changes += _reordered(owner, section, moved, (before, after))
    if changes:
        return changes
    said = f"declarations listed in another order: {', '.join(moved)}"
    return [worded(owner.area, "moved", "documentation", owner.place, None, None, said, (said,))]


def _reordered(
    owner: Owner, section: str, moved: Sequence[str], names: tuple[Sequence[str], Sequence[str]]
) -> list[Change]:
    concerned = [n for n in names[1] if n.lower() in {m.lower() for m in moved}]
    if not concerned:
        return []
    said = f"order of {SECTIONS[section]}s changed: {', '.join(concerned)} moved"
    texts = ", ".join(names[0]), ", ".join(names[1])
    return [worded(owner.area, "moved", "behaviour", owner.place, *texts, said, (f"{texts[0]} -> {texts[1]}",))]
