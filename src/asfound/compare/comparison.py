"""The comparison of two copies.

1. Equal normal forms: nothing but noise differs, and nothing else is looked at.
2. Renames are found and applied to the old copy, each of them one change (see renames.find).
3. Every part is paired and compared by the module of that part.
4. The reach of every change of behaviour is looked up (see impact).
5. The safety net: whatever differs in the normal forms and is covered by no change becomes an undecided one.
Cost: printing both copies once, then what differs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from asfound.analysis.enabling import readings
from asfound.analysis.numbering import Numbering, together
from asfound.analysis.places import Place
from asfound.compare.causes import gathered, linked
from asfound.compare.changes import numbered
from asfound.compare.context import Budget, Context
from asfound.compare.impact import with_impact
from asfound.compare.logic.bystanders import with_bystanders
from asfound.compare.pairing.by_name import by_name
from asfound.compare.pairing.pair import Pair
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.parts.globals import compare_globals
from asfound.compare.parts.hardware import compare_hardware_lists
from asfound.compare.parts.one_sided_lists import limits as one_sided_limits
from asfound.compare.parts.one_sided_lists import without_one_sided
from asfound.compare.parts.overlaps import compare_overlaps
from asfound.compare.parts.pous import compare_pou
from asfound.compare.parts.pous import one_sided as one_pou
from asfound.compare.parts.sources import compare_sources
from asfound.compare.parts.tags import compare_tags
from asfound.compare.parts.tasks import compare_heading, compare_libraries, compare_resources
from asfound.compare.parts.types import compare_type
from asfound.compare.parts.types import one_sided as one_type
from asfound.compare.parts.values import EXACT, compare_forces, compare_values
from asfound.compare.renames.find import renaming
from asfound.compare.result import EFFECTS, SCHEMA, Change, Comparison, Counts, Side
from asfound.compare.safety_net import uncovered
from asfound.compare.scopes.tell import with_moves
from asfound.language.normal import digest, normal_form
from asfound.language.walk import every_body
from asfound.model.copy import Copy
from asfound.model.program import DataType, Pou


def compare(
    old: Copy,
    new: Copy,
    *,
    old_reference: str = "",
    new_reference: str = "",
    tolerance: Fraction = EXACT,
    numbering: Numbering | None = None,
) -> Comparison:
    """Everything a person would name that differs between two copies; the references are only repeated.

    Numbers of value lists that differ by at most ``tolerance`` (in their own unit) are told as the same value. How
    words are counted is inferred from both copies unless ``numbering`` says it.
    ``compare(b, a)`` mirrors ``compare(a, b)``; the result depends on nothing but the arguments, apart from proofs that
    run out of time (two seconds each), which are ``undecided`` and named among the limits. Raises nothing of its own.

    >>> from asfound.readers.reading import read
    >>> old = read(b"PROGRAM P VAR a, b : BOOL; t : TON; END_VAR t(IN := a, PT := T#5s); b := t.Q; END_PROGRAM", "p.st")
    >>> new = read(b"PROGRAM P VAR a, b : BOOL; t : TON; END_VAR t(IN := a, PT := T#8s); b := t.Q; END_PROGRAM", "p.st")
    >>> [(change.effect, change.where, change.summary) for change in compare(old, new).changes]
    [('behaviour', 'P / statement 1', 'input PT of t: T#5s -> T#8s')]
    >>> compare(old, old).verdict
    'identical'
    """
    forms = normal_form(old), normal_form(new)
    digests = digest(forms[0]), digest(forms[1])
    budget, numbering = Budget(), numbering or together((old, new), forms)
    changes, named = compare_sources(old, new), old
    if digests[0] != digests[1]:
        found, named = _differences(old, new, budget, tolerance, forms[1], numbering)
        changes += found
    ordered = linked(numbered(gathered(changes)), named, new)
    counts = {effect: sum(c.effect == effect for c in ordered) for effect in EFFECTS}
    return Comparison(
        schema=SCHEMA,
        old=Side(old_reference, old.sources, digests[0]),
        new=Side(new_reference, new.sources, digests[1]),
        verdict=_verdict(ordered, old, new),  # type: ignore[arg-type]
        limits=(*_limits(old, new, budget), *_stated(tolerance), *filter(None, [numbering.sentence()])),
        counts=Counts(**counts),
        changes=ordered,
    )


def _verdict(changes: tuple[Change, ...], old: Copy, new: Copy) -> str:
    if changes:
        return EFFECTS[max(EFFECTS.index(c.effect) for c in changes)]
    same = sorted(s.sha256 for s in old.sources) == sorted(s.sha256 for s in new.sources)
    return "identical" if same else "noise"


def _stated(tolerance: Fraction) -> tuple[str, ...]:
    return (f"numbers of value lists count as the same within {float(tolerance):g}, as stated",) if tolerance else ()


def _limits(old: Copy, new: Copy, budget: Budget) -> tuple[str, ...]:
    doubtful = {
        f"{pou.name}: the execution order depends on the compiler where statements share a variable"
        for copy in (old, new)
        for pou in copy.program.pous
        if any(body.order.doubts for body in every_body(pou))
    }
    unlisted = one_sided_limits({"old": old, "new": new})
    return (*unlisted, *sorted({*old.limits, *new.limits}), *sorted(doubtful), *readings((old, new)), *budget.limits())


def _differences(
    old: Copy, new: Copy, budget: Budget, tolerance: Fraction, form: Mapping[str, str], numbering: Numbering
) -> tuple[list[Change], Copy]:
    """The changes, and the old copy with the renames applied."""
    pair, renames, moves = renaming(old, new)
    context = Context(pair.old, new, budget, numbering)
    changes = [*renames, *with_moves(context, moves, _parts(context, pair, tolerance))]
    changes += uncovered(pair.old, new, changes, form)
    changes += compare_overlaps(*without_one_sided(pair.old, new), numbering)
    changes = with_bystanders(context, changes)
    return with_impact(context, changes), pair.old


def _parts(context: Context, pair: Pair[Copy], tolerance: Fraction) -> Iterable[Change]:
    old, new, _ = pair
    programs = pair.each(lambda c: c.program)
    yield from _pous(context, programs.each(lambda p: p.pous))
    yield from _types(context, programs.each(lambda p: p.types))
    yield from compare_globals(context, programs)
    yield from compare_resources(context, programs)
    yield from compare_libraries(old.program, new.program)
    yield from compare_heading(old.program.heading, new.program.heading)
    at = Place("program", ("program",))
    yield from compare_extensions(at, old.program.extensions, new.program.extensions)
    yield from compare_tags(context, old, new)
    yield from compare_hardware_lists(old, new)
    yield from compare_values(old, new, tolerance)
    yield from compare_forces(old, new)


def _pous(context: Context, pair: Pair[Sequence[Pou]]) -> Iterable[Change]:
    found = by_name(pair.old, pair.new, lambda p: p.name, pair.written)
    for each in found.pairs:
        yield from compare_pou(context, each)
    yield from (one_pou(context, kind, pou) for kind, pou in found.alone)


def _types(context: Context, pair: Pair[Sequence[DataType]]) -> Iterable[Change]:
    found = by_name(pair.old, pair.new, lambda t: t.name, pair.written)
    for each in found.pairs:
        yield from compare_type(context, each)
    yield from (one_type(context, kind, type) for kind, type in found.alone)
