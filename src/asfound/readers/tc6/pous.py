"""POUs with their actions and transitions, wherever in the export they stand."""

from __future__ import annotations

from asfound.model.program import Action, Body, Extension, Pou
from asfound.readers.extra.attributes import pragmas_of
from asfound.readers.extra.plaintext import declaration_text
from asfound.readers.tc6.bodies import body
from asfound.readers.tc6.interface import interface
from asfound.readers.tc6.plate import documentation, flat, rest
from asfound.readers.xml import Element, attribute, take, take_all

KINDS = {"functionBlock": "function_block", "program": "program", "function": "function"}


def pou(element: Element) -> Pou:
    """A ``pou`` element, eaten. An unknown POU type is read as a program and the word kept as an extension."""
    name, word = attribute(element, "name"), attribute(element, "pouType")
    odd: tuple[Extension, ...] = ()
    if word not in KINDS:
        odd = (Extension(path="pou/@pouType", text=word),)
    result, variables, left = interface(take(element, "interface"))
    variables, pragmas, plain = declaration_text(element, variables)
    comment, odd_comment = documentation(element)
    bodies = tuple(body(each) for each in take_all(element, "body"))
    actions = _named(element, "actions", "action")
    transitions = _named(element, "transitions", "transition")
    return Pou(
        name=name,
        kind=KINDS.get(word, "program"),  # type: ignore[arg-type]
        result=result,
        variables=variables,
        bodies=bodies,
        actions=actions,
        transitions=transitions,
        comment=comment,
        pragmas=tuple(sorted({*pragmas, *pragmas_of(element)})),
        extensions=flat((odd, left, odd_comment, plain, rest(element))),
    )


def _named(element: Element, group: str, each: str) -> tuple[Action, ...]:
    """The actions (or transition bodies) of a POU."""
    found: list[Action] = []
    for holder in take_all(element, group):
        found += [_action(one) for one in take_all(holder, each)]
        left = rest(holder)
        if left:
            found.append(Action(name="", body=Body(language=""), extensions=left))
    return tuple(found)


def _action(element: Element) -> Action:
    name = attribute(element, "name")
    comment, odd = documentation(element)
    bodies = [body(each) for each in take_all(element, "body")]
    more = tuple(Extension(path="action/body", text=repr(b)) for b in bodies[1:])
    return Action(
        name=name,
        body=bodies[0] if bodies else Body(language=""),
        comment=comment,
        extensions=flat((odd, more, rest(element))),
    )
