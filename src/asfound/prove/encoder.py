"""The solver's terms, and the symbols of one proof.

All proofs share one context: freeing a context while the garbage collector still holds terms of it crashes. Three kinds
of symbols: *inputs*, the values that a scan starts from; *uninterpreted* values, results of functions of which only
this is known: equal arguments, equal result; and partiality *guards*, under which a calculation leaves what the
standard fixes (overflow, division by zero, a shift by too much), so that its result is uninterpreted. The size of a
translation is limited by ``tick``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from asfound.prove.sorts import FLOATS, WIDTHS

MAX_NODES = 20_000
"""Expressions and statements followed in one proof, loops unrolled and calls followed; about half a second."""


class Unsupported(Exception):
    """The pair cannot be put to the solver; the answer is ``unknown``. The text says why."""


class TooLarge(Unsupported):
    """The translation would outgrow its limit."""


class Unordered(Unsupported):
    """The result hangs on the order in which a compiler takes operands; nothing can be said, not even in one case."""


class Hidden(Unsupported):
    """Code that is not followed may write what the piece holds; nothing can be said, not even in one case."""


class Value(NamedTuple):
    """A term and its type; a ``loose`` one is a calculation in wide bits that may have left the range of the type."""

    term: Any
    type: str
    loose: bool = False


@dataclass(eq=False)
class Symbol:
    """One input: its name for people, its type, and whether both copies share it."""

    name: str
    key: str
    type: str
    term: Any
    shared: bool = True
    declared: str = ""


@dataclass(eq=False)
class Uninterpreted:
    """One uninterpreted value, numbered as made.

    ``name`` is what people call it, empty when they have no name for it. ``partial`` ones stand for what a calculation
    gives where it leaves what the standard fixes. ``fixed`` ones are results of standard functions: their arguments
    settle them, here it is only not known how; of other functions everything is open. A ``judged`` one is no value of
    its own but a comparison with uninterpreted values in it.
    """

    name: str
    type: str
    term: Any
    number: int
    partial: bool = False
    fixed: bool = False
    judged: bool = False


@dataclass
class Encoder:
    """Terms of one proof."""

    left: int = MAX_NODES
    inputs: dict[str, Symbol] = field(default_factory=dict)
    uninterpreted: dict[int, Uninterpreted] = field(default_factory=dict)
    guards: dict[int, Any] = field(default_factory=dict)
    facts: list[Any] = field(default_factory=list)
    skips: list[Any] = field(default_factory=list)
    """Whether a compiler leaves an operand out: open in every case (see operands)."""
    declared: set[str] = field(default_factory=set)
    """Enumerations whose values are known to differ."""
    constants: dict[int, tuple[str, Any]] = field(default_factory=dict)
    """Values that have a name, of sorts on which nothing but equality is known: ``Mode#AUTO``, ``'text'``."""
    starts: list[Any] = field(default_factory=list)
    """What locations hold when a cycle begins: temporary variables their initial values, new memories those too."""
    _open: dict[int, tuple[bool, Any]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        import z3

        self.z3: Any = z3
        self.ctx = z3.Context()
        self.true, self.false = z3.BoolVal(True, self.ctx), z3.BoolVal(False, self.ctx)
        self.anything = z3.DeclareSort("Any", self.ctx)

    def tick(self, count: int = 1) -> None:
        """Count work; stops a translation that grows too large."""
        self.left -= count
        if self.left < 0:
            raise TooLarge("the body is too large to be followed as a whole")

    def sort(self, type: str) -> Any:
        """The sort of a type."""
        if type == "BOOL":
            return self.z3.BoolSort(self.ctx)
        if type in WIDTHS:
            return self.z3.BitVecSort(WIDTHS[type], self.ctx)
        if type in FLOATS:
            return self.z3.FPSort(*FLOATS[type], self.ctx)
        return self.anything

    def bits(self, width: int) -> Any:
        """The sort of bit-vectors."""
        return self.z3.BitVecSort(width, self.ctx)

    def number(self, content: int, width: int) -> Any:
        """A constant bit-vector."""
        return self.z3.BitVecVal(content, width, self.ctx)

    def truth(self, content: bool) -> Any:
        """A constant truth value."""
        return self.true if content else self.false

    def input(self, key: str, name: str, type: str, shared: bool = True, declared: str = "") -> Any:
        """The starting value of a location; one symbol per key. ``declared`` is the folded name of its type."""
        known = self.inputs.get(key)
        if known is None:
            known = Symbol(name, key, type, self.z3.Const(key, self.sort(type)), shared, declared)
            self.inputs[key] = known
        if known.term.sort() != self.sort(type):
            raise Unsupported(f"{name} is used with two types")
        return known.term

    def apply(
        self, name: str, args: Sequence[Any], sort: Any, *, type: str = "", shown: str = "", partial: bool = False,
        fixed: bool = False,
    ) -> Any:  # fmt: skip
        """The uninterpreted result of a function; the same for equal arguments."""
        signature = f"{name}/{'/'.join(str(a.sort()) for a in args)}/{sort}"
        if not args:
            term = self.z3.Const(signature, sort)
        else:
            term = self.z3.Function(signature, *(a.sort() for a in args), sort)(*args)
        self.uninterpreted.setdefault(
            term.get_id(), Uninterpreted(shown, type, term, len(self.uninterpreted), partial, fixed)
        )
        return term

    def constant(self, name: str, key: str) -> Any:
        """A value of which only its name is known; equal keys are equal values."""
        term = self.z3.Const(f"constant {key}", self.anything)
        self.constants.setdefault(term.get_id(), (name, term))
        return term

    def named(self, term: Any, name: str, type: str) -> None:
        """Give an uninterpreted value the name that people know it by, or make a comparison with one nameable."""
        id = term.get_id()
        known = self.uninterpreted.get(id)
        if known is not None:
            known.name = known.name or name
            known.type = known.type or type
        elif type == "BOOL" and self.is_open(term):
            self.uninterpreted[id] = Uninterpreted(name, type, term, len(self.uninterpreted), judged=True)

    def is_open(self, term: Any) -> bool:
        """Whether a term stands on an uninterpreted value, results of calculations out of their range aside."""
        stack = [term]
        while stack:
            each = stack[-1]
            id = each.get_id()
            if id in self._open:
                stack.pop()
                continue
            found = self.uninterpreted.get(id)
            if found is not None and not found.partial:
                self._open[id] = True, each
                continue
            children = each.children()
            waiting = [c for c in children if c.get_id() not in self._open]
            if waiting:
                stack.extend(waiting)
                continue
            self._open[id] = any(self._open[c.get_id()][0] for c in children), each
        return self._open[term.get_id()][0]

    def sorted(self, args: Iterable[Any]) -> list[Any]:
        """Arguments of a commutative function in one order."""
        return sorted(args, key=lambda a: int(a.get_id()))

    def guard(self, condition: Any) -> None:
        """Remember a condition under which something leaves what the standard fixes."""
        if not self.z3.is_false(condition):
            self.guards.setdefault(condition.get_id(), condition)

    def both(self, a: Any, b: Any) -> Any:
        """``a AND b``, constants folded."""
        z3 = self.z3
        if z3.is_true(a) or z3.is_false(b):
            return b
        return a if z3.is_true(b) or z3.is_false(a) or a is b else z3.And(a, b)

    def either(self, a: Any, b: Any) -> Any:
        """``a OR b``, constants folded."""
        z3 = self.z3
        if z3.is_false(a) or z3.is_true(b):
            return b
        return a if z3.is_false(b) or z3.is_true(a) or a is b else z3.Or(a, b)

    def negated(self, a: Any) -> Any:
        """``NOT a``, constants folded."""
        if self.z3.is_true(a) or self.z3.is_false(a):
            return self.truth(bool(self.z3.is_false(a)))
        return a.arg(0) if self.z3.is_not(a) else self.z3.Not(a)

    def choose(self, condition: Any, yes: Any, no: Any) -> Any:
        """``yes`` when the condition holds, else ``no``."""
        if self.z3.is_true(condition) or yes.eq(no):
            return yes
        return no if self.z3.is_false(condition) else self.z3.If(condition, yes, no)
