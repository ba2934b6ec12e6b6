"""Sequential function charts as text: steps with their actions, then transitions in the order they are tried."""

from __future__ import annotations

from collections.abc import Callable

from asfound.language import wires
from asfound.language.declared import name, words
from asfound.language.pragmas import pragma
from asfound.language.statement_printer import INDENT, comment, expression, lines
from asfound.model import program as p

BodyPrinter = Callable[[p.Body], list[str]]


def chart(found: p.Chart, body: BodyPrinter) -> list[str]:
    """Lines of a chart; ``body`` prints the body of an inline action or a macro step."""
    result = ["{chart}"]
    result += [pragma("leftover", text) for text in found.leftovers]
    result += [pragma("note", text) for text in found.comments]
    result += _extensions(found.extensions)
    for step in found.steps:
        result += _step(step, body)
    for transition in found.transitions:
        result += _transition(transition)
    return result


def _extensions(found: tuple[p.Extension, ...]) -> list[str]:
    return [pragma("extension", path=e.path, name=e.name, text=e.text) for e in found]


def _step(found: p.Step, body: BodyPrinter) -> list[str]:
    word = "INITIAL_STEP" if found.initial else "STEP"
    result = [f"{word} {name(found.name)}:"]
    result += [comment(found.comment)] if found.comment else []
    result += ["{macro}"] if found.macro else []
    result += _extensions(found.extensions)
    for association in found.actions:
        result += [INDENT + line for line in _association(association, body)]
    return [*result, *(body(found.body) if found.body is not None else []), "END_STEP"]


def _association(found: p.Association, body: BodyPrinter) -> list[str]:
    arguments = [words(found.qualifier)]
    if found.duration or found.indicator:
        arguments.append(words(found.duration))
    if found.indicator:
        arguments.append(words(found.indicator))
    called = name(found.action) if found.action or found.body is None else ""
    head = f"{called}({', '.join(arguments)})"
    about = ([comment(found.comment)] if found.comment else []) + _extensions(found.extensions)
    if found.body is None:
        return [" ".join([f"{head};", *about])]
    return [f"ACTION {head}:", *about, *body(found.body), "END_ACTION"]


def _transition(found: p.Transition) -> list[str]:
    named = f" {name(found.name)}" if found.name else ""
    priority = f" (PRIORITY := {found.priority})" if found.priority is not None else ""
    head = f"TRANSITION{named}{priority} FROM {_steps(found.sources)} TO {_steps(found.targets)}"
    about = ([comment(found.comment)] if found.comment else []) + _extensions(found.extensions)
    condition = f"{INDENT}:= {expression(found.condition)};"
    if not found.statements:
        return [head, *about, condition, "END_TRANSITION"]
    told, code = wires.named([*lines(found.statements, 1), "{condition}", condition])
    return [head, *about, "{network}", *told, *code, "END_TRANSITION"]


def _steps(names: tuple[str, ...]) -> str:
    return name(names[0]) if len(names) == 1 else f"({', '.join(map(name, names))})"
