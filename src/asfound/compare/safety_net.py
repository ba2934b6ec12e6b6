"""The last guard: never say nothing where the normal forms differ.

Nothing is known that reaches it: tests/readers/test_put_into_words.py edits the samples of every reader and the larger
files node by node, and finds words for all of it. It stays for what nobody has thought of.

Every object is printed once more, the old one with the renames applied; an object whose text differs although no
change stands at its place becomes an undecided change. Whole areas are checked the same way.
Cost: printing what is not equal as a struct.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TypeVar

from asfound.analysis.places import Place, list_name, list_place, top
from asfound.compare.changes import change
from asfound.compare.pairing.by_name import by_name
from asfound.compare.parts.types import type_place
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit
from asfound.language import printer
from asfound.language.normal import normal_form
from asfound.model.copy import Copy
from asfound.model.logic import Node

T = TypeVar("T", bound=Node)
AREA_OF = {
    "tags/": ("tag",),
    "hardware.json": ("hardware", "extension"),
    "values.csv": ("value",),
    "forces.csv": ("force",),
    "program/project.json": ("document", "declaration", "extension"),
    "program/tasks.st": ("task", "extension"),
}
"""Areas that can explain a difference in a file of the normal form."""
MOVED = ("list of variable", "list of variables")
"""Fields that explain a difference in the list that a variable left, too."""


def uncovered(old: Copy, new: Copy, changes: Sequence[Change], after: Mapping[str, str]) -> list[Change]:
    """Undecided changes for whatever differs unexplained; ``old`` has the renames applied, ``after`` is the normal form
    of ``new``.
    """
    at = {c.path[0] for c in changes}
    at |= {f"globals:{e.old}" for c in changes for e in c.edits if e.field in MOVED}
    found = list(_objects(old, new, at))
    before = normal_form(old)
    areas = {c.area for c in changes}
    for path in sorted({*before, *after}):
        expected = next((AREA_OF[p] for p in AREA_OF if path.startswith(p)), None)
        if before.get(path) != after.get(path) and expected and not areas.intersection(expected):
            found.append(_doubt(Place(path, (f"normal:{path}",)), before.get(path), after.get(path)))
    if not found and not changes:
        differing = [p for p in sorted({*before, *after}) if before.get(p) != after.get(p)]
        found += [_doubt(Place(p, (f"normal:{p}",)), before.get(p), after.get(p)) for p in differing]
    return found


def _objects(old: Copy, new: Copy, at: set[str]) -> Iterable[Change]:
    a, b = old.program, new.program
    yield from _each(a.pous, b.pous, lambda p: p.name, printer.pou, lambda p: top(p.name), at)
    yield from _each(a.types, b.types, lambda t: t.name, printer.data_type, lambda t: type_place(t.name), at)
    yield from _each(a.globals, b.globals, list_name, printer.global_list, list_place, at)


def _each(
    old: Sequence[T],
    new: Sequence[T],
    name: Callable[[T], str],
    text: Callable[[T], str],
    place: Callable[[T], Place],
    at: set[str],
) -> Iterable[Change]:
    for before, after, _ in by_name(old, new, name).pairs:
        where = place(after)
        if before != after and where.path[0] not in at and text(before) != text(after):
            yield _doubt(where, text(before), text(after))


def _doubt(place: Place, before: str | None, after: str | None) -> Change:
    return change("document", "changed", place, (before, after), "", [edit("not in words")])
