"""What a change is about, ready to be drawn: its statements before and after, and the types of their variables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from asfound.compare.result import Change
from asfound.language.standard import block
from asfound.language.walk import every_pou
from asfound.model.copy import Copy
from asfound.model.logic import Remark, Statement
from asfound.model.program import VariableDeclaration
from asfound.reports.drawing import Marks
from asfound.reports.ladder import drawable
from asfound.reports.marks import marks


@dataclass(frozen=True, slots=True)
class Piece:
    """Statements of the side before (``sign`` is ``-``) or now (``+``), or of both where they are the same.

    ``types`` are the declared types by folded name, ``marks`` what differs from the other side.
    """

    sign: Literal["-", "+", " "]
    statements: tuple[Statement, ...]
    types: Mapping[str, str]
    marks: Marks


def pieces(change: Change, old: Copy | None, new: Copy | None) -> list[Piece]:
    """The sides of a change in a ladder or block network; none when it is to be shown as text."""
    if not change.statements or not any(part.startswith("network:") for part in change.path):
        return []
    before, after = change.statements
    shown = [*(before or ()), *(after or ())]
    if () in (before, after) or not all(map(drawable, shown)) or all(isinstance(s, Remark) for s in shown):
        return []
    known = [types(copy, change.path[0]) if copy is not None else {} for copy in (old, new)]
    if after and before == after:
        return [Piece(" ", after, known[1], {})]
    marked = marks(before, after) if before and after else ({}, {})
    was = [Piece("-", before, known[0], marked[0])] if before else []
    return [*was, Piece("+", after, known[1], marked[1])] if after else was


def types(copy: Copy, owner: str) -> dict[str, str]:
    """Return the declared types that the POU ``owner`` sees, by folded name; its own hide the global ones."""
    found: dict[str, str] = {}
    for table in copy.tables:
        found.update((tag.name.lower(), tag.type) for tag in table.tags if tag.type)
    for each in copy.program.globals:
        found.update(_types(each.variables))
    for pou in every_pou(copy.program.pous):
        if pou.name.lower() == owner.lower():
            found.update(_types(pou.variables))
    return found | _pins(copy, found)


def _pins(copy: Copy, found: Mapping[str, str]) -> dict[str, str]:
    """Types of the pins of variables whose type is the program's, though it has the name of a standard block."""
    own = {p.name.lower(): p.variables for p in copy.program.pous if block(p.name)}
    own |= {t.name.lower(): t.members for t in copy.program.types if block(t.name)}
    return {f"{name}.{pin}": of for name, type in found.items() if type.lower() in own
            for pin, of in _types(own[type.lower()]).items()}  # fmt: skip


def _types(variables: tuple[VariableDeclaration, ...]) -> dict[str, str]:
    return {variable.name.lower(): variable.type for variable in variables if variable.type}
