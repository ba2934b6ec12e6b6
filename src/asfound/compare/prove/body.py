"""Whole pieces of a program against each other: a rung, a body, anything that runs once per scan.

Both sides are executed symbolically over the same start (see execute); then every place that one of them writes must
end with the same value, unless one side alone declares it; so must what could be noticed besides: a division by zero,
an unknown call, and the hidden memories of blocks. What one side alone has keeps values of its own, tied to the other
side only where that is proved (see induction). An index that could leave its array ends the proof; where places could
overlap nothing is called equal, where they do overlap nothing is called different either.
Cost: linear in what is executed, then as for the solver. Known weakness: what no scan can reach is not known, so two
bodies can be called different for a start that never comes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from asfound.compare.leaves import Leaf, leaves, of_statements
from asfound.compare.places import top
from asfound.compare.prove.aliases import overlaps
from asfound.compare.prove.decide import LIMIT_MS, Asker, Proof, Result, decide
from asfound.compare.prove.execute import Machine
from asfound.compare.prove.induction import Cell, agreements
from asfound.compare.prove.side import Place, Side
from asfound.compare.prove.theory import Theory, TooLarge, Unsupported
from asfound.compare.uses import everything
from asfound.language.literals import value
from asfound.language.walk import names_in, reads, walk, writes
from asfound.model.logic import Literal
from asfound.model.program import VariableDeclaration

Pair = tuple[Machine, Machine]


def prove(old: Side, new: Side, limit_ms: int = LIMIT_MS, *, same: frozenset[str] = frozenset()) -> Proof:
    """Compare what two pieces do; ``same`` names the blocks (folded) that are equal in both with all they call."""
    import z3

    try:
        return _proved(old, new, limit_ms, same)
    except z3.Z3Exception as problem:
        return Proof("unknown", reason=f"the solver refused: {problem}")
    except TooLarge as problem:
        return Proof("unknown", exhausted=True, reason=str(problem))
    except (Unsupported, ReferenceError, RecursionError) as problem:
        return Proof("unknown", reason=str(problem))


def _proved(old: Side, new: Side, limit_ms: int, same: frozenset[str]) -> Proof:
    theory = Theory()
    alone = only(old, new), only(new, old)
    machines = Machine(theory, old, "old", alone[0]), Machine(theory, new, "new", alone[1])
    for machine in machines:
        machine.same = same
        machine.execute(machine.side.runs)
    places = machines[1].touched | machines[0].touched
    results = [*_values(machines), *_noticed(machines)]
    asker = Asker(theory, limit_ms)
    clash, doubt = overlaps(places, frozenset(machines[0].written | machines[1].written))
    if _opaque_differently(machines):
        raise Unsupported("a block is followed on one side only")
    for machine in machines:
        if not theory.z3.is_false(machine.outside) and asker.ask(machine.outside):
            raise Unsupported("an index may leave the bounds of its array")
    given = agreements(theory, asker, [m for pair in zip(machines, alone, strict=True) for m in _memories(*pair)])
    proof = decide(theory, results, numbers_in(old, new), asker, given)
    if (proof.status == "equal" and clash) or (proof.status == "different" and doubt):
        return Proof("unknown", reason="places that may overlap are used")
    return proof


def only(side: Side, other: Side) -> frozenset[str]:
    """Folded names of local variables that this body alone writes and uses, and the other side does not know at all."""
    if side.pou is None or other.pou is None or side.part != "body":
        return frozenset()
    mine = side.variables(side.pou)
    theirs = other.variables(other.pou).keys() | other.symbols.globals.keys() | other.symbols.tags.keys()
    used = Counter(n for run in other.runs for s in run.statements for e in everything(s) for n in names_in(e))
    own = {name for name, d in mine.items() if d.section in ("local", "temp") and not d.address}
    written = {name for run in side.runs for s in run.statements for name in writes(s)}
    inside = Counter(
        n for run in side.runs for x in of_statements(run.statements, top(""), frozenset()) for n in _uses(x)
    )
    everywhere = Counter(n for x in leaves(side.pou) for n in _uses(x))
    return frozenset(n for n in own & written if n not in theirs and n not in used and inside[n] >= everywhere[n])


def _uses(leaf: Leaf) -> frozenset[str]:
    return reads(leaf.statement) | writes(leaf.statement)


def _values(machines: Pair) -> list[Result]:
    """Every place that one side writes, as both leave it."""
    written: dict[str, Place] = machines[1].written | machines[0].written
    results = []
    for key in sorted(written):
        place = written[key]
        if any(m.is_private(place) for m in machines):
            continue
        types = {m._type(place, "") for m in machines}
        terms = [_end(m, place) for m in machines]
        if terms[0].sort() != terms[1].sort() or len(types) > 1:
            raise Unsupported(f"{place.shown} has another type on the other side")
        type = types.pop() or ("BOOL" if machines[0].theory.z3.is_bool(terms[0]) else "")
        hidden = place.kind == "hidden" or (key.startswith("§") and not key.startswith("§wire"))
        results.append(Result(place.shown, type, terms[0], terms[1], hidden))
    return results


def _end(machine: Machine, place: Place) -> Any:
    if place.key in machine.state:
        return machine.state[place.key]
    other = machine.theory.inputs.get(machine.named(place)[0])
    return machine._term(place, other.type if other is not None else "")[0]


def _noticed(machines: Pair) -> Iterable[Result]:
    a, b = machines
    yield Result("a division by zero", "BOOL", a.fault, b.fault)
    yield Result("a division by zero at once", "BOOL", a.fault_early, b.fault_early, hidden=True)
    yield Result("calls of unknown code", "", a.world, b.world, hidden=True)


def _opaque_differently(machines: Pair) -> bool:
    a, b = machines
    return bool(set(a.opaque_blocks.values()) & b.entered or set(b.opaque_blocks.values()) & a.entered)


def _memories(machine: Machine, alone: frozenset[str]) -> Iterable[Cell]:
    """Boolean memories of one side with their values when the program starts."""
    variables = machine.side.variables(machine.side.pou)
    for key, symbol in sorted(machine.theory.inputs.items()):
        if symbol.type != "BOOL" or not key.startswith(f"{machine.label} "):
            continue
        plain = key.removeprefix(f"{machine.label} ")
        first = False if "§edge" in plain else _first(plain, alone, variables)
        place = machine.touched.get(plain)
        if first is not None and place is not None and "§wire" not in plain:
            yield Cell(first, symbol.term, machine.state[plain])


def _first(key: str, alone: frozenset[str], variables: Mapping[str, VariableDeclaration]) -> bool | None:
    """The value of a variable when the program starts; None when that is not known."""
    root, dot, member = key.partition(".")
    declared = variables.get(root)
    if root not in alone or declared is None or declared.section != "local" or declared.persistent or declared.initial:
        return None
    if declared.retain == "retain" or "[" in root:
        return None
    return None if dot and not member.rpartition(".")[2].startswith("_") else False


def numbers_in(old: Side, new: Side) -> tuple[int | Fraction, ...]:
    """Numbers worth trying for a witness: every constant, its neighbours, and zero."""
    found: set[int | Fraction] = {0}
    for side in (old, new):
        for run in side.runs:
            for statement in run.statements:
                for e in everything(statement):
                    found |= {n for node in walk(e) if isinstance(node, Literal) for n in _near(node.text)}
    return tuple(sorted(found, key=lambda n: (abs(n), n)))[:40]


def _near(text: str) -> tuple[int | Fraction, ...]:
    kind, content = value(text)
    if kind not in ("int", "duration", "real") or isinstance(content, str):
        return ()
    return content, content - 1, content + 1
