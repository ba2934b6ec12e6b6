"""Which column of an unknown table is what: by its heading (columns.py), else by what its cells look like.

Addresses have digits and few shapes, names differ in every row, types are few words that repeat, the comment is the
longest text left. Rows of several kinds (tags, aliases, notes) are told by a column of such words. Cost: linear.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from asfound.language.elementary import ELEMENTARY
from asfound.model.problem import Problem
from asfound.readers.tables import headings, profile_shapes, sections, unaccounted
from asfound.readers.tables.columns import fold, roles
from asfound.readers.tables.operands import canonical
from asfound.readers.tables.profile_look import IMPOSSIBLE, TYPES, Looked, is_number

TABLE_OF = {
    headings.FORCES: "forces", headings.VALUES: "values", headings.MODULES: "modules", headings.TAGS: "tags",
}  # fmt: skip


_NEITHER = frozenset(
    "alias path scope folder group table sheet page unit units line index nr no id min max factor "  # noqa: SIM905
    "gruppe ordner blatt seite einheit groupe dossier page unite grupo carpeta hoja unidad gruppo foglio".split()
)
"""Headings of columns that are none of those looked for, whatever their cells look like."""


Likeness = Callable[[Sequence[str]], float]
"""How much the cells of a column look like one role; more than 0.5 is enough."""


class Columns(NamedTuple):
    """``table`` as a profile calls it; ``roles`` maps a role to its column; ``unclear`` is a column of addresses that
    say no area; ``kinds`` the column that says of what kind a row is.
    """

    table: str
    roles: dict[str, int]
    unclear: int | None
    kinds: int | None


def columns(seen: Looked, name: str) -> Columns:
    """The columns of a table. Raises Problem when a profile cannot say which they are."""
    kind = _kind(seen)
    found = headings.settled(kind, roles(seen.names, kind.wanted))
    kinds = _refuse(seen, name, kind, dict(found))
    if kinds is not None:  # it may be called Type, and another one be the type
        found = roles([("" if at == kinds else heading) for at, heading in enumerate(seen.names)], kind.wanted)
    if kind is headings.TAGS and "name" in found:
        cells = seen.column(found["name"])
        if 2 * sum(map(unaccounted.is_sort, cells)) > len(cells):
            del found["name"]
    unclear = found.pop("address") if kind is headings.TAGS and _unclear(seen, found) else None
    if kind is headings.TAGS:
        taken = {at for at in (unclear, kinds) if at is not None}
        _by_content(seen, found, taken, addressed=unclear is not None)
        if "name" not in found and "address" not in found:
            raise Problem(
                f"{IMPOSSIBLE}no column looks like names or addresses",
                where=name,
                advice="see that it is a list of tags",
            )
    elif kind is not headings.MODULES and not {"name", "address"} & found.keys():
        _guess(seen, found, set(), (("name", _namelike),))
    return Columns(TABLE_OF[kind], found, unclear, kinds)


def _kind(seen: Looked) -> headings.Kind:
    """As it is read without a profile, else by what only one kind of table has; slots alone make no list of modules of
    a table with names.
    """
    plain = headings.classify(seen.names)
    if plain is not None:
        return plain
    known = roles(seen.names, ("forced", "actual", "slot", "name"))
    if "forced" in known:
        return headings.FORCES
    if "actual" in known:
        return headings.VALUES
    return headings.MODULES if "slot" in known and "name" not in known else headings.TAGS


def _refuse(seen: Looked, name: str, kind: headings.Kind, named: dict[str, int]) -> int | None:
    """The column of kinds of rows; a profile says once for all rows which column holds what: refuse where it cannot."""
    width = max(len(line.cells) for line in seen.rows)
    names = (*seen.names, *(f"column {at + 1}" for at in range(len(seen.names), width)))
    table = headings.Table(kind, name, name, False, names, named, headings.further(names, named), "", seen.rows)
    if why := sections.second_heading(table) or sections.another_kind(table):
        raise Problem(IMPOSSIBLE + why[0], where=why[1], advice=sections.APART)
    if kind is not headings.TAGS:
        return None
    if why := unaccounted.side_by_side(table):
        raise Problem(IMPOSSIBLE + why[0], where=name, advice="put the columns of the second below those of the first")
    if "name" in named and "address" not in named and (why := unaccounted.address_in_parts(table)):
        raise Problem(IMPOSSIBLE + why[0], where=name, advice=unaccounted.JOINED)
    at = unaccounted.column_of_kinds(table)
    if at is not None and not unaccounted.tag_kinds(seen.column(at)):
        why = unaccounted.kinds(table) or ("", "")
        raise Problem(IMPOSSIBLE + why[0], where=name, advice="export the tags alone, without aliases and notes")
    return at


def _unclear(seen: Looked, found: dict[str, int]) -> bool:
    """Whether the column that is called address holds numbers of which nothing says the area."""
    cells = (
        [cell for cell in seen.column(found["address"]) if any(map(str.isdigit, cell))] if "address" in found else []
    )
    unknown = [cell for cell in cells if canonical(cell) is None]
    return 2 * len(unknown) > len(cells) and not profile_shapes.patterns(unknown)


def _by_content(seen: Looked, found: dict[str, int], taken: set[int], *, addressed: bool) -> None:
    """Give the roles of a tag table that no heading has to the columns whose cells look like it."""
    wanted: list[tuple[str, Likeness]] = [] if addressed else [("address", _addresslike)]
    wanted += [("type", _typelike), ("name", _namelike)]
    # Beside known headings a column of another name is seldom the comment: attributes would count as remarks.
    wanted += [] if seen.known else [("comment", _long)]
    _guess(seen, found, taken, wanted)


def _guess(seen: Looked, found: dict[str, int], taken: set[int], wanted: Sequence[tuple[str, Likeness]]) -> None:
    """Give each role to the column that is most like it, if one is."""
    width = max(len(line.cells) for line in seen.rows)
    named = {at for at, heading in enumerate(seen.names) if fold(heading) in _NEITHER}
    free = [at for at in range(width) if seen.column(at) and at not in taken | named]
    for role, likeness in wanted:
        if role in found:
            continue
        # Of equals the first column is taken, but the last one for addresses: names like P1 stand in front.
        scores = [
            (likeness(seen.column(at)), at if role == "address" else -at) for at in free if at not in found.values()
        ]
        best = max(scores, default=(0.0, 0))
        if best[0] > 0.5:
            found[role] = abs(best[1])


def _addresslike(cells: Sequence[str]) -> float:
    unknown = [cell for cell in cells if canonical(cell) is None or not any(map(str.isdigit, cell))]
    if 2 * len(unknown) > len(cells) and not profile_shapes.patterns(unknown):
        return 0.0  # 0.0 and 2.0 look like addresses, but say no area
    return max(profile_shapes.likeness(cells), 1 - len(unknown) / len(cells))


def _typelike(cells: Sequence[str]) -> float:
    known = sum(cell.upper() in ELEMENTARY or cell.lower() in TYPES for cell in cells) / len(cells)
    few = len(set(cells)) <= max(2, len(cells) // 4) and not any(map(is_number, cells))
    return max(known, 0.6 if few and len(cells) > 3 else 0.0)


def _namelike(cells: Sequence[str]) -> float:
    if 2 * sum(any(map(str.isalpha, cell)) for cell in cells) <= len(cells):
        return 0.0
    return len({cell.lower() for cell in cells}) / len(cells)


def _long(cells: Sequence[str]) -> float:
    """A comment is text, and seldom the same in two rows."""
    if 2 * len(set(cells)) < len(cells) or all(map(is_number, cells)):
        return 0.0
    return min(sum(map(len, cells)) / len(cells), 1000.0)
