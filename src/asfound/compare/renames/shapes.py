"""The shape of a piece of a program: all that it says but the names that only one side knows.

Two pieces of one shape say the same in other names, and at the same place of both stands one thing. Cost: linear.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import Literal as Choice
from typing import NamedTuple

from msgspec.structs import fields, replace

from asfound.analysis.leaves import of_body
from asfound.analysis.places import top
from asfound.compare.renames.items import PATHS
from asfound.language.walk import every_body, every_pou
from asfound.model import logic as m
from asfound.model import program as p
from asfound.model.copy import Copy

Role = Choice["type", "name", "member"]
"""What a name stands for where it stands; a variable is often called like its type, or like the pin it feeds."""
Word = tuple[Role, str]
Names = dict[Role, frozenset[str]]
_ROLES: dict[tuple[type, str], Role] = {
    (m.Variable, "name"): "name",
    (m.Member, "name"): "member",
    (m.Argument, "name"): "member",
    (m.Call, "type"): "type",
    (p.VariableDeclaration, "name"): "name",
    (p.Instance, "type"): "type",
}
_TEXTS: dict[tuple[type, str], Role] = {
    (p.VariableDeclaration, "type"): "type",
    (p.VariableDeclaration, "initial"): "name",
    (m.Verbatim, "text"): "name",
    (m.Unparsed, "text"): "name",
}
_SILENT = frozenset(("comment", "extensions", "pragmas", "origin", "task"))
_WORD = re.compile(r"[^\W\d]\w*")
_TYPED = re.compile(r"([^\W\d]\w*)#(\w+)")


class Piece(NamedTuple):
    """A declaration, a statement or the head of one: its shape, and the open names in it, folded, as they stand."""

    shape: str
    words: tuple[Word, ...]
    declares: bool = True


def declared(copy: Copy) -> Names:
    """Folded names of all that a copy declares, by what they can stand for."""
    program = copy.program
    types = {t.name for t in program.types} | {pou.name for pou in program.pous}
    members = {v.name for t in program.types for v in t.members} | {v.name for t in program.types for v in t.values}
    for pou in every_pou(program.pous):
        members |= {v.name for v in pou.variables} | {m.name for m in pou.members}
        members |= {a.name for a in (*pou.actions, *pou.transitions)}
        members |= {s.name for body in every_body(pou) if body.chart is not None for s in body.chart.steps}
    members |= {v.name for block in program.globals for v in block.variables}
    members |= {tag.name for table in copy.tables for tag in table.tags}
    found: Names = {"type": _folded(types), "member": _folded(members)}
    return {**found, "name": found["type"] | found["member"]}


def _folded(names: Iterable[str]) -> frozenset[str]:
    return frozenset(name.lower() for name in names)


def of_pou(pou: p.Pou, open: Names) -> list[Piece]:
    """All that a POU says, without its members and actions."""
    head = [_of_words("type", "head", text, open) for text in (pou.result, pou.extends, *pou.implements) if text]
    return [*head, *(piece(v, open) for v in pou.variables), *(x for body in pou.bodies for x in _of_body(body, open))]


def of_action(action: p.Action, open: Names) -> list[Piece]:
    """All that an action, or a transition with a name, says."""
    return [_of_words("name", "action", action.name, open), *_of_body(action.body, open)]


def _of_body(body: p.Body, open: Names) -> Iterator[Piece]:
    yield from (_of_words("name", "step", step.name, open) for step in (body.chart.steps if body.chart else ()))
    yield from (piece(leaf.statement, open)._replace(declares=False) for leaf in of_body(body, top(""), ()))


def of_type(type: p.DataType, open: Names) -> list[Piece]:
    """All that a type says."""
    base = [_of_words("type", type.kind, type.base, open)] if type.base else []
    values = [_of_words("name", f"value {v.value}", v.name, open) for v in type.values]
    return [*base, *(piece(v, open) for v in type.members), *values]


def _of_words(role: Role, what: str, text: str, open: Names) -> Piece:
    words: list[Word] = []
    return Piece(f"{what} {_opened(text, role, open, words)}", tuple(words))


def piece(node: m.Node, open: Names) -> Piece:
    """The shape of one node with all that stands in it."""
    words: list[Word] = []
    said: list[str] = []
    _say(node, open, said, words)
    return Piece(" ".join(said), tuple(words))


def _say(node: object, open: Names, said: list[str], words: list[Word]) -> None:
    if isinstance(node, tuple):
        said.append("(")
        for each in node:
            _say(each, open, said, words)
        said.append(")")
    elif isinstance(node, m.Literal):
        said.append(_TYPED.sub(lambda found: _typed(found, open, words), node.text))
    elif isinstance(node, m.Node):
        said.append(type(node).__name__)
        for field, role, text in _fields(type(node)):
            value = getattr(node, field)
            if role and isinstance(value, str):
                said.append(_opened(value, role, open, words) if text else _one(value, role, open, words))
            else:
                _say(value, open, said, words)
    else:
        said.append(repr(node))


@cache
def _fields(kind: type[m.Node]) -> tuple[tuple[str, Role | None, bool], ...]:
    names = [field.name for field in fields(kind) if field.name not in _SILENT]
    return tuple((n, _ROLES.get((kind, n)) or _TEXTS.get((kind, n)), (kind, n) in _TEXTS) for n in names)


def _one(word: str, role: Role, open: Names, words: list[Word]) -> str:
    key = word.lower()
    if key not in open[role]:
        return key
    words.append((role, key))
    return f"?{role}"


def _opened(text: str, role: Role, open: Names, words: list[Word]) -> str:
    return _WORD.sub(lambda found: _one(found.group(), role, open, words), text)


def _typed(found: re.Match[str], open: Names, words: list[Word]) -> str:
    """``Mode#AUTO``; ``T#5s`` is a duration, whatever is called ``T``."""
    type, value = found.groups()
    return (
        f"{_one(type, 'type', open, words)}#{_one(value, 'member', open, words)}"
        if not value[0].isdigit()
        else found.group()
    )


