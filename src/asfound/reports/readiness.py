"""Ready or not ready, for somebody in front of the switch: the verdict, what is open, then everything else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from asfound.checks.readiness.losses import Loss
from asfound.checks.readiness.outcome import Evidence
from asfound.checks.readiness.readiness import Readiness
from asfound.checks.readiness.situation import Purpose
from asfound.checks.readiness.table import Line
from asfound.model.visible import visible
from asfound.reports.reach import Reaches
from asfound.reports.words import EFFECT_WORDS, KIND_SIGNS, number, wrapped

PURPOSE_WORDS: dict[Purpose, str] = {
    "reset": "a memory reset",
    "download": "a download",
    "firmware": "a firmware update",
    "battery": "a battery change",
}
SIGNS = {"ok": "+", "open": "!", "not applicable": "-"}
LOSSES = "What is lost or replaced, in the order in which it is put back"
ORDER = "The order, and what a restart may lose, are common practice; the maker's manual decides."
CHANGED = "What the download changes"


def verdict(found: Readiness) -> str:
    """``NOT READY for a memory reset of booster-1: 3 checks are open.``"""
    purpose = f"{PURPOSE_WORDS[found.purpose]} of {found.station}"
    if found.verdict == "ready":
        return f"READY for {purpose}, as far as the checks below can tell."
    if found.reasons:
        return f"NOT READY for {purpose}: {number(len(found.reasons), 'check is', 'checks are')} open."
    return f"NOT READY for {purpose}: no check is open, but nobody has confirmed the cautions."


def lines(found: Readiness, width: int, *, quiet: bool = False) -> Iterator[str]:
    """Lines of the report, the verdict first; ``quiet`` gives it and what stands in the way."""
    yield from wrapped(verdict(found), 0, width)
    for line in found.checks:
        if line.check in found.reasons:
            yield from _check(line, width)
    if quiet:
        return
    yield from _others(found, width)
    yield from _losses(found.losses, width)
    yield from _changes(found, width)
    for title, items in (("Cautions", found.cautions), ("What this cannot vouch for", found.limits)):
        yield ""
        yield title
        for item in items:
            yield from wrapped(f"* {visible(item)}", 2, width)


def _others(found: Readiness, width: int) -> Iterator[str]:
    advised = [line for line in found.checks if line.state == "open" and line.check not in found.reasons]
    if advised:
        yield ""
        yield "Advised, and open"
        for line in advised:
            yield from _check(line, width)
    yield ""
    yield "In order, or not needed here"
    for line in found.checks:
        if line.state != "open":
            yield from _check(line, width)
    if found.settings:
        said = ", ".join(f"{name} {level}" for name, level in found.settings.items())
        yield from wrapped(f"Levels set in station.toml: {said}", 2, width)


def _check(line: Line, width: int) -> Iterator[str]:
    yield from wrapped(f"{SIGNS[line.state]} {line.title}: {visible(line.text)}", 2, width)
    if line.todo:
        yield from wrapped(f"To do: {visible(line.todo)}", 6, width)
    if line.evidence:
        yield from wrapped(f"({'; '.join(map(shown, line.evidence))})", 6, width)


def shown(evidence: Evidence) -> str:
    """``booster-1@2:running values.csv, 2026-11-17 08:35``."""
    file = f" {evidence.file}" if evidence.file else ""
    return visible(f"{evidence.record}{file}, {evidence.time[:16].replace('T', ' ')}")


def _losses(found: Sequence[Loss], width: int) -> Iterator[str]:
    yield ""
    yield LOSSES
    for at, loss in enumerate(found, 1):
        now = f": {visible(loss.now)}" if loss.now else ""
        yield from wrapped(f"{at}. {loss.kind}, {visible(loss.where)}{now}", 2, width)
        yield from wrapped(f"At worst: {visible(loss.after)}. Put back: {visible(loss.back)}.", 6, width)
    yield from wrapped(ORDER, 2, width)


def _changes(found: Readiness, width: int) -> Iterator[str]:
    if not found.changes:
        return
    yield ""
    yield CHANGED
    reaches = Reaches(found.changes, found.changes)
    for change in found.changes:
        head = f"{KIND_SIGNS[change.kind]} {visible(change.where)} [{EFFECT_WORDS[change.effect]}]"
        yield from wrapped(f"{head}: {visible(change.summary)}", 2, width)
        if told := reaches.told(change):
            yield from wrapped(told.sentence(numbered=False), 6, width)
            for item in told.items:
                yield from wrapped(item, 8, width)
