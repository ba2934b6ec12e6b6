"""Attribute lists in extension data: ``attributes`` becomes pragmas of the variable or list that carries it."""

from __future__ import annotations

from asfound.readers.residue import uri_word
from asfound.readers.xml import Element, attribute, canonical, children, cut, is_empty, take_all


def data_items(element: Element, *words: str) -> list[Element]:
    """``data`` entries of an element's extension data whose name ends in one of the words; they stay in the tree."""
    return [
        data
        for add in children(element, "addData", "AddData")
        for data in children(add, "data", "Data")
        if not words or uri_word(data.get("name")) in words
    ]


def drop(data: Element) -> None:
    """Take an emptied ``data`` entry out of the tree, and its ``addData`` when that is empty then.

    Its name says what its content was, and ``handleUnknown`` is noise; with any other attribute or text it stays.
    """
    known = ("name", "handleUnknown")
    if len(data) or (data.text or "").strip() or any(name not in known for name in data.attrib):
        return
    add = data.getparent()
    cut(data)
    if add is not None and is_empty(add):
        cut(add)


def pragmas_of(element: Element) -> tuple[str, ...]:
    """``{attribute 'name' := 'value'}`` pragmas from extension data, sorted, without the braces."""
    found: list[str] = []
    for data in data_items(element, "attributes"):
        for holder in children(data, "Attributes"):
            for each in take_all(holder, "Attribute"):
                name, value = attribute(each, "Name"), attribute(each, "Value")
                found.append(f"attribute '{name}' := '{value}'" if value else f"attribute '{name}'")
                if not is_empty(each):
                    found.append(f"attribute '{name}' carries more: {canonical(each)}")
            if is_empty(holder):
                cut(holder)
        drop(data)
    return tuple(sorted(found))