def of_program(copy: Copy, open: Names) -> list[Piece]:
    """What stands in no POU and no type: global variables, and which program runs."""
    variables = (v for block in copy.program.globals for v in block.variables if v.section not in PATHS)
    instances = (i for resource in copy.program.resources for i in resource.instances)
    return [*(piece(v, open) for v in variables), *(piece(i, open)._replace(declares=False) for i in instances)]


Own = Mapping[str, tuple[str, str]]
"""What is declared in a scope, by folded name: what another has to be to be the same thing, and the name as written."""


def own_of_pou(pou: p.Pou, open: Names) -> Own:
    """What a POU declares itself, without its members."""
    named = [*(("transition", t.name) for t in pou.transitions), *(("action", a.name) for a in pou.actions)]
    found = {name.lower(): (kind, name) for kind, name in named}
    return (
        {key: step for body in pou.bodies for key, step in own_of_body(body).items()}
        | found
        | _variables((v for v in pou.variables if v.section != "external"), open)
    )


def own_of_body(body: p.Body) -> Own:
    """Steps."""
    return {s.name.lower(): ("step", s.name) for s in (body.chart.steps if body.chart else ())}


def own_of_type(type: p.DataType, open: Names) -> Own:
    """Members and values."""
    return _variables(type.members, open) | {v.name.lower(): (f"value {v.value}", v.name) for v in type.values}


def own_of_program(copy: Copy, open: Names) -> Own:
    """Global variables and tags."""
    tags = (tag for table in copy.tables for tag in table.tags)
    variables = (v for block in copy.program.globals for v in block.variables if v.section not in PATHS)
    return {t.name.lower(): (f"tag {t.type} {t.address}".lower(), t.name) for t in tags} | _variables(variables, open)


def _variables(variables: Iterable[p.VariableDeclaration], open: Names) -> dict[str, tuple[str, str]]:
    return {v.name.lower(): (piece(replace(v, initial=""), open).shape, v.name) for v in variables}
