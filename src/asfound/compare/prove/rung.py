"""Are two expressions equal for every input? Proof, counterexample, or neither.

The solver is asked for inputs that make them differ. None: equal. Some: the counterexample is made canonical (inputs in
order of their names, FALSE and small values first), then every input that does not matter is dropped.
Cost: exponential in the worst case, a few milliseconds for rungs; bounded by a resource limit that does not depend on
the speed of the machine, and by a generous clock behind it. Each input costs two more questions for the witness.
Rejected: taking the solver's own model as witness, which depends on what was asked before.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal

from asfound.compare.prove.sorts import WIDTHS, common, is_signed
from asfound.compare.prove.translate import Symbol, Translator, Unsupported
from asfound.compare.result import Witness
from asfound.language.literals import duration, value
from asfound.language.walk import walk
from asfound.model.logic import Expression
from asfound.model.logic import Literal as Constant

LIMIT_MS = 2000
STEPS_PER_MS = 2000
"""Resource units of the solver per millisecond; measured on one core of 2024, only the order of magnitude matters."""


@dataclass(frozen=True)
class Proof:
    """``witness`` only with ``different``; without one there, the difference was found but not with free inputs."""

    status: Literal["equal", "different", "unknown"]
    witness: Witness | None = None
    exhausted: bool = False


def prove_equal(
    old: Expression,
    new: Expression,
    types: Mapping[str, str],
    limit_ms: int = LIMIT_MS,
    *,
    result: str = "result",
    type: str = "",
) -> Proof:
    """Compare two expressions of one ``type`` (found out when empty, BOOL when it cannot be).

    ``types`` gives the declared type by folded access text, ``result`` the name of the value in a witness.

    >>> from asfound.model.logic import Operation, Variable
    >>> a, b = Variable("a"), Variable("b")
    >>> prove_equal(Operation("OR", (a, Operation("AND", (a, b)))), a, {}).status
    'equal'
    """
    translator = Translator(types)
    try:
        type = type or common([t for t in (translator.type_of(old), translator.type_of(new)) if t]) or "BOOL"
        pair = translator.term(old, type), translator.term(new, type)
    except Unsupported:
        return Proof("unknown")
    return decide(translator, [(result, type, *pair)], candidates((old, new)), limit_ms)


def candidates(expressions: Sequence[Expression]) -> tuple[int | Fraction, ...]:
    """Numbers worth trying for a witness: every constant, its neighbours, and zero."""
    found: set[int | Fraction] = {0}
    for expression in expressions:
        for node in walk(expression):
            if isinstance(node, Constant):
                kind, content = value(node.text)
                if kind in ("int", "duration", "real") and not isinstance(content, str):
                    found |= {content, content - 1, content + 1}
    return tuple(sorted(found, key=lambda n: (abs(n), n)))


Result = tuple[str, str, Any, Any]
"""Name, type, old term, new term."""


def decide(
    translator: Translator, results: Sequence[Result], numbers: Sequence[int | Fraction], limit_ms: int
) -> Proof:
    """Compare pairs of terms; any pair that differs is a difference."""
    z3 = translator.z3
    solver = z3.Solver()
    solver.set("timeout", limit_ms * 10)
    solver.set("rlimit", limit_ms * STEPS_PER_MS)
    solver.add(*translator.constraints)
    unequal = z3.Or([old != new for _, _, old, new in results])
    answer = solver.check(unequal)
    if answer == z3.unsat:
        return Proof("equal")
    if answer != z3.sat:
        return Proof("unknown", exhausted=True)
    return _different(translator, solver, unequal, results, numbers)


def _different(
    translator: Translator, solver: Any, unequal: Any, results: Sequence[Result], numbers: Sequence[int | Fraction]
) -> Proof:
    z3 = translator.z3
    fixed: dict[str, Any] = {}
    for key in sorted(translator.symbols):
        symbol = translator.symbols[key]
        for term in _values(z3, symbol, numbers):
            if solver.check(unequal, *fixed.values(), symbol.term == term) == z3.sat:
                fixed[key] = symbol.term == term
                break
    if solver.check(unequal, *fixed.values()) != z3.sat:
        return Proof("unknown", exhausted=True)
    model = solver.model()
    outcome = [(n, t, model.eval(a, True), model.eval(b, True)) for n, t, a, b in results]
    goal = z3.And([z3.And(a == old, b == new) for (_, _, a, b), (_, _, old, new) in zip(results, outcome, strict=True)])
    shown = {key: model.eval(s.term, True) for key, s in translator.symbols.items()}
    needed = _needed(z3, solver, {k: translator.symbols[k].term == v for k, v in shown.items()}, goal)
    if any(translator.entangled(translator.symbols[key]) for key in needed):
        return Proof("unknown")
    if any("!val!" in str(value) for value in (*(shown[key] for key in needed), *(v for o in outcome for v in o[2:]))):
        return Proof("unknown")
    symbols = [translator.symbols[key] for key in needed]
    return Proof("different", Witness(
        {s.name: literal_of(shown[s.key], s.type) for s in sorted(symbols, key=lambda s: (s.name.casefold(), s.name))},
        {n: literal_of(old, t) for n, t, old, new in outcome if str(old) != str(new)},
        {n: literal_of(new, t) for n, t, old, new in outcome if str(old) != str(new)},
    ))  # fmt: skip


def _needed(z3: Any, solver: Any, inputs: dict[str, Any], goal: Any) -> list[str]:
    """Drop, in order, every input without which the outcome stays the same."""
    kept = dict(inputs)
    for key in sorted(inputs):
        rest = [term for other, term in kept.items() if other != key]
        if solver.check(*rest, z3.Not(goal)) == z3.unsat:
            del kept[key]
    return list(kept)


def _values(z3: Any, symbol: Symbol, numbers: Sequence[int | Fraction]) -> list[Any]:
    if symbol.type == "BOOL":
        return [z3.BoolVal(False), z3.BoolVal(True)]
    if symbol.type in WIDTHS:
        width = WIDTHS[symbol.type]
        low = -(1 << (width - 1)) if is_signed(symbol.type) else 0
        whole = [int(n) for n in numbers if n == int(n)]
        return [z3.BitVecVal(n, width) for n in whole if low <= n < low + (1 << width)]
    if symbol.type in ("REAL", "LREAL"):
        sort = symbol.term.sort()
        return [z3.fpRealToFP(z3.RNE(), z3.RealVal(str(Fraction(n))), sort) for n in numbers]
    return []


def literal_of(term: Any, type: str) -> str:
    """A value of the solver as an IEC literal."""
    if type == "BOOL":
        return str(term).upper()
    if type in WIDTHS:
        number = int(term.as_signed_long() if is_signed(type) else term.as_long())
        return f"T#{duration(number)}" if type in ("TIME", "LTIME") else str(number)
    if type in ("REAL", "LREAL"):
        return _decimal(str(term))
    return str(term)


def _decimal(text: str) -> str:
    """``1.25*(2**3)`` as the solver writes it, as a decimal number."""
    mantissa, _, power = text.partition("*(2**")
    try:
        return str(float(mantissa) * 2.0 ** int(power.rstrip(")") or 0))
    except ValueError:
        return text
