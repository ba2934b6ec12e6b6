"""Declarations from text: variable blocks, user types, configurations with their tasks and program instances."""

from __future__ import annotations

from typing import Any

import msgspec

from asfound.language import addresses, types
from asfound.language.cursor import Cursor, Metas
from asfound.language.printer import EDGES, MODIFIERS, RETAINS, SECTIONS, kind_of
from asfound.model import program as p

BLOCKS = {word: section for section, word in SECTIONS.items()} | {"VAR_INST": "local", "VAR_STAT": "local"}
_KEPT_ALIVE = frozenset(("VAR_INST", "VAR_STAT"))
"""Local variables that outlive a call, unlike those of ``VAR`` in a method or function."""
_RETAINED = {word: key for key, word in RETAINS.items()}
_EDGED = {word: key for key, word in EDGES.items()}
_ACCESS = MODIFIERS | {"READ_ONLY", "READ_WRITE"}
_FLAGS = _ACCESS | frozenset(_RETAINED) | {"CONSTANT", "PERSISTENT"}
_TYPE_ENDS = ("SEMI", "ASSIGN", "COLON", *_EDGED)


def type_of(c: Cursor, text: str) -> str:
    """The type as the model keeps it."""
    return text if c.dialect else types.canonical_type(text)


def initial_of(c: Cursor, text: str, kind: str) -> str:
    """The initial value as the model keeps it."""
    return text if c.dialect else types.initial(text, kind)


def blocks(c: Cursor, *words: str) -> tuple[p.VariableDeclaration, ...]:
    """All ``VAR`` blocks that come next (of these words only, when given), in one list."""
    found: list[p.VariableDeclaration] = []
    while c.peek().word in (words or BLOCKS):
        found += block(c)
    return tuple(found)


def block(c: Cursor) -> list[p.VariableDeclaration]:
    """One ``VAR ... END_VAR``."""
    word = c.next().word
    common: dict[str, Any] = {"section": BLOCKS[word]}
    if word in _KEPT_ALIVE:
        common["extensions"] = (p.Extension("section", word),)
    while c.place("modifier") or (c.peek().word in _FLAGS and c.peek(1).kind not in ("COLON", "COMMA", "DIRECT")):
        item = c.next()
        if item.pragma is not None:
            common["access"] = item.pragma.value
        elif item.word in _RETAINED:
            common["retain"] = _RETAINED[item.word]
        elif item.word in _ACCESS:
            common["access"] = item.word
        else:
            common[item.word.lower()] = True
    found: list[p.VariableDeclaration] = []
    while not c.accept("END_VAR"):
        found += variable(c, common)
    return found


def variable(c: Cursor, common: dict[str, Any]) -> list[p.VariableDeclaration]:
    """``a, b AT address : type := initial;`` with the comment around it."""
    names = [] if c.peek().word == "AT" and c.peek(1).kind == "DIRECT" else [c.identifier("a variable name")]
    while c.accept("COMMA"):
        names.append(c.identifier("a variable name"))
    given = dict(common)
    if c.accept("AT") or c.peek().kind == "DIRECT":
        given["address"] = _address(c, c.slice(("COLON", "SEMI")))
    c.expect("COLON", "':' and a type")
    text = c.slice(_TYPE_ENDS if not c.dialect else ("SEMI", "ASSIGN", *_EDGED))
    if text and given.get("section") == "access" and c.accept("COLON"):  # VAR_ACCESS: name : path : type READ_ONLY
        given["address"], text = text, c.slice(_TYPE_ENDS)
    if edge := c.accept(*_EDGED):
        given["edge"] = _EDGED[edge.word]
    text = text if c.dialect else _suffix(text, given)
    if not text and not c.dialect:  # an export may leave a type out; its normal form then says so
        c.fail("a type")
    kind = type_of(c, text)
    if c.accept("ASSIGN"):
        given["initial"] = initial_of(c, _value(c), kind)
    c.expect("SEMI", "';'")
    about = c.metas()
    given |= {"comment": about.comment, "pragmas": about.pragmas} | _unusual(about)
    given["extensions"] = (*given.get("extensions", ()), *about.extensions)
    return [p.VariableDeclaration(name=name, type=kind, **given) for name in names or [""]]


