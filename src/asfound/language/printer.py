"""Model to text: POUs, types, globals and resources in the normal form (statements: see statement_printer.py).

The text is IEC 61131-3 with our pragmas for whatever the standard has no syntax for. What belongs to an object
(comment, pragmas, extension data) follows its head line, or the ``;`` of an object that is one line. Rungs and
networks are not numbered, so that a new one touches only its own lines.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from itertools import groupby
from types import MappingProxyType

import msgspec

from asfound.language import doubts, wires
from asfound.language.charts import chart
from asfound.language.declared import name, words
from asfound.language.grammar_input import UNKNOWN_TYPE
from asfound.language.pragmas import pragma, quote
from asfound.language.statement_printer import INDENT, comment, lines
from asfound.model import program as p
from asfound.model.logic import Call, Statement, Variable

POU_WORDS = {
    "program": "PROGRAM", "function_block": "FUNCTION_BLOCK", "function": "FUNCTION", "class": "CLASS",
    "interface": "INTERFACE", "method": "METHOD", "property": "PROPERTY", "get": "GET", "set": "SET",
}  # fmt: skip
SECTIONS = {
    "input": "VAR_INPUT", "output": "VAR_OUTPUT", "in_out": "VAR_IN_OUT", "local": "VAR", "temp": "VAR_TEMP",
    "external": "VAR_EXTERNAL", "global": "VAR_GLOBAL", "access": "VAR_ACCESS", "config": "VAR_CONFIG",
    "member": "VAR_MEMBER",
}  # fmt: skip
MODIFIERS = frozenset(("PUBLIC", "PRIVATE", "PROTECTED", "INTERNAL", "FINAL", "ABSTRACT", "OVERRIDE"))
RETAINS = {"retain": "RETAIN", "non_retain": "NON_RETAIN"}
EDGES = {"rising": "R_EDGE", "falling": "F_EDGE"}


def metas(
    comment_text: str = "", pragmas: Sequence[str] = (), extensions: Sequence[p.Extension] = (), *more: str
) -> list[str]:
    """What belongs to an object and has no syntax of its own."""
    found = [comment(comment_text)] if comment_text else []
    found += [text for text in more if text]
    found += [pragma("pragma", text) for text in pragmas]
    return found + [pragma("extension", path=e.path, name=e.name, text=e.text) for e in extensions]


def settings(items: Iterable[p.Setting]) -> list[str]:
    """Uninterpreted settings, in order."""
    return [pragma("setting", item.name, item.value) for item in items]


def indented(found: Iterable[str]) -> list[str]:
    """One level deeper."""
    return [INDENT + line for line in found]


def variable(v: p.VariableDeclaration, extra: str = "") -> str:
    """One declared variable on one line."""
    at = f" AT {words(v.address)}" if v.address else ""
    edge = f" {EDGES[v.edge]}" if v.edge else ""
    start = f" := {words(v.initial)}" if v.initial else ""
    tail = metas(v.comment, v.pragmas, v.extensions, extra)
    return " ".join([f"{name(v.name)}{at} : {words(v.type)}{edge}{start};", *tail])


def variables(found: Sequence[p.VariableDeclaration]) -> list[str]:
    """``VAR`` blocks; neighbours of one section and the same attributes share a block."""
    blocks: list[str] = []
    for head, group in groupby(found, _section):
        blocks += [head, *(INDENT + variable(v) for v in group), "END_VAR"]
    return blocks


def _section(v: p.VariableDeclaration) -> str:
    parts = [SECTIONS[v.section], "CONSTANT" if v.constant else "", RETAINS.get(v.retain, "")]
    parts.append("PERSISTENT" if v.persistent else "")
    known = v.access in MODIFIERS or v.access in ("READ_ONLY", "READ_WRITE")
    parts.append(v.access if known or not v.access else pragma("modifier", v.access))
    return " ".join(part for part in parts if part)


def pou(found: p.Pou) -> str:
    """A whole POU; its members, actions and named transitions stand before the bodies."""
    return _ended(_pou(found))


def _ended(found: Iterable[str]) -> str:
    return "".join(f"{line}\n" for line in found)


Declared = Mapping[str, str]
"""Types of the variables that a POU and those around it declare, by folded name."""


def declared(found: Iterable[p.VariableDeclaration], outside: Declared) -> Declared:
    """The variables of a POU before those of the one around it."""
    return {**outside, **{v.name.lower(): v.type for v in found}}


def _pou(found: p.Pou, outside: Declared = MappingProxyType({})) -> list[str]:
    word = POU_WORDS[found.kind]
    known = declared(found.variables, outside)
    inner = variables(found.variables)
    for member in found.members:
        inner += _pou(member, known)
    for action in found.actions:
        inner += _action("ACTION", action, known)
    for transition in found.transitions:
        inner += _action("TRANSITION", transition, known)
    for part in found.bodies:
        inner += _body(part, known)
    namespace = pragma("namespace", found.namespace) if found.namespace else ""
    about = metas(found.comment, found.pragmas, found.extensions, namespace)
    return [_head(word, found), *about, *inner, f"END_{word}"]


def _head(word: str, found: p.Pou) -> str:
    modifiers = [item if item in MODIFIERS else pragma("modifier", item) for item in found.modifiers]
    head = " ".join([word, *modifiers, name(found.name)])
    if found.result:
        head += f" : {words(found.result)}"
    if found.extends:
        head += f" EXTENDS {words(found.extends)}"
    return head + (f" IMPLEMENTS {', '.join(map(words, found.implements))}" if found.implements else "")


def _action(word: str, found: p.Action, known: Declared) -> list[str]:
    about = metas(found.comment, (), found.extensions)
    return [f"{word} {name(found.name)}:", *about, *_body(found.body, known), f"END_{word}"]


def body(found: p.Body) -> str:
    """A body with its ``{body LD}`` head."""
    return _ended(_body(found, {}))


def _body(found: p.Body, known: Declared) -> list[str]:
    result = [f"{{body {found.language}}}" if found.language else "{body}"]
    result += [pragma("note", text) for text in found.comments]
    if found.order.sequence:
        result.append("{order " + " ".join(f"{n}.{s}" for n, s in found.order.sequence) + "}")
    result += [_differ(doubts.said(each, found.networks)) for each in found.order.doubts]
    result += metas("", (), found.extensions)
    told, code = wires.named(lines(found.statements, 1))
    result += [*told, *code]
    for network in found.networks:
        result += _network(network, known)
    return result + (chart(found.chart, partial(_body, known=known)) if found.chart is not None else [])


def _differ(text: str) -> str:
    """What compilers do in another order, in plain words where these can stand in a pragma."""
    plain = re.fullmatch(r'[^\s"={}$]+(?: [^\s"={}$]+)*', text) is not None
    return f"{{compilers differ: {text if plain else quote(text)}}}"


def _network(found: p.Network, known: Declared) -> list[str]:
    head = pragma("network", title=found.title, label=found.label, comment=found.comment)
    about = [pragma("leftover", text) for text in found.leftovers] + metas("", (), found.extensions)
    told, code = wires.named(lines([_as_declared(s, known) for s in found.statements], 1))
    return [head, *about, *told, *code]


def _as_declared(statement: Statement, known: Declared) -> Statement:
    """A drawn block whose type is the declared one needs none; one without a type says that."""
    if not isinstance(statement, Call) or not isinstance(statement.instance, Variable):
        return statement
    type = known.get(statement.instance.name.lower(), "")
    if not type or statement.type not in (type, ""):
        return statement
    return msgspec.structs.replace(statement, type="" if statement.type else UNKNOWN_TYPE)


def typed(statement: Statement, known: Declared) -> Statement:
    """The inverse: a statement of a network as it was drawn."""
    if not isinstance(statement, Call):
        return statement
    if statement.type == UNKNOWN_TYPE:
        return msgspec.structs.replace(statement, type="")
    if statement.type or not isinstance(statement.instance, Variable):
        return statement
    return msgspec.structs.replace(statement, type=known.get(statement.instance.name.lower(), ""))


def data_type(found: p.DataType) -> str:
    """One user type, as the inside of ``TYPE ... END_TYPE``."""
    tail: list[str] = []
    if found.namespace:
        tail.append(pragma("namespace", found.namespace))
    if found.kind not in ("enum", "struct", "union") and kind_of(found.base) != found.kind:
        tail.append(pragma("kind", found.kind))
    about = metas(found.comment, found.pragmas, found.extensions, *tail)
    start = f" := {words(found.initial)}" if found.initial else ""
    if found.kind == "enum":
        base = f" {words(found.base)}" if found.base else ""
        values = indented(map(_enum_value, found.values))
        return _ended([f"{name(found.name)} : (", *values, " ".join([f"){base}{start};", *about])])
    if found.kind in ("struct", "union"):
        word = found.kind.upper()
        base = f" EXTENDS {words(found.base)}" if found.base else ""
        members = [INDENT + variable(v, _unusual(v)) for v in found.members]
        return _ended([f"{name(found.name)} : {word}{base}", *members, " ".join([f"END_{word}{start};", *about])])
    return _ended([" ".join([f"{name(found.name)} : {words(found.base)}{start};", *about])])


def kind_of(base: str) -> str:
    """What a type defined by its base text alone is: array, subrange or alias."""
    if base.upper().startswith("ARRAY"):
        return "array"
    return "subrange" if re.fullmatch(r"\w+\s*\(.*\.\..*\)", base) else "alias"


def _enum_value(found: p.EnumValue) -> str:
    value = f" := {words(found.value)}" if found.value else ""
    return " ".join([f"{name(found.name)}{value},", *metas(found.comment)])


def _unusual(v: p.VariableDeclaration) -> str:
    """Attributes that a structure member normally has not."""
    section = "" if v.section == "member" else v.section
    constant, persistent = "1" if v.constant else "", "1" if v.persistent else ""
    if not (section or constant or persistent or v.retain or v.access):
        return ""
    return pragma(
        "variable", section=section, constant=constant, persistent=persistent, retain=v.retain, access=v.access
    )


def global_list(found: p.GlobalList) -> str:
    """A list of global variables with its name and scope."""
    head = pragma("globals", found.name, scope=found.scope)
    about = metas(found.comment, found.pragmas, found.extensions)
    return _ended([head, *about, *variables(found.variables)])


def resource(found: p.Resource) -> str:
    """A resource with its tasks and program instances."""
    kind = f" ON {words(found.type)}" if found.type else ""
    scope = pragma("scope", found.scope) if found.scope else ""
    own = f"{found.scope}/{found.name}" if found.scope else found.name
    inner = [_task(task, own) for task in found.tasks] + [_instance(item) for item in found.instances]
    about = metas(found.comment, (), found.extensions, scope)
    return _ended([f"RESOURCE {name(found.name)}{kind}", *about, *indented(inner), "END_RESOURCE"])


def _task(found: p.Task, own: str) -> str:
    given = {"SINGLE": found.single, "INTERVAL": found.interval, "PRIORITY": found.priority}
    arguments = ", ".join(f"{key} := {words(value)}" for key, value in given.items() if value)
    scope = pragma("scope", found.scope) if found.scope != own else ""
    kind = pragma("kind", found.kind) if found.kind else ""
    tail = metas(found.comment, (), found.extensions, scope, kind, *settings(found.settings))
    return " ".join([f"TASK {name(found.name)}({arguments});", *tail])


def _instance(found: p.Instance) -> str:
    task = f" WITH {words(found.task)}" if found.task else ""
    tail = metas(found.comment, (), found.extensions)
    return " ".join([f"PROGRAM {name(found.name)}{task} : {words(found.type)};", *tail])
