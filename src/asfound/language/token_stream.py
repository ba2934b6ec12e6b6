"""The tokens with meaning of a text, made as they are asked for, and let go when nobody goes back to them.

All items of a file at once take more than a hundred times its bytes (measured), a few hundred take nothing.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import islice
from typing import NamedTuple

from asfound.language import pragmas
from asfound.language.pragmas import Pragma
from asfound.language.tokens import KINDS, Token, folded, tokens

CHUNK = 200
"""Tokens that are made together."""
_PLACES = frozenset(("body", "network", "chart", "condition", "globals", "modifier"))


class Item(NamedTuple):
    """A token with meaning; ``word`` is upper case, empty for a quoted name and for a name that is called like a kind.

    Kinds and keywords are asked for together, and a variable ``Semi`` is no ``;``.
    """

    kind: str
    text: str
    word: str
    start: int
    end: int
    pragma: Pragma | None = None


class Items:
    """Items by their number in the text; behind the last one stands ``END``, however far behind one asks.

    ``asides`` holds the comments and pragmas before each item; before one that was asked for, they are complete.
    """

    def __init__(self, text: str, dialect: bool) -> None:
        self.asides: defaultdict[int, list[Token]] = defaultdict(list)
        self._dialect, self._size = dialect, len(text)
        self._tokens = tokens(text)
        self._made: list[Item] = []
        self._gone = 0
        self._complete = False

    def __getitem__(self, number: int) -> Item:
        at = number - self._gone
        while at >= len(self._made):
            if self._complete:
                return self._made[-1]
            self._make()
        return self._made[at]

    def forget(self, before: int) -> None:
        """Let go of all items before one."""
        if before > self._gone:
            del self._made[: before - self._gone]
            for number in [number for number in self.asides if number < before]:
                del self.asides[number]
            self._gone = before

    def take(self, number: int) -> list[Token]:
        """Comments and pragmas before an item, which are then no longer there."""
        return self.asides.pop(number, [])

    def _make(self) -> None:
        more = list(islice(self._tokens, CHUNK))
        for token in more:
            item = self._item(token)
            if item is None:
                self.asides[self._gone + len(self._made)].append(token)
            else:
                self._made.append(item)
        if not more:
            self._complete = True
            self._made.append(Item("END", "", "", self._size, self._size))

    def _item(self, token: Token) -> Item | None:
        kind, text, start = token
        if kind == "COMMENT":
            return None
        if kind == "PRAGMA":
            return self._place(token)
        word = folded(text)
        return Item(kind, text, "" if word in KINDS else word, start, start + len(text))

    def _place(self, token: Token) -> Item | None:
        """One of our own pragmas that stands for something; None for any other."""
        found = pragmas.parse(token.text) if self._dialect else None
        if found is None:
            return None
        if found.word in ("name", "text"):
            return Item("NAME" if found.word == "name" else "TEXT", found.value, "", token.start, token.end)
        return Item("PRAGMA", token.text, "", token.start, token.end, found) if found.word in _PLACES else None
