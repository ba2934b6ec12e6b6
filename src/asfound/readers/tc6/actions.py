"""What is tied to a step: action blocks, and the entry, main and exit code that some exports hold in extension data."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from asfound.language.literals import canonical
from asfound.model.program import Association, Body, Extension
from asfound.readers.tc6.attributes import data_items, drop
from asfound.readers.tc6.plate import documentation, flat, rest
from asfound.readers.xml import Element, attribute, children, cut, is_empty, take, take_all

NAME, MAIN, ENTRY, EXIT = "38391c6d", "700a583f", "a6b08bd8", "a2621e18"
INITIAL, QUALIFIER, SIMULTANEOUS = "6844a48e", "e174fc0d", "23bdaa98"
IDLE = ("01580b27", "bc882c11", "62e1754b", "8294df19")
"""First eight digits of the keys in ``sfc/element`` data, as observed in public files: name or condition (repeated),
the three kinds of step code (found nowhere else), flags that repeat standard attributes, and keys that have only ever
been FALSE or 0. A key with another value, or an unknown key, is kept as an extension."""


@dataclass(frozen=True)
class Facts:
    """What ``sfc/element`` data adds: associations of a step, and whatever repeats nothing we know."""

    associations: tuple[Association, ...] = ()
    odd: tuple[Extension, ...] = ()


def element_facts(
    element: Element,
    name: str,
    *,
    condition: bool = False,
    qualifier: str = "N",
    same: Callable[[str, str], bool] | None = None,
) -> Facts:
    """Read and take the ``sfc/element`` data of a step, transition or action.

    ``name`` is what the standard part says (step name, condition text, action name). A repeated text that disagrees
    with it is kept as an extension, so that the disagreement shows.
    """
    equal = same or (lambda a, b: "".join(a.split()).casefold() == "".join(b.split()).casefold())
    linked: list[Association] = []
    odd: list[Extension] = []
    for data in data_items(element, "sfc/element"):
        for holder in children(data, "attributes"):
            for each in take_all(holder, "attribute"):
                key = attribute(each, "guid").strip().lower()
                text = " ".join((each.text or "").split())
                word = key[:8]
                if word in (MAIN, ENTRY, EXIT):
                    kind = {MAIN: "main", ENTRY: "entry", EXIT: "exit"}[word]
                    if text:
                        linked.append(Association(action=text, qualifier=kind))
                elif not _repeats(element, word, text, name, condition, qualifier, equal):
                    odd.append(Extension(path=f"sfc/element/{key}", text=text))
                if len(each) or each.attrib:
                    odd += rest(each)
            if is_empty(holder):
                cut(holder)
        data.attrib.pop("handleUnknown", None)
        if not len(data):
            drop(data)
    order = {"entry": 0, "main": 1, "exit": 2}
    return Facts(tuple(sorted(linked, key=lambda a: order[a.qualifier])), tuple(odd))


def _repeats(
    element: Element,
    word: str,
    text: str,
    name: str,
    condition: bool,
    qualifier: str,
    equal: Callable[[str, str], bool],
) -> bool:
    """Does an attribute only repeat what the standard part says, or a constant that has never meant anything?"""
    if word == NAME:
        return equal(text, name)
    if word == INITIAL:
        return (text.upper() == "TRUE") == (str(element.get("initialStep", "")).lower() in ("true", "1"))
    if word == QUALIFIER:
        return equal(text or "N", qualifier)
    if word in IDLE:
        return text.upper() in ("FALSE", "0", "")
    return word == SIMULTANEOUS and text.upper() in ("TRUE", "FALSE") and not condition


def associations(blocks: list[Element]) -> dict[str, tuple[Association, ...]]:
    """Associations of all ``actionBlock`` elements by the number of the step they are wired to."""
    found: dict[str, tuple[Association, ...]] = {}
    for block in blocks:
        steps = [
            connection.get("refLocalId", "")
            for point in take_all(block, "connectionPointIn")
            for connection in children(point, "connection")
        ]
        read = [_association(each) for each in take_all(block, "action")]
        comment, odd = documentation(block)
        if comment:
            odd = (*odd, Extension(path="actionBlock/documentation", text=comment))
        left = flat((odd, rest(block)))
        if left and read:
            last = read[-1]
            read[-1] = Association(**{f: getattr(last, f) for f in last.__struct_fields__} | {"extensions": left})
        for step in steps or [""]:
            found[step] = (*found.get(step, ()), *read)
    return found


def _association(element: Element) -> Association:
    qualifier = attribute(element, "qualifier").strip() or "N"
    duration = canonical(attribute(element, "duration").strip(), "TIME")
    indicator = attribute(element, "indicator").strip()
    reference, inline = take(element, "reference"), take(element, "inline")
    name = attribute(reference, "name").strip() if reference is not None else ""
    body = inline_body(inline) if inline is not None else None
    comment, odd = documentation(element)
    said = f"{qualifier} {duration}".strip()
    facts = element_facts(element, name, qualifier=said, same=_same_words)
    wired = take(element, "connectionPointOut")
    if wired is not None and (len(wired) or wired.attrib):
        element.append(wired)
    return Association(
        action=name,
        qualifier=qualifier,
        duration=duration,
        indicator=indicator,
        comment=comment,
        body=body,
        extensions=flat((odd, facts.odd, rest(reference) if reference is not None else (), rest(element))),
    )


def _same_words(first: str, second: str) -> bool:
    """Equal apart from blanks and case; a duration may be written in another way (``D T#2s``)."""
    left, right = first.split(), second.split()
    if len(left) == 2 and len(right) == 2:
        left[1] = canonical(left[1], "TIME")
    return "".join(left).casefold() == "".join(right).casefold()


def inline_body(element: Element) -> Body:
    """A body written in place (``inline``, or the ``body`` of a macro step)."""
    from asfound.readers.tc6.bodies import body

    return body(element)
