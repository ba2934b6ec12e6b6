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
from asfound.compare.changes import Area, Kind, change, effect_of, one_sided_change, one_sided_edit, used
from asfound.compare.lines import differs, pragmas
from asfound.compare.pairing.alignment import align
from asfound.compare.pairing.pair import Pair
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.parts.swaps import swap, swaps
from asfound.compare.result import Change, Edit
from asfound.compare.wording.phrases import edit
from asfound.language.elementary import STRINGS, initial_value
from asfound.language.initials import initial_key
from asfound.language.printer import variable as text
from asfound.model.program import VariableDeclaration

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


Declared = Pair[VariableDeclaration]


def compare_variables(owner: Owner, pair: Pair[Sequence[VariableDeclaration]]) -> list[Change]:
    """Changes between two lists of declarations."""
    old, new, written = pair
    if old == new:
        return []
    found = align([v.name.lower() for v in old], [v.name.lower() for v in new])
    pairs = sorted((*found.kept, *found.moved), key=lambda m: (m[1], m[0]))
    declared = [Pair(old[i], new[j], written[i]) for i, j in pairs]
    swapped = swaps([(b.name, a.address, b.address) for a, b, _ in declared])
    by_name = {each.new.name.lower(): each for each in declared}
    changes = [_swap(owner, by_name[first.lower()], by_name[second.lower()]) for first, second in swapped]
    in_swap = frozenset(name.lower() for pair in swapped for name in pair)
    for each in declared:
        changes += _variable(owner, each, each.new.name.lower() in in_swap)
    changes += [_one_sided(owner, "removed", written[i]) for i in found.removed]
    changes += [_one_sided(owner, "added", new[j]) for j in found.added]
    moved = [old[i].name for i, _ in found.moved]
    return changes + _order(owner, old, new, moved)


def variable_place(owner: Owner, name: str) -> Place:
    """Place of a declared variable."""
    return owner.place.down(name, f"variable:{name}")


def _swap(owner: Owner, first: Declared, second: Declared) -> Change:
    names = first.new.name, second.new.name
    at = Place(f"{owner.place.where} / {names[0]}, {names[1]}", variable_place(owner, names[0]).path)
    texts = f"{text(first.written)}\n{text(second.written)}", f"{text(first.new)}\n{text(second.new)}"
    swapped = [(new.name, old.address, new.address) for old, new, _ in (first, second)]
    return swap(owner.area, at, swapped, texts, [owner.uses(name) for name in names])


def _variable(owner: Owner, pair: Declared, swapped: bool) -> list[Change]:
    old, new, written = pair
    if old == new:
        return []
    at = variable_place(owner, new.name)
    edits = differing(old, new)
    readdressed = not swapped and old.address.upper() != new.address.upper()
    if readdressed:
        edits = [*differs("address", old.address, new.address), *edits]
    changes: list[Change] = []
    if edits:
        uses = owner.uses(new.name) if effect_of(edits) == "behaviour" else ()
        kind: Kind = "readdressed" if readdressed else "changed"
        changes.append(change(owner.area, kind, at, (text(written), text(new)), new.name, [*edits, *used(uses)]))
    return changes + compare_extensions(at, old.extensions, new.extensions)


def differing(old: VariableDeclaration, new: VariableDeclaration) -> list[Edit]:
    """Everything but the address, strongest reasons first."""
    retyped = old.type.lower() != new.type.lower()
    edits = differs("type", old.type, new.type) if retyped else []
    edits += differs("section", old.section, new.section)
    edits += initial_values(old.initial, new.initial, "" if retyped else new.type)
    edits += differs("constant", "constant" * old.constant, "constant" * new.constant)
    edits += differs("persistent", "persistent" * old.persistent, "persistent" * new.persistent)
    for what in ("retain", "edge", "access"):
        edits += differs(what, getattr(old, what), getattr(new, what))
    in_order = sorted(old.pragmas) != sorted(new.pragmas) or old.pragmas == new.pragmas
    edits += pragmas(old.pragmas, new.pragmas) if in_order else [edit("order of pragmas")]
    edits += differs("comment", old.comment, new.comment)
    spelled = ((old.name, new.name), (old.type, new.type), (old.address, new.address))
    return edits + [edit("spelled", a, b) for a, b in spelled if a != b and a.lower() == b.lower()]


def initial_values(old: str, new: str, type: str) -> list[Edit]:
    """The difference of two initial values; an absent one is the default of the type."""
    same = _value(old, type) == _value(new, type)
    return differs("initial value written" if same else "initial value", old, new)


def _value(initial: str, type: str) -> str:
    word = type.partition("[")[0].upper()
    initial = initial or initial_value(type)
    return initial_key(initial, word if word in STRINGS else type) if initial else ""


def _one_sided(owner: Owner, kind: str, variable: VariableDeclaration) -> Change:
    uses = owner.uses(variable.name)
    sets = owner.sets(variable)
    acts = uses or sets or variable.section in INTERFACE
    edits = [
        one_sided_edit(
            "variable",
            kind,
            variable.type,
            of=variable.name,
            owner=variable.section,
            effect="behaviour" if acts else "equivalent",
        )
    ]
    edits += [edit("at", new=variable.address)] if variable.address else []
    edits += [edit("not zero")] if sets else []
    edits += used(uses) or [edit("unused")]
    return one_sided_change(owner.area, kind, variable_place(owner, variable.name), text(variable), edits)


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
    edits = [edit("order of declarations", new=", ".join(moved))]
    return [change(owner.area, "moved", owner.place, (None, None), "", edits)]


def _reordered(
    owner: Owner, section: str, moved: Sequence[str], names: tuple[Sequence[str], Sequence[str]]
) -> list[Change]:
    concerned = [n for n in names[1] if n.lower() in {m.lower() for m in moved}]
    if not concerned:
        return []
    before, after = (", ".join(each) for each in names)
    edits = [edit("order of section", new=", ".join(concerned), of=section), edit("order", before, after)]
    return [change(owner.area, "moved", owner.place, (before, after), "", edits)]
