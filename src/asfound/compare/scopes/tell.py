"""The changes that tell variables in another scope: one for all that went the same way, with their count.

One whose declaration differs besides (an address, an initial value) is told with that difference, once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from asfound.analysis.places import Place, top
from asfound.compare.changes import Kind, change, effect_of, used
from asfound.compare.context import Context
from asfound.compare.lines import differs
from asfound.compare.parts.declarations import differing
from asfound.compare.result import Change, Edit, Effect
from asfound.compare.scopes.find import Move
from asfound.compare.wording.phrases import differences, edit
from asfound.language.printer import variable as text
from asfound.model.program import VariableDeclaration

_WEIGHTY = ("behaviour", "undecided")


def with_moves(context: Context, moves: Sequence[Move], changes: Iterable[Change]) -> list[Change]:
    """The changes of all parts, and what moved between scopes."""
    told = _Told(context)
    waiting: dict[tuple[str, ...], list[Move]] = {}
    for move in moves:
        waiting.setdefault(told.place(move).path, []).append(move)
    found = []
    for c in changes:
        heavy = c.area == "declaration" and (c.kind == "readdressed" or (c.kind == "changed" and c.effect in _WEIGHTY))
        found.append(told.beside(c, waiting.pop(c.path, [])) if heavy else c)
    groups: dict[tuple[object, ...], list[Move]] = {}
    for move in (move for those in waiting.values() for move in those):
        alone = (move.name,) if told.differences(move) else ()
        groups.setdefault((move.pou, move.home, move.outward, move.reasons, alone), []).append(move)
    return found + [told.one(those[0]) if len(those) == 1 else told.several(those) for those in groups.values()]


class _Told:
    def __init__(self, context: Context) -> None:
        self.context, self.old, self.new = context, context.old, context.new

    def place(self, move: Move) -> Place:
        """Where the new copy declares the variable."""
        name = self._now(move).name
        if move.outward and move.shared is not None:
            return Place(f"{move.written_home} / {name}", (f"globals:{move.written_home}", f"variable:{name}"))
        return top(self.new.pous[move.pou].name).down(name, f"variable:{name}")

    def _now(self, move: Move) -> VariableDeclaration:
        return (move.shared or move.external or move.local) if move.outward else move.local

    def _before(self, move: Move) -> VariableDeclaration:
        return move.local if move.outward else (move.shared or move.external or move.local)

    def differences(self, move: Move) -> list[Edit]:
        """What differs from the global variable that another one was, or became, before: that one is told apart."""
        base = self.old.globals.get(move.name) if move.outward and move.shared is not None else None
        if base is None:
            return []
        stayed = move.external is not None and move.external.comment == move.local.comment
        was = replace(move.local, section=base.section, comment=base.comment if stayed else move.local.comment)
        readdressed = was.address.upper() != base.address.upper()
        return [*(differs("address", was.address, base.address) if readdressed else []), *differing(was, base)]

    def _edits(self, move: Move) -> list[Edit]:
        field = "scope" if move.shared is not None else "scope unseen"
        homes = self._homes(move)
        effect: Effect | None = "behaviour" if move.reasons else None
        return [edit(field, *homes, of=self._now(move).name, owner=_way(move), effect=effect), *_notes([move])]

    def _homes(self, move: Move) -> tuple[str, str]:
        homes = self.new.pous[move.pou].name, move.written_home
        return homes if move.outward else homes[::-1]

    def beside(self, c: Change, moves: Sequence[Move]) -> Change:
        """A change of the declaration that moved besides."""
        own = [e for move in moves for e in self._edits(move)]
        if not own:
            return c
        apart = differences(c.edits)
        edits = *apart, *own, *(e for e in c.edits if e not in apart)
        return replace(c, edits=edits, effect=effect_of(edits), before=text(self._before(moves[0])))

    def one(self, move: Move) -> Change:
        """A single variable."""
        apart = self.differences(move)
        edits = [*apart, *self._edits(move)]
        if effect_of(edits) == "behaviour":
            edits += used(self._uses(move))
        kind: Kind = "readdressed" if any(e.field == "address" for e in apart) else "moved"
        texts = (text(self._before(move)), text(self._now(move))) if apart else (None, None)
        subject = self._now(move).name if apart else ""
        return change("declaration", kind, self.place(move), texts, subject, edits)

    def several(self, moves: Sequence[Move]) -> Change:
        """Variables of one POU that went the same way."""
        first = moves[0]
        field = "scopes" if first.shared is not None else "scopes unseen"
        effect: Effect | None = "behaviour" if first.reasons else None
        head = edit(field, *self._homes(first), of=str(len(moves)), owner=_way(first), effect=effect)
        listed = [edit("declared", new=text(self._now(move)), of=self._now(move).name) for move in moves]
        at = top(self.new.pous[first.pou].name)
        names = [move.name for move in moves]
        return change("declaration", "moved", at, (None, None), "", [head, *_notes(moves), *listed], names=names)

    def _uses(self, move: Move) -> tuple[str, ...]:
        users = self.context.users_new
        return (
            users.of_global.get(move.name, ()) if move.outward else users.of_local(self.new.pous[move.pou], move.name)
        )


def _notes(moves: Sequence[Move]) -> list[Edit]:
    kept = any(m.local.retain == "retain" or m.local.persistent for m in moves)
    return [*moves[0].reasons, *([edit("paths and values")] if kept else [])]


def _way(move: Move) -> str:
    return "out" if move.outward else "in"
