"""Renames of everything that has a name: POUs, types, globals, tags, variables, actions, steps, lists, resources.

Whatever has no partner of its name is offered to :mod:`candidates`. A rename that is found is applied
to the old copy with all uses, so that nothing which follows from it is told again; it is one change, ``equivalent``.
A name is never given to something that could then be confused with another use of that name (see :mod:`captures`).
Cost: nothing where every name has its partner; else one walk over the POUs concerned.
What both programs tell by their shape comes first (see :mod:`in_parallel`), so that a project in other names is known.
What was found lets more be found in the next round.
Known weakness: labels are not followed.
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
from asfound.compare.renames.apply import Names, path_name
from asfound.compare.renames.candidates import Item, matched, places, signatures
from asfound.compare.renames.captures import without_captures
from asfound.compare.renames.in_parallel import names_in_parallel
from asfound.compare.renames.items import PATHS, list_item, placed, pou_items, type_items, variable_item
from asfound.compare.renames.locals import local_renames
from asfound.compare.renames.tasks import runs
from asfound.compare.renames.texts import Map
from asfound.compare.renames.type_members import member_renames
from asfound.compare.result import Change
from asfound.compare.scopes.apply import in_new_scopes
from asfound.compare.scopes.find import Move, scope_moves
from asfound.model.copy import Copy
from asfound.model.tags import Tag

ROUNDS = 8
"""How often what was found is looked at for more."""


class Renaming(NamedTuple):
    """Both copies, every rename and every other scope applied to the old one; what tells both."""

    pair: Pair[Copy]
    changes: tuple[Change, ...]
    moves: tuple[Move, ...]


def renaming(old: Copy, new: Copy) -> Renaming:
    """What is called otherwise now, one change each, and what is declared in another scope."""
    first, step, changes, moves = old, old, list[Change](), list[Move]()
    scopes, lists = dict[str, str](), dict[str, str]()
    for _ in range(ROUNDS):
        if not (shared := names_in_parallel(step, new)):
            break
        told, step = _told_and_applied(step, new, shared)
        if not told:
            break
        changes += told
    for _ in range(ROUNDS):
        outer, named = without_captures(step, _outer(step, new))
        changes += tell.types(step, new, outer.types)
        scopes, lists = {**scopes, **outer.scopes}, {**lists, **outer.lists}
        went = scope_moves(named, new)
        old = in_new_scopes(old, named, new, went, uses=False)
        named = in_new_scopes(named, named, new, went, uses=True)
        inner, step = without_captures(named, Names(_globals(named, new)))
        changes += tell.globals(named, new, inner.globals)
        named, inside = step, local_renames(step, new)
        members = member_renames(named, new)
        locals, step = without_captures(named, Names(locals={**members, **inside.names}, charts=inside.charts))
        changes += tell.inside(named, new, locals.locals, locals.charts)
        moves += went
        if not (outer or went or inner or locals):
            break
    changes += [*tell.scopes(first, scopes), *tell.lists(first, lists, scopes)]
    return Renaming(Pair(step, new, old), tuple(changes), tuple(moves))


def _told_and_applied(old: Copy, new: Copy, names: Names) -> tuple[list[Change], Copy]:
    """The changes that tell renames, and the old copy under the new names."""
    outer, named = without_captures(old, Names(types=names.types))
    called = {key: new.lower() for key, new in outer.types.items()}
    locals = {path_name(called, path): inner for path, inner in names.locals.items()}
    charts = {(called.get(pou, pou), action): steps for (pou, action), steps in names.charts.items()}
    inner, step = without_captures(named, Names(names.globals, locals=locals, charts=charts))
    changes = [*tell.types(old, new, outer.types), *tell.globals(named, new, inner.globals)]
    return [*changes, *tell.inside(named, new, inner.locals, inner.charts)], step


def _outer(old: Copy, new: Copy) -> Names:
    types = {**_pous(old, new), **_types(old, new)}
    return Names(types=types, scopes=_scopes(old, new), lists=_lists(old, new))


def _pous(old: Copy, new: Copy) -> Map:
    found = by_name(old.program.pous, new.program.pous, lambda p: p.name)
    wild = frozenset(p.name.lower() for p in (*found.gone, *found.come))
    return matched(pou_items(found.gone, wild), pou_items(found.come, wild))


def _types(old: Copy, new: Copy) -> Map:
    found = by_name(old.program.types, new.program.types, lambda t: t.name)
    ours, theirs = (type_items(types) for types in (found.gone, found.come))
    return matched(ours, theirs)


def _scopes(old: Copy, new: Copy) -> Map:
    """A single resource under another name, with a task or program in common or none at all; a single configuration."""
    found = by_name(old.program.resources, new.program.resources, lambda r: r.name)
    ours, theirs = ({r.scope.lower(): r.scope for r in copy.program.resources if r.scope} for copy in (old, new))
    gone, come = sorted(ours.keys() - theirs.keys()), sorted(theirs.keys() - ours.keys())
    configurations = {gone[0]: theirs[come[0]]} if len(gone) == len(come) == 1 else {}
    if len(found.gone) != 1 or len(found.come) != 1:
        return configurations if found.pairs else {}
    before, after = found.gone[0], found.come[0]
    same = not (runs(before) or runs(after)) or runs(before) & runs(after)
    return {**configurations, before.name.lower(): after.name} if same else {}


def _lists(old: Copy, new: Copy) -> Map:
    found = by_name(old.program.globals, new.program.globals, list_name)
    ours, theirs = ([list_item(b) for b in blocks if b.name] for blocks in (found.gone, found.come))
    return matched(ours, theirs)


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
    declared = places([v.name for v in before], [v.name for v in after])
    removed = [placed(i, ours, declared[0]) for i in removed]
    added = [placed(i, theirs, declared[1]) for i in added]
    kinds = sorted({i.kind[0] for i in removed})
    found: dict[str, str] = {}
    for kind in kinds:
        left, right = ([i for i in items if i.kind[0] == kind] for items in (removed, added))
        some = matched(left, right, ours, theirs)
        found.update({name: new for name, new in some.items() if name not in found})
    return found


def _tag_items(tags: Pairing[Row]) -> tuple[list[Item], list[Item]]:
    return [_tag_item(tag) for _, tag in tags.gone], [_tag_item(tag) for _, tag in tags.come]


def _tag_item(tag: Tag) -> Item:
    comment = (tag.comment,) if tag.comment else ()
    return Item(tag.name, ("tag", tag.type.lower()), tag.address.upper(), comment)
