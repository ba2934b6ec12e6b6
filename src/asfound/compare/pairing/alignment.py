"""Which of two ordered lists of pieces belong together.

Four passes over keys (texts that are equal when two pieces mean the same): equal ends are trimmed; pieces whose key is
unique on both sides are matched and the longest increasing run of these matches is kept (patience); gaps between them
are aligned by longest common subsequence; what is left is first matched by equal key anywhere (moved), then by a score
that the caller gives, best first.

Cost: linear for equal ends, n log n for the patience pass, the product of the two lengths inside one gap as long as it
stays below ``GAP``, scored pairs up to ``PAIRS``; over a budget a gap is only matched by score, or not at all, and
``exhausted`` says so.
Rejected: ``difflib`` (not symmetric, so compare(a, b) and compare(b, a) would not mirror), whole-tree edit distance
(cubic, and it pairs rungs that nobody would call the same rung).
Symmetry: the two lists are put into a fixed order before anything is decided, and swapped back at the end.
Known weakness: a piece that was moved *and* changed beyond the threshold is told as removed and added.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

GAP = 4_000_000
PAIRS = 250_000
THRESHOLD = 0.5

Score = Callable[[int, int], float]
Match = tuple[int, int]


@dataclass(frozen=True)
class Alignment:
    """Indexes into both lists. ``kept`` and ``moved`` have equal keys, ``changed`` have not; all sorted by new index.

    ``crossed`` are the changed pairs that also stand at another place relative to the kept ones.
    """

    kept: tuple[Match, ...] = ()
    moved: tuple[Match, ...] = ()
    changed: tuple[Match, ...] = ()
    crossed: tuple[Match, ...] = ()
    removed: tuple[int, ...] = ()
    added: tuple[int, ...] = ()
    exhausted: bool = False


def align(
    old: Sequence[str], new: Sequence[str], score: Score | None = None, threshold: float = THRESHOLD
) -> Alignment:
    """Pair two lists of keys; ``score(old index, new index)`` from 0 to 1 is asked for what no key could pair."""
    if list(new) < list(old):
        mirrored = _align(new, old, (lambda i, j: score(j, i)) if score else None, threshold)
        return _swapped(mirrored)
    return _align(old, new, score, threshold)


def _swapped(found: Alignment) -> Alignment:
    def flip(pairs: tuple[Match, ...]) -> tuple[Match, ...]:
        return tuple(sorted(((j, i) for i, j in pairs), key=_by_new))

    return Alignment(
        flip(found.kept), flip(found.moved), flip(found.changed), flip(found.crossed), found.added, found.removed,
        found.exhausted,
    )  # fmt: skip


def _by_new(pair: Match) -> Match:
    return pair[1], pair[0]


def _align(old: Sequence[str], new: Sequence[str], score: Score | None, threshold: float) -> Alignment:
    kept, exhausted = _in_order(old, new)
    left, right = _rest(len(old), {i for i, _ in kept}), _rest(len(new), {j for _, j in kept})
    moved = _same_key(old, new, left, right)
    left, right = _rest_of(left, {i for i, _ in moved}), _rest_of(right, {j for _, j in moved})
    changed: list[Match] = []
    if score is not None and left and right:
        if len(left) * len(right) <= PAIRS:
            changed = _best(left, right, score, threshold, kept)
        else:
            exhausted = True
    left, right = _rest_of(left, {i for i, _ in changed}), _rest_of(right, {j for _, j in changed})
    moved, stayed = _unmoved(kept, moved)
    kept = sorted((*kept, *stayed), key=_by_new)
    return Alignment(
        tuple(kept), tuple(sorted(moved, key=_by_new)), tuple(sorted(changed, key=_by_new)), _crossed(kept, changed),
        tuple(left), tuple(right), exhausted,
    )  # fmt: skip


def _rest(length: int, taken: set[int]) -> list[int]:
    return [i for i in range(length) if i not in taken]


def _rest_of(indexes: list[int], taken: set[int]) -> list[int]:
    return [i for i in indexes if i not in taken]


def _in_order(old: Sequence[str], new: Sequence[str]) -> tuple[list[Match], bool]:
    start, shorter = 0, min(len(old), len(new))
    while start < shorter and old[start] == new[start]:
        start += 1
    end = 0
    while end < shorter - start and old[-1 - end] == new[-1 - end]:
        end += 1
    pairs = [(i, i) for i in range(start)]
    middle, exhausted = _patience(old, new, (start, len(old) - end), (start, len(new) - end))
    pairs += middle
    pairs += [(len(old) - k, len(new) - k) for k in range(end, 0, -1)]
    return pairs, exhausted


def _patience(
    old: Sequence[str], new: Sequence[str], left: tuple[int, int], right: tuple[int, int]
) -> tuple[list[Match], bool]:
    anchors = _anchors(old, new, left, right)
    pairs: list[Match] = []
    exhausted = False
    i, j = left[0], right[0]
    for anchor in (*anchors, (left[1], right[1])):
        size = (anchor[0] - i) * (anchor[1] - j)
        if 0 < size <= GAP:
            pairs += _common(old, new, (i, anchor[0]), (j, anchor[1]))
        exhausted = exhausted or size > GAP
        pairs.append(anchor)
        i, j = anchor[0] + 1, anchor[1] + 1
    return pairs[:-1], exhausted


def _anchors(old: Sequence[str], new: Sequence[str], left: tuple[int, int], right: tuple[int, int]) -> list[Match]:
    count_old, count_new = Counter(old[left[0] : left[1]]), Counter(new[right[0] : right[1]])
    where = {new[j]: j for j in range(*right) if count_new[new[j]] == 1}
    matches = [(i, where[old[i]]) for i in range(*left) if count_old[old[i]] == 1 and old[i] in where]
    return increasing(matches)


def increasing(matches: Sequence[Match]) -> list[Match]:
    """Longest run of matches (sorted by old index) whose new indexes increase; n log n."""
    tails: list[int] = []
    at: list[int] = []
    before: list[int] = []
    for n, (_, j) in enumerate(matches):
        place = bisect_left(tails, j)
        tails[place : place + 1] = [j]
        at[place : place + 1] = [n]
        before.append(at[place - 1] if place else -1)
    run: list[Match] = []
    n = at[-1] if at else -1
    while n >= 0:
        run.append(matches[n])
        n = before[n]
    return run[::-1]


def _common(old: Sequence[str], new: Sequence[str], left: tuple[int, int], right: tuple[int, int]) -> list[Match]:
    """Longest common subsequence of one gap."""
    rows, columns = left[1] - left[0], right[1] - right[0]
    if not set(old[left[0] : left[1]]) & set(new[right[0] : right[1]]):
        return []
    table = [[0] * (columns + 1) for _ in range(rows + 1)]
    for i in range(rows - 1, -1, -1):
        row, below, key = table[i], table[i + 1], old[left[0] + i]
        for j in range(columns - 1, -1, -1):
            row[j] = below[j + 1] + 1 if key == new[right[0] + j] else max(below[j], row[j + 1])
    i = j = 0
    pairs: list[Match] = []
    while i < rows and j < columns:
        if old[left[0] + i] == new[right[0] + j]:
            pairs.append((left[0] + i, right[0] + j))
            i, j = i + 1, j + 1
        elif table[i + 1][j] >= table[i][j + 1]:
            i += 1
        else:
            j += 1
    return pairs


def _same_key(old: Sequence[str], new: Sequence[str], left: list[int], right: list[int]) -> list[Match]:
    waiting: dict[str, list[int]] = {}
    for j in reversed(right):
        waiting.setdefault(new[j], []).append(j)
    return [(i, waiting[old[i]].pop()) for i in left if waiting.get(old[i])]


def _best(left: list[int], right: list[int], score: Score, threshold: float, kept: list[Match]) -> list[Match]:
    """Greedy: highest score first, then the same gap between kept pairs, then nearest relative place."""
    places_old, places_new = [i for i, _ in kept], [j for _, j in kept]
    scored = []
    for a, i in enumerate(left):
        gap = bisect_left(places_old, i)
        for b, j in enumerate(right):
            value = score(i, j)
            if value >= threshold:
                scored.append((-value, gap != bisect_left(places_new, j), abs(a - b), i, j))
    scored.sort()
    used_old: set[int] = set()
    used_new: set[int] = set()
    pairs = []
    for *_, i, j in scored:
        if i not in used_old and j not in used_new:
            used_old.add(i)
            used_new.add(j)
            pairs.append((i, j))
    return pairs


def _unmoved(kept: list[Match], moved: list[Match]) -> tuple[list[Match], list[Match]]:
    """Equal pairs left over by an exhausted gap that stand in order after all are not called moved."""
    across = set(_across(moved, kept))
    stayed = increasing(sorted(m for m in moved if m not in across))
    in_order = set(stayed)
    return [m for m in moved if m not in in_order], stayed


def _across(pairs: Sequence[Match], kept: list[Match]) -> list[Match]:
    """Those pairs that stand before a kept one on one side and behind it on the other; none of them is kept itself.

    Kept pairs increase on both sides, so a pair is in order when as many of them stand before it here and there.
    """
    old, new = [i for i, _ in kept], [j for _, j in kept]
    return [(i, j) for i, j in pairs if bisect_left(old, i) != bisect_left(new, j)]


def _crossed(kept: list[Match], changed: list[Match]) -> tuple[Match, ...]:
    return tuple(sorted(_across(changed, kept), key=_by_new))
