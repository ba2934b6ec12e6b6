"""What a memory reset or a download would silently undo: tuned values and forces."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.analysis.places import Place
from asfound.checks.findings import Finding, finding
from asfound.compare.parts.quantities import same
from asfound.model.copy import Copy


def tuned(copy: Copy) -> Iterator[Finding]:
    """Values that were changed since they were downloaded."""
    lines = [
        f"{v.name}: actual {v.actual} {v.unit}".rstrip() + f", initial {v.initial}"
        for v in copy.values
        if v.actual and v.initial and not same(v.actual, v.initial)
    ]
    if lines:
        text = f"{len(lines)} of {len(copy.values)} values {'was' if len(lines) == 1 else 'were'} tuned: {lines[0]}"
        more = f" (and {len(lines) - 1} more)" if len(lines) > 1 else ""
        reason = "a cold start, a memory reset or a download may bring the initial value back"
        yield finding("tuned values", "warning", Place("values", ()), text + more, reason, lines)


def forced(copy: Copy) -> Iterator[Finding]:
    """Variables and addresses that are held from outside the program."""
    for force in copy.forces:
        name = force.name or force.address
        at = f" ({force.address})" if force.name and force.address else ""
        text = f"{name}{at} is forced to {force.value}"
        reason = "the program may not decide it; a restart or a download may end the force, or keep it"
        evidence = (force.comment,) if force.comment else ()
        yield finding("forces", "warning", Place(f"force {name}", (f"force:{name}",)), text, reason, evidence)
