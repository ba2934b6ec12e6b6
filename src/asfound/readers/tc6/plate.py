"""The plate of TC6: what is left of its elements after reading (see readers.plate)."""

from __future__ import annotations

from asfound.model.program import Extension
from asfound.readers.plate import Plate, choice, code, flag, flat, hollow, said_of, step, uri_word, whole, words
from asfound.readers.tc6.noise import NOISE
from asfound.readers.xml import Element, take

__all__ = [
    "choice",
    "code",
    "documentation",
    "flag",
    "flat",
    "hollow",
    "rest",
    "said_of",
    "step",
    "uri_word",
    "whole",
    "words",
]

WRAPPERS = frozenset(
    {
        "addData",
        "connectionPointIn",
        "connectionPointOut",
        "connection",
        "initialValue",
        "simpleValue",
        "arrayValue",
        "structValue",
        "values",
        "value",
        "dimension",
        "range",
        "baseType",
        "inputVariables",
        "outputVariables",
        "inOutVariables",
        "variable",
        "xhtml",
        "p",
    }
)
"""Elements that say nothing once they are empty.

They are read in place, not cut out: what their reading leaves in them is then found by the ``rest`` of their owner."""


PLATE = Plate(noise=NOISE, wrappers=WRAPPERS, extra="addData")


def rest(element: Element) -> tuple[Extension, ...]:
    """Extensions for everything below ``element`` that nobody took and that is not noise."""
    return PLATE.rest(element)


def documentation(element: Element) -> tuple[str, tuple[Extension, ...]]:
    """Collapsed ``documentation`` of an element, taken, with what was odd inside it."""
    found = take(element, "documentation")
    return ("", ()) if found is None else (words(found), hollow(found))
