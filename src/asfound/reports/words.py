"""The words and signs that every report shares, so that terminal and page never say it differently."""

from __future__ import annotations

import difflib
import re
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from asfound.compare.result import EFFECTS, Change, Comparison, Origin
from asfound.compare.wording.phrases import further
from asfound.evidence.statement import Compared
from asfound.model.visible import visible
from asfound.prove.witness import Witness

KIND_SIGNS = {"added": "+", "removed": "-", "changed": "~", "moved": ">", "renamed": "=", "readdressed": "@"}
EFFECT_SIGNS = {"behaviour": "!", "undecided": "?", "equivalent": "o", "documentation": "i"}
"""Signs that no kind of change uses, in ASCII."""
EFFECT_WORDS = {
    "behaviour": "may act differently",
    "undecided": "undecided",
    "equivalent": "acts the same",
    "documentation": "documentation",
}
EFFECT_MEANINGS = {
    "behaviour": "The machine may act differently.",
    "undecided": "Could not be proved either way, or data that is not understood.",
    "equivalent": "Proved to act the same.",
    "documentation": "Only what people read.",
}
AREAS = {
    "logic": "Logic",
    "declaration": "Variables",
    "datatype": "Data types",
    "task": "Tasks",
    "tag": "Tags",
    "hardware": "Hardware",
    "value": "Values",
    "force": "Forces",
    "extension": "Data kept uninterpreted",
    "document": "Project documentation",
}
CAUTIONS = (
    "Outputs may move when a controller stops, starts or is downloaded to. Keep people clear.",
    "Isolate and lock out, and prove dead, before work on the machine.",
    "Follow the site's permit to work, local codes and the maker's procedure.",
    "Work on electrical equipment and on safety functions belongs to licensed or competent persons.",
    "This report gives no permission to start, download or work on anything; asfound never talks to a controller.",
)
"""Common practice; no report may go without them."""


def visible_lines(text: str) -> list[str]:
    """Return the lines of ``text``, each made :func:`visible`; a tabulator counts four blanks."""
    return [visible(line.expandtabs(4)) for line in re.split(r"\r\n|\r|\n", text.rstrip("\r\n"))]


def typographic(sign: str) -> str:
    """Return the sign as it is set in type: a minus, not a hyphen."""
    return "\N{MINUS SIGN}" if sign == "-" else sign


def wrapped(text: str, indent: int, width: int) -> list[str]:
    """Return the lines of a text on a terminal; those after the first are indented by two more."""
    lead = " " * indent
    return textwrap.wrap(
        text, width, initial_indent=lead, subsequent_indent=lead + "  ", break_long_words=False, break_on_hyphens=False
    )


