"""The old copy as if its variables had been declared already where the new one declares them.

Only the scope changes: address, type, initial value, comment and all else stay as they were, so that what differs in
them is told. The place in the list is that of the new copy. Cost: linear in the POUs and lists concerned.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import Any

from msgspec.structs import replace

from asfound.analysis.places import list_name
from asfound.compare.scopes.find import Move, named_by, numbered
from asfound.model.copy import Copy
from asfound.model.logic import Member, Variable
from asfound.model.program import GlobalList, Pou, VariableDeclaration
from asfound.model.tree import NODES

Declarations = tuple[VariableDeclaration, ...]


def in_new_scopes(copy: Copy, named: Copy, new: Copy, moves: Sequence[Move], *, uses: bool) -> Copy:
    """A form of the old copy with every move applied; with ``uses`` the code names its lists as the new copy does.

    ``named`` has POUs and lists in the same order, as they are called now.
    """
    if not moves:
        return copy
    redeclared = _Redeclared(copy, named, new, uses)
    for move in moves:
        redeclared.apply(move)
    return redeclared.copy(moves)


class _Redeclared:
    """POUs and lists of the old copy while moves are applied to them."""

    def __init__(self, old: Copy, named: Copy, new: Copy, uses: bool) -> None:
        self.old, self.uses = old, uses
        self.pous, self.lists = list(old.program.pous), list(old.program.globals)
        self.numbers = {p.name.lower(): n for n, p in enumerate(named.program.pous)}
        self.at = numbered(named.program.globals)
        self.partners = {p.name.lower(): p for p in new.program.pous}
        self.theirs = {home: new.program.globals[n] for home, n in numbered(new.program.globals).items()}
        homes: tuple[Sequence[Pou | GlobalList], ...] = self.pous, self.lists
        known: tuple[Sequence[Pou | GlobalList], ...] = named.program.pous, named.program.globals
        self.called: dict[int, str] = {
            id(v): now.name.lower()
            for ours, theirs in zip(chain(*homes), chain(*known), strict=True)
            for v, now in zip(ours.variables, theirs.variables, strict=True)
        }
        """What each variable of the old copy, which lives longer, is called now."""
        self.shared = {self._called(v): v for block in reversed(self.lists) for v in reversed(block.variables)}

    def _called(self, v: VariableDeclaration) -> str:
        return self.called.get(id(v), v.name.lower())

    def apply(self, move: Move) -> None:
        """One more variable stands where the new copy has it."""
        number = self.numbers[move.pou]
        pou, partner = self.pous[number], self.partners[move.pou]
        own = next((v for v in pou.variables if self._called(v) == move.name), None)
        if not move.outward:
            was = self.shared.get(move.name) or replace(
                move.local, **{f: getattr(own, f) for f in ("name", "type", "comment", "pragmas", "extensions")}
            )
            local = replace(was, section=move.local.section)
            variables = tuple(v for v in pou.variables if v is not own)
            pou = replace(pou, variables=self._inserted(variables, local, move.name, partner.variables))
        elif own is not None:
            if move.shared is not None and move.name not in self.shared:
                self._list(move, own)
            declared = () if move.external is None else (_external(own, move.external),)
            pou = replace(pou, variables=tuple(x for v in pou.variables for x in (declared if v is own else (v,))))
        self.pous[number] = _spoken(pou, partner, move) if self.uses else pou

    def _list(self, move: Move, own: VariableDeclaration) -> None:
        theirs = self.theirs[move.home]
        if move.home not in self.at:
            self.at[move.home] = len(self.lists)
            self.lists.append(GlobalList(theirs.name, theirs.scope, ()))
        block = self.lists[self.at[move.home]]
        self.shared[move.name] = shared = replace(own, section="global", comment=_comment(own, move))
        variables = self._inserted(block.variables, shared, move.name, theirs.variables)
        self.lists[self.at[move.home]] = replace(block, variables=variables)

    def _inserted(
        self, variables: Declarations, new: VariableDeclaration, name: str, order: Declarations
    ) -> Declarations:
        """With one more, behind the last of those that stand before it in ``order``."""
        self.called[id(new)] = name
        names = [v.name.lower() for v in order]
        before = set(names[: names.index(name)])
        at = max((n + 1 for n, v in enumerate(variables) if self._called(v) in before), default=0)
        return (*variables[:at], new, *variables[at:])

    def copy(self, moves: Sequence[Move]) -> Copy:
        """The whole; a list that holds nothing any more and that the new copy does not have is gone."""
        kept = {v.name.lower() for block in self.theirs.values() for v in block.variables}
        left = {m.name for m in moves if not m.outward} - kept
        emptied = {list_name(b).lower() for b in self.lists} - {name for name, _ in self.theirs}
        lists = []
        for block in self.lists:
            variables = tuple(v for v in block.variables if self._called(v) not in left)
            said = block.comment or block.pragmas or block.extensions
            if variables or not block.variables or said or list_name(block).lower() not in emptied:
                lists.append(replace(block, variables=variables))
        return replace(self.old, program=replace(self.old.program, pous=tuple(self.pous), globals=tuple(lists)))


def _external(own: VariableDeclaration, external: VariableDeclaration) -> VariableDeclaration:
    """The declaration that stands for the global one, with what was said of the variable before."""
    comment = own.comment if own.comment == external.comment else ""
    return VariableDeclaration(own.name, own.type, "external", constant=own.constant, comment=comment)


def _comment(own: VariableDeclaration, move: Move) -> str:
    """A comment that stayed at the external declaration did not go with the global one."""
    stayed = move.external is not None and move.external.comment == own.comment
    return "" if stayed and move.shared is not None and not move.shared.comment else own.comment


def _spoken(pou: Pou, partner: Pou, move: Move) -> Pou:
    """The code of a POU with the list before the name, or without it, as its partner writes it."""
    qualified = named_by(partner, move.name, frozenset((move.home[0],)))
    if not move.outward or qualified is None:

        def bare(node: Any) -> Any:
            match node:
                case Member(Variable(home), name) if name.lower() == move.name and home.lower() == move.home[0]:
                    return Variable(name)
            return NODES.rebuilt(node, bare)

        return NODES.rebuilt(pou, bare)

    def under_its_list(node: Any) -> Any:
        match node:
            case Pou() if any(v.name.lower() == move.name for v in node.variables if v.section != "external"):
                return node
            case Variable(name) if name.lower() == move.name:
                return Member(Variable(qualified), name)
        return NODES.rebuilt(node, under_its_list)

    return NODES.rebuilt(pou, under_its_list)
