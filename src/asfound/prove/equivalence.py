"""Whole pieces of a program against each other: a rung, a body, anything that runs once per scan.

Both sides are executed symbolically over the same start (see execute); then every location that one of them writes must
end with the same value, unless one side alone declares it; so must what could be noticed besides: a division by zero,
an unknown call, and the hidden memories of blocks. What one side alone has keeps values of its own, tied to the other
side only where that is proved (see induction). An index that could leave its array ends the proof; where locations
could overlap nothing is called equal, where they do overlap nothing is called different either.
Cost: linear in what is executed, then as for the solver. Known weakness: what no scan can reach is not known, so two
bodies can be called different for a start that never comes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import cached_property, partial
from typing import Any

from asfound.analysis.aliasing import may_share
from asfound.analysis.leaves import Leaf, leaves, of_statements
from asfound.analysis.places import top
from asfound.analysis.symbols import Symbols
from asfound.language.walk import everything, names_in, reads, walk, writes
from asfound.model.logic import Literal
from asfound.prove.counterexample import Search
from asfound.prove.encoder import Encoder, TooLarge, Unsupported
from asfound.prove.execute import SymbolicExecutor
from asfound.prove.first_values import first_value
from asfound.prove.free_values import FreeValueExecutor
from asfound.prove.induction import Cell, agreements
from asfound.prove.overlapping import overlaps, starts
from asfound.prove.plain_values import Plain
from asfound.prove.proof_side import Location, Side
from asfound.prove.solver import LIMIT_MS, Proof, Result, SolverSession, equality

Pair = tuple[SymbolicExecutor, SymbolicExecutor]
MAX_CASES = 10
"""Cases of one body that get a budget of their own; what further ones cost comes out of what is left."""
OVERLAP = "places that may overlap are used"


def prove(old: Side, new: Side, limit_ms: int = LIMIT_MS, *, same: frozenset[str] = frozenset()) -> Proof:
    """Compare what two pieces do; ``same`` names the blocks (folded) that are equal in both with all they call."""
    return Question(old, new, limit_ms, same=same).answer()


class Question:
    """Two pieces, and whether they do the same; asked for cases as often as one likes.

    First both are followed exactly. Where that fails, or shows no case, they are followed again with free values for
    what cannot be followed (see free_values), to find a case; that never calls them equal.
    """

    def __init__(self, old: Side, new: Side, limit_ms: int = LIMIT_MS, *, same: frozenset[str] = frozenset()) -> None:
        self.old, self.new, self.limit_ms, self.same = old, new, limit_ms, same

    @cached_property
    def proof(self) -> Proof:
        """Equal, different (no case yet), or unknown."""
        return self._exact[1]

    def answer(self) -> Proof:
        """Equal; different with a case; else unknown."""
        return self.proof if self.proof.status == "equal" else self.case()

    def case(self, wanted: Sequence[str] = (), *, only: bool = False) -> Proof:
        """A case; for one of the ``wanted`` results (folded names) first, or for nothing else."""
        if self.proof.status == "equal" or self.proof.exhausted:
            return self.proof
        last = Proof("unknown", reason=self.proof.reason, widths=self.proof.widths)
        for joint in self._ways():
            if joint is not None:
                found = joint.case(wanted, only=only)
                if found.witness is not None:
                    return found
                last = last if last.reason else found
        return last

    def _ways(self) -> Iterator[Joint | None]:
        """One after the other: the second is made only where the first shows nothing."""
        yield self._exact[0]
        yield self._free

    @cached_property
    def _exact(self) -> tuple[Joint | None, Proof]:
        with giving_up() as failure:
            joint = self._joint(SymbolicExecutor)
            return joint, joint.proof()
        return None, failure[0]

    @cached_property
    def _free(self) -> Joint | None:
        with giving_up():
            return self._joint(FreeValueExecutor)
        return None

    def _joint(self, kind: type[SymbolicExecutor]) -> Joint:
        return Joint(self.old, self.new, self.limit_ms, self.same, kind)


@contextmanager
def giving_up() -> Iterator[list[Proof]]:
    """Run the block until it gives up; the list then holds a proof that says why."""
    import z3

    found: list[Proof] = []
    try:
        yield found
    except z3.Z3Exception as problem:
        found.append(Proof("unknown", reason=f"the solver refused: {problem}"))
    except TooLarge as problem:
        found.append(Proof("unknown", exhausted=True, reason=str(problem)))
    except (Unsupported, ReferenceError, RecursionError) as problem:
        found.append(Proof("unknown", reason=str(problem)))


class Joint:
    """Both pieces followed over the same start."""

    def __init__(self, old: Side, new: Side, limit_ms: int, same: frozenset[str], kind: type[SymbolicExecutor]) -> None:
        encoder = self.encoder = Encoder()
        alone = only(old, new), only(new, old)
        executors = self.executors = kind(encoder, old, "old", alone[0]), kind(encoder, new, "new", alone[1])
        for executor in executors:
            executor.same, executor.fresh = same, bool(alone[0] or alone[1])
            executor.execute(executor.side.runs)
        locations = executors[1].touched | executors[0].touched
        self.results = [*_values(executors), *_noticed(executors)]
        self.session = SolverSession(encoder, limit_ms)
        self.locations, self.cases = locations, 0
        written = frozenset(executors[0].written | executors[1].written)
        self.clash, self.doubt = overlaps(locations, written, partial(_share, (old.symbols, new.symbols)))
        if _opaque_differently(executors):
            raise Unsupported("a block is followed on one side only")
        for executor in executors:
            if not encoder.z3.is_false(executor.outside) and self.session.ask(executor.outside):
                raise Unsupported("an index may leave the bounds of its array")
        memories = [m for pair in zip(executors, alone, strict=True) for m in _memories(*pair)]
        self.given = agreements(encoder, self.session, memories)
        plain = Plain(encoder, constants_in(old, new))
        self.search = Search(encoder, self.session, plain, self.given, self._tied(), Apart(locations))

    def proof(self) -> Proof:
        """Whether the two can end differently."""
        found = equality(self.encoder, self.results, self.session, self.given)
        if found.status == "equal" and self.clash:
            return Proof("unknown", reason=OVERLAP)
        return found

    def case(self, wanted: Sequence[str], *, only: bool) -> Proof:
        """See ``Question.case``."""
        with giving_up() as failure:
            self.session.refill(self.cases <= MAX_CASES)
            self.cases += 1
            if self.clash and self.doubt:
                return Proof("unknown", reason=OVERLAP)
            return self.search.case(self.results, wanted, only=only)
        return failure[0]

    def _tied(self) -> Sequence[Any] | None:
        """What a start must keep to where locations share memory; None when that is not known."""
        if self.clash or any(m.environments for m in self.executors):
            return None
        keys = {location.key: self.executors[0].named(location)[0] for location in self.locations.values()}
        return starts(self.encoder, self.locations, keys)


def _share(known: tuple[Symbols, Symbols], one: str, other: str) -> bool:
    return any(may_share(symbols, one, other) for symbols in known)


class Apart:
    """What is known of locations for the search; no method of the joint, which would keep its solver in a circle."""

    def __init__(self, locations: Mapping[str, Location]) -> None:
        self.locations = locations

    def __call__(self, keys: Iterable[str]) -> bool:
        """Whether they can hold any values at once: none of them may be part of another."""
        return not overlaps({key: self.locations[key] for key in keys if key in self.locations}, frozenset())[1]


def only(side: Side, other: Side) -> frozenset[str]:
    """Folded names of local variables that this body alone writes and uses, and the other side does not know at all."""
    if side.pou is None or other.pou is None or side.part != "body":
        return frozenset()
    own = {n for n, d in side.variables(side.pou).items() if d.section in ("local", "temp") and not d.address}
    own -= other.variables(other.pou).keys() | other.symbols.globals.keys() | other.symbols.tags.keys()
    own -= side.symbols.reached_by_path
    if not own:
        return frozenset()
    own &= {name for run in side.runs for s in run.statements for name in writes(s)}
    own.difference_update(n for run in other.runs for s in run.statements for e in everything(s) for n in names_in(e))
    if not own:
        return frozenset()
    inside = Counter(n for run in side.runs for x in of_statements(run.statements, top(""), ()) for n in _uses(x))
    everywhere = Counter(n for x in leaves(side.pou) for n in _uses(x))
    return frozenset(n for n in own if inside[n] >= everywhere[n])


def _uses(leaf: Leaf) -> frozenset[str]:
    return reads(leaf.statement) | writes(leaf.statement)


def _values(executors: Pair) -> list[Result]:
    """Every location that one side writes, as both leave it."""
    written: dict[str, Location] = executors[1].written | executors[0].written
    results = []
    for key in sorted(written):
        location = written[key]
        if any(m.is_private(location) for m in executors):
            continue
        types = {m._type(location, "") for m in executors}
        terms = [_end(m, location) for m in executors]
        if terms[0].sort() != terms[1].sort() or len(types) > 1:
            raise Unsupported(f"{location.shown} has another type on the other side")
        type = types.pop() or ("BOOL" if executors[0].encoder.z3.is_bool(terms[0]) else "")
        hidden = location.kind == "hidden" or (key.startswith("§") and not key.startswith("§wire"))
        inner = location.kind in ("local", "temp")
        results.append(Result(location.shown, type, terms[0], terms[1], hidden, inner))
    return results


def _end(executor: SymbolicExecutor, location: Location) -> Any:
    if location.key in executor.state:
        return executor.state[location.key]
    other = executor.encoder.inputs.get(executor.named(location)[0])
    return executor._term(location, other.type if other is not None else "")[0]


def _noticed(executors: Pair) -> Iterable[Result]:
    a, b = executors
    yield Result("a division by zero", "BOOL", a.fault, b.fault)
    yield Result("a division by zero at once", "BOOL", a.fault_early, b.fault_early, hidden=True)
    yield Result("a calculation without a result", "BOOL", a.failure, b.failure, hidden=True)
    yield Result("a calculation without a result at once", "BOOL", a.failure_early, b.failure_early, hidden=True)
    yield Result("calls of unknown code", "", a.world, b.world, hidden=True)


def _opaque_differently(executors: Pair) -> bool:
    a, b = executors
    return bool(set(a.opaque_blocks.values()) & b.entered or set(b.opaque_blocks.values()) & a.entered)


def _memories(executor: SymbolicExecutor, alone: frozenset[str]) -> Iterable[Cell]:
    """Boolean memories of one side with their values when the program starts."""
    for key, symbol in sorted(executor.encoder.inputs.items()):
        if symbol.type != "BOOL" or not key.startswith(f"{executor.label} "):
            continue
        plain = key.removeprefix(f"{executor.label} ")
        first = False if "§edge" in plain else first_value(plain, alone, executor.side)
        location = executor.touched.get(plain)
        if first is not None and location is not None and "§wire" not in plain:
            yield Cell(first, symbol.term, executor.state[plain])


def constants_in(old: Side, new: Side) -> tuple[str, ...]:
    """The literals of both pieces, sorted."""
    found = {
        node.text
        for side in (old, new)
        for run in side.runs
        for statement in run.statements
        for node in walk(statement)
        if isinstance(node, Literal)
    }
    return tuple(sorted(found))