def number(count: int, one: str, many: str = "") -> str:
    """Return ``1 change``, ``2 changes``."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def verdict(comparison: Comparison | Compared) -> str:
    """Return the verdict as one plain sentence."""
    counts = comparison.counts
    match comparison.verdict:
        case "identical":
            return "Nothing differs: both are the same bytes."
        case "noise":
            return "Nothing that matters differs: only data such as ids, time stamps and positions changed."
        case "documentation":
            return f"The machine acts the same: {number(counts.documentation, 'change')}, only in what people read."
        case "equivalent":
            return f"The machine acts the same: {number(counts.equivalent, 'change')} of the program proved equal."
        case "undecided":
            return f"It is not certain that the machine acts the same: {number(counts.undecided, 'change')} undecided."
    return f"The machine may act differently: {number(counts.behaviour, 'change')} of behaviour."


def tally(comparison: Comparison | Compared) -> str:
    """Return the counts in words, strongest effect first."""
    total = len(comparison.changes)
    if not total:
        return "No changes."
    words = {
        "behaviour": "of behaviour",
        "undecided": "undecided",
        "equivalent": "proved to act the same",
        "documentation": "of documentation",
    }
    parts = [f"{getattr(comparison.counts, effect)} {words[effect]}" for effect in reversed(EFFECTS)]
    kept = [part for part in parts if not part.startswith("0 ")]
    return f"{number(total, 'change')}: {', '.join(kept)}."


def details(change: Change) -> list[str]:
    """Return a line for each edit that the summary does not tell."""
    return list(further(change.edits) if change.edits else change.details)


def heading(comparison: Comparison) -> str:
    """Return what was compared with what, by the references that the user wrote."""
    old, new = visible(comparison.old.reference), visible(comparison.new.reference)
    return f"{old} compared with {new}" if old and new else "Two copies compared"


def origin(found: Origin) -> str:
    """Return ``booster-1 record 2 (as-found, 2026-11-17), copy running``."""
    return f"{record(found)}, copy {found.copy}"


def record(found: Origin) -> str:
    """Return ``booster-1 record 2 (as-found, 2026-11-17)``."""
    return f"{found.station} record {found.record} ({found.moment}, {found.time[:10]})"


def crossing(comparison: Comparison) -> str:
    """Return the sentence that stands before everything else where two different copies are compared, else nothing."""
    old, new = comparison.old.origin, comparison.new.origin
    if old is None or new is None or old.copy == new.copy:
        return ""
    return (
        f"The {old.copy} copy is compared with the {new.copy} copy: two places of a program, not one place at two "
        "moments."
    )


def between(comparison: Comparison) -> str:
    """Return the sentence that says which records and copies were compared; nothing when no side is a record."""
    old, new = comparison.old.origin, comparison.new.origin
    if old is None and new is None:
        return ""
    if old is not None and new is not None and old.copy == new.copy:
        return f"Compared: {record(old)} with {record(new)}, copy {old.copy} of both."
    sides = [origin(o) if (o := side.origin) else visible(side.reference) for side in (comparison.old, comparison.new)]
    return f"Compared: {sides[0]}, with {sides[1]}."


WEIGHTY = ("behaviour", "undecided")
"""Effects of what may matter: what is not known to act the same, the worst first."""
IN_A_CYCLE = "One case in which they differ"
BEFORE_IT = "One case in which this piece differs, with values as they are just before it"
NOT_KNOWN = "whether a cycle can bring these values about is not known"


def matters(comparison: Comparison) -> list[Change]:
    """Return what may act differently, then what is undecided, without what follows from another one of them."""
    ids = {change.id for change in comparison.changes if change.effect in WEIGHTY}
    found = [change for change in comparison.changes if change.id in ids and change.follows_from not in ids]
    return sorted(found, key=lambda change: WEIGHTY.index(change.effect))


def unlisted(comparison: Comparison) -> int:
    """Return how many more changes follow from those that matter."""
    return sum(change.effect in WEIGHTY for change in comparison.changes) - len(matters(comparison))


def witness_caption(witness: Witness) -> str:
    """Return what a case is about."""
    return IN_A_CYCLE if witness.moment == "cycle" else f"{BEFORE_IT}; {NOT_KNOWN}"


def witness_sentence(witness: Witness) -> str:
    """Return ``With LOW_SUCTION=TRUE: before PUMP_1=FALSE, now PUMP_1=TRUE``.

    What is assumed is said after the inputs: ``With run=TRUE, if Filter(level) is TRUE: ...``.
    """
    inputs = " and ".join(f"{visible(name)}={visible(value)}" for name, value in witness.inputs.items())
    assumed = " and ".join(f"{visible(name)} is {visible(value)}" for name, value in witness.assumed.items())
    parts = [f"with {inputs}" if inputs else "", f"if {assumed}" if assumed else ""]
    if witness.moment == "statement":
        parts.append("just before this piece")
    lead = ", ".join(part for part in parts if part)
    before, now = _results(witness.old), _results(witness.new)
    sentence = f"{lead}{': ' if lead else ''}before {before}, now {now}"
    more = f" ({NOT_KNOWN})" if witness.moment == "statement" else ""
    return sentence[0].upper() + sentence[1:] + more


def _results(values: Mapping[str, str]) -> str:
    return ", ".join(f"{visible(name)}={visible(value)}" for name, value in values.items()) or "nothing"


@dataclass(frozen=True, slots=True)
class Group:
    """Changes of one area and one owner (POU, table, device), causes only."""

    area: str
    owner: str
    changes: tuple[Change, ...]

    @property
    def title(self) -> str:
        """``Logic: PumpControl``."""
        return f"{AREAS[self.area]}: {visible(self.owner)}" if self.owner else AREAS[self.area]


def groups(changes: Sequence[Change]) -> list[Group]:
    """Return the changes that follow from no other one, by area and owner, in the order of the comparison."""
    ids = {change.id for change in changes}
    found: dict[tuple[str, str], list[Change]] = {}
    for change in changes:
        if change.follows_from is None or change.follows_from not in ids:
            found.setdefault((change.area, _owner(change)), []).append(change)
    order = list(AREAS)
    keys = sorted(found, key=lambda key: order.index(key[0]))
    return [Group(area, owner, tuple(found[area, owner])) for area, owner in keys]


def _owner(change: Change) -> str:
    """First part of the path without its kind (``tags:Terminals``); nothing when the path is the change itself."""
    return re.sub(r"^[a-z_]+:", "", change.path[0]) if len(change.path) > 1 else ""


def followers(changes: Sequence[Change]) -> dict[int, list[Change]]:
    """Return, for each change by its id, the changes that follow from it."""
    found: dict[int, list[Change]] = {}
    for change in changes:
        if change.follows_from is not None:
            found.setdefault(change.follows_from, []).append(change)
    return found


# --- texts ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a text difference: ``sign`` is ``+``, ``-``, a blank, or ``...`` for unchanged lines left out.

    ``head`` and ``tail`` are the unchanged ends of a changed line, ``text`` is what changed between them.
    """

    sign: str
    text: str
    head: str = ""
    tail: str = ""

    @property
    def whole(self) -> str:
        """The line as it was written."""
        return self.head + self.text + self.tail


