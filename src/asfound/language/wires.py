"""Wires without a name in the normal form: they get one from where they come from, told on a line of its own.

``{wire LT_OUT from LT.OUT}`` stands before the statements that use it, so that these are plain IEC text.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TypeVar

from asfound.language import pragmas
from asfound.language.pragmas import Pragma, quote
from asfound.language.tokens import is_identifier
from asfound.language.walk import rewrite
from asfound.model.logic import Expression, Statement, Temporary, Variable

C = TypeVar("C", Expression, Statement)
_WIRE = re.compile(
    r"\(\*.*?\*\)|'(?:[^'$\r\n]|\$[^\r\n])*'|(?P<wire>\{wire (?:\"(?:[^\"$]|\$.)*\" ?)+\})"
    r"|\{(?:[^{}\"]|\"(?:[^\"$]|\$.)*\")*\}|\"(?:[^\"$\r\n]|\$[^\r\n])*\"",
    re.DOTALL,
)


_PLAIN = r"[\w.]+"


def numbered(statements: Sequence[Statement]) -> tuple[Statement, ...]:
    """Wires of one network numbered from 1 in order of appearance; those that come from the like are told apart.

    >>> from asfound.model.logic import Assign, Variable
    >>> two = Assign(Variable("a"), Temporary(7, "LT.OUT")), Assign(Variable("b"), Temporary(9, "LT.OUT"))
    >>> numbered(two)[1].value
    Temporary(number=2, origin='LT_2.OUT')
    """
    found: dict[int, Temporary] = {}
    alike: Counter[str] = Counter()

    def fresh(e: Expression) -> Expression | None:
        if not isinstance(e, Temporary):
            return None
        if e.number not in found:
            alike[e.origin.lower()] += 1
            block, dot, pin = e.origin.rpartition(".") if "." in e.origin else (e.origin, "", "")
            again = f"_{alike[e.origin.lower()]}" if e.origin and alike[e.origin.lower()] > 1 else ""
            found[e.number] = Temporary(len(found) + 1, f"{block}{again}{dot}{pin}")
        return found[e.number]

    return tuple(rewrite(statement, fresh) for statement in statements)


def named(lines: Sequence[str]) -> tuple[list[str], list[str]]:
    """What tells the wires of some statements, and the lines with a name for each; names that occur are avoided.

    >>> named(['b := {wire "1" "result"};'])
    (['{wire result from result}'], ['b := result;'])
    """
    if not any("{wire " in line for line in lines):
        return [], list(lines)
    around = (_WIRE.sub(lambda found: "" if found["wire"] else found.group(), line) for line in lines)
    taken = {word.lower() for line in around for word in re.findall(r"\w+", line)}
    names: dict[str, str] = {}
    heads: list[str] = []

    def name(found: re.Match[str]) -> str:
        text = found["wire"]
        if text is None:
            return found.group()
        if text not in names:
            wire = pragmas.parse(text)
            assert wire is not None
            names[text] = _free(wire, taken)
            heads.append(_head(wire, names[text], len(names)))
        return names[text]

    changed = [_WIRE.sub(name, line) for line in lines]
    return heads, changed


def _free(wire: Pragma, taken: set[str]) -> str:
    number, *origin = wire.values
    base = re.sub(r"\W+", "_", origin[0]).strip("_") if origin else ""
    base = base if is_identifier(base) else f"wire_{base or number}"
    tried = (f"{base}_{n}" if n > 1 else base for n in range(1, len(taken) + 2))
    free = next(each for each in tried if each.lower() not in taken)
    taken.add(free.lower())
    return free


def _head(wire: Pragma, name: str, place: int) -> str:
    number, *origin = wire.values
    came = f" from {origin[0] if re.fullmatch(_PLAIN, origin[0]) else quote(origin[0])}" if origin else ""
    counted = "" if number == str(place) else f" number={number}"
    return f"{{wire {name}{came}{counted}}}"


def told(heads: Iterable[Pragma]) -> dict[str, Temporary]:
    """The wires by the names they have in the statements below."""
    found = {}
    for place, head in enumerate(heads, 1):
        number = head.get("number")
        found[head.value] = Temporary(int(number) if number.isdecimal() else place, "".join(head.values[2:3]))
    return found


def unnamed(code: C, wires: dict[str, Temporary]) -> C:
    """Code with the wires in place of their names."""
    if not wires:
        return code
    return rewrite(code, lambda e: wires.get(e.name) if isinstance(e, Variable) else None)
