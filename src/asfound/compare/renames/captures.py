"""Renames after which a name would stand for something else: they are none.

A new name can hide what another use of it meant (a global variable, a function of a library), be hidden itself, or make
a method override another one.
1. The renames are applied and taken back. Where the copy is not what it was, something changed hands.
2. Which member overrides which has to stay the same.
Cost: linear in the copy, and nothing without a rename. Rejected: a rule for each place in which a name can be hidden.
Known weakness: a value of an enumeration that stands alone and is called like that of another one is told as changed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import chain
from typing import TypeVar

import msgspec

from asfound.compare.renames.apply import Names, path_name, renamed_copy
from asfound.compare.renames.members import Members
from asfound.compare.renames.texts import Map
from asfound.model.copy import Copy
from asfound.model.program import Pou

_WORD = re.compile(r"[^\W\d]\w*")
Pairs = set[tuple[str, str]]
K = TypeVar("K")
Link = tuple[tuple[int, int], tuple[int, int]]


def without_captures(copy: Copy, names: Names) -> tuple[Names, Copy]:
    """Those renames that leave every use what it was, and the copy under them."""
    while names:
        named = renamed_copy(copy, names)
        wrong = _changed_hands(copy, renamed_copy(named, _back(names))) | _overridden(copy, named)
        if not wrong:
            return names, named
        fewer = _without(names, wrong | {(new, old) for old, new in wrong})
        names = fewer if fewer != names else _without_any_of(names, set(chain.from_iterable(wrong)))
    return names, copy


def _changed_hands(copy: Copy, back: Copy) -> Pairs:
    """Words that are others after all was renamed and named back."""
    found: Pairs = set()
    for a, b in zip(_parts(copy), _parts(back), strict=True):
        found.update(_differing(a, b))
    return found


def _differing(a: object, b: object) -> Iterator[tuple[str, str]]:
    """The names, in lower case, that differ in two nodes of one shape.

    A name need not be one word (``Pump 1``, none at all), so that a text is also given whole.
    """
    if a == b:
        return
    match a, b:
        case tuple(), tuple():
            yield from chain.from_iterable(map(_differing, a, b))
        case msgspec.Struct(), msgspec.Struct():
            for field in a.__struct_fields__:
                yield from _differing(getattr(a, field), getattr(b, field))
        case _ if (text := str(a).lower()) != (other := str(b).lower()):
            words = zip(_WORD.findall(text), _WORD.findall(other), strict=False)
            yield text, other
            yield from (pair for pair in words if len({*pair}) > 1)


def _parts(copy: Copy) -> Iterator[object]:
    program = copy.program
    yield from chain(program.pous, program.types, program.globals, program.resources)
    yield from (program.heading, copy.tables, copy.hardware, copy.values, copy.forces)


def _overridden(copy: Copy, named: Copy) -> Pairs:
    """Members that override others than before, or are overridden by others, with the names they would have."""
    before, after = copy.program.pous, named.program.pous
    if not any(pou.extends for pou in before):
        return set()
    old, new = [*_overriding(copy)], [*_overriding(named)]
    ends = {end for link in {*old} ^ {*new} for end in link}
    return {(before[n].members[k].name.lower(), after[n].members[k].name.lower()) for n, k in ends}


def _overriding(copy: Copy) -> Iterator[Link]:
    """Two members of one name, of a block and of one that it extends: by the numbers of both."""
    program, members = copy.program, Members(copy)
    numbers = {pou.name.lower(): number for number, pou in enumerate(program.pous)}
    names = [_numbered(pou) for pou in program.pous]
    for number, pou in enumerate(program.pous):
        for owner in [*members.owners(pou.name)][1:]:
            base = numbers.get(owner, number)
            for name in (names[number].keys() & names[base].keys()) if base != number else ():
                yield (number, names[number][name]), (base, names[base][name])


def _numbered(pou: Pou) -> dict[str, int]:
    return {member.name.lower(): number for number, member in enumerate(pou.members)}


def _back(names: Names) -> Names:
    """The renames that take others back."""
    charts = {
        (path_name(names.types, pou).lower(), _get(names.locals, pou, action)): _flipped(steps)
        for (pou, action), steps in names.charts.items()
    }
    return Names(
        globals=_flipped(names.globals),
        types=_flipped(names.types),
        locals={_new_path(names, path): _flipped(inner) for path, inner in names.locals.items()},
        charts=charts,
        lists=_flipped(names.lists),
        scopes=_flipped(names.scopes),
    )


def _get(locals: Mapping[str, Map], path: str, name: str) -> str:
    return locals.get(path, {}).get(name, name).lower()


def _new_path(names: Names, path: str) -> str:
    parts = path.split(".")
    inner = (_get(names.locals, ".".join(parts[:n]), parts[n]) for n in range(1, len(parts)))
    return ".".join((path_name(names.types, parts[0]).lower(), *inner))


def _flipped(names: Map) -> Map:
    return {new.lower(): old for old, new in names.items()}


def _without_any_of(names: Names, words: set[str]) -> Names:
    """Two names that became one are known by neither of their renames alone."""
    whole = (names.globals, names.types, names.lists, names.scopes)
    maps = (*whole, *names.locals.values(), *names.charts.values())
    pairs = {(old, new.lower()) for some in maps for old, new in some.items()}
    fewer = _without(names, {pair for pair in pairs if words & {*pair}})
    return fewer if fewer != names else Names()


def _without(names: Names, wrong: Pairs) -> Names:
    def left(some: Map) -> Map:
        return {old: new for old, new in some.items() if (old, new.lower()) not in wrong}

    def inside(some: Mapping[K, Map]) -> dict[K, Map]:
        return {key: kept for key, inner in some.items() if (kept := left(inner))}

    return Names(
        globals=left(names.globals),
        types=left(names.types),
        locals=inside(names.locals),
        charts=inside(names.charts),
        lists=left(names.lists),
        scopes=left(names.scopes),
    )
