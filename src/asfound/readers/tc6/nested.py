"""Declarations inside extension data, at any depth and under any name."""

from __future__ import annotations

from collections.abc import Callable

from asfound.model.program import Extension
from asfound.readers.extra.attribute_pragmas import data_items, drop
from asfound.readers.residue import uri_word
from asfound.readers.tc6.noise import HOLDERS
from asfound.readers.xml import Element, cut, is_empty, local

Accept = Callable[[Element, tuple[str, ...]], bool]
"""Given an element and the names of what it is wrapped in: was it understood (and consumed)?"""


def nested(element: Element, accept: Accept) -> tuple[Extension, ...]:
    """Offer what is in the extension data of an element, outermost first; what is accepted is cut out.

    The name of the ``data`` it stood in says nothing more then; one that is not known to be a mere wrapper is kept.
    """
    unrecognised = []
    for data in data_items(element):
        if not _offer(data, (), accept):
            continue
        if uri_word(data.get("name")).rpartition(":")[2] not in HOLDERS:
            unrecognised.append(Extension(path="addData/data/@name", text=str(data.get("name", ""))))
        drop(data)
    return tuple(unrecognised)


def _offer(holder: Element, path: tuple[str, ...], accept: Accept) -> bool:
    taken = False
    for each in list(holder):
        if accept(each, path):
            cut(each)
            taken = True
        elif _offer(each, (*path, _label(each)), accept):
            taken = True
            if is_empty(each) and local(each).lower() in HOLDERS:
                cut(each)
    return taken


def _label(element: Element) -> str:
    own = element.get("name") or element.get("Name")
    return str(own) if own else local(element)
