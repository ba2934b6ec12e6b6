"""Bodies from text: structured text, instruction lists, networks in our normal form, and sequential charts."""

from __future__ import annotations

import re
from collections.abc import Sequence

from asfound.language import wires
from asfound.language.cursor import Cursor, Metas
from asfound.language.doubts import understood
from asfound.language.il import looks_like_il, parse_il
from asfound.language.near_keywords import corrected
from asfound.language.parser import parse_expression, parse_statements
from asfound.language.printer import Declared, typed
from asfound.language.types import initial
from asfound.model import program as p
from asfound.model.logic import Statement, Temporary

_PLAIN_ORDER = p.Body("").order
"""The default itself, because msgspec leaves it out of JSON by identity."""
_BODY_METAS = ("note", "order", "compilers", "doubt", "extension", "wire")
_NETWORK_METAS = ("leftover", "extension", "wire")


def plain_body(c: Cursor, stops: frozenset[str]) -> p.Body | None:
    """Code of a file that somebody else wrote, up to a stop word; None when there is none."""
    text = c.code(stops)
    if not text.strip():
        return None
    if looks_like_il(text):
        return p.Body("IL", parse_il(text))
    start = c.peek().start - len(text)
    text, odd = corrected(text, lambda: c.near_names)
    c.odd += [each._replace(at=start + each.at) for each in odd]
    return p.Body("ST", parse_statements(text))


def bodies(c: Cursor, stops: frozenset[str]) -> tuple[p.Body, ...]:
    """All ``{body}`` parts that come next."""
    found: list[p.Body] = []
    while c.place("body"):
        found.append(_body(c, stops))
    return tuple(found)


def _body(c: Cursor, stops: frozenset[str]) -> p.Body:
    item = c.next()
    language = item.pragma.value if item.pragma else ""
    c.pending = []
    if c.place("chart") or c.place("network"):
        about, code = c.metas(), ""
    else:
        code = c.code(stops, _BODY_METAS)
        about = _own(c)
    networks: list[p.Network] = []
    while c.place("network"):
        networks.append(_network(c, stops, c.declared)[0])
    return p.Body(
        language=language,  # type: ignore[arg-type]
        statements=_statements(code, _wires(about)),
        networks=tuple(networks),
        chart=chart(c) if c.place("chart") else None,
        order=_order(about, networks),
        comments=about.values("note"),
        extensions=about.extensions,
    )


def _own(c: Cursor) -> Metas:
    """Only what :meth:`Cursor.code` left for us, not what stands before the next item."""
    found = c.asides[c.at]
    c.asides[c.at] = []
    about = c.metas()
    c.asides[c.at] = found
    return about


def _order(about: Metas, networks: Sequence[p.Network]) -> p.Order:
    sequence: list[tuple[int, int]] = []
    for found in about.named.get("order", ()):
        for value in found.values:
            network, _, statement = value.partition(".")
            sequence.append((int(network), int(statement)))
    said = [" ".join(found.values[1:]) for found in about.named.get("compilers", ())]
    doubts = tuple(understood(text, networks) for text in (*said, *about.values("doubt")))
    return p.Order(tuple(sequence), doubts) if sequence or doubts else _PLAIN_ORDER


Wires = dict[str, Temporary]


def _wires(about: Metas) -> Wires:
    return wires.told(about.named.get("wire", ()))


def _statements(code: str, told: Wires) -> tuple[Statement, ...]:
    if not code.strip():
        return ()
    return tuple(wires.unnamed(statement, told) for statement in parse_statements(code, dialect=True))


def _network(c: Cursor, stops: frozenset[str], known: Declared) -> tuple[p.Network, Wires]:
    head = c.next().pragma
    code = c.code(stops, _NETWORK_METAS)
    about = _own(c)
    assert head is not None
    told = _wires(about)
    found = p.Network(
        tuple(typed(statement, known) for statement in _statements(code, told)), head.get("label"),
        head.get("title"), head.get("comment"), about.values("leftover"), about.extensions,
    )  # fmt: skip
    return found, told


def starts_chart(c: Cursor) -> bool:
    """Whether a textual chart element comes next."""
    word = c.peek().word
    return word in ("INITIAL_STEP", "STEP", "TRANSITION") and (
        c.peek(1).kind == "NAME" or (word == "TRANSITION" and c.peek(1).kind == "LP")
    )


