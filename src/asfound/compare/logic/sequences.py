"""Two lists of statements: what stayed, moved, changed, came and went; remarks apart.

Statements are aligned by their canonical keys (see alignment), remarks by their text. A statement that moved is
equivalent when nothing it passes reads what it writes, writes what it reads, or writes the same.
Cost: see alignment; the conflicts of a moved statement are looked up against what it passes.
Known weakness: what a moved statement passes is judged by whole variables, so two elements of one array conflict.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence, Set
from dataclasses import dataclass

import msgspec

from asfound.analysis.canonical import statement_key
from asfound.analysis.places import Place
from asfound.compare.changes import change, strongest
from asfound.compare.context import Scope
from asfound.compare.logic.dependence import dependences, in_order, unknown
from asfound.compare.logic.statements import compare_pair, features, line, one_sided
from asfound.compare.pairing.alignment import Alignment, Match, align
from asfound.compare.pairing.pair import Pair
from asfound.compare.result import Change, Edit, Effect
from asfound.compare.wording.phrases import edit
from asfound.language.readable import statements as text
from asfound.language.walk import writes
from asfound.model.logic import Jump, Remark, Return, Statement, Verbatim

THRESHOLD = 0.4
Group = tuple[Statement, ...]


@dataclass(frozen=True)
class Fingerprint:
    """What a piece is recognised by when its key differs."""

    writes: frozenset[str]
    features: frozenset[str]


def fingerprint(group: Sequence[Statement]) -> Fingerprint:
    """Fingerprint of some statements together."""
    written = frozenset(name for s in group if not isinstance(s, Verbatim) for name in writes(s) if name)
    steered = frozenset(where for s in group if (where := _steers_to(s)))
    return Fingerprint(written | steered, features(group))


def _steers_to(statement: Statement) -> str:
    """Where a jump or return leads: what it is recognised by, as an assignment is by its target."""
    if isinstance(statement, Jump):
        return f"jump to {statement.label.lower()}"
    return "return" if isinstance(statement, Return) else ""


def resemblance(a: Fingerprint, b: Fingerprint) -> float:
    """From 0 to 1: targets weigh more than operands; few operands prove little."""
    targets = _share(a.writes, b.writes)
    left, right = a.features - a.writes, b.features - b.writes
    operands = _share(left, right) if len(left | right) > 1 else _share(left, right) / 2
    if not a.writes and not b.writes:
        return operands
    return 0.55 * targets + 0.45 * operands


def _share(a: frozenset[str], b: frozenset[str]) -> float:
    return len(a & b) / len(a | b) if a | b else 0.0


def scorer(old: Sequence[Group], new: Sequence[Group]) -> Callable[[int, int], float]:
    """Scores for :func:`~asfound.compare.pairing.alignment.align`; fingerprints are made when first asked for."""
    left: dict[int, Fingerprint] = {}
    right: dict[int, Fingerprint] = {}

    def score(i: int, j: int) -> float:
        if i not in left:
            left[i] = fingerprint(old[i])
        if j not in right:
            right[j] = fingerprint(new[j])
        return resemblance(left[i], right[j])

    return score


def compare_statements(scope: Scope, place: Place, pair: Pair[Sequence[Statement]]) -> list[Change]:
    """Changes between two statement lists."""
    if pair.old == pair.new:
        return []
    before, after, written = map(_code, pair)
    groups_old, groups_new = [(s,) for s in before], [(s,) for s in after]
    found = align(
        [statement_key(s, scope.key) for s in before],
        [statement_key(s, scope.key) for s in after],
        scorer(groups_old, groups_new),
        THRESHOLD,
    )
    if found.exhausted:
        scope.context.budget.exhausted.add(place.where)
    changes: list[Change] = []
    for i, j in sorted((*found.kept, *found.moved, *found.changed), key=lambda m: (m[1], m[0])):
        changes += compare_pair(scope, place.statement(j, i), Pair(before[i], after[j], written[i]))
    changes += [one_sided("removed", place.statement(i), written[i]) for i in found.removed]
    changes += [one_sided("added", place.statement(j), after[j]) for j in found.added]
    groups = Pair[Sequence[Group]](groups_old, groups_new, [(s,) for s in written])
    changes = with_moves(scope, changes, found, groups, lambda i, j: place.statement(j, i), "statement")
    pairs = {*found.kept, *found.moved, *found.changed}
    return changes + _remarks(place, pair.old, pair.new, bool(changes), pairs)


def _code(statements: Sequence[Statement]) -> list[Statement]:
    return [s for s in statements if not isinstance(s, Remark)]


def with_moves(
    scope: Scope,
    changes: list[Change],
    found: Alignment,
    groups: Pair[Sequence[Group]],
    place_of: Callable[[int, int], Place],
    noun: str,
) -> list[Change]:
    """Add what moved.

    A piece that moved and acts otherwise by itself gets the move among its details; where only what people read of it
    changed, that is a detail of the move.
    """
    pairs = (*found.kept, *found.changed, *found.moved)
    result = list(changes)
    for i, j in (*found.moved, *found.crossed):
        reasons = _reasons(scope, (i, j), pairs, groups)
        effect: Effect = "undecided" if unknown(reasons) else "behaviour"
        why = reasons or (edit("unaffected"),)
        at, numbers = place_of(i, j), (str(i + 1), str(j + 1))
        edits = (edit("moved", *numbers, of=noun, owner=_subject(groups.new[j])), *why)
        judged: Effect = effect if reasons else "equivalent"
        same = [n for n, c in enumerate(result) if c.path == at.path and c.kind == "changed"]
        if same:
            own = result[same[0]]
            if own.effect == "documentation":
                result[same[0]] = msgspec.structs.replace(own, kind="moved", effect=judged, edits=(*edits, *own.edits))
                continue
            both = strongest((own.effect, effect if reasons else own.effect))
            edits = (*own.edits, edit("moved too", *numbers, of=noun), *why)
            result[same[0]] = msgspec.structs.replace(own, effect=both, edits=edits)
            continue
        sides = groups.written[i], groups.new[j]
        texts = text(sides[0]), text(sides[1])
        result.append(change("logic", "moved", at, texts, "", edits, effect=judged, statements=sides))
    return result


def _subject(group: Group) -> str:
    return line(group[0]) if group else "without effect"


def _reasons(scope: Scope, pair: Match, pairs: Sequence[Match], groups: Pair[Sequence[Group]]) -> tuple[Edit, ...]:
    own = (*groups.old[pair[0]], *groups.new[pair[1]])
    found: set[Edit] = set()
    for i, j in pairs:
        other = (*groups.old[i], *groups.new[j])
        if (i, j) != pair and (pair[0] < i) != (pair[1] < j):
            found.update(dependences(scope, own, other) if pair[0] < i else dependences(scope, other, own))
    return in_order(found)


def _remarks(
    place: Place, old: Sequence[Statement], new: Sequence[Statement], others: bool, pairs: Set[Match]
) -> list[Change]:
    """What became of the comments; one that stands before the same statement as ever did not move by itself."""
    before = [s.text for s in old if isinstance(s, Remark)]
    after = [s.text for s in new if isinstance(s, Remark)]
    if before == after:
        moved = not others and [isinstance(s, Remark) for s in old] != [isinstance(s, Remark) for s in new]
        return [comment_change(place, before, after, (edit("comments moved"),))] if moved else []
    ours, theirs = _followed(old), _followed(new)
    edits = comment_edits(before, after, alone=lambda i, j: (ours[i], theirs[j]) not in pairs)
    return [comment_change(place, before, after, edits)] if edits else []


def _followed(statements: Sequence[Statement]) -> list[int]:
    """For each comment the number of the statement before which it stands."""
    found: list[int] = []
    code = 0
    for each in statements:
        if isinstance(each, Remark):
            found.append(code)
        else:
            code += 1
    return found


def comment_edits(
    before: Sequence[str],
    after: Sequence[str],
    what: str = "comment",
    alone: Callable[[int, int], bool] = lambda i, j: True,
) -> tuple[Edit, ...]:
    """What happened to a list of comments, or of other texts kept as they are; of what moved, what did so ``alone``."""
    found = align(before, after)
    removed, added = [before[i] for i in found.removed], [after[j] for j in found.added]
    edits = [edit(f"{what} removed", each) for each in removed] + [edit(f"{what} added", new=each) for each in added]
    if len(removed) == len(added) == 1:
        edits = [edit(what, removed[0], added[0])]
    return (*edits, *(edit(f"{what} moved", new=after[j]) for i, j in found.moved if alone(i, j)))


def comment_change(place: Place, before: Sequence[str], after: Sequence[str], edits: Sequence[Edit]) -> Change:
    """One change for all the comments of one place."""
    texts = "\n".join(before) or None, "\n".join(after) or None
    head = (edit("comments", new=str(len(edits))),) if len(edits) > 1 else ()
    return change("logic", "changed", place, texts, "", (*head, *edits), effect="documentation")
