"""Addresses: modules that claim the same bytes, tags that share bits, tags without a module, tags of a wrong size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from asfound.analysis.numbering import Numbering, of
from asfound.analysis.overlaps import (
    Claim,
    Overlap,
    bytes_of,
    harmless,
    module_claims,
    modules_of,
    overlaps,
    overlaps_by_counting,
    shared_words,
    tag_claims,
)
from asfound.analysis.places import Place
from asfound.analysis.ranges import inside, merged
from asfound.checks.findings import Finding, Severity, finding
from asfound.language.elementary import SIZES
from asfound.model.copy import Copy


def module_overlaps(copy: Copy) -> Iterator[Finding]:
    """Two modules that answer to the same bytes."""
    for found in overlaps(module_claims(copy)):
        a, b = found.first, found.second
        shared = bytes_of(a.area, found.span)
        text = f"{a.name} and {b.name} both claim {shared}" if a.place != b.place else f"{a.name} claims {shared} twice"
        reason = (
            "whatever reads them cannot tell the two apart"
            if a.area == "I"
            else "one command switches the outputs of both"
        )
        yield finding("module overlap", "error", a.place, text, reason, (a.text, b.text))
    for device in copy.hardware.devices:
        for module, place, _ in modules_of(device):
            if any(part.start is None or not part.length or not part.direction for part in module.addresses):
                text = f"{module.name} states an address range without start, length or direction"
                yield finding("module overlap", "note", place, text, "it cannot be checked for overlaps")


def tags(copy: Copy) -> Iterator[Finding]:
    """Everything about the addresses of tags."""
    numbering = of(copy)
    yield from tag_overlaps(copy, numbering)
    yield from outside(copy, numbering)
    yield from sizes(copy, numbering)
    yield from unreadable(copy, numbering)


def tag_overlaps(copy: Copy, numbering: Numbering) -> Iterator[Finding]:
    """Tags that share bits, told once for each larger tag; and addresses that have several names.

    A note at most where it hangs on how words are counted.
    """
    groups: dict[tuple[Claim, bool], list[Overlap]] = {}
    names: dict[Claim, list[Claim]] = {}
    for found in overlaps_by_counting(tag_claims(copy, numbering)):
        if harmless(found):
            names.setdefault(found.first, []).append(found.second)
        else:
            groups.setdefault((found.first, found.sure), []).append(found)
    for (claim, sure), several in groups.items():
        yield _shared(claim, several, numbering) if sure else _perhaps(claim, several, numbering)
    for claim, others in names.items():
        text = f"{claim.name} and {', '.join(o.name for o in others)} are names of one address, {claim.address}"
        reason = "two names for one thing: one of them may have been meant for another address"
        yield finding("tag overlap", "note", claim.place, text, reason, [c.text for c in (claim, *others)])


def _perhaps(claim: Claim, found: Sequence[Overlap], numbering: Numbering) -> Finding:
    text = f"{claim.name} may share memory with {_few([o.second.name for o in found])}"
    evidence = [f"{claim.text} and {o.second.text}" for o in found]
    return finding("tag overlap", "note", claim.place, text, numbering.sentence(), evidence)


def _few(names: Sequence[str]) -> str:
    return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")


def _shared(claim: Claim, found: Sequence[Overlap], numbering: Numbering) -> Finding:
    others = [o.second for o in found]
    crossing = [o for o in found if len(o.span) < min(len(claim.span), len(o.second.span))]
    same = [o for o in found if o.second.span == claim.span]
    severity: Severity = "error" if crossing else "warning"
    listed = _few([o.name for o in others])
    if crossing:
        text, reason = f"{claim.name} lies across {listed}", "part of one value is read as part of another"
    elif same:
        text, reason = f"{claim.name} and {listed} give one address different types", "the same bits mean two things"
    else:
        text = f"{claim.name} holds the bits of {listed}"
        reason = "writing the larger one changes the others; check that this is meant"
    evidence = [f"{claim.text} and {o.second.text} {shared_words(o)}" for o in found]
    reason = "; ".join(filter(None, (reason, numbering.sentence())))
    return finding("tag overlap", severity, claim.place, text, reason, evidence)


def outside(copy: Copy, numbering: Numbering) -> Iterator[Finding]:
    """Inputs and outputs that no configured module has, however words are counted; neighbours told together."""
    ranges = module_claims(copy)
    if not ranges:
        return
    covered = {area: merged(c.span for c in ranges if c.area == area) for area in "IQ"}
    ways = [[c for c in claims if c.area in "IQ"] for claims in tag_claims(copy, numbering)]
    first, *more = ways or [[]]
    held = [any(inside(c.span, covered[c.area]) for c in each) for each in zip(first, *more, strict=True)]
    left = [claim for claim, somewhere in zip(first, held, strict=True) if not somewhere]
    group: list[Claim] = []
    for claim in sorted(left, key=lambda c: (c.area, c.span.start, c.name)):
        if group and (group[-1].area != claim.area or claim.span.start // 8 > group[-1].span.stop // 8 + 1):
            yield _outside(group)
            group = []
        group.append(claim)
    if group:
        yield _outside(group)


def _outside(group: Sequence[Claim]) -> Finding:
    where = bytes_of(group[0].area, range(group[0].span.start, max(c.span.stop for c in group)))
    listed = _few([c.name for c in group])
    text = f"{where}: {listed} {'lies' if len(group) == 1 else 'lie'} in no configured module"
    reason = "nothing is wired there as far as the hardware configuration of this copy says"
    return finding("no module", "warning", group[0].place, text, reason, [c.text for c in group])


def sizes(copy: Copy, numbering: Numbering) -> Iterator[Finding]:
    """Tags whose type needs more or fewer bits than their address has."""
    first, *_ = tag_claims(copy, numbering) or [[]]
    for claim in first:
        bits = SIZES.get(claim.type)
        if bits is not None and bits != len(claim.span):
            text = f"{claim.name} is a {claim.type} of {bits} bits at an address of {len(claim.span)}"
            reason = "its value is cut or takes in its neighbours (sizes of types as in IEC 61131-3)"
            yield finding("type and address", "warning", claim.place, text, reason, (claim.text,))


def unreadable(copy: Copy, numbering: Numbering) -> Iterator[Finding]:
    """Addresses on %I, %Q or %M whose bits depend on the make: they take no part in the checks above."""
    named = [(t.name, t.address) for table in copy.tables for t in table.tags if t.address.startswith("%")]
    left = [f"{name} ({address})" for name, address in named if not numbering.at(address).spans]
    if left:
        text = f"{len(left)} addresses are not checked for overlaps: what bits they mean depends on the make"
        yield finding("address", "note", Place("tags", ()), text, "an overlap among them would not be seen", left)