def chart(c: Cursor) -> p.Chart:
    """Steps and transitions up to whatever is neither."""
    about = Metas()
    if c.place("chart"):
        c.next()
        c.pending = []
        about = c.metas()
    steps: list[p.Step] = []
    transitions: list[p.Transition] = []
    while starts_chart(c):
        if c.peek().word == "TRANSITION":
            transitions.append(_transition(c))
        else:
            steps.append(_step(c))
    return p.Chart(tuple(steps), tuple(transitions), about.values("leftover"), about.values("note"), about.extensions)


def _step(c: Cursor) -> p.Step:
    initial_step = c.next().word == "INITIAL_STEP"
    name = c.identifier("a step name")
    c.expect("COLON", "':'")
    about = c.metas()
    actions: list[p.Association] = []
    while c.peek().word != "END_STEP" and not c.place("body"):
        actions.append(_association(c))
    inner = bodies(c, frozenset(("END_STEP",)))
    c.expect("END_STEP", "an action or END_STEP")
    return p.Step(
        name, initial_step, "macro" in about.named, tuple(actions), about.comment, inner[0] if inner else None,
        about.extensions,
    )  # fmt: skip


def _association(c: Cursor) -> p.Association:
    inline = c.peek().word == "ACTION" and c.peek(1).kind in ("NAME", "LP") and c.next() is not None
    action = "" if inline and c.peek().kind == "LP" else c.identifier("an action name")
    parts: list[str] = []
    if c.accept("LP"):
        while not c.accept("RP"):
            parts.append(c.slice(("COMMA", "RP")))
            if not c.accept("COMMA") and c.peek().kind != "RP":
                c.fail("',' or ')'")
    qualifier = parts[0] if parts else ("" if c.dialect else "N")
    duration = parts[1] if len(parts) > 1 else ""
    if not c.dialect:
        qualifier, duration = qualifier.upper(), initial(duration)
    c.expect("COLON" if inline else "SEMI", "':'" if inline else "';'")
    about = c.metas()
    body = bodies(c, frozenset(("END_ACTION",))) if inline else ()
    if inline:
        c.expect("END_ACTION", "END_ACTION")
    return p.Association(
        action, qualifier, duration, parts[2] if len(parts) > 2 else "", about.comment, body[0] if body else None,
        about.extensions,
    )  # fmt: skip


def _transition(c: Cursor) -> p.Transition:
    c.next()
    name = c.identifier() if c.peek().kind == "NAME" and c.peek().word not in ("FROM", "PRIORITY") else ""
    priority, unrecognised = _priority(c)
    c.expect("FROM", "FROM and a step")
    sources = _step_names(c)
    c.expect("TO", "TO and a step")
    targets = _step_names(c)
    about = c.metas()
    before, told = p.Network(()), Wires()
    if c.place("network"):
        before, told = _network(c, frozenset(), {})
        c.next()
    if not c.accept("ASSIGN"):
        c.expect("COLON", "':=' and a condition")
    start = c.peek(-1).end
    c.slice(("SEMI", "END_TRANSITION"))
    condition = wires.unnamed(parse_expression(c.text[start : c.peek().start], c.dialect), told)
    c.accept("SEMI")
    c.expect("END_TRANSITION", "END_TRANSITION")
    comment = about.comment
    if c.dialect:
        c.pending = []
    else:
        comment = " ".join(text for text in (comment, c.metas().comment) if text)
    extensions = (*unrecognised, *about.extensions)
    return p.Transition(sources, targets, condition, before.statements, name, priority, comment, extensions)


def _priority(c: Cursor) -> tuple[int | None, tuple[p.Extension, ...]]:
    """The number, or what stands there instead of one."""
    if not c.accept("LP"):
        return None, ()
    c.expect("PRIORITY", "PRIORITY")
    c.expect("ASSIGN", "':='")
    text = c.slice(("RP",))
    c.expect("RP", "')'")
    if re.fullmatch(r"[+-]?[0-9]{1,18}", text):
        return int(text), ()
    return None, (p.Extension("priority", text),)


def _step_names(c: Cursor) -> tuple[str, ...]:
    if not c.accept("LP"):
        return (c.identifier("a step name"),)
    names: list[str] = []
    while not c.accept("RP"):
        names.append(c.identifier("a step name"))
        if not c.accept("COMMA") and c.peek().kind != "RP":
            c.fail("',' or ')'")
    return tuple(names)
