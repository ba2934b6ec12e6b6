"""Tag tables that are called otherwise now, often only because their file is: paired by the tags they have in common.

Only tables whose names the other side does not know are paired (how: :mod:`.alike`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from msgspec.structs import replace

from asfound.analysis.places import Place
from asfound.compare.changes import change
from asfound.compare.pairing.by_content import by_common_parts
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit
from asfound.model.tags import TagTable

Renamed = tuple[tuple[str, str], ...]
"""Old and new name of each renamed table, sorted."""


def renamed_tables(old: Sequence[TagTable], new: Sequence[TagTable]) -> Renamed:
    """Pairs of names; no name is in two of them."""
    gone, come = _unknown(old, new), _unknown(new, old)
    pairs = by_common_parts(gone, come, lambda table: table.name, lambda table: (t.name.lower() for t in table.tags))
    return tuple(sorted((before.name, after.name) for before, after in pairs))


def _unknown(tables: Sequence[TagTable], others: Sequence[TagTable]) -> list[TagTable]:
    """Tables whose name the other side does not have, and which no other table of their own side shares."""
    known = {table.name.lower() for table in others}
    count = Counter(table.name.lower() for table in tables)
    return [table for table in tables if table.name.lower() not in known and count[table.name.lower()] == 1]


def under_new_names(tables: Sequence[TagTable], renamed: Renamed) -> tuple[TagTable, ...]:
    """Old tables as if they had been called so before."""
    names = dict(renamed)
    return tuple(replace(table, name=names.get(table.name, table.name)) for table in tables)


def rename_changes(renamed: Renamed) -> list[Change]:
    """One change for each renamed table."""
    return [
        change("tag", "renamed", Place(f"tag table {after}", (f"tags:{after}",)), (before, after), "",
               [edit("called otherwise", before, after, of="tag table")])
        for before, after in renamed
    ]  # fmt: skip
