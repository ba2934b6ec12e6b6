"""Declarations that only came or went with statements which were proved to act the same: these act the same too.

A block or type that nothing uses but others of its like never runs: it is for people alone.

A local variable, function, block or type of one side stands by when nothing but proved statements uses it: the other
side does not know its name at all, so whatever uses it differs; and every POU in which that happens was proved, or
stands by itself. What can be seen without a statement stays what it was: addresses that are set at the start, retained
values, pins, pragmas, unknown data, access paths.
Cost: linear in the program, only when such a declaration came or went; then a few rounds over these.
Known weakness: a POU counts as proved as a whole, so one change of behaviour in it leaves its declarations behaviour.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from asfound.analysis.leaves import leaves
from asfound.analysis.symbols import Symbols
from asfound.analysis.where_used import Users, declared_uses
from asfound.compare.context import Context
from asfound.compare.logic.statements import unreadable
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit
from asfound.language import standard
from asfound.language.types import type_words
from asfound.model.program import DataType, Pou, VariableDeclaration

_SECTIONS = frozenset(("local", "temp", "external"))
_OPEN = ("behaviour", "undecided")
_LONE = ("behaviour", "equivalent")
UNUSED = ("block unused", "data type unused")
Thing = tuple[str, ...]
"""``pou NAME``, ``type NAME``, ``body NAME`` for statements of a POU, or the folded path of a variable."""


def with_bystanders(context: Context, changes: list[Change]) -> list[Change]:
    """The same changes; declarations that only proved statements use are equivalent."""
    one_sided_change = {n: c for n, c in enumerate(changes) if c.kind in ("added", "removed") and c.effect in _LONE}
    if not one_sided_change:
        return changes
    found = {n: b for n, c in one_sided_change.items() if (b := _Bystander(context, c)).possible}
    doubtful = {c.path[0].lower() for c in changes if c.effect in _OPEN and c.area in ("logic", "extension")}
    settled = True
    while settled:
        standing = {b.thing for b in found.values()}
        left = {n: b for n, b in found.items() if all(_harmless(use, standing, doubtful) for use in b.uses)}
        settled, found = len(left) < len(found), left
    idle = _idle({n: b for n, b in found.items() if b.whole})
    return [_standing_by(c, idle=n in idle) if n in found else c for n, c in enumerate(changes)]


def _standing_by(c: Change, *, idle: bool) -> Change:
    if idle:
        head, *notes = c.edits
        notes = notes if any(e.field in UNUSED for e in notes) else [edit("never runs"), *notes]
        return replace(c, effect="documentation", edits=(replace(head, effect="documentation"), *notes))
    if c.effect != "behaviour":
        return c
    return replace(c, effect="equivalent", edits=(*c.edits[:1], edit("users proved"), *c.edits[1:]))


def _idle(found: dict[int, _Bystander]) -> set[int]:
    """Blocks and types that nothing uses but others of these."""
    settled = True
    while settled:
        standing = {b.thing for b in found.values()}
        left = {n: b for n, b in found.items() if all(_unused_by(use, standing) for use in b.uses)}
        settled, found = len(left) < len(found), left
    return set(found)


def _unused_by(use: Thing, standing: set[Thing]) -> bool:
    """A use by a block or type that never runs itself."""
    word, _, name = use[0].partition(" ")
    owner = f"pou {name}" if word == "body" else use[0] if word in ("pou", "type") else f"pou {use[0]}"
    return (owner,) in standing


def _harmless(use: Thing, standing: set[Thing], doubtful: set[str]) -> bool:
    """A use by something that stands by, or by a statement of a POU that was proved."""
    word, _, name = use[0].partition(" ")
    if len(use) == 1 and word == "body":
        return name not in doubtful or (f"pou {name}",) in standing
    return use in standing or (len(use) > 1 and (f"pou {use[0]}",) in standing)


class _Bystander:
    """One declaration of one side, with what uses it."""

    def __init__(self, context: Context, change: Change) -> None:
        self.context, self.change = context, change
        new = change.kind == "added"
        self.symbols, self.other = (context.new, context.old) if new else (context.old, context.new)
        self.of, self.elsewhere = (
            (context.users_new, context.users_old) if new else (context.users_old, context.users_new)
        )
        self.thing: Thing = ()
        self.uses: list[Thing] = []
        self.whole = len(change.path) == 1 and _runs(self.symbols) and _runs(self.other)
        self.possible = self._looked_at()

    def _looked_at(self) -> bool:
        *_, last = path = self.change.path
        word, _, name = last.partition(":")
        if self.change.area == "declaration" and word == "variable" and len(path) > 1:
            pou = _pou_at(self.symbols, path[:-1])
            declared = next((v for v in pou.variables if v.name == name), None) if pou is not None else None
            return pou is not None and declared is not None and self._variable(pou, declared)
        if self.change.area == "logic" and len(path) == 1:
            whole = self.symbols.pous.get(path[0].lower())
            return whole is not None and self._pou(whole)
        type = self.symbols.types.get(name.lower()) if self.change.area == "datatype" and word == "type" else None
        return len(path) == 1 and type is not None and self._type(type)

    def _variable(self, pou: Pou, v: VariableDeclaration) -> bool:
        """Inside the POU alone, and the POU of the other side does not know the name."""
        path = self.change.path
        self.thing = (*(p.lower() for p in path[:-1]), v.name.lower())
        self.uses = [(f"body {path[0].lower()}",)]
        plain = v.section in _SECTIONS and not (v.address or v.retain or v.persistent or v.pragmas or v.extensions)
        if not plain or v.edge or self.context.sets(v) or v.name.lower() in self.symbols.reached_by_path:
            return False
        partner = _pou_at(self.other, path[:-1])
        if partner is None or self.elsewhere.of_local(partner, v.name) or self.of.of_member(pou.name, v.name):
            return False
        unread = any(unreadable(leaf.statement) for each in (pou, partner) for leaf in leaves(each))
        return not (unread or any(declared_uses(p.variables, p.name).get(v.name.lower()) for p in (pou, partner)))

    def _pou(self, pou: Pou) -> bool:
        """Called by name alone, and the other side does not know the name."""
        self.thing = (f"pou {pou.name.lower()}",)
        self.uses = list(_users(self.symbols, self.of, pou.name))
        if pou.kind not in ("function", "function_block", "program") or pou.extensions or pou.pragmas:
            return False
        if pou.kind == "program" and (self.uses or not (_assigned(self.symbols) and _assigned(self.other))):
            return False
        if standard.function(pou.name) or standard.block(pou.name) or self._known_elsewhere(pou.name):
            return False
        if not self.uses and not (_runs(self.symbols) and _runs(self.other)):
            return False
        return not any(self.context.sets(v) for v in pou.variables)

    def _type(self, type: DataType) -> bool:
        names = [v.name for v in type.values]
        self.thing = (f"type {type.name.lower()}",)
        self.uses = list(_users(self.symbols, self.of, type.name))
        if type.extensions or type.pragmas or self._known_elsewhere(type.name):
            return False
        if not self.uses and any(self.of.of_global.get(name.lower()) for name in names):
            self.uses = [("value",)]
        return not any(self.elsewhere.of_global.get(name.lower()) for name in names)

    def _known_elsewhere(self, name: str) -> bool:
        return bool(self.elsewhere.of_type(name) or self.elsewhere.of_global.get(name.lower()))


def _pou_at(symbols: Symbols, path: Sequence[str]) -> Pou | None:
    """The POU or member that a path leads to."""
    found = symbols.pous.get(path[0].lower())
    for step in path[1:]:
        kind, _, name = step.partition(":")
        members = found.members if found is not None else ()
        found = next((m for m in members if m.kind == kind and m.name.lower() == name.lower()), None)
    return found


def _users(symbols: Symbols, uses: Users, name: str) -> Iterator[Thing]:
    """What uses a POU or a type: variables of POUs, statements of POUs, types; a global one never stands by."""
    key = name.lower()
    for pou in symbols.copy.program.pous:
        yield from (thing for thing in _declaring(pou, (pou.name.lower(),), key))
        if key in {w for text in (pou.extends, *pou.implements) for w in type_words(text)}:
            yield (f"pou {pou.name.lower()}",)
    for use in uses.uses_of_type(name):
        if not use.owner:
            yield ("elsewhere", use.where)
        elif not use.variable:
            yield (f"body {use.owner}",)
    for variable in symbols.globals.values():
        if key in type_words(variable.type):
            yield ("global", variable.name.lower())
    for type in symbols.types.values():
        if key != type.name.lower() and key in {w for t in (type.base, *(m.type for m in type.members))
                                                for w in type_words(t)}:  # fmt: skip
            yield (f"type {type.name.lower()}",)


def _declaring(pou: Pou, path: Thing, key: str) -> Iterator[Thing]:
    """Variables of this type, in a POU and its members; a result of this type cannot stand by."""
    yield from ((*path, v.name.lower()) for v in pou.variables if key in type_words(v.type))
    if key in type_words(pou.result):
        yield (*path, "result")
    for member in pou.members:
        yield from _declaring(member, (*path, f"{member.kind}:{member.name.lower()}"), key)


def _assigned(symbols: Symbols) -> bool:
    """Does the export show which programs run, and nothing that is not understood beside it?"""
    resources = symbols.copy.program.resources
    unknown = any(r.extensions or any(t.extensions for t in r.tasks) for r in resources)
    return any(r.instances for r in resources) and not unknown


def _runs(symbols: Symbols) -> bool:
    return any(p.kind == "program" for p in symbols.copy.program.pous)
