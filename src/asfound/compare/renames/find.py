"""Renames of everything that has a name: POUs, types, globals, tags, variables, actions, steps, lists, resources.

Whatever has no partner of its name is offered to :mod:`candidates`. A rename that is found is applied
to the old copy with all uses, so that nothing which follows from it is told again; it is one change, ``equivalent``.
A name is never given to something that could then be confused with another use of that name.
Cost: nothing where every name has its partner; else one walk over the POUs concerned.
Known weakness: labels, struct members and values of an enumeration are not followed.
"""

from __future__ import annotations

from typing import NamedTuple

from asfound.analysis.leaves import leaves
from asfound.analysis.places import Row, list_name, rows
from asfound.analysis.symbols import Symbols
from asfound.analysis.where_used import Users
from asfound.compare.pairing.by_name import Pairing, by_name
from asfound.compare.pairing.pair import Pair
from asfound.compare.renames import tell
from asfound.compare.renames.apply import Map, Names, renamed_copy
from asfound.compare.renames.candidates import Item, matched, signatures
from asfound.compare.renames.items import pou_items, type_items, variable_item
from asfound.compare.renames.locals import Locals, local_renames
from asfound.compare.result import Change
from asfound.compare.scopes.apply import in_new_scopes
from asfound.compare.scopes.find import Move, scope_moves
from asfound.model.copy import Copy
from asfound.model.tags import Tag


class Renaming(NamedTuple):
    """Both copies, every rename and every other scope applied to the old one; what tells both."""

    pair: Pair[Copy]
    changes: tuple[Change, ...]
    moves: tuple[Move, ...]


def renaming(old: Copy, new: Copy) -> Renaming:
    """What is called otherwise now, one change each, and what is declared in another scope."""
    types = {**_pous(old, new), **_types(old, new)}
    scopes, lists = _scopes(old, new), _lists(old, new)
    step = renamed_copy(old, Names(types=types, scopes=scopes, lists=lists))
    moves = scope_moves(step, new)
    old, step = in_new_scopes(old, new, moves, uses=False), in_new_scopes(step, new, moves, uses=True)
    found = _globals(step, new)
    step = renamed_copy(step, Names(globals=found))
    inside = local_renames(step, new)
    names = Names(found, types, inside.names, inside.charts, lists, scopes)
    if not names:
        return Renaming(Pair(step, new, old), (), moves)
    renamed = renamed_copy(step, Names(locals=inside.names, charts=inside.charts))
    return Renaming(Pair(renamed, new, old), _changes(old, new, names, inside), moves)


def _changes(old: Copy, new: Copy, names: Names, inside: Locals) -> tuple[Change, ...]:
    return (
        *tell.types(old, new, names.types),
        *tell.globals(old, new, names.globals),
        *tell.scopes(old, names.scopes),
        *tell.lists(old, names.lists),
        *inside.changes,
    )


def _pous(old: Copy, new: Copy) -> Map:
    found = by_name(old.program.pous, new.program.pous, lambda p: p.name)
    if not found.gone or not found.come:
        return {}
    removed, added = found.gone, found.come
    wild = frozenset(p.name.lower() for p in (*removed, *added))
    return matched(pou_items(removed, wild), pou_items(added, wild), {}, {})


def _types(old: Copy, new: Copy) -> Map:
    found = by_name(old.program.types, new.program.types, lambda t: t.name)
    if not found.gone or not found.come:
        return {}
    return matched(type_items(found.gone), type_items(found.come), {}, {})


def _scopes(old: Copy, new: Copy) -> Map:
    """A single resource under another name, with a task or program in common or none at all."""
    found = by_name(old.program.resources, new.program.resources, lambda r: r.name)
    if len(found.gone) != 1 or len(found.come) != 1:
        return {}
    before, after = found.gone[0], found.come[0]
    ours = {t.name.lower() for t in before.tasks} | {i.name.lower() for i in before.instances}
    theirs = {t.name.lower() for t in after.tasks} | {i.name.lower() for i in after.instances}
    return {before.name.lower(): after.name} if ours & theirs or not ours | theirs else {}


def _lists(old: Copy, new: Copy) -> Map:
    found = by_name(old.program.globals, new.program.globals, list_name)
    ours = [b for b in found.gone if b.name]
    items = [Item(b.name, (), content=tuple(v.name.lower() for v in b.variables)) for b in ours]
    theirs = [Item(b.name, (), content=tuple(v.name.lower() for v in b.variables)) for b in found.come if b.name]
    return matched(items, theirs, {}, {})


PATHS = ("access", "config")
"""Sections whose names say what they are for: the outside knows an access path by its name, a configured variable is
named by the instance it belongs to."""


def _globals(old: Copy, new: Copy) -> Map:
    before = [v for block in old.program.globals for v in block.variables if v.section not in PATHS]
    after = [v for block in new.program.globals for v in block.variables if v.section not in PATHS]
    variables = by_name(before, after, lambda v: v.name)
    tags = by_name(rows(old.tables), rows(new.tables), lambda r: r[1].name)
    if not (variables.gone and variables.come) and not (tags.gone and tags.come):
        return {}
    removed = [variable_item(v) for v in variables.gone] + _tag_items(tags)[0]
    added = [variable_item(v) for v in variables.come] + _tag_items(tags)[1]
    gone = frozenset(i.name.lower() for i in removed)
    come = frozenset(i.name.lower() for i in added)
    users_old, users_new = Users(Symbols(old)).of_global, Users(Symbols(new)).of_global
    removed = [i for i in removed if i.name.lower() not in users_new and i.name.lower() not in come]
    added = [i for i in added if i.name.lower() not in users_old and i.name.lower() not in gone]
    wild = gone | come
    ours = signatures((leaf for pou in old.program.pous for leaf in leaves(pou)), gone, wild)
    theirs = signatures((leaf for pou in new.program.pous for leaf in leaves(pou)), come, wild)
    kinds = sorted({i.kind[0] for i in removed})
    found: dict[str, str] = {}
    for kind in kinds:
        some = matched([i for i in removed if i.kind[0] == kind], [i for i in added if i.kind[0] == kind], ours, theirs)
        found.update({name: new for name, new in some.items() if name not in found})
    return found


def _tag_items(tags: Pairing[Row]) -> tuple[list[Item], list[Item]]:
    return [_tag_item(tag) for _, tag in tags.gone], [_tag_item(tag) for _, tag in tags.come]


def _tag_item(tag: Tag) -> Item:
    comment = (tag.comment,) if tag.comment else ()
    return Item(tag.name, ("tag", tag.type.lower()), tag.address.upper(), comment)
