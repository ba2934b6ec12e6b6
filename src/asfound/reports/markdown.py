"""The comparison as Markdown for a review thread or a ticket: short, the same at every run, safe to post by machine.

Whatever comes from an export stands in code spans or fenced blocks, so that none of it becomes a heading, a link, or a
call for a person (``@name``, ``#12``).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from asfound.compare.result import Change, Comparison
from asfound.model.visible import visible
from asfound.reports.reach import Reaches
from asfound.reports.terminal import compared
from asfound.reports.words import (
    CAUTIONS,
    EFFECT_WORDS,
    KIND_SIGNS,
    between,
    crossing,
    details,
    followers,
    groups,
    matters,
    tally,
    verdict,
    witness_sentence,
)

MOST = 40
"""Changes that are shown with their pieces; of the others there is one line each."""
MARK = "<!-- asfound: a comparison -->"
"""The first line, which nobody sees: the next run may replace such a file."""
_WIDTH = 100


def write(comparison: Comparison) -> str:
    """Return the whole text."""
    return "\n".join(_lines(comparison)) + "\n"


def _lines(comparison: Comparison) -> Iterator[str]:
    yield MARK
    if crossing(comparison):
        yield from (f"**{crossing(comparison)}**", "")
    yield f"### {verdict(comparison)}"
    yield ""
    if between(comparison):
        yield code(between(comparison))
        yield ""
    yield f"{code(comparison.old.reference or 'old')} compared with {code(comparison.new.reference or 'new')}."
    yield tally(comparison)
    told = matters(comparison)
    if told:
        yield from ("", "**What matters**", "")
        yield from (f"- {code(change.where)}: {code(change.summary)}" for change in told)
    if comparison.limits:
        yield from ("", "**What this comparison cannot vouch for**", "")
        yield from (f"- {code(limit)}" for limit in comparison.limits)
    follow, found = followers(comparison.changes), groups(comparison.changes)
    reaches = Reaches(comparison.changes, [c for group in found for c in group.changes][:MOST])
    left = MOST
    for group in found:
        yield from ("", f"#### {code(group.title)}")
        for change in group.changes:
            yield from _change(change, follow, reaches, whole=left > 0)
            left -= 1
    yield from ("", "**Before anybody works on the machine**", "")
    yield from (f"- {caution}" for caution in CAUTIONS)
    yield ""
    yield f"Normal forms: {code(comparison.old.normal_sha256)} and {code(comparison.new.normal_sha256)}"


def _change(change: Change, follow: Mapping[int, Sequence[Change]], reaches: Reaches, *, whole: bool) -> Iterator[str]:
    effect = EFFECT_WORDS[change.effect]
    shown = f"**{effect}**" if change.effect == "behaviour" else effect
    yield ""
    yield f"{change.id}\\. {code(KIND_SIGNS[change.kind])} {code(change.where)}, {shown}: {code(change.summary)}"
    if not whole:
        return
    found = [*details(change), *([witness_sentence(change.witness)] if change.witness else [])]
    if found:
        yield ""
        yield from (f"- {code(detail)}" for detail in found)
    lines = [line for line, _ in compared(change, 0, _WIDTH)]
    if lines:
        fence = _fence("\n".join(lines), 3)
        yield from ("", f"{fence}diff", *lines, fence)
    if told := reaches.told(change):
        yield ""
        yield code(told.sentence())
        yield from ("", *(f"- {code(item)}" for item in told.items)) if told.items else ()
    others = follow.get(change.id, ())
    if others:
        yield ""
        yield f"From this {'follows' if len(others) == 1 else 'follow'}:"
        yield ""
        yield from _following(others, follow, 0)


def _following(changes: Sequence[Change], follow: Mapping[int, Sequence[Change]], depth: int) -> Iterator[str]:
    for change in changes:
        effect = EFFECT_WORDS[change.effect]
        yield f"{'  ' * depth}- {change.id}\\. {code(change.where)}, {effect}: {code(change.summary)}"
        yield from _following(follow.get(change.id, ()), follow, depth + 1)


def code(text: str) -> str:
    """A code span that shows any text as it is (CommonMark 6.1), on one line.

    >>> code("a`b")
    '``a`b``'
    """
    line = " ".join(visible(text).split()) or " "
    fence = _fence(line, 1)
    padding = " " if line.startswith("`") or line.endswith("`") else ""
    return f"{fence}{padding}{line}{padding}{fence}"


def _fence(text: str, least: int) -> str:
    """Backticks enough to enclose a text."""
    longest = max((len(run) for run in re.findall("`+", text)), default=0)
    return "`" * max(least, longest + 1)
