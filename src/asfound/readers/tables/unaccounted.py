"""Tag tables that would be read wrongly without a word: a column nobody accounts for, rows of several kinds.

A heading alone does not make a tag table. The words of a row kind (tag, alias, note), the parts of an address and the
further columns that may hold addresses are common practice, without a source. Cost: linear.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from asfound.language.elementary import ELEMENTARY
from asfound.model.problem import Problem
from asfound.readers.tables.columns import fold, roles
from asfound.readers.tables.headings import Table
from asfound.readers.tables.operands import canonical

TAG_ROWS = frozenset(
    "tag tags variable var symbol signal point constant const parameter variabile konstante constante costante "  # noqa: SIM905
    "etiquette etiqueta etichetta simbolo symbole input output inout in out memory local global external temp static "
    "timer counter eingang ausgang merker zeit zahler var_input var_output var_in_out var_global var_external var_temp "
    "var_constant entree sortie entrada salida ingresso uscita".split()
)
"""Words for rows that are tags, and for the sorts of tags there are."""
OTHER_ROWS = frozenset(
    "alias comment note remark member element group folder rung program task "  # noqa: SIM905
    "kommentar bemerkung notiz gruppe ordner commentaire remarque groupe dossier comentario nota grupo carpeta "
    "commento gruppo cartella".split()
)
"""What rows are called that are no tags of their own."""
KIND_HEADINGS = frozenset(("kind", "row kind", "record", "record type", "row type", "entry", "entry type"))
JOINED = "join them into one column of addresses, e.g. %I0.4.3"
SORTS = frozenset(("DI", "DO", "AI", "AO", "DIGITAL", "ANALOG", "INPUT", "OUTPUT"))
PARTS = frozenset("rack slot channel card module byte bit word point direction drop node terminal port".split())  # noqa: SIM905


def refuse(table: Table) -> None:
    """Refuse a tag table that its heading alone would make one. Raises Problem that says which column and why.

    A table read with a profile is not asked: somebody has checked what its columns are.
    """
    if table.checked or not table.lines:
        return
    found = reason(table)
    if found:
        file = table.place.partition(", sheet ")[0]
        what, where = found
        joined = JOINED if address_in_parts(table) == found else ""
        advice = joined or f"`asfound profile {file}` proposes how to read it, or says why not"
        raise Problem(what, where=where, advice=advice)


def reason(table: Table) -> tuple[str, str] | None:
    """What is not accounted for, and where; None when the rows agree with the heading."""
    return side_by_side(table) or kinds(table) or _address(table) or _type(table) or _name(table)


def side_by_side(table: Table) -> tuple[str, str] | None:
    """Headings that stand twice: the second tag of each row would only be something about the first."""
    folded = [fold(heading) for heading in table.headings]
    twice = [
        role for role in ("name", "address", "type") if sum(role in roles((word,), (role,)) for word in folded) > 1
    ]
    again = [word for n, word in enumerate(folded) if word in folded[:n] and roles((word,), tuple(twice))]
    if "name" in twice and len(again) > 1:
        return f"two tables stand side by side ({', '.join(again)} head two columns each)", table.place
    return None


def kinds(table: Table) -> tuple[str, str] | None:
    """Rows of several kinds: an alias or a note is no tag of its own."""
    at = column_of_kinds(table)
    if at is None:
        return None
    shown = ", ".join(_distinct(table, at)[:4])
    return f"column {at + 1} ({table.headings[at]}) says that the rows are of several kinds ({shown})", table.place


def column_of_kinds(table: Table) -> int | None:
    """The column that says of what kind each row is, where not all of them are tags."""
    for at, heading in enumerate(table.headings):
        if at in (table.roles.get(role) for role in ("name", "address", "comment")):
            continue
        words = {word.lower() for word in _distinct(table, at)}
        known = words & (TAG_ROWS | OTHER_ROWS)
        if len(words) < 2 or not known or words <= TAG_ROWS:
            continue
        if fold(heading) in KIND_HEADINGS or (2 * len(known) > len(words) and known & OTHER_ROWS):
            return at
    return None


def tag_kinds(cells: Iterable[str]) -> list[str]:
    """Those words of a column of kinds that stand for tags, each once."""
    return [word for word in dict.fromkeys(cells) if word.lower() in TAG_ROWS]


def _address(table: Table) -> tuple[str, str] | None:
    written = any(table.cell(line, "address") for line in table.lines)
    for at, heading in table.further:
        cells = _cells(table, at)
        alike = "address" in roles((heading,), ("address",))
        if cells and (alike or not written) and 2 * sum(_is_address(cell) for cell in cells) > len(cells):
            what = f"column {at + 1} ({heading}) holds addresses such as {cells[0]}, and is not the column of addresses"
            return what, table.place
    return None if written else address_in_parts(table)


def address_in_parts(table: Table) -> tuple[str, str] | None:
    """Rack, slot and channel in columns of their own are no address that can be taken from one column."""
    parts = [name for at, name in table.further if fold(name) in PARTS and _cells(table, at)]
    if len(parts) > 1 and any(fold(name) in ("channel", "bit", "byte", "word", "point") for name in parts):
        return f"the address seems to stand in several columns ({', '.join(parts)})", table.place
    return None


def _type(table: Table) -> tuple[str, str] | None:
    """A second column of types that holds those of IEC 61131-3 while the first does not, or numbers for types."""
    if "type" not in table.roles:
        return None
    at = table.roles["type"]
    cells = _cells(table, at)
    title = f"column {at + 1} ({table.headings[at]})"
    if cells and 2 * sum(cell.isdecimal() or (cell[0] == "%" and _is_address(cell)) for cell in cells) > len(cells):
        return f"{title} is called a type and holds {cells[0]}", table.place
    for other, name in table.further:
        if "type" in roles((name,), ("type",)) and _typed(_cells(table, other)) > _typed(cells):
            return f"{title} and column {other + 1} ({name}) may both be the type", table.place
    return None


def _name(table: Table) -> tuple[str, str] | None:
    cells = _cells(table, table.roles["name"])
    wrong = [cell for cell in cells if cell.startswith("%") and _is_address(cell)]
    if 2 * len(wrong) > len(cells):
        return f"the column of names holds addresses such as {wrong[0]}", table.place
    repeated = 2 * len(set(cells)) <= len(cells)
    sorts = [cell for cell in cells if is_sort(cell)] if repeated or len(cells) < 10 else []
    if len(cells) > 1 and 2 * len(sorts) > len(cells):
        return f"the column of names holds {sorts[0]}, which is a sort of signal and no name", table.place
    return None


def is_sort(cell: str) -> bool:
    """Whether a cell is a sort of signal or a type, as no tag is called."""
    return cell.upper() in SORTS or cell.upper() in ELEMENTARY


def _cells(table: Table, at: int) -> list[str]:
    return [line.cells[at] for line in table.lines if at < len(line.cells) and line.cells[at]]


def _distinct(table: Table, at: int) -> list[str]:
    """The different words of a column in their order, none when they are too many for kinds of rows."""
    words = list(dict.fromkeys(_cells(table, at)))
    return words if len(words) <= 12 else []


def _is_address(cell: str) -> bool:
    return canonical(cell) is not None and re.search(r"[0-9]", cell) is not None


def _typed(cells: Iterable[str]) -> int:
    return sum(cell.upper() in ELEMENTARY for cell in cells)
