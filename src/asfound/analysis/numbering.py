"""How a station counts the words of its direct addresses: whether ``%IW1`` lies over half of ``%IW2`` or beside it.

That is the controller's matter: the standard leaves it to the maker (IEC 61131-3:2013 6.5.5, from memory). A person may
have stated it (``Copy.words``); else it is inferred from the signs in the copies that are looked at (:mod:`.signs`).
A way to count is taken when all signs allow it; signs that contradict each other, and none at all, leave it unclear.
Then every way stays possible, and what depends on it is "unclear" (:meth:`Memory.meets`).
Cost: one search through the text of the program. Rejected: byte counting as the default, which calls words that lie
beside each other one memory, and a majority among contradicting signs, which hides a wrong address.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal as Choice

from asfound.analysis.signs import Sign, signs
from asfound.analysis.sizes import size
from asfound.language.addresses import BYTES, WAYS, Memory, Way
from asfound.model.copy import Copy
from asfound.model.logic import Node

HOW = "state it in station.toml ([addresses] words)"
SHOWN = 3
"""Signs that a sentence names."""


class Numbering(Node, frozen=True):
    """The answer: ``ways`` that are possible, and the signs it was taken from, the clearest first.

    ``stated`` when a person said so. ``used`` is false when no address is as wide as a word: then it does not matter.
    """

    ways: tuple[Way, ...] = WAYS
    signs: tuple[Sign, ...] = ()
    stated: Choice["", "byte", "word"] = ""
    used: bool = True

    @property
    def counted(self) -> Choice["byte", "word", "unclear"]:
        """What the number of a word counts."""
        by_byte = [way.words == "byte" for way in self.ways]
        return "byte" if all(by_byte) else "unclear" if any(by_byte) else "word"

    def at(self, address: str, type: str = "") -> Memory:
        """The memory of a direct address, and of all the bits of a type that needs more than the address has."""
        found = Memory.at(address, self.ways)
        bits = size(type) if type and found.spans else None
        if bits is None or bits <= len(found.spans[0]):
            return found
        return found._replace(spans=tuple(range(span.start, span.start + bits) for span in found.spans))

    def sentence(self) -> str:
        """Which way is used and from what, as a limit; empty when it does not matter."""
        if not self.used:
            return ""
        if self.stated:
            against = [s.text for s in self.signs if s.words != self.stated]
            doubt = f", although {'; '.join(against[:SHOWN])}" if against else ""
            return f"words are counted by {self.stated}, as station.toml states{doubt}"
        if self.counted != "unclear":
            return f"words are counted by {self.counted}: {self.signs[0].text}{self._double()}"
        why = "no two addresses tell"
        if self.signs:
            why = f"the signs contradict each other ({'; '.join(s.text for s in _contrary(self.signs))})"
        return (
            f"whether words are counted by byte or by word is not known, {why}: what depends on it is undecided; {HOW}"
        )

    def _double(self) -> str:
        """A word may count words while a double word counts double words; that takes signs of its own."""
        kinds = {way.words for way in self.ways}
        text = next((s.text for s in self.signs if s.size in "DL" and s.words == "word"), "")
        if kinds == {"size"}:
            return f"; each size by its own: {text}" if text not in self.signs[0].text else ", each size by its own"
        return ""


def of(copy: Copy, form: Mapping[str, str] | None = None) -> Numbering:
    """The numbering of one copy; ``form`` is its normal form where it is made already.

    >>> from asfound.readers.reading import read
    >>> text = b"PROGRAM P VAR a AT %IW0 : INT; b AT %IW1 : INT; END_VAR a := b; END_PROGRAM"
    >>> of(read(text, "p.st")).sentence()
    'words are counted by word: %IW0, %IW1 are neighbours one apart'
    """
    return together([copy], [form])


def together(copies: Sequence[Copy], forms: Sequence[Mapping[str, str] | None] = ()) -> Numbering:
    """One numbering for several copies of one station; the signs are looked for in each by itself.

    Addresses of two copies are never neighbours: one may have taken the place of the other.
    """
    used = False
    found: dict[Sign, None] = {}
    for number, copy in enumerate(copies):
        wide, own = signs(copy, forms[number] if forms else None)
        used |= wide
        found.update(dict.fromkeys(own))
    told = tuple(sorted(found, key=lambda s: (-s.strength, s.words, s.text)))
    stated = sorted({copy.words for copy in copies if copy.words})
    if not used:
        return Numbering((BYTES,), told, used=False)
    if len(stated) == 1:
        return Numbering(_allowed([s for s in told if s.words == stated[0]], _BY[stated[0]]), told, stated[0])
    told = (*(Sign(_BY[one], one, f"one station.toml states {one}", 0) for one in stated), *told)
    return Numbering(_allowed(told), told)


_BY = {"byte": frozenset({"byte"}), "word": frozenset({"word", "size"})}


def _allowed(told: Sequence[Sign], kinds: frozenset[str] = _BY["byte"] | _BY["word"]) -> tuple[Way, ...]:
    """The ways that every sign allows; where none is left, all that any allows, and all where one sign is torn."""
    left = kinds.intersection(*(sign.ways for sign in told))
    if not left and all(sign.ways for sign in told):
        left = kinds.intersection(frozenset().union(*(sign.ways for sign in told)))
    return tuple(way for way in WAYS if way.words in (left or kinds))


def _contrary(told: Sequence[Sign]) -> list[Sign]:
    """The clearest sign of each kind."""
    first: dict[frozenset[str], Sign] = {}
    for sign in told:
        first.setdefault(sign.ways, sign)
    return list(first.values())[:SHOWN]


def different(rows: Sequence[Sequence[range]]) -> list[int]:
    """Which of the ways to count differ for some memories, as the numbers of their spans; the first of those alike.

    >>> different([Memory.at("%IX0.0").spans, Memory.at("%IW0").spans])
    [0]
    """
    columns = list(zip(*rows, strict=True))
    return [number for number, column in enumerate(columns) if columns.index(column) == number]
