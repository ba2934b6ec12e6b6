"""Tags: paired by name across all tables, two that swapped their addresses told as one change.

A tag at another address changes every rung that uses it although their text stays the same; the details list them.
Cost: linear. A name that occurs several times is paired in the order of the tables.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from asfound.analysis.places import Place, Row, rows, tag_place, tag_text
from asfound.compare.changes import Kind, change, effect_of, one_sided_change, one_sided_edit, used
from asfound.compare.context import Context
from asfound.compare.lines import differs, settings
from asfound.compare.pairing.by_name import by_name
from asfound.compare.parts.one_sided_lists import comparable, counted, one_sided_list
from asfound.compare.parts.swaps import swap, swaps
from asfound.compare.renames.tag_tables import rename_changes, renamed_tables, under_new_names
from asfound.compare.result import Change, Edit, Effect
from asfound.compare.wording.phrases import edit
from asfound.model.copy import Copy
from asfound.model.tags import Tag


def compare_tags(context: Context, old: Copy, new: Copy) -> list[Change]:
    """Changes of all tag tables together."""
    if old.tables == new.tables:
        return []
    if not comparable("tag", old, new):
        lines = [tag_text(tag) for _, tag in rows((*old.tables, *new.tables))]
        return [one_sided_list("tag", old, new, counted(len(lines), "tag"), lines)]
    renamed = renamed_tables(old.tables, new.tables)
    found = by_name(rows(under_new_names(old.tables, renamed)), rows(new.tables), lambda r: r[1].name)
    swapped = swaps([(b[1].name, a[1].address, b[1].address) for a, b, _ in found.pairs])
    partner = {b[1].name: (a, b) for a, b, _ in found.pairs}
    changes = [_swap(context, partner[first], partner[second]) for first, second in swapped]
    done = {name for pair in swapped for name in pair}
    for before, after, _ in found.pairs:
        changes += _tag(context, before, after, after[1].name in done)
    changes += [_one_sided(context, kind, row) for kind, row in found.alone]
    return rename_changes(renamed) + _merged(changes) + _tables(old, new)


def _merged(changes: Sequence[Change]) -> list[Change]:
    """A tag that stands in several tables and changed in all of them in one way is told once."""
    found: dict[tuple[str, str, tuple[Edit, ...]], Change] = {}
    for each in changes:
        key = each.kind, each.subject, each.edits
        known = found.get(key)
        if known is None:
            found[key] = each
        elif known.path != each.path:
            also = edit("also in table", new=each.path[0].removeprefix("tags:"))
            found[key] = replace(known, edits=(*known.edits, also))
    return list(found.values())


def users(context: Context, tag: Tag) -> tuple[str, ...]:
    """Places of either copy that use a tag, by its name or its address."""
    found: dict[str, None] = {}
    for uses in (context.users_new, context.users_old):
        for key in (tag.name.lower(), tag.address.upper()):
            found.update(dict.fromkeys(uses.of_global.get(key, ())))
        if found:
            break
    return tuple(found)


def _swap(context: Context, first: tuple[Row, Row], second: tuple[Row, Row]) -> Change:
    names = first[1][1].name, second[1][1].name
    at = Place(f"tags {names[0]}, {names[1]}", tag_place(first[1][0], names[0]).path)
    before, after = (f"{tag_text(first[n][1])}\n{tag_text(second[n][1])}" for n in (0, 1))
    swapped = [(new.name, old.address, new.address) for (_, old), (_, new) in (first, second)]
    return swap("tag", at, swapped, (before, after), [users(context, new) for _, (_, new) in (first, second)])


def _tag(context: Context, before: Row, after: Row, swapped: bool) -> list[Change]:
    (table, old), (new_table, new) = before, after
    if before == after:
        return []
    readdressed = not swapped and old.address != new.address
    edits = differs("address", old.address, new.address) if readdressed else []
    edits += differs("type", old.type, new.type, fold=True)
    edits += settings("column", old.settings, new.settings)
    edits += differs("comment", old.comment, new.comment)
    edits += differs("spelling", old.name, new.name)
    edits += differs("table", table, new_table)
    if not edits:
        return []
    edits += used(users(context, new)) if effect_of(edits) == "behaviour" else ()
    kind: Kind = "readdressed" if readdressed else "changed"
    return [change("tag", kind, tag_place(new_table, new.name), (tag_text(old), tag_text(new)), new.name, edits)]


def _one_sided(context: Context, kind: str, row: Row) -> Change:
    table, tag = row
    uses = users(context, tag)
    effect: Effect = "behaviour" if uses else "equivalent"
    edits = [
        one_sided_edit("whole tag", kind, tag.address, of=tag.name, effect=effect),
        *(used(uses) or [edit("unused")]),
    ]
    return one_sided_change("tag", kind, tag_place(table, tag.name), tag_text(tag), edits)


def _tables(old: Copy, new: Copy) -> list[Change]:
    """Tables without a tag have no change of their own otherwise."""
    before, after = (sorted({t.name for t in copy.tables if not t.tags}) for copy in (old, new))
    changes = []
    for name in sorted({*before} ^ {*after}):
        kind: Kind = "removed" if name in before else "added"
        at = Place(f"tag table {name}", (f"tags:{name}",))
        changes.append(one_sided_change("tag", kind, at, name, [one_sided_edit("empty table", kind, name)]))
    return changes
