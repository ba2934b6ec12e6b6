"""All inspections of one copy.

An inspection is a function from a copy to findings; a new one is one entry in :data:`CHECKS`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from asfound.analysis.enabling import readings
from asfound.analysis.numbering import of
from asfound.analysis.overlaps import modules_of
from asfound.analysis.places import Place
from asfound.checks import address_map, memory_card, racks, supply, tuned_values, usage
from asfound.checks.findings import SCHEMA, SEVERITIES, Counts, Finding, Inspection, finding, numbered
from asfound.model.copy import Copy


def data(copy: Copy) -> Iterator[Finding]:
    """What the readers found in the exports: duplicates, empty names, addresses nobody can read."""
    for found in copy.findings:
        kept, read = "it was kept as written, and is compared as such", "another program may read the file otherwise"
        reason = read if found.severity == "note" else kept
        yield finding("data", found.severity, Place(found.where, (found.where,)), found.text, reason)


CHECKS: tuple[Callable[[Copy], Iterable[Finding]], ...] = (
    data,
    address_map.module_overlaps,
    address_map.tags,
    usage.inputs_written,
    usage.outputs_written_twice,
    usage.undeclared,
    usage.unused,
    racks.networks,
    racks.slots,
    racks.build,
    supply.supply,
    memory_card.card,
    tuned_values.forced,
    tuned_values.tuned,
)
"""In the order in which findings of one severity are told."""


def inspect(copy: Copy, reference: str = "") -> Inspection:
    """Everything the inspections find in a copy, the most severe first; the reference is only repeated.

    Raises nothing: what could not be inspected is named among the limits.

    >>> from asfound.readers.reading import read
    >>> found = inspect(read(b"PROGRAM P VAR go AT %IX0.0 : BOOL; END_VAR go := TRUE; END_PROGRAM", "p.st"))
    >>> [(each.check, each.text) for each in found.findings if each.severity == "warning"]
    [('inputs written', 'input go (%IX0.0) is written in P / statement 1')]
    """
    findings = numbered(found for check in CHECKS for found in check(copy))
    counts = {severity: sum(f.severity == severity for f in findings) for severity in SEVERITIES}
    limits = (*copy.limits, *filter(None, [of(copy).sentence()]), *_limits(copy))
    return Inspection(SCHEMA, reference, copy.sources, Counts(**counts), findings, limits)


def _limits(copy: Copy) -> Iterator[str]:
    """What could not be inspected because the copy does not hold it."""
    if not copy.hardware.devices:
        yield "no hardware in this copy: modules, slots, networks and the supply are not inspected"
    elif not any(supply.draw(m) is not None for d in copy.hardware.devices for m, _, _ in modules_of(d)):
        yield "no module states the current it draws: the supply is not inspected"
    if not copy.program.pous:
        yield "no program in this copy: how tags are used is not inspected"
    if not copy.tables:
        yield "no tag table in this copy: unused tags and addresses without a tag are not inspected"
    if not copy.values:
        yield "no actual values in this copy: tuned values are not known"
    if not copy.forces:
        yield "no forces in this copy: either none is set, or they were not exported"
    yield from readings((copy,))
