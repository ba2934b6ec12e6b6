"""What follows from what, and many small edits told as one.

Links: the same readdressing told by the tag table, the declaration and the channel is one cause; a declared variable
that came or went, or is of another block type, follows from the statement that uses it; where compilers now differ in
the order of two rungs, that follows from the change of one. The follower keeps its own
entry and names its cause.
Comments: ``MANY`` or more comment edits at one owner become one change with a line each.
Cost: linear, plus the changes of one POU times its new declarations.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from asfound.analysis.leaves import by_place, leaves
from asfound.analysis.places import Place, natural_path, owner_words
from asfound.analysis.symbols import Symbols
from asfound.analysis.where_used import names_of
from asfound.compare.changes import change
from asfound.compare.logic.order_doubts import ORDER
from asfound.compare.result import Change, Edit
from asfound.compare.wording.phrases import differences, edit
from asfound.language.addresses import canonical
from asfound.model.copy import Copy

MANY = 5
_COMMENTS = frozenset(
    ("comment", "comment added", "comment removed", "comment moved", "title", "enum comment", "task comment",
     "device comment", "also in table")
)  # fmt: skip
"""Fields of what people read beside a piece."""
_CAUSES = ("tag", "declaration")
Moves = frozenset[tuple[str, str, str]]
"""Folded name, old and new address of each."""


def linked(changes: Sequence[Change], old: Copy, new: Copy) -> tuple[Change, ...]:
    """The same numbered changes with ``follows_from`` filled in; ``old`` has the renames applied."""
    causes, logic = _readdressed(changes), [c for c in changes if c.area == "logic"]
    rungs: dict[tuple[str, ...], int] = {}
    for c in reversed(logic):
        rungs |= {c.path[:n]: c.id for n in range(2, len(c.path) + 1)}
    owners = {c.path[0] for c in changes if _follows_its_use(c)}
    users = _users([c for c in logic if c.path[0] in owners], old, new)
    return tuple(_with_cause(c, causes, users, rungs) for c in changes)


def _users(changes: Sequence[Change], old: Copy, new: Copy) -> dict[tuple[str, str, str], int]:
    """The first change of a POU that uses a folded name on a side, or calls it as a block of another type."""
    found: dict[tuple[str, str, str], int] = {}
    owners = {c.path[0] for c in changes}
    for copy, side, other in ((new, "added", "removed"), (old, "removed", "added")):
        lists = Symbols(copy).lists
        index = by_place(leaf for pou in copy.program.pous if pou.name in owners for leaf in leaves(pou))
        for c in reversed(changes):
            path = c.path if side == "added" else c.old_path or c.path
            if path not in index and path[-1].startswith("statement:"):  # what a transition says is one leaf
                path = path[:-1]
            for leaf in index.get(path, []) if c.kind != other else ():
                found |= {(c.path[0], how, name): c.id for name in names_of(leaf, lists)
                          for how in ((side, "changed") if _holds(c.edits, "block type") else (side,))}  # fmt: skip
    return found


def _holds(edits: Sequence[Edit], field: str) -> bool:
    return any(e.field == field or _holds(e.inner, field) for e in edits)


def _with_cause(
    c: Change, causes: dict[Moves, int], users: dict[tuple[str, str, str], int], rungs: dict[tuple[str, ...], int]
) -> Change:
    cause: int | None = None
    if c.kind == "readdressed":
        cause = causes.get(_moves(c)) if c.names else None
    elif c.area == "hardware" and c.path[-1].startswith("channel:"):
        tags = {t.lower() for t in (c.before, c.after) if t}
        cause = next((id for moves, id in causes.items() if tags and tags <= {name for name, _, _ in moves}), None)
    elif c.path[-1] == ORDER:
        cause = min((id for name in c.names if (id := rungs.get((*c.path[:-1], name)))), default=None)
    elif c.area == "declaration" and _follows_its_use(c):
        cause = users.get((c.path[0], c.kind, c.path[-1].removeprefix("variable:").lower()))
    return c if cause is None or cause == c.id else replace(c, follows_from=cause)


def _follows_its_use(c: Change) -> bool:
    """Is it a variable that came, went, or got another type and nothing else?"""
    retyped = c.kind == "changed" and [e.field for e in differences(c.edits)] == ["type"]
    return c.path[-1].startswith("variable:") and (c.kind in ("added", "removed") or retyped)


def _readdressed(changes: Sequence[Change]) -> dict[Moves, int]:
    found: dict[Moves, int] = {}
    moved = [c for c in changes if c.kind == "readdressed" and c.area in _CAUSES]
    for c in sorted(moved, key=lambda c: _CAUSES.index(c.area)):
        found.setdefault(_moves(c), c.id)
    return found


def _moves(c: Change) -> Moves:
    """What moved from where to where; two names that swapped their addresses are two moves.

    A name alone is no cause: a local variable may be called like a tag and move by itself.
    """
    first = c.edits[0]
    old, new = (canonical((text or "").upper()) for text in (first.old, first.new))
    return frozenset(zip(c.names, (old, new), (new, old), strict=False))


def gathered(changes: Sequence[Change]) -> list[Change]:
    """Many comment edits of one owner as one change."""
    groups: dict[tuple[str, str], list[Change]] = {}
    for c in changes:
        if _only_comments(c):
            groups.setdefault((c.area, c.path[0]), []).append(c)
    gone: set[int] = set()
    result: list[Change] = []
    for (_, owner), group in groups.items():
        if len(group) >= MANY:
            gone.update(map(id, group))
            result.append(_together(owner, sorted(group, key=lambda c: natural_path(c.path))))
    return [c for c in changes if id(c) not in gone] + result


def _only_comments(c: Change) -> bool:
    plain = c.effect == "documentation" and c.kind == "changed" and bool(c.edits)
    return plain and all(e.field in _COMMENTS for e in c.edits)


def _together(owner: str, group: Sequence[Change]) -> Change:
    where = owner_words(owner)
    inside = [("" if len(c.path) == 1 else f"{c.where.removeprefix(f'{where} / ')}: ", c) for c in group]
    edits = [edit("comment at", of=at, inner=(e,)) for at, c in inside for e in c.edits]
    head = edit("comments", new=str(len(edits)))
    return change(group[0].area, "changed", Place(where, (owner,)), (None, None), "", (head, *edits))
