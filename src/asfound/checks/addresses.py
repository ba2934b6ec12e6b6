"""Addresses: modules that claim the same bytes, tags that share bits, tags without a module, tags of a wrong size."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from asfound.checks.findings import Finding, Severity, finding
from asfound.compare.overlaps import Claim, Overlap, bytes_of, harmless, module_claims, modules_of, overlaps, tag_claims
from asfound.language.addresses import Memory
from asfound.model.copy import Copy

SIZES = {
    "BOOL": 1, "BYTE": 8, "SINT": 8, "USINT": 8, "CHAR": 8, "WORD": 16, "INT": 16, "UINT": 16, "WCHAR": 16,
    "DWORD": 32, "DINT": 32, "UDINT": 32, "REAL": 32, "TIME": 32, "LWORD": 64, "LINT": 64, "ULINT": 64, "LREAL": 64,
    "LTIME": 64,
}  # fmt: skip
"""Bits of a type: IEC 61131-3:2013 table 10, from memory. TIME has no size there; 32 bits are common practice."""
SOURCE = "the number of an address counts bytes (common practice)"


def module_overlaps(copy: Copy) -> Iterator[Finding]:
    """Two modules that answer to the same bytes."""
    for found in overlaps(module_claims(copy)):
        a, b = found.first, found.second
        shared = bytes_of(a.area, found.span)
        text = f"{a.name} and {b.name} both claim {shared}" if a.place != b.place else f"{a.name} claims {shared} twice"
        reason = (
            "the program reads one of the two there, and nothing says which"
            if a.area == "I"
            else "one command switches the outputs of both"
        )
        yield finding("module overlap", "error", a.place.where, text, reason, (a.text, b.text))
    for device in copy.hardware.devices:
        for module, place, _ in modules_of(device):
            if any(part.start is None or not part.length or not part.direction for part in module.addresses):
                text = f"{module.name} states an address range without start, length or direction"
                yield finding("module overlap", "note", place.where, text, "it cannot be checked for overlaps")


def tag_overlaps(copy: Copy) -> Iterator[Finding]:
    """Tags that share bits, told once for each larger tag; and addresses that have several names."""
    groups: dict[Claim, list[Overlap]] = {}
    names: dict[Claim, list[Claim]] = {}
    for found in overlaps(tag_claims(copy)):
        if harmless(found):
            names.setdefault(found.first, []).append(found.second)
        else:
            groups.setdefault(found.first, []).append(found)
    for claim, shared in groups.items():
        yield _shared(claim, shared)
    for claim, others in names.items():
        text = f"{claim.name} and {', '.join(o.name for o in others)} are names of one address, {_address(claim)}"
        reason = "two names for one thing: one of them may have been meant for another address"
        yield finding("tag overlap", "note", claim.place.where, text, reason, [c.text for c in (claim, *others)])


def _address(claim: Claim) -> str:
    return claim.text.partition("(")[2].partition(",")[0].rstrip(")")


def _shared(claim: Claim, found: Sequence[Overlap]) -> Finding:
    others = [o.second for o in found]
    crossing = [o for o in found if len(o.span) < min(len(claim.span), len(o.second.span))]
    same = [o for o in found if o.second.span == claim.span]
    severity: Severity = "error" if crossing else "warning"
    listed = ", ".join(o.name for o in others[:3]) + (f" and {len(others) - 3} more" if len(others) > 3 else "")
    if crossing:
        text, reason = f"{claim.name} lies across {listed}", "part of one value is read as part of another"
    elif same:
        text, reason = f"{claim.name} and {listed} give one address different types", "the same bits mean two things"
    else:
        text = f"{claim.name} holds the bits of {listed}"
        reason = "writing the larger one changes the others; check that this is meant"
    evidence = [f"{claim.text} and {o.second.text} share {bytes_of(claim.area, o.span)}" for o in found]
    return finding("tag overlap", severity, claim.place.where, text, f"{reason}; {SOURCE}", evidence)


def outside(copy: Copy) -> Iterator[Finding]:
    """Inputs and outputs that no configured module has, neighbours told together."""
    ranges = module_claims(copy)
    if not ranges:
        return
    covered = {area: _merged(c.span for c in ranges if c.area == area) for area in "IQ"}
    tags = sorted((c for c in tag_claims(copy) if c.area in "IQ"), key=lambda c: (c.area, c.span.start, c.name))
    group: list[Claim] = []
    for claim in tags:
        if _inside(claim.span, covered[claim.area]):
            continue
        if group and (group[-1].area != claim.area or claim.span.start // 8 > group[-1].span.stop // 8 + 1):
            yield _outside(group)
            group = []
        group.append(claim)
    if group:
        yield _outside(group)


def _merged(spans: Iterator[range]) -> list[range]:
    merged: list[range] = []
    for span in sorted(spans, key=lambda s: (s.start, s.stop)):
        if merged and span.start <= merged[-1].stop:
            merged[-1] = range(merged[-1].start, max(merged[-1].stop, span.stop))
        else:
            merged.append(span)
    return merged


def _inside(span: range, covered: Sequence[range]) -> bool:
    at = bisect_right(covered, span.start, key=lambda s: s.start) - 1
    return at >= 0 and span.stop <= covered[at].stop


def _outside(group: Sequence[Claim]) -> Finding:
    where = bytes_of(group[0].area, range(group[0].span.start, max(c.span.stop for c in group)))
    listed = ", ".join(c.name for c in group[:3]) + (f" and {len(group) - 3} more" if len(group) > 3 else "")
    text = f"{where}: {listed} {'lies' if len(group) == 1 else 'lie'} in no configured module"
    reason = "nothing is wired there as far as the hardware configuration of this copy says"
    return finding("no module", "warning", group[0].place.where, text, reason, [c.text for c in group])


def sizes(copy: Copy) -> Iterator[Finding]:
    """Tags whose type needs more or fewer bits than their address has."""
    for claim in tag_claims(copy):
        bits = SIZES.get(claim.type)
        if bits is not None and bits != len(claim.span):
            text = f"{claim.name} is a {claim.type} of {bits} bits at an address of {len(claim.span)}"
            reason = "its value is cut or takes in its neighbours (sizes of types: IEC 61131-3, table 10, from memory)"
            yield finding("type and address", "warning", claim.place.where, text, reason, (claim.text,))


def unreadable(copy: Copy) -> Iterator[Finding]:
    """Addresses on %I, %Q or %M whose bits depend on the make: they take no part in the checks above."""
    named = [(t.name, t.address) for table in copy.tables for t in table.tags if t.address.startswith("%")]
    left = [f"{name} ({address})" for name, address in named if Memory.at(address).span is None]
    if left:
        text = f"{len(left)} addresses are not checked for overlaps: what bits they mean depends on the make"
        yield finding("address", "note", "tags", text, "an overlap among them would not be seen", left)