def differences(before: str | None, after: str | None, context: int = 1) -> list[Line]:
    """Return the lines that differ, with ``context`` unchanged ones around them, the rest counted."""
    if before == after:
        return []
    old, new = visible_lines(before) if before else [], visible_lines(after) if after else []
    lines: list[Line] = []
    blocks = difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    for index, (tag, i, i2, j, j2) in enumerate(blocks):
        if tag == "equal":
            lines += _context(old[i:i2], context, first=index == 0, last=index == len(blocks) - 1)
        elif i2 - i == j2 - j:
            for left, right in zip(old[i:i2], new[j:j2], strict=True):
                lines += _pair(left, right)
        else:
            lines += [Line("-", line) for line in old[i:i2]] + [Line("+", line) for line in new[j:j2]]
    return lines


def _context(lines: list[str], context: int, *, first: bool, last: bool) -> list[Line]:
    head = [] if first else lines[:context]
    tail = [] if last else lines[max(len(head), len(lines) - context) :]
    skipped = len(lines) - len(head) - len(tail)
    gap = [Line("...", f"{number(skipped, 'unchanged line')}")] if skipped else []
    return [*(Line(" ", line) for line in head), *gap, *(Line(" ", line) for line in tail)]


def _pair(left: str, right: str) -> list[Line]:
    head, tail = common_ends(left, right)
    return [
        Line(sign, line[head : len(line) - tail], line[:head], line[len(line) - tail :])
        for sign, line in (("-", left), ("+", right))
    ]


def common_ends(left: str, right: str) -> tuple[int, int]:
    """Return how many characters at the start and at the end are equal, counted in whole words."""
    a, b = _TOKEN.findall(left), _TOKEN.findall(right)
    shortest = min(len(a), len(b))
    head = next((n for n in range(shortest) if a[n] != b[n]), shortest)
    tail = next((n for n in range(shortest - head) if a[-1 - n] != b[-1 - n]), shortest - head)
    return sum(map(len, a[:head])), sum(map(len, a[len(a) - tail :]))


_TOKEN = re.compile(r"\w+(?:[.#]\w+)*|\s+|.", re.DOTALL)
