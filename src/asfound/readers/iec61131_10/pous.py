"""POUs of every kind, with their actions, transitions, methods and properties."""

from __future__ import annotations

from asfound.model.program import Action, Body, Extension, Pou
from asfound.readers.exchange.declarations import modifiers
from asfound.readers.extra.attribute_pragmas import pragmas_of
from asfound.readers.extra.plaintext import declaration_text
from asfound.readers.iec61131_10.bodies import bodies, content, one_body
from asfound.readers.iec61131_10.declarations import interface
from asfound.readers.iec61131_10.residue import documentation, rest
from asfound.readers.iec61131_10.types import type_text
from asfound.readers.residue import code, flat, hollow
from asfound.readers.xml import Element, attribute, local, take, take_all

KINDS = {
    "Program": "program",
    "FunctionBlock": "function_block",
    "Function": "function",
    "Class": "class",
    "Interface": "interface",
}
MEMBERS = {
    "Method": "method",
    "MethodPrototype": "method",
    "Property": "property",
    "PropertyPrototype": "property",
    "Get": "get",
    "GetAccessor": "get",
    "Set": "set",
    "SetAccessor": "set",
}
RESULTS = ("ResultType", "Type")
BODIES = ("MainBody", "Body")


def pou(element: Element, namespace: str = "") -> Pou:
    """A POU or a member of one, consumed."""
    kind = (KINDS | MEMBERS)[local(element)]
    name = attribute(element, "name") or (kind.upper() if kind in ("get", "set") else "")
    result, unrecognised_result = _result(element)
    variables, unrecognised = interface(element)
    variables, pragmas, plain = declaration_text(element, variables)
    comment, unrecognised_comment = documentation(element)
    extends, unrecognised_extends = _names(element, "Extends", "extends")
    implements, unrecognised_implements = _names(element, "Implements", "implements")
    if kind == "interface":
        implements, extends = (*extends[1:], *implements), extends[:1]
    found = tuple(body for each in take_all(element, *BODIES) for body in bodies(each))
    actions, *others = _named(element, "Actions", "Action")
    transitions, unrecognised_transitions = _named(element, "Transitions", "Transition")
    others.append(unrecognised_transitions)
    members = tuple(pou(each) for each in take_all(element, *MEMBERS))
    if len(extends) > 1:
        unrecognised_extends = (*unrecognised_extends, Extension(path="Extends", text=", ".join(extends[1:])))
    return Pou(
        name=name,
        kind=kind,  # type: ignore[arg-type]
        result=result,
        variables=variables,
        bodies=found,
        actions=actions,
        transitions=transitions,
        members=members,
        extends=extends[0] if extends else "",
        implements=implements,
        modifiers=modifiers(element),
        namespace=namespace,
        comment=comment,
        pragmas=tuple(sorted({*pragmas, *pragmas_of(element)})),
        extensions=flat(
            (
                *others,
                unrecognised,
                unrecognised_result,
                plain,
                unrecognised_comment,
                unrecognised_extends,
                unrecognised_implements,
                rest(element),
            )
        ),
    )


def _result(element: Element) -> tuple[str, tuple[Extension, ...]]:
    for name in RESULTS:
        holder = take(element, name)
        if holder is not None:
            return type_text(holder)
    return "", ()


def _names(element: Element, child: str, attr: str) -> tuple[tuple[str, ...], tuple[Extension, ...]]:
    """Names in elements, one or several in each, or in an attribute; parts are separated by commas."""
    texts, unrecognised = [attribute(element, attr)], []
    for each in take_all(element, child):
        texts.append(code(each))
        unrecognised.append(hollow(each, "TypeName"))
    names = (word.strip() for text in texts for word in text.split(","))
    return tuple(word for word in names if word), flat(unrecognised)


def _named(element: Element, group: str, each: str) -> tuple[tuple[Action, ...], tuple[Extension, ...]]:
    """The actions (or transition bodies) of a POU, directly below it or in a list of their own."""
    holders = take_all(element, group)
    found = [one for holder in holders for one in take_all(holder, each)] + take_all(element, each)
    return tuple(_action(one) for one in found), flat(rest(holder) for holder in holders)


def _action(element: Element) -> Action:
    name = attribute(element, "name")
    comment, unrecognised = documentation(element)
    holder = next((e for word in BODIES for e in [take(element, word)] if e is not None), None)
    body, more = one_body(holder) if holder is not None else _content(element)
    return Action(name=name, body=body, comment=comment, extensions=flat((unrecognised, more, rest(element))))


def _content(element: Element) -> tuple[Body, tuple[Extension, ...]]:
    """``BodyContent`` directly in an action."""
    inner = take(element, "BodyContent")
    if inner is None:
        return Body(language=""), ()
    return content(inner), ()
