"""Initial values by what they mean: two texts with one key set the same values.

The text is read with the tokens of the language into a list, a structure or a single value. Repetitions are written
out, members are sorted by name, literals stand with their value, names in upper case. Cost: linear in the values set.
Known weakness: elements left out of a list, and members left out of a structure, are not filled in with the default.
"""

from __future__ import annotations

from asfound.language.elementary import ELEMENTARY, INTEGERS, REALS
from asfound.language.literals import canonical, value
from asfound.language.tokens import Token, tokens

MOST = 100_000
"""Values written out in one initial value; a longer one keeps its text."""


class _Unknown(Exception):
    """The text is no initial value that this module can read."""


def initial_key(text: str, type: str = "") -> str:
    """Key of an initial value; ``type`` is the declared type. Text of another shape is its own key.

    >>> initial_key("[2(0), 1]") == initial_key("[0, 0, 16#1]"), initial_key("(A := 1, b := x)", "T")
    (True, '(A=int:1,B=name:X)')
    """
    found = [token for token in tokens(text) if token.kind != "COMMENT"]
    reader = _Reader(found)
    try:
        key = reader.item(type)
    except (_Unknown, RecursionError):
        return f"text:{text}"
    return key if reader.at == len(found) else f"text:{text}"


def _leaf(text: str, type: str) -> str:
    upper = type.upper()
    kind, content = value(canonical(text, upper))
    if kind in ("int", "real") and upper in REALS | INTEGERS:
        return f"number:{content}"
    return f"{kind}:{content!r}" if isinstance(content, str) else f"{kind}:{content}"


class _Reader:
    def __init__(self, found: list[Token]) -> None:
        self.found, self.at, self.count = found, 0, 0

    def kind(self, ahead: int = 0) -> str:
        at = self.at + ahead
        return self.found[at].kind if at < len(self.found) else ""

    def next(self, *kinds: str) -> Token:
        if self.kind() not in kinds:
            raise _Unknown
        self.at += 1
        return self.found[self.at - 1]

    def item(self, type: str) -> str:
        """One value, and where it stands in a list and is repeated, all of them."""
        self.count += 1
        if self.count > MOST:
            raise _Unknown
        if self.kind() == "LB":
            return f"[{','.join(self.list('LB', 'RB', type.partition('] OF ')[2]))}]"
        if self.kind() == "LP":
            return self.structure()
        sign = self.next("SIGN").text if self.kind() == "SIGN" else ""
        token = self.next("LITERAL", "NAME")
        if token.kind == "NAME":
            if sign or token.word in ELEMENTARY:
                raise _Unknown
            return f"name:{token.text.upper()}"
        return _leaf(sign + token.text, type)

    def list(self, start: str, end: str, type: str) -> list[str]:
        self.next(start)
        found: list[str] = []
        while True:
            if self.kind() == "LITERAL" and self.kind(1) == "LP":
                kind, times = value(self.next("LITERAL").text)
                inner = self.list("LP", "RP", type)
                if kind != "int" or not isinstance(times, int) or times * len(inner) > MOST:
                    raise _Unknown
                found += inner * times
            else:
                found.append(self.item(type))
            if self.next("COMMA", end).kind == end:
                return found

    def structure(self) -> str:
        self.next("LP")
        found: list[str] = []
        while True:
            name = self.next("NAME").text.upper()
            self.next("ASSIGN")
            found.append(f"{name}={self.item('')}")
            if self.next("COMMA", "RP").kind == "RP":
                return f"({','.join(sorted(found, key=lambda member: member.partition('=')[0]))})"
