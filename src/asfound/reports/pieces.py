"""What a change is about, ready to be drawn: its statements before and after, and the types of their variables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from asfound.compare.result import Change
from asfound.language.parser import parse_statements
from asfound.language.standard import block
from asfound.language.walk import every_pou
from asfound.model.copy import Copy
from asfound.model.logic import Remark, Statement, Verbatim
from asfound.model.program import VariableDeclaration
from asfound.reports.ladder import drawable


@dataclass(frozen=True, slots=True)
class Piece:
    """Statements of one side of a change, and the declared types by folded name."""

    statements: tuple[Statement, ...]
    types: Mapping[str, str]


def pieces(change: Change, old: Copy | None, new: Copy | None) -> tuple[Piece | None, Piece | None] | None:
    """Return both sides of a change in a ladder or block network; None when it is to be shown as text."""
    if change.area != "logic" or not any(part.startswith("network:") for part in change.path):
        return None
    before, after = _statements(change.before), _statements(change.after)
    shown = [statement for side in (before, after) if side for statement in side]
    if not shown or not all(drawable(statement) for statement in shown):
        return None
    if all(isinstance(statement, Remark) for statement in shown):
        return None
    return _piece(before, old, change.path[0]), _piece(after, new, change.path[0])


def _statements(text: str | None) -> tuple[Statement, ...] | None:
    """The text of a network is parsed again; what cannot be parsed comes back verbatim and is not drawn."""
    if text is None:
        return None
    return parse_statements(text, dialect=True) or (Verbatim(text),)


def _piece(statements: tuple[Statement, ...] | None, copy: Copy | None, owner: str) -> Piece | None:
    if statements is None:
        return None
    return Piece(statements, types(copy, owner) if copy is not None else {})


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
