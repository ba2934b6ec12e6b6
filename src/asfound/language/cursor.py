"""Walking through a whole file: significant items one after the other, comments and pragmas kept for their owners.

Comments and pragmas that stand before an item wait in ``pending`` once the item is passed, until an object takes
them (:meth:`Cursor.metas`), so none can be lost.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import NoReturn

from asfound.language import pragmas
from asfound.language.builder import comment_text
from asfound.language.elementary import INTEGERS, STRINGS
from asfound.language.near_keywords import Odd, declared
from asfound.language.pragmas import Pragma
from asfound.language.token_stream import Item, Items
from asfound.language.tokens import DECLARATION_WORDS, Token, position
from asfound.model.problem import Problem
from asfound.model.program import Extension, Setting

_SIZED = STRINGS.union(INTEGERS)
_ENDS = frozenset(w for w in DECLARATION_WORDS if w.startswith("END_")) - {"END_STRUCT", "END_UNION"}
"""No type, value or heading reaches over one of these, whatever is missing in it."""
_OPEN, _CLOSE = frozenset(("LP", "LB")), frozenset(("RP", "RB"))


@dataclass
class Metas:
    """What belongs to an object besides its syntax."""

    comment: str = ""
    pragmas: tuple[str, ...] = ()
    extensions: tuple[Extension, ...] = ()
    named: dict[str, list[Pragma]] = field(default_factory=dict)

    def values(self, word: str) -> tuple[str, ...]:
        """First values of all pragmas of one word, in order."""
        return tuple(found.value for found in self.named.get(word, ()))

    def value(self, word: str, default: str = "") -> str:
        """Value of the pragma of one word."""
        return next(iter(self.values(word)), default)

    def settings(self) -> tuple[Setting, ...]:
        """``{setting "name" "value"}`` in order."""
        found = (pragma.values for pragma in self.named.get("setting", ()))
        return tuple(Setting(values[0], values[1] if len(values) > 1 else "") for values in found if values)


class Cursor:
    """Position in a file. ``dialect``: the text is in our normal form and is taken exactly as it is written."""

    def __init__(self, text: str, name: str, dialect: bool) -> None:
        self.text, self.name, self.dialect = text, name, dialect
        self.items = Items(text, dialect)
        self.asides = self.items.asides
        self.pending: list[Token] = []
        self.odd: list[Odd] = []
        """What was understood though it is not written as it has to be, in words, and where it begins."""
        self.declared: Mapping[str, str] = {}
        """Types of the variables of the POU that is being read and of those around it, by folded name."""
        self.at = 0
        self.peek()

    @cached_property
    def near_names(self) -> frozenset[str]:
        """Names declared in this file that are almost keywords."""
        return declared(self.text)

    def forget(self) -> None:
        """Let go of what was passed, but for the last item. Only where nobody goes back: between declarations."""
        self.items.forget(self.at - 1)

    def peek(self, ahead: int = 0) -> Item:
        """The item to come."""
        return self.items[self.at + ahead]

    def place(self, word: str) -> bool:
        """Whether one of our structural pragmas comes next."""
        found = self.peek().pragma
        return found is not None and found.word == word

    def next(self) -> Item:
        """Pass an item; what stood before it waits for its owner."""
        item = self.peek()
        self.pending += self.items.take(self.at)
        if item.kind != "END":
            self.at += 1
            self.peek()
        return item

    def accept(self, *wanted: str) -> Item | None:
        """Pass the next item when it is one of these keywords or kinds."""
        item = self.peek()
        return self.next() if item.word in wanted or item.kind in wanted else None

    def expect(self, wanted: str, what: str) -> Item:
        """Pass an item that has to be there."""
        return self.accept(wanted) or self.fail(what)

    def fail(self, expected: str) -> NoReturn:
        """Raise the problem with the place and what was expected there."""
        item = self.peek()
        line, column = position(self.text, item.start)
        found = f"{item.text.splitlines()[0][:40]!r}" if item.text else "the end of the file"
        raise Problem(
            f"{expected} expected, but {found} found",
            where=f"{self.name}, line {line}, column {column}",
            advice="check whether the export is complete",
        )

    def identifier(self, what: str = "a name") -> str:
        """Pass a name; dotted names stay whole."""
        if not self.dialect and (self.peek().word in _ENDS or self.peek().word in ("END_STRUCT", "END_UNION")):
            self.fail(what)
        if self.peek().kind == "LITERAL" and self.peek().word in ("TRUE", "FALSE"):
            self.fail(what)
        text = self.expect("NAME", what).text
        while self.peek().kind == "MEMBER":
            text += self.next().text
        return text

    def same_line(self) -> bool:
        """Whether no line end stands before the next item."""
        return self.at > 0 and "\n" not in self.text[self.items[self.at - 1].end : self.items[self.at].start]

    def slice(self, stops: Collection[str], one_line: bool = False) -> str:
        """Text up to an item of one of the kinds or keywords outside all parentheses (and STRUCT..END_STRUCT)."""
        first, depth = self.at, 0
        while self.peek().kind != "END":
            item = self.peek()
            if not self.dialect and item.word in _ENDS:
                break
            outside = depth == 0 and (item.kind in stops or item.word in stops)
            if outside or (one_line and self.at > first and not self.same_line()):
                break
            depth += (item.kind in _OPEN) + (item.word in ("STRUCT", "UNION"))
            depth -= (item.kind in _CLOSE) + (item.word in ("END_STRUCT", "END_UNION"))
            if depth < 0:
                break
            self.next()
        if self.at == first:
            return ""
        if self.at == first + 1 and self.items[first].kind == "TEXT":
            return self.items[first].text
        return self.text[self.items[first].start : self.items[self.at - 1].end]

    def type_text(self) -> str:
        """A type by its own grammar, so that a body or another clause may follow on the same line.

        ``ARRAY [..] OF type``, ``REF_TO type`` and its kin, ``Name.Name``, ``STRING [n]`` and ``INT (low..high)``.
        """
        first = self.at
        while (word := self.peek().word) in ("ARRAY", "REF_TO", "POINTER", "REFERENCE") and self.peek(1).kind != "SEMI":
            self.next()
            if word == "ARRAY":
                self.slice(("OF",))
            if word != "REF_TO":
                self.accept("OF", "TO")
        if self.peek().kind in ("NAME", "TEXT"):
            sized = self.next().word in _SIZED
            while self.peek().kind == "MEMBER":
                self.next()
            if sized and self.peek().kind in _OPEN:
                self._enclosed()
        return self.text[self.items[first].start : self.items[self.at - 1].end] if self.at > first else ""

    def _enclosed(self) -> None:
        """Pass a pair of brackets with all they hold."""
        self.next()
        self.slice(())
        self.next()

    def names(self) -> tuple[str, ...]:
        """``a, b.c`` as it stands in a heading."""
        found = [self.identifier()]
        while self.accept("COMMA"):
            found.append(self.identifier())
        return tuple(found)

    def code(self, stops: Collection[str], skip: Collection[str] = ()) -> str:
        """Text of a body, comments included, up to a structural item or keyword.

        Our pragmas named in ``skip`` at its front are left to :meth:`metas`.
        """
        start = self.items[self.at - 1].end if self.at else 0
        for token in list(self.asides[self.at]):
            found = pragmas.parse(token.text) if self.dialect and token.kind == "PRAGMA" else None
            if found is None or found.word not in skip:
                break
            self.pending.append(self.asides[self.at].pop(0))
            start = token.end
        first = self.at
        while not self._stops(stops, first):
            self.at += 1
        for number in [number for number in self.asides if first <= number <= self.at]:
            self.items.take(number)
        return self.text[start : self.peek().start]

    def _stops(self, stops: Collection[str], first: int) -> bool:
        item = self.peek()
        if item.kind == "END" or item.pragma is not None:
            return True
        if item.word not in stops or item.kind != "NAME":
            return False
        if item.word.startswith("END_"):
            return True
        before = self.items[self.at - 1]
        boundary = self.at == first or before.kind == "SEMI" or before.word.startswith("END_")
        return boundary and self.peek(1).kind == "NAME" and not self.dialect

    def metas(self, everything: bool = False) -> Metas:
        """What waits, and what follows: in the normal form all of it, else the comments on the same line.

        A pragma on the same line belongs to what comes next.
        """
        following = self.asides[self.at]
        end = self.items[self.at - 1].end if self.at else 0
        whole = everything or self.dialect
        while following and (
            whole or (following[0].kind == "COMMENT" and "\n" not in self.text[end : following[0].start])
        ):
            self.pending.append(following.pop(0))
        taken, self.pending = self.pending, []
        return self._metas(taken)

    def _metas(self, taken: Iterable[Token]) -> Metas:
        comments: list[str] = []
        plain: list[str] = []
        extensions: list[Extension] = []
        result = Metas()
        for token in taken:
            found = pragmas.parse(token.text) if self.dialect and token.kind == "PRAGMA" else None
            if token.kind == "COMMENT":
                text = token.text[2:-2].strip() if self.dialect else comment_text(token.text)
                comments += [text] if text else []
            elif found is None:
                plain.append(token.text)
            elif found.word == "comment":
                comments.append(found.value)
            elif found.word == "pragma":
                plain.append(found.value)
            elif found.word == "extension":
                extensions.append(Extension(found.get("path"), found.get("text"), found.get("name")))
            else:
                result.named.setdefault(found.word, []).append(found)
        result.comment, result.pragmas, result.extensions = " ".join(comments), tuple(plain), tuple(extensions)
        return result
