"""POUs with their actions, transitions, methods and properties, wherever in the export they stand.

The standard has programs, function blocks and functions. Classes, interfaces, methods and properties are found by the
names of their elements, below the POU or anywhere in its extension data, and read like POUs.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from asfound.language import printer
from asfound.model.program import Action, Body, Extension, Pou
from asfound.readers.exchange.declarations import modifiers
from asfound.readers.extra.attribute_pragmas import pragmas_of
from asfound.readers.extra.plaintext import with_comment, written
from asfound.readers.residue import code, flat
from asfound.readers.tc6.bodies import body
from asfound.readers.tc6.interface import interface, interleaved
from asfound.readers.tc6.nested import nested
from asfound.readers.tc6.residue import documentation, rest
from asfound.readers.xml import Element, attribute, children, has, is_empty, local, take, take_all

KINDS = {
    "functionblock": "function_block",
    "program": "program",
    "function": "function",
    "class": "class",
    "interface": "interface",
    "method": "method",
    "property": "property",
    "get": "get",
    "getaccessor": "get",
    "set": "set",
    "setaccessor": "set",
}
"""POU types and names of elements, folded."""
GROUPS = ("methods", "properties", "members", "accessors")
"""Elements that may hold the members of a POU."""
ORDERED = ("function", "method")
"""A call of these without the names of the parameters depends on the order of all of them."""


@dataclass
class _Found:
    """What stands in the extension data of a POU, in document order."""

    members: list[Pou] = field(default_factory=list)
    actions: list[Action] = field(default_factory=list)
    transitions: list[Action] = field(default_factory=list)
    extends: list[str] = field(default_factory=list)
    implements: list[str] = field(default_factory=list)
    unrecognised: list[Extension] = field(default_factory=list)

    def accept(self, each: Element, path: tuple[str, ...]) -> bool:
        """Consume a member, an action, a transition or what the POU extends or implements."""
        word = local(each).lower()
        if is_pou(each):
            self.members.append(pou(each))
        elif word in ("action", "transition") and has(each, "body"):
            (self.actions if word == "action" else self.transitions).append(_action(each))
        elif word in ("extends", "implements") and not len(each):
            text = attribute(each, "name") or attribute(each, "Name") or code(each)
            names = [name.strip() for name in text.split(",")]
            (self.extends if word == "extends" else self.implements).extend(name for name in names if name)
            self.unrecognised += rest(each) if not is_empty(each) else ()
        else:
            return False
        return True


def is_pou(element: Element) -> bool:
    """A POU or a member of one, not just its name: it has a type, an interface or a body."""
    return (local(element).lower() in ("pou", *KINDS) and has(element, "interface", "body")) or (
        local(element) == "pou" and "pouType" in element.attrib
    )


def pou(element: Element) -> Pou:
    """A ``pou`` or ``method`` ... element, consumed.

    An unknown POU type is read as a program and kept as an extension.
    """
    own = local(element).lower()
    word = attribute(element, "pouType") if own == "pou" else own
    kind = KINDS.get(word.strip().lower(), "")
    unrecognised = () if kind else (Extension(path="pou/@pouType", text=word),)
    return _pou(element, kind or "program", unrecognised)


def _pou(element: Element, kind: str, unrecognised: tuple[Extension, ...]) -> Pou:
    name = attribute(element, "name") or attribute(element, "Name")
    holder = take(element, "interface")
    comment, unrecognised_comment = documentation(element)
    found = _inside(element, holder)
    result, declared, order, said, left = interface(holder)
    text = written(element, declared, name, result if result or kind == "function" else None)
    listed = [_named(element, f"{each}s", each) for each in ("action", "transition")]
    implements = _united(found.implements, text.implements)
    extends = _united(found.extends, (text.extends,) if text.extends else ())
    found.unrecognised += [Extension(path="extends", text=more) for more in extends[1:]]
    if kind in ORDERED:
        found.unrecognised += interleaved(text.variables, text.order or order)
    words = tuple(sorted({*modifiers(element), *text.modifiers}))
    bodies = tuple(body(each) for each in take_all(element, "body"))
    return Pou(
        name=name or (kind.upper() if kind in ("get", "set") else ""),
        kind=kind,  # type: ignore[arg-type]
        result=result,
        variables=text.variables,
        bodies=bodies,
        actions=(*listed[0], *found.actions),
        transitions=(*listed[1], *found.transitions),
        members=tuple(found.members),
        extends=extends[0] if extends else "",
        implements=implements,
        modifiers=words,
        comment=with_comment(with_comment(comment, said), text.comment),
        pragmas=tuple(sorted({*text.pragmas, *pragmas_of(element)})),
        extensions=flat(
            (unrecognised, tuple(found.unrecognised), left, unrecognised_comment, text.extensions, rest(element))
        ),
    )


def _inside(element: Element, holder: Element | None) -> _Found:
    """Members and the like, directly below a POU, in groups of them, and in extension data; all taken."""
    found = _Found()
    groups = [each for each in children(element) if local(each).lower() in GROUPS]
    for group in (element, *groups):
        for each in list(group):
            if local(each).lower() in KINDS and local(each) != "interface" and found.accept(each, ()):
                group.remove(each)
    for group in groups:
        if is_empty(group):
            element.remove(group)
    for owner in (element, holder):
        if owner is not None:
            found.unrecognised += nested(owner, found.accept)
    for word, names in (("extends", found.extends), ("implements", found.implements)):
        text = attribute(element, word)
        names += [name.strip() for name in text.split(",") if name.strip()]
    return found


def _united(first: list[str], second: tuple[str, ...]) -> tuple[str, ...]:
    """Names of both, each once; the spelling of the first counts."""
    known = {name.lower() for name in first}
    return (*first, *(name for name in second if name.lower() not in known))


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
    name = attribute(element, "name") or attribute(element, "Name")
    comment, unrecognised = documentation(element)
    bodies = [body(each) for each in take_all(element, "body")]
    more = tuple(Extension(path="action/body", text=printer.body(b).strip()) for b in bodies[1:])
    return Action(
        name=name,
        body=bodies[0] if bodies else Body(language=""),
        comment=comment,
        extensions=flat((unrecognised, more, rest(element))),
    )
