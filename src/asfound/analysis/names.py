"""What a name in a POU stands for, through instances: which cylinder, not which type of cylinder.

A name is told as seen inside its POU (a :data:`Ref`); what is reached through a reference or an interface belongs to
any instance of its type. An array of blocks is one instance.
"""

from __future__ import annotations

from functools import cached_property

from msgspec.structs import replace

from asfound.analysis.argument_passing import Passing
from asfound.analysis.symbols import Symbols, inner_names
from asfound.language.addresses import Memory
from asfound.model.logic import Dereference, Direct, Element, Expression, Member, Temporary, Variable
from asfound.model.program import Pou

Ref = tuple[str, ...]
"""Folded names from the POU inwards (``("valve", "q")``); from outside of every POU when the first is empty (also
``("", "%QX0.3")``), of any instance of a type when the first is ``*`` and that type (``>`` where it is written)."""
RUN = "§run"
"""Stands for the running of a block's own body."""
STEER = "§steer"
"""Stands for where the program flow goes in a POU: jumps and returns decide it for all of its leaves."""
_OWN = ("this", "super")


def address(text: str) -> Ref | None:
    """The node of a direct address; None for ``%Q*``, which another place gives each instance."""
    found = Memory.at(text).text if text else ""
    return ("", found) if found else None


class Outside:
    """What names stand for that are declared outside of a POU, or lie at an address, over one copy."""

    def __init__(self, symbols: Symbols) -> None:
        self.symbols = symbols
        self.passing = Passing(symbols)
        self._placed: dict[str, dict[str, Ref]] = {}

    def placed(self, type: str) -> dict[str, Ref]:
        """The variables of a POU that lie at an address, by folded name."""
        if type not in self._placed:
            pou = self.symbols.pous.get(type)
            found = (v for p in (self.passing.chain(pou) if pou else ()) for v in p.variables)
            self._placed[type] = {v.name.lower(): ref for v in found if (ref := address(v.address))}
        return self._placed[type]

    @cached_property
    def outside(self) -> dict[str, Ref]:
        """Tags and global variables that lie at an address, by folded name."""
        tags, variables = self.symbols.tags.items(), self.symbols.globals.items()
        found = {name: ref for name, tag in tags if (ref := address(tag.address))}
        return found | {name: ref for name, v in variables if (ref := address(v.address))}

    @cached_property
    def around(self) -> tuple[object, ...]:
        """What the names in a POU hang on that stands outside of every POU."""
        types = [
            (name, each.type) for group in (self.symbols.tags, self.symbols.globals) for name, each in group.items()
        ]
        return self.outside, types, self.symbols.lists, self.symbols.copy.program.types

    def at_top(self, name: str) -> Ref:
        """What a folded name stands for that is declared outside of every POU."""
        return self.outside.get(name) or ("", name)


class Names:
    """Names as seen from one POU, or from a member of it."""

    def __init__(self, outside: Outside, pou: Pou, declaring: Pou) -> None:
        self.outside, self.symbols, self.passing = outside, outside.symbols, outside.passing
        self.pou, self.declaring = pou, declaring
        self.local = self.passing.seen(declaring)
        self.names: dict[str, Ref] = {name: (name,) for p in self.passing.chain(pou) for name in inner_names(p)}
        self.names |= outside.placed(pou.name.lower())
        if declaring is not pou:
            inside = (v.name.lower() for v in declaring.variables if v.section != "external")
            self.names |= {name: (declaring.name.lower(), name) for name in inside}

    def node(self, name: str) -> Ref:
        """What a name used here stands for."""
        key = name.lower()
        return self.names.get(key) or self.outside.at_top(key)

    def block(self, of: Expression) -> str:
        """Folded name of the POU that an instance is of, or empty."""
        if isinstance(of, Dereference | Variable) and _own(of):
            return self.pou.name.lower()
        return self.symbols.block_of(_without_own(of), self.local, self.names)

    def instance(self, of: Expression, type: str) -> Ref:
        """Where an instance stands; any of its type where that cannot be told."""
        pou = self.symbols.pous[type]
        found = None if pou.kind in ("interface", "program") else self._place(of)
        return (f"*{type}",) if found is None else found

    def _place(self, of: Expression) -> Ref | None:
        match of:
            case Variable(name) if not _own(of):
                return self.node(name)
            case Member(Variable(list_), name) if self._is_list(list_):
                return self.outside.at_top(name.lower())
            case Member(inner, name):
                found = self._place(inner)
                return None if found is None else (*found, name.lower())
            case Element(inner, _):
                return self._place(inner)
        return () if _own(of) else None

    def _is_list(self, name: str) -> bool:
        return name.lower() in self.symbols.lists and name.lower() not in self.names

    def access(self, e: Expression) -> set[Ref]:
        """One access, without its indexes."""
        match e:
            case Variable(name):
                return {self.node(name)}
            case Direct(text):
                return {address(text) or ("", text.upper())}
            case Temporary(number):
                return {(f"_v{number}",)}
            case Member(Variable(list_), name) if self._is_list(list_):
                return {self.outside.at_top(name.lower())}
            case Member(of, name):
                type = self.block(of)
                if not type:
                    return self.access(of)
                placed = self.outside.placed(type).get(name.lower())
                return {placed or (*self.instance(of, type), name.lower())}
            case Element(of, _) | Dereference(of):
                return self.access(of)
        return set()


def _without_own(of: Expression) -> Expression:
    """``v.q`` for ``THIS^.v.q``."""
    if isinstance(of, Member):
        return Variable(of.name) if _own(of.of) else replace(of, of=_without_own(of.of))
    return replace(of, of=_without_own(of.of)) if isinstance(of, Element) else of


def _own(of: Expression) -> bool:
    """THIS and SUPER, also behind ``^``."""
    while isinstance(of, Dereference):
        of = of.of
    return isinstance(of, Variable) and of.name.lower() in _OWN
