"""Rungs that were split into several, or merged into one, without a statement changing.

Looked for among the rungs that no key could pair: the statements of one rung on one side are, in the same order, those
of several neighbouring rungs on the other side. The order of execution is then the same, so it is ``equivalent``.
Cost: linear in the statements of the leftover rungs.
Known weakness: a rung that was split and edited at the same time is told as one changed and one added.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from asfound.analysis.places import Place
from asfound.compare.changes import change
from asfound.compare.pairing.alignment import Alignment
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit
from asfound.language import statement_printer
from asfound.language.readable import statements as text
from asfound.model.logic import Remark
from asfound.model.program import Network

Networks = Sequence[Network]


@dataclass(frozen=True)
class Division:
    """Indexes of the rungs that hold the same statements; one side has a single one."""

    old: tuple[int, ...]
    new: tuple[int, ...]


def divided(found: Alignment, old: Networks, new: Networks) -> tuple[Alignment, tuple[Division, ...]]:
    """The alignment without the rungs that were split or merged, and these."""
    left = _loose(found.removed, (i for i, _ in found.changed), old)
    right = _loose(found.added, (j for _, j in found.changed), new)
    partners, turned = dict(found.changed), {j: i for i, j in found.changed}
    splits = [Division((i,), run) for i in left if (run := _run(left[i], right, i, partners))]
    merges = [Division(run, (j,)) for j in right if (run := _run(right[j], left, j, turned))]
    whole = tuple(sorted((*splits, *merges), key=lambda d: d.new))
    gone, come = {i for d in whole for i in d.old}, {j for d in whole for j in d.new}
    rest = replace(
        found,
        changed=tuple((i, j) for i, j in found.changed if i not in gone and j not in come),
        removed=tuple(i for i in found.removed if i not in gone),
        added=tuple(j for j in found.added if j not in come),
    )
    return rest, whole


def _loose(one_sided: Iterable[int], changed: Iterable[int], networks: Networks) -> dict[int, list[str]]:
    """Texts of the statements of the rungs that may take part: those that hold nothing but statements."""
    indexes = sorted({*one_sided, *changed})
    return {
        i: [statement_printer.statements((s,)) for s in networks[i].statements] for i in indexes if _plain(networks[i])
    }


def _plain(network: Network) -> bool:
    more = network.label or network.leftovers or network.extensions
    return not more and not any(isinstance(s, Remark) for s in network.statements)


def _run(whole: list[str], pieces: Mapping[int, list[str]], at: int, partners: Mapping[int, int]) -> tuple[int, ...]:
    """Neighbouring rungs, two or more, that together hold ``whole``; the partner found so far is among them."""
    for start in pieces:
        run, rest = [], whole
        for number in range(start, start + len(whole)):
            piece = pieces.get(number)
            if not piece or rest[: len(piece)] != piece:
                break
            run.append(number)
            rest = rest[len(piece) :]
        if not rest and len(run) > 1 and partners.get(at, run[0]) in run:
            return tuple(run)
    return ()


def told(division: Division, place: Place, word: str, old: Networks, new: Networks) -> Change:
    """The one change of a split or a merge."""
    numbers = _numbers(division.old, word), _numbers(division.new, word)
    ours, theirs = [old[n] for n in division.old], [new[n] for n in division.new]
    sides = tuple(s for n in ours for s in n.statements), tuple(s for n in theirs for s in n.statements)
    texts = text(sides[0]), text(sides[1])
    edits = [edit("split" if len(division.new) > 1 else "merged", *numbers), edit("same order")]
    edits += [edit("comment added", new=c) for c in _comments(theirs) if c not in _comments(ours)]
    edits += [edit("comment removed", c) for c in _comments(ours) if c not in _comments(theirs)]
    return change(
        "logic", "changed", place.network(division.new[0], word, division.old[0]), texts, "", edits, statements=sides
    )


def _comments(networks: Networks) -> list[str]:
    return [c for n in networks for c in (n.title, n.comment) if c]


def _numbers(indexes: tuple[int, ...], word: str) -> str:
    """``rung 3``, ``rungs 3 and 4``, ``rungs 3 to 5``."""
    if len(indexes) == 1:
        return f"{word} {indexes[0] + 1}"
    joint = "and" if len(indexes) == 2 else "to"
    return f"{word}s {indexes[0] + 1} {joint} {indexes[-1] + 1}"