def _value(c: Cursor) -> str:
    """Text of an initial value."""
    return c.slice(("SEMI",)) or c.fail("a value")


def _address(c: Cursor, text: str) -> str:
    return text if c.dialect else addresses.canonical(text)


def _suffix(text: str, given: dict[str, Any]) -> str:
    head, _, last = text.rpartition(" ")
    if not head or last.upper() not in ("READ_ONLY", "READ_WRITE"):
        return text
    given["access"] = last.upper()
    return head.strip()


def _unusual(about: Metas) -> dict[str, Any]:
    found = about.named.get("variable", [])
    result: dict[str, Any] = {}
    for key, value in found[0].named if found else ():
        result[key] = bool(value) if key in ("constant", "persistent") else value
    return result


def data_types(c: Cursor, namespace: str = "") -> list[p.DataType]:
    """``TYPE ... END_TYPE``, or the inside of it up to the end of the text."""
    found: list[p.DataType] = []
    inside = c.accept("TYPE") is not None
    modifiers: tuple[str, ...] = ()
    while inside and c.peek().word in MODIFIERS and c.peek(1).kind == "NAME":
        modifiers += (c.next().word,)
    while not (c.accept("END_TYPE") if inside else c.peek().kind == "END"):
        kind = _data_type(c, namespace)
        found.append(msgspec.structs.replace(kind, pragmas=modifiers + kind.pragmas) if modifiers else kind)
    return found


def _data_type(c: Cursor, namespace: str) -> p.DataType:
    given: dict[str, Any] = {"name": c.identifier("a type name")}
    if not c.dialect and c.accept("EXTENDS"):
        given["base"] = c.slice(("COLON",))
    c.expect("COLON", "':' and a type")
    word = c.peek().word
    if word in ("STRUCT", "UNION"):
        _structure(c, given, word)
    elif c.peek().kind == "LP":
        _enumeration(c, given)
    else:
        given["base"] = type_of(c, c.slice(("SEMI", "ASSIGN")))
        given["kind"] = kind_of(given["base"])
        if not c.dialect and given["base"].endswith(")") and given["kind"] == "alias":
            _typed_enumeration(given)
    if c.accept("ASSIGN"):
        given["initial"] = initial_of(c, c.slice(("SEMI",)), given.get("base", ""))
    if not c.accept("SEMI") and (c.dialect or given["kind"] not in ("struct", "union")):
        c.fail("';'")
    about = c.metas()
    given["kind"] = about.value("kind", given["kind"])
    given["pragmas"] = given.get("pragmas", ()) + about.pragmas
    return p.DataType(
        **given, namespace=about.value("namespace", namespace), comment=about.comment, extensions=about.extensions
    )


def _structure(c: Cursor, given: dict[str, Any], word: str) -> None:
    c.next()
    given["kind"] = word.lower()
    if c.accept("OVERLAP"):
        given["pragmas"] = ("OVERLAP",)
    if c.accept("EXTENDS"):
        given["base"] = c.slice((), one_line=True) if c.dialect else c.identifier("a type name")
    members: list[p.VariableDeclaration] = []
    while not c.accept(f"END_{word}"):
        members += variable(c, {"section": "member"})
    given["members"] = tuple(members)


def _enumeration(c: Cursor, given: dict[str, Any]) -> None:
    c.next()
    given["kind"] = "enum"
    values: list[p.EnumValue] = []
    while not c.accept("RP"):
        name = c.identifier("an enumeration value")
        value = initial_of(c, c.slice(("COMMA", "RP")), "") if c.accept("ASSIGN") else ""
        if not c.accept("COMMA") and c.peek().kind != "RP":
            c.fail("',' or ')'")
        values.append(p.EnumValue(name, value, c.metas().comment))
    given["values"] = tuple(values)
    given["base"] = type_of(c, c.slice(("SEMI", "ASSIGN")))


