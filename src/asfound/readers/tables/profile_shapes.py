"""Addresses of an unknown style, grouped by shape; each group becomes an address pattern.

The shape of a cell is its letters and signs with every run of digits forgotten. Cells that differ in the first letters
only (``IN0``, ``OUT17``) go together, and the letters say the area. What letters usually mean is common practice,
without a source; where it is not known the area is left empty, and such a profile is refused until somebody fills it
in.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from asfound.readers.tables.profile_addresses import SIZES, AddressPattern

AREA_LETTERS: Mapping[str, str] = {
    **dict.fromkeys(("X", "I", "IX", "E", "IN", "DI", "AI", "INPUT", "IB", "IW", "EB", "EW"), "I"),
    **dict.fromkeys(("Y", "Q", "QX", "O", "A", "OUT", "DO", "AO", "OUTPUT", "AB", "AW", "QB", "QW"), "Q"),
    **dict.fromkeys(("M", "MX", "MB", "MW", "F", "FW", "B", "D", "R", "N", "H", "HR", "DM", "W", "V", "DB", "S"), "M"),
    **dict.fromkeys(("T", "TIM", "TON"), "T"),
    **dict.fromkeys(("C", "Z", "CNT", "CTU"), "C"),
}
WORD_LETTERS = frozenset("D R N H HR DM W V AI AO IW QW EW AW MW FW".split())  # noqa: SIM905
"""Letters whose single number usually counts words."""
POINTS = frozenset(("X", "Y"))
"""Letters whose numbers are often octal."""
REGISTERS = {"0": ("Q", "number", "outputs"), "1": ("I", "number", "inputs"), "3": ("I", "word", "input words"),
             "4": ("M", "word", "memory words")}  # fmt: skip
"""First digit of an address of five or six digits (common practice): area, what is counted, in words."""
_TOKEN = re.compile(r"[A-Za-z]+|[0-9]+|[^A-Za-z0-9]+")
_LIKE = re.compile(r"%?[A-Za-z]{0,6}[: ]?[A-Za-z]{0,6}[0-9]+(?:[:./\-][A-Za-z]{0,4}[0-9]+){0,3}")


class Found(NamedTuple):
    """A pattern, how many cells it was made of, some of them, what is doubtful about it, and its first letters."""

    rule: AddressPattern
    cells: int
    examples: tuple[str, ...]
    remarks: tuple[str, ...]
    heads: tuple[str, ...] = ()


def is_address(cell: str) -> bool:
    """Whether a cell may be an address: short, letters first, then numbers with at most a sign between them."""
    if not re.fullmatch(r"[0-9]+", cell):
        return _LIKE.fullmatch(cell) is not None and len(cell) <= 20
    return len(cell) in (5, 6) and cell[0] in REGISTERS


def likeness(cells: Sequence[str]) -> float:
    """How much of a column looks like addresses, from 0 to 1; letters of which nobody knows an area count less."""
    score = 0.0
    for cell in cells:
        if is_address(cell):
            letters = re.search(r"[A-Za-z]+", cell)
            score += 1.0 if letters is None or letters[0].upper() in AREA_LETTERS else 0.6
    return score / len(cells)


def patterns(cells: Sequence[str]) -> list[Found]:
    """Patterns for cells that are in no known form, the most frequent shape first."""
    groups: dict[tuple[str, ...], list[list[str]]] = {}
    for cell in dict.fromkeys(cells):
        if is_address(cell):
            tokens = _TOKEN.findall(cell)
            groups.setdefault(_key(tokens), []).append(tokens)
    made = [
        _register(members) if key[0].startswith("register") else _pattern(key[0], members)
        for key, members in groups.items()
    ]
    return sorted((found for found in made if found), key=lambda f: (-f.cells, f.rule.pattern))


def _key(tokens: list[str]) -> tuple[str, ...]:
    """What cells of one group share: everything but the first letters and the numbers."""
    if len(tokens) == 1:
        return (f"register {tokens[0][0]} {len(tokens[0])}",)
    at = next((n for n, token in enumerate(tokens) if token.isalpha()), -1)
    head = tokens[at].upper() if at >= 0 else ""
    area = AREA_LETTERS.get(head, "")
    kind = "points" if head in POINTS else "words" if head in WORD_LETTERS else area if area in "TC" else "bits"
    return (kind, *("0" if t.isdigit() else "" if n == at else t.upper() for n, t in enumerate(tokens)))


def _register(members: list[list[str]]) -> Found:
    cells = [tokens[0] for tokens in members]
    area, count, words = REGISTERS[cells[0][0]]
    rule = AddressPattern(f"{cells[0][0]}(?P<{count}>[0-9]{{{len(cells[0]) - 1}}})", area=area, first=1)
    remark = f"{words} by their first digit, counted from 1: common practice, check both"
    return Found(rule, len(cells), tuple(cells[:3]), (remark,))


def _pattern(kind: str, members: list[list[str]]) -> Found | None:
    first = members[0]
    letters = [n for n, token in enumerate(first) if token.isalpha()]
    numbers = [[token for token in tokens if token.isdigit()] for tokens in members]
    size = _size(first, letters)
    names = _names(kind, numbers, size)
    if not letters or not names:
        return None
    heads = sorted({tokens[letters[0]].upper() for tokens in members})
    areas = {head: AREA_LETTERS.get(head, "") for head in heads}
    base, remarks = _base(kind, numbers)
    remarks += [f"say what {head} is: I, Q, M, T or C" for head, area in areas.items() if not area]
    remarks += ["whether the first number counts bytes or words is a guess"] if names[-1] == "bit" else []
    remarks += ["B is taken for single bits: write byte for number if it counts bytes"] if _bits(heads, names) else []
    rule = AddressPattern(
        _text(first, letters[0], heads, iter(names), base),
        area=areas[heads[0]] if len(heads) == 1 else "",
        areas=areas if len(heads) > 1 else {},
        size=size,
        base=base,
    )
    return Found(rule, len(members), tuple("".join(tokens) for tokens in members[:3]), tuple(remarks), tuple(heads))


def _bits(heads: Sequence[str], names: Sequence[str]) -> bool:
    return "B" in heads and names == ("number",)


def letters_of(found: Found, area: str) -> tuple[str, ...]:
    """The first letters of a pattern that stand for an area."""
    return tuple(head for head in found.heads if (found.rule.areas.get(head) or found.rule.area) == area)


def _size(first: Sequence[str], letters: Sequence[int]) -> str:
    """Size by the last letter of the second letters (``B5.BW2``), empty when they do not say it."""
    last = first[letters[1]][-1].upper() if len(letters) > 1 else ""
    return last if last in SIZES else ""


def _names(kind: str, numbers: Sequence[Sequence[str]], size: str) -> tuple[str, ...]:
    """What each number counts; empty when nothing likely is known."""
    count, highest = len(numbers[0]), max(int(row[-1]) for row in numbers)
    counted = "byte" if highest <= 7 else "word"
    if count == 1:
        return ("word",) if kind == "words" else ("number",)
    if size and size != "X":
        return ("block", "byte")[-count:] if count == 2 else ()
    if highest > 15:
        return ("block", "word" if kind == "words" else "number") if count == 2 else ()
    return {2: (counted, "bit"), 3: ("block", counted, "bit")}.get(count, ())


def _base(kind: str, numbers: Sequence[Sequence[str]]) -> tuple[int, list[str]]:
    """Octal where the letters allow it and many of the numbers show no 8 and no 9."""
    plain = all(set(number) <= set("01234567") for row in numbers for number in row)
    if kind != "points" or not plain or max(int(row[0]) for row in numbers) < 10:
        return 10, []
    if len(numbers) >= 8:
        return 8, ["no 8 and no 9 among them: taken as octal"]
    return 10, ["no 8 and no 9 among them: write base = 8 when they are octal"]


def _text(first: Sequence[str], head: int, heads: Sequence[str], names: Iterator[str], base: int) -> str:
    parts = []
    for n, token in enumerate(first):
        if token.isdigit():
            name = next(names)
            parts.append(f"(?P<{name}>[0-{7 if base == 8 else 9}]+)")
        elif n == head and len(heads) > 1:
            parts.append(f"(?P<area>{'|'.join(sorted(heads, key=lambda word: (-len(word), word)))})")
        else:
            parts.append(" ?" if token == " " else re.escape(token))
    return "".join(parts)
