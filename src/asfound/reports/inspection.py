"""An inspection for somebody at a terminal: errors first, each with its reason and what shows it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from asfound.checks.findings import Inspection
from asfound.model.visible import visible
from asfound.reports.words import wrapped

TITLES = {"error": "Errors", "warning": "Warnings", "note": "Notes"}
SIGNS = {"error": "!", "warning": "?", "note": "-"}
LONGEST = 8
"""Lines of evidence that are shown."""


def lines(found: Inspection, width: int, *, quiet: bool = False) -> Iterator[str]:
    """Lines of the report; ``quiet`` gives the first only."""
    yield tally(found)
    if quiet:
        return
    for severity, group in groupby(found.findings, key=lambda f: f.severity):
        yield ""
        yield TITLES[severity]
        for finding in group:
            yield from wrapped(f"{SIGNS[severity]} {visible(finding.where)} [{finding.check}]", 2, width)
            yield from wrapped(visible(finding.text), 4, width)
            yield from wrapped(f"Because: {visible(finding.reason)}", 6, width)
            evidence = [line for line in finding.evidence if line not in finding.text]
            for line in evidence[:LONGEST]:
                yield from wrapped(visible(line), 6, width)
            if len(evidence) > LONGEST:
                yield f"      ... {len(evidence) - LONGEST} more; --json has them all"
    if found.limits:
        yield ""
        yield "What this inspection cannot vouch for"
        for limit in found.limits:
            yield from wrapped(f"* {visible(limit)}", 2, width)


def tally(found: Inspection) -> str:
    """``1 error, 3 warnings, 5 notes``."""
    counts = (("error", found.counts.error), ("warning", found.counts.warning), ("note", found.counts.note))
    parts = [f"{count} {word}{'' if count == 1 else 's'}" for word, count in counts if count]
    return f"{', '.join(parts)}." if parts else "Nothing was found."