def _typed_enumeration(given: dict[str, Any]) -> None:
    """``INT (A, B := 2)``: the edition of 2013 puts the based type in front."""
    base, _, inside = given["base"].partition("(")
    parts = [part.partition(":=") for part in inside[:-1].split(",")]
    names = [name.strip() for name, _, _ in parts]
    if all(name.isidentifier() for name in names):
        values = zip(names, parts, strict=True)
        given["values"] = tuple(p.EnumValue(name, types.initial(part[2])) for name, part in values)
        given["kind"], given["base"] = "enum", base.strip()


_INSIDE_RESOURCE = ("TASK", "PROGRAM", "END_RESOURCE", "VAR_GLOBAL", "VAR_ACCESS", "VAR_CONFIG")
"""What may follow the type of a resource on the same line."""


def resource(c: Cursor, scope: str) -> tuple[p.Resource, list[p.GlobalList]]:
    """``RESOURCE name ON type ... END_RESOURCE``."""
    c.next()
    name = c.identifier("a resource name")
    kind = c.slice(() if c.dialect else _INSIDE_RESOURCE, one_line=True) if c.accept("ON") else ""
    about = c.metas()
    scope = about.value("scope", "" if c.dialect else scope)
    own = f"{scope}/{name}" if scope else name
    variables = blocks(c)
    tasks, instances = tasks_and_instances(c, own)
    c.expect("END_RESOURCE", "TASK, PROGRAM or END_RESOURCE")
    found = p.Resource(name, scope, kind, tasks, instances, about.comment, about.extensions)
    return found, [p.GlobalList(name, own, variables)] if variables else []


def tasks_and_instances(c: Cursor, scope: str) -> tuple[tuple[p.Task, ...], tuple[p.Instance, ...]]:
    """The ``TASK`` and ``PROGRAM`` lines that come next."""
    tasks: list[p.Task] = []
    instances: list[p.Instance] = []
    while c.peek().word in ("TASK", "PROGRAM"):
        if c.peek().word == "TASK":
            tasks.append(_task(c, scope))
        else:
            instances.append(_instance(c))
    return tuple(tasks), tuple(instances)


def _task(c: Cursor, scope: str) -> p.Task:
    c.next()
    name = c.identifier("a task name")
    given: dict[str, str] = {}
    others: list[p.Setting] = []
    if c.accept("LP"):
        while not c.accept("RP"):
            key = c.identifier("SINGLE, INTERVAL or PRIORITY")
            c.expect("ASSIGN", "':='")
            value = initial_of(c, c.slice(("COMMA", "RP")), "")
            if key.upper() in ("SINGLE", "INTERVAL", "PRIORITY"):
                given[key.lower()] = value
            else:
                others.append(p.Setting(key, value))
            if not c.accept("COMMA") and c.peek().kind != "RP":
                c.fail("',' or ')'")
    c.expect("SEMI", "';'")
    about = c.metas()
    return p.Task(
        name, about.value("scope", scope), **given, kind=about.value("kind"), settings=(*others, *about.settings()),
        comment=about.comment, extensions=about.extensions,
    )  # fmt: skip


def _instance(c: Cursor) -> p.Instance:
    c.next()
    retained = c.next().word if c.peek().word in _RETAINED and c.peek(1).kind == "NAME" else ""
    name = c.identifier("an instance name")
    task = c.slice(("COLON", "SEMI")) if c.accept("WITH") else ""
    c.expect("COLON", "':' and a program type")
    kind = c.slice(("SEMI",) if c.dialect else ("SEMI", "LP"))
    arguments = c.slice(("SEMI",))
    c.expect("SEMI", "';'")
    about = c.metas()
    extra: tuple[p.Extension, ...] = (p.Extension("arguments", arguments),) if arguments else ()
    extra += (p.Extension("retain", retained),) if retained else ()
    return p.Instance(name, kind, task, about.comment, (*about.extensions, *extra))
