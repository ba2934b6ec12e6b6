"""Renames of a whole project: both programs are walked side by side, and what stands at the same place is one thing.

1. All names that one side alone declares are left open. What then is alike is walked in parallel: first what kept its
   name, then what names that were met there say, then what is alike by its shape alone, then in the same place of the
   file, or between neighbours that belong together. Where an open name stands opposite another one, that is a vote.
2. Two names are one when more than half of all places of either vote for it, and both are declared as the same kind of
   thing in the same scope. Whatever speaks against it stays a difference once the rename is applied.
Cost: nothing where either side declares no name alone; else linear, and the product of what came and went.
Rejected: votes of declarations between others than before, which would pair neighbours of what was inserted.
Known weakness: of things alike in every way, of which one was inserted, the last counts as the new one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

from asfound.compare.pairing.alignment import align
from asfound.compare.renames import shapes
from asfound.compare.renames.apply import Names
from asfound.compare.renames.candidates import ENOUGH, best_for_both
from asfound.compare.renames.shapes import Own, Piece, Word
from asfound.compare.renames.texts import can_name, words_of
from asfound.model import program as p
from asfound.model.copy import Copy

FEW, MOST = 3, 0.8
"""How many pieces are too few to be known by their shape alone, and how much of them has to be alike then."""
PAIRS = 250_000
"""How many pairs of things are looked at for their likeness."""
Votes = Counter[tuple[Word, Word]]


@dataclass(frozen=True)
class Part:
    """A POU, a member or an action of one, a type, or what stands outside of them (with an empty path)."""

    path: str
    name: str
    kind: str
    pieces: Sequence[Piece]
    own: Own
    members: Sequence[Part] = ()

    @cached_property
    def words(self) -> Counter[Word]:
        """How often each open name stands in it."""
        found = Counter(word for piece in self.pieces for word in piece.words)
        for member in self.members:
            found.update(_outer_words(member))
        return found

    @cached_property
    def shape(self) -> tuple[str, ...]:
        """All of it without the open names."""
        return (self.kind, *(piece.shape for piece in self.pieces), *(s for m in self.members for s in m.shape))

    @property
    def large(self) -> bool:
        """Is it known by its shape alone? What is small has to stand inside of something that is known."""
        return "." in self.path or len(self.shape[1:]) > FEW

    def outer(self, word: Word) -> bool:
        """Does a name that stands here belong to something around?"""
        return not self.path or word[0] == "type" or word[1] not in self.own


def names_in_parallel(old: Copy, new: Copy) -> Names:
    """Every name that is another one now, as far as both programs tell it by their shape."""
    ours, theirs = shapes.declared(old), shapes.declared(new)
    if not (ours["name"] - theirs["name"] and theirs["name"] - ours["name"]):
        return Names()
    open = {role: ours[role] ^ theirs[role] for role in ours}
    silent = _silent(old, new, open)
    left, right = _parts(old, open, silent), _parts(new, open, silent)
    found = _Walk()
    found.walk(left[0], right[0], found.outer)
    found.pair(left[1:], right[1:], found.outer)
    return found.names(left, right)


def _silent(old: Copy, new: Copy, open: shapes.Names) -> frozenset[str]:
    """POUs, by folded name, that are the same in both programs and hold no open name: nothing in them votes."""
    others, words = {pou.name.lower(): pou for pou in new.program.pous}, words_of(chain.from_iterable(open.values()))
    same = (pou for pou in old.program.pous if others.get(pou.name.lower()) == pou)
    return frozenset(pou.name.lower() for pou in same if not can_name(pou, words))


def _parts(copy: Copy, open: shapes.Names, silent: frozenset[str]) -> list[Part]:
    whole = Part("", "", "", shapes.of_program(copy, open), shapes.own_of_program(copy, open))
    pous = (
        Part(name, pou.name, pou.kind, (), {}) if (name := pou.name.lower()) in silent else _part(pou, "", open)
        for pou in copy.program.pous
    )
    types = (
        Part(t.name.lower(), t.name, t.kind, shapes.of_type(t, open), shapes.own_of_type(t, open))
        for t in copy.program.types
    )
    return [whole, *_once([*pous, *types])]


def _part(pou: p.Pou, around: str, open: shapes.Names) -> Part:
    path = around + pou.name.lower()
    members = [_part(m, f"{path}.", open) for m in pou.members]
    for kind, actions in (("action", pou.actions), ("transition", pou.transitions)):
        for a in actions:
            own = shapes.own_of_body(a.body)
            members.append(Part(f"{path}.{a.name.lower()}", a.name, kind, shapes.of_action(a, open), own))
    return Part(path, pou.name, pou.kind, shapes.of_pou(pou, open), shapes.own_of_pou(pou, open), _once(members))


def _once(parts: Sequence[Part]) -> list[Part]:
    """Without those whose name another one has."""
    count = Counter(part.path for part in parts)
    return [part for part in parts if count[part.path] == 1]


def _votes(old: Part, new: Part) -> Votes:
    left, right = (["", *(piece.shape for piece in part.pieces), ""] for part in (old, new))
    found: Votes = Counter()
    for i, j in align(left[1:-1], right[1:-1]).kept:
        before, after = old.pieces[i], new.pieces[j]
        if not before.declares or left[i : i + 3] == right[j : j + 3]:
            found.update(zip(before.words, after.words, strict=False))
    return found


class _Walk:
    """What is walked in parallel, and what was seen."""

    def __init__(self) -> None:
        self.pairs: dict[str, tuple[Part, Part, Votes]] = {}
        self.taken: set[str] = set()
        self.outer: Votes = Counter()
        """Votes for what is declared around of where it stands."""

    def walk(self, old: Part, new: Part, around: Votes) -> None:
        """Two parts that belong together, and what is in them."""
        votes = _votes(old, new)
        self.pairs[old.path] = old, new, votes
        self.taken.add(new.path)
        self.pair(old.members, new.members, votes)
        around.update({pair: n for pair, n in votes.items() if old.outer(pair[0]) and new.outer(pair[1])})

    def pair(self, old: Sequence[Part], new: Sequence[Part], votes: Votes) -> None:
        """Parts of one scope: those of one name, and whatever else belongs together."""
        names = {part.name.lower(): part for part in new}
        for part in old:
            other = names.get(part.name.lower())
            if other is not None and other.kind == part.kind:
                self.walk(part, other, votes)
        known = names.keys() & {part.name.lower() for part in old}
        gone, come = ([part for part in side if part.name.lower() not in known] for side in (old, new))
        alike = _likeness(gone, come)
        while more := self._more(gone, come, alike, votes) or self._between(old, new):
            for before, after in more:
                self.walk(before, after, votes)

    def _more(
        self, gone: Sequence[Part], come: Sequence[Part], alike: Mapping[tuple[str, str], float], seen: Votes
    ) -> list[tuple[Part, Part]]:
        left = {part.path: part for part in gone if part.path not in self.pairs}
        right = {part.path: part for part in come if part.path not in self.taken}
        scores = {(a, b): value for (a, b), value in alike.items() if a in left and b in right}
        votes = {(a, b): n for a, b in scores if (n := _voted(seen, left[a], right[b]))}
        sure = {(a, b): n for (a, b), n in scores.items() if n >= MOST and left[a].large and right[b].large}
        found = best_for_both(votes) or best_for_both(sure) or next(_in_order(left, right), [])
        return [(left[a], right[b]) for a, b in found]

    def _between(self, old: Sequence[Part], new: Sequence[Part]) -> list[tuple[Part, Part]]:
        """Parts of one shape, however small, whose neighbours in the file belong together."""
        partners = {path: after.path for path, (_, after, _) in self.pairs.items()}
        places = {
            (partners.get(a.path) if a else "", partners.get(c.path) if c else "", b.shape): b
            for a, b, c in zip((None, *old), old, (*old[1:], None), strict=False)
            if b.path not in self.pairs and (a or c)
        }
        return [
            (places[place], b)
            for a, b, c in zip((None, *new), new, (*new[1:], None), strict=False)
            if b.path not in self.taken and (place := (a.path if a else "", c.path if c else "", b.shape)) in places
        ]

    def names(self, left: Sequence[Part], right: Sequence[Part]) -> Names:
        """What more than half of all places say."""
        types: dict[str, str] = {}
        locals: dict[str, dict[str, str]] = {}
        charts: dict[tuple[str, str], dict[str, str]] = {}
        for path, (old, new, votes) in self.pairs.items():
            around, _, name = path.rpartition(".")
            agreed = _agreed(old.own, new.own, votes, old.words, new.words) if path else {}
            if old.kind in ("action", "transition"):
                charts[around, name] = agreed if "." not in around else {}
                continue
            locals.setdefault(path, {}).update(agreed)
            if old.name.lower() != new.name.lower():
                (locals[around] if around else types)[name] = new.name
        counts = [sum((_outer_words(part) for part in side), Counter[Word]()) for side in (left, right)]
        found = _agreed(left[0].own, right[0].own, self.outer, *counts)
        return Names(found, types, {k: v for k, v in locals.items() if v}, {k: v for k, v in charts.items() if v})


def _outer_words(part: Part) -> Counter[Word]:
    return Counter({word: n for word, n in part.words.items() if part.outer(word)})


def _voted(votes: Votes, old: Part, new: Part) -> int:
    """Votes for two parts: for their names, and, where they have one shape, for what stands in them."""
    a, b = old.name.lower(), new.name.lower()
    inside = zip(old.pieces, new.pieces, strict=False) if old.shape == new.shape else ()
    agreed = sum(pair in votes for x, y in inside for pair in zip(x.words, y.words, strict=False))
    return votes[("type", a), ("type", b)] + votes[("name", a), ("name", b)] + agreed


def _agreed(old: Own, new: Own, votes: Votes, ours: Counter[Word], theirs: Counter[Word]) -> dict[str, str]:
    """Folded old names of one scope with the new ones."""
    found = {}
    for ((role, a), (_, b)), n in votes.items():
        one_thing = role == "name" and a in old and b in new and old[a][0] == new[b][0]
        alone = not (theirs[role, a] or ours[role, b])
        if one_thing and alone and 2 * n > max(ours[role, a], theirs[role, b]):
            found[a] = new[b][1]
    return found


def _likeness(gone: Sequence[Part], come: Sequence[Part]) -> dict[tuple[str, str], float]:
    """How much of each two is alike, where it is enough."""
    if len(gone) * len(come) > PAIRS:
        return {}
    ours, theirs = ([(part, Counter(part.shape[1:])) for part in side] for side in (gone, come))
    scores = (
        ((a.path, b.path), (left & right).total() / max(left.total(), right.total(), 1))
        for a, left in ours
        for b, right in theirs
        if a.kind == b.kind
    )
    return {pair: value for pair, value in scores if value >= ENOUGH}


def _in_order(left: Mapping[str, Part], right: Mapping[str, Part]) -> Iterator[list[tuple[str, str]]]:
    """Parts of one shape, of which both sides have the same number, in the order of the file."""
    groups: dict[tuple[str, ...], tuple[list[str], list[str]]] = {}
    for side, parts in enumerate((left, right)):
        for path, part in parts.items():
            groups.setdefault(part.shape, ([], []))[side].append(path)
    for ours, theirs in groups.values():
        if len(ours) == len(theirs) and all(left[path].large for path in ours):
            yield list(zip(ours, theirs, strict=True))
