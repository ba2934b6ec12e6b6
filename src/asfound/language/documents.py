"""Whole files of IEC 61131-3 text: POUs, namespaces, types, globals and configurations.

A declaration that cannot be read is a :class:`Problem` with its place, because half a declaration would hide a
change. A body never refuses the file: what it holds that nobody understands stays verbatim.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import msgspec

from asfound.language import bodies as b
from asfound.language import declarations as d
from asfound.language import pragmas
from asfound.language.cursor import Cursor
from asfound.language.near_keywords import Odd
from asfound.language.printer import MODIFIERS, POU_WORDS, declared
from asfound.language.token_stream import Item
from asfound.language.tokens import tokens
from asfound.model import program as p

NORMAL = "{normal 1}"
"""First line of a file in our normal form."""
STRAY = "text()"
"""Path of the extension that keeps text outside all declarations."""
MAX_NAMESPACES = 50
"""Namespaces inside each other; each is a few calls deep here."""
_KINDS = {word: kind for kind, word in POU_WORDS.items()}
STARTS = frozenset(("PROGRAM", "FUNCTION_BLOCK", "FUNCTION", "CLASS", "INTERFACE", "NAMESPACE", "TYPE", "USING")) | {
    "CONFIGURATION", "RESOURCE", "VAR_GLOBAL", "VAR_CONFIG", "VAR_ACCESS",
}  # fmt: skip
_ENDS = frozenset(f"END_{word}" for word in (*_KINDS, "ACTION", "TRANSITION", "STEP"))
_STOPS = _ENDS | {"ACTION", "METHOD", "PROPERTY", "INITIAL_STEP", "STEP", "TRANSITION"}


@dataclass
class Found:
    """What a file holds, filled while it is read."""

    pous: list[p.Pou] = field(default_factory=list)
    types: list[p.DataType] = field(default_factory=list)
    globals: list[p.GlobalList] = field(default_factory=list)
    resources: list[p.Resource] = field(default_factory=list)
    extensions: list[p.Extension] = field(default_factory=list)


def declares(text: str) -> bool:
    """Whether a text has a declaration keyword outside comments, strings and pragmas, at the start of an item."""
    before, candidate = "SEMI", ""
    for token in tokens(text):
        if token.kind in ("COMMENT", "PRAGMA"):
            continue
        if candidate and (token.kind == "NAME" or candidate.startswith("VAR")):
            return True
        starts = before == "SEMI" or before.startswith("END_")
        candidate = token.word if token.kind == "NAME" and token.word in STARTS and starts else ""
        before = token.word if token.word.startswith("END_") else token.kind
    return False


def parse_program(text: str, name: str, dialect: bool = False, odd: list[Odd] | None = None) -> p.Program:
    """Everything that a file of IEC 61131-3 text declares.

    ``odd`` is given what was understood though it is not written as it has to be.

    ``name`` is the file name, used in messages and for globals without a name. Raises
    :class:`~asfound.model.problem.Problem` with line, column and what was expected when a declaration cannot be read;
    bodies never refuse the file. A file that starts with ``{normal 1}`` (or ``dialect``) is in our normal form.
    """
    normal = dialect or any(
        pragma is not None and pragma.word == "normal"
        for token in tokens(text[:200])
        if token.kind == "PRAGMA" and (pragma := pragmas.parse(token.text))
    )
    c = Cursor(text, name, normal)
    if normal and c.asides[0] and c.asides[0][0].text == NORMAL:
        c.asides[0].pop(0)
    found = Found()
    _items(c, found, "")
    if odd is not None:
        odd += c.odd
    rest = c.metas(everything=True)
    heading = p.Heading(comment=rest.comment)
    extra = tuple(p.Extension("pragma", text) for text in rest.pragmas) + rest.extensions
    return p.Program(
        heading, tuple(found.pous), tuple(found.types), tuple(found.globals), tuple(found.resources), (),
        (*found.extensions, *extra),
    )  # fmt: skip


def _items(c: Cursor, found: Found, namespace: str) -> None:
    while c.peek().kind != "END" and c.peek().word != "END_NAMESPACE":
        c.forget()
        word = c.peek().word
        if c.place("globals"):
            found.globals.append(_named_globals(c))
        elif word in _KINDS and word not in ("GET", "SET"):
            found.pous.append(pou(c, namespace))
        elif word == "TYPE":
            found.types += d.data_types(c, namespace)
        elif word in ("VAR_GLOBAL", "VAR_CONFIG", "VAR_ACCESS"):
            _loose_globals(c, found)
        elif word == "NAMESPACE":
            _namespace(c, found, namespace)
        elif word == "USING":
            found.extensions.append(_using(c))
        elif word == "CONFIGURATION":
            _configuration(c, found)
        elif word == "RESOURCE":
            resource, lists = d.resource(c, "")
            found.resources.append(resource)
            found.globals += lists
        else:
            _stray(c, found)


def _stray(c: Cursor, found: Found) -> None:
    """Text outside all declarations is kept: exporters append things, and a comment may end too early."""
    if c.dialect or not (found.pous or found.types or found.globals or found.resources):
        c.fail("PROGRAM, FUNCTION_BLOCK, FUNCTION, TYPE, VAR_GLOBAL or CONFIGURATION")
    first = c.peek().start
    while c.peek().kind != "END" and not (
        c.peek().word in STARTS | {"END_NAMESPACE"} and not c.same_line() and c.peek(1).kind in ("NAME", "END", "SEMI")
    ):
        c.next()
    rest = c.peek().start if c.peek().kind != "END" else len(c.text)
    c.pending = []
    c.asides[c.at] = []
    found.extensions.append(p.Extension(STRAY, c.text[first:rest].strip()))


def _namespace(c: Cursor, found: Found, outer: str) -> None:
    c.next()
    internal = c.accept("INTERNAL")
    name = c.identifier("a namespace name")
    whole = f"{outer}.{name}" if outer else name
    if whole.count(".") >= MAX_NAMESPACES:
        c.fail(f"END_NAMESPACE, at most {MAX_NAMESPACES} namespaces inside each other,")
    if internal:
        found.extensions.append(p.Extension("NAMESPACE INTERNAL", whole))
    _items(c, found, whole)
    c.expect("END_NAMESPACE", "END_NAMESPACE")


def _using(c: Cursor) -> p.Extension:
    c.next()
    text = c.slice(("SEMI",))
    c.expect("SEMI", "';'")
    return p.Extension("USING", text)


def _named_globals(c: Cursor) -> p.GlobalList:
    head = c.next().pragma
    about = c.metas()
    assert head is not None
    variables = d.blocks(c)
    return p.GlobalList(head.value, head.get("scope"), variables, about.comment, about.pragmas, about.extensions)


def _loose_globals(c: Cursor, found: Found) -> None:
    stem = c.name.rpartition("/")[2].rpartition("\\")[2]
    stem = stem.rpartition(".")[0] or stem
    variables = d.blocks(c, "VAR_GLOBAL", "VAR_CONFIG", "VAR_ACCESS")
    last = found.globals[-1] if found.globals else None
    if last is not None and last.name == stem and not last.scope:
        found.globals[-1] = msgspec.structs.replace(last, variables=last.variables + variables)
    else:
        found.globals.append(p.GlobalList(stem, "", variables))


def _configuration(c: Cursor, found: Found) -> None:
    c.next()
    name = c.identifier("a configuration name")
    about = c.metas()
    tasks: tuple[p.Task, ...] = ()
    instances: tuple[p.Instance, ...] = ()
    variables: tuple[p.VariableDeclaration, ...] = ()
    kind = ""
    while not c.accept("END_CONFIGURATION"):
        if c.peek().word == "RESOURCE":
            resource, lists = d.resource(c, name)
            found.resources.append(resource)
            found.globals += lists
        elif c.peek().word in ("TASK", "PROGRAM"):
            more = d.tasks_and_instances(c, name)
            tasks, instances = tasks + more[0], instances + more[1]
        elif c.peek().word in d.BLOCKS:
            variables += d.blocks(c)
        elif c.accept("ON"):
            kind = c.slice((), one_line=True)
        else:
            c.fail("VAR_GLOBAL, RESOURCE, TASK, PROGRAM or END_CONFIGURATION")
    if variables:
        found.globals.append(p.GlobalList(name, name, variables, about.comment, about.pragmas))
    elif about.comment or about.pragmas:
        texts = [about.comment, *about.pragmas]
        found.extensions += [p.Extension(f"CONFIGURATION {name}", text) for text in texts if text]
    if tasks or instances or kind:
        found.resources.append(p.Resource(name, "", kind, tasks, instances))


def pou(c: Cursor, namespace: str = "") -> p.Pou:
    """One POU, method, property or accessor."""
    word = c.next().word
    given: dict[str, Any] = {"kind": _KINDS[word], "modifiers": _modifiers(c)}
    accessor = word in ("GET", "SET") and not c.dialect
    given["name"] = word if accessor else c.identifier("a name")
    _head(c, given)
    about = c.metas(everything=c.peek().word in d.BLOCKS)
    given["namespace"] = about.value("namespace", namespace)
    given |= {"comment": about.comment, "pragmas": about.pragmas, "extensions": about.extensions}
    parts, outside = _Parts(), c.declared
    while not c.accept(f"END_{word}"):
        _part(c, word, parts)
        c.forget()
    c.declared = outside
    if c.pending and not c.dialect:
        late = c.metas()
        given["comment"] = " ".join(text for text in (given["comment"], late.comment) if text)
        given["pragmas"] += late.pragmas
    given["extensions"] += tuple(parts.extensions)
    return p.Pou(**given, **parts.done())


@dataclass
class _Parts:
    variables: list[p.VariableDeclaration] = field(default_factory=list)
    bodies: list[p.Body] = field(default_factory=list)
    actions: list[p.Action] = field(default_factory=list)
    transitions: list[p.Action] = field(default_factory=list)
    members: list[p.Pou] = field(default_factory=list)
    extensions: list[p.Extension] = field(default_factory=list)

    def done(self) -> dict[str, Any]:
        """Fields of the unit, all but its extensions."""
        return {key: tuple(value) for key, value in vars(self).items() if key != "extensions"}


def _modifiers(c: Cursor) -> tuple[str, ...]:
    found: list[str] = []
    while (place := c.place("modifier")) or (c.peek().word in MODIFIERS and c.peek(1).kind in ("NAME", "PRAGMA")):
        item = c.next()
        found.append(item.pragma.value if place and item.pragma else item.word)
    return tuple(found) if c.dialect else tuple(sorted(found))


def _head(c: Cursor, given: dict[str, Any]) -> None:
    stops = ("EXTENDS", "IMPLEMENTS", "SEMI", *d.BLOCKS)
    if c.accept("COLON"):
        given["result"] = d.type_of(c, c.slice(stops, one_line=True) if c.dialect else c.type_text())
        if not given["result"]:
            c.fail("a type")
    if c.accept("EXTENDS"):
        given["extends"] = c.slice(stops, True) if c.dialect else ", ".join(c.names())
    names: list[str] = []
    if not c.dialect and c.accept("IMPLEMENTS"):
        names += c.names()
    elif c.accept("IMPLEMENTS"):
        names.append(c.slice((*stops, "COMMA"), one_line=True))
        while c.accept("COMMA"):
            names.append(c.slice((*stops, "COMMA"), one_line=True))
    given["implements"] = tuple(names)
    c.accept("SEMI")


def _is_member(c: Cursor, owner: str) -> bool:
    word = c.peek().word
    if c.dialect:
        return word in _KINDS
    if word in ("GET", "SET"):
        return owner == "PROPERTY"
    return word in ("METHOD", "PROPERTY") and c.peek(1).kind == "NAME"


def _behind_name(c: Cursor) -> Item:
    """What comes after a keyword and a name, dotted or not."""
    ahead = 2
    while c.dialect and c.peek(ahead).kind == "MEMBER":
        ahead += 1
    return c.peek(ahead)


def _part(c: Cursor, word: str, parts: _Parts) -> None:
    here = c.peek()
    named = c.peek(1).kind == "NAME"
    if here.kind == "END":
        c.fail(f"END_{word}")
    if here.word in d.BLOCKS:
        parts.variables += (found := d.block(c))
        c.declared = declared(found, c.declared) if c.dialect else {}
    elif _is_member(c, word):
        parts.members.append(pou(c))
    elif here.word == "ACTION" and named:
        parts.actions.append(_action(c, "END_ACTION"))
    elif here.word == "TRANSITION" and named and _behind_name(c).kind == "COLON":
        parts.transitions.append(_action(c, "END_TRANSITION"))
    elif here.word == "USING" and named and not c.dialect:
        parts.extensions.append(_using(c))
    elif c.place("body"):
        parts.bodies += b.bodies(c, frozenset((f"END_{word}",)))
    elif b.starts_chart(c):
        _chart(c, parts)
    else:
        _code(c, word, parts)


def _chart(c: Cursor, parts: _Parts) -> None:
    found = b.chart(c)
    last = parts.bodies[-1] if parts.bodies else None
    if last is not None and last.chart is not None:
        steps, transitions = last.chart.steps + found.steps, last.chart.transitions + found.transitions
        found = msgspec.structs.replace(last.chart, steps=steps, transitions=transitions)
        parts.bodies.pop()
    parts.bodies.append(p.Body("SFC", chart=found))


def _code(c: Cursor, word: str, parts: _Parts) -> None:
    at = c.at
    body = b.plain_body(c, _STOPS)
    if c.at == at and c.peek().word != f"END_{word}":
        c.fail(f"END_{word}")
    if body is not None:
        parts.bodies.append(body)
    if c.peek().word in _ENDS and c.peek().word != f"END_{word}":
        c.fail(f"END_{word}")


def _action(c: Cursor, end: str) -> p.Action:
    c.next()
    name = c.identifier("an action name")
    if not c.accept("COLON"):  # many exports leave it out
        if c.dialect:
            c.fail("':'")
        what = f"':' is missing after the name of {end.removeprefix('END_').lower()} {name}"
        c.odd.append(Odd(what, "as if it stood there", c.peek().start))
    about = c.metas()
    if c.place("body"):
        found: tuple[p.Body, ...] = b.bodies(c, frozenset((end,)))
    else:
        body = b.plain_body(c, frozenset((end, "INITIAL_STEP", "STEP"))) if not b.starts_chart(c) else None
        found = (body,) if body else ((p.Body("SFC", chart=b.chart(c)),) if b.starts_chart(c) else ())
    c.expect(end, end)
    return p.Action(name, found[0] if found else p.Body("ST"), about.comment, about.extensions)
