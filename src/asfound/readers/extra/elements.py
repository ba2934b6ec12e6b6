"""``sfc/element`` data: what extension data says about an element of a chart.

Entry, main and exit code of a step may be named nowhere else; most other keys repeat what the standard part says.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from asfound.language.literals import canonical
from asfound.model.program import Association, Extension
from asfound.readers.extra.attribute_pragmas import data_items, drop
from asfound.readers.residue import Residue
from asfound.readers.xml import Element, attribute, children, cut, is_empty, take_all

CODE = {
    "a6b08bd8-b696-47e3-9cbf-7408b61c9ff8": "entry",
    "700a583f-b4d4-43e4-8c14-629c7cd3bec8": "main",
    "a2621e18-7de3-4ea6-ae6d-89e9e0b7befd": "exit",
}
"""Keys in ``sfc/element`` data that name the code of a step, which stands nowhere else."""
NAME = "38391c6d-6d4a-42f8-8ee7-9f45e5adafa8"
INITIAL = "6844a48e-46c2-4cc8-a185-a478f3b99cc0"
QUALIFIER = "e174fc0d-80b0-4a9e-a530-ca239c249a50"
SIMULTANEOUS = "23bdaa98-72ec-41f7-817b-9dede5697086"
"""Keys that repeat a standard part: name or condition, initial step, qualifier with time, kind of divergence."""
IDLE = ("01580b27-6378-448b-8ecb-0e4b795b58d6", "bc882c11-1e91-4dd8-a6b8-2075724ed18b", "62e1754b", "8294df19")
"""Keys (or how they begin) that have only ever been FALSE or 0. All keys as observed in public files; an unknown key,
or another value, is kept as an extension."""


@dataclass(frozen=True)
class Facts:
    """What ``sfc/element`` data adds: associations of a step, and whatever repeats nothing we know."""

    associations: tuple[Association, ...] = ()
    unrecognised: tuple[Extension, ...] = ()


Repeats = Mapping[str, Callable[[str], bool]]
"""For each key that repeats a standard part: does a text agree with it?"""


def element_facts(element: Element, repeats: Repeats, residue: Residue) -> Facts:
    """Read and take the ``sfc/element`` data of an element of a chart.

    A repeated text that disagrees with the standard part is kept as an extension, so that the disagreement shows.
    """
    linked: list[Association] = []
    unrecognised: list[Extension] = []
    for data in data_items(element, "sfc/element"):
        for holder in children(data, "attributes"):
            for each in take_all(holder, "attribute"):
                key = attribute(each, "guid").strip().lower()
                text = " ".join((each.text or "").split())
                if key in CODE and text:
                    linked.append(Association(action=text, qualifier=CODE[key]))
                elif key not in CODE and not _said_before(key, text, repeats):
                    unrecognised.append(Extension(path=f"sfc/element/{key}", text=text))
                unrecognised += residue.rest(each) if len(each) or each.attrib else ()
            if is_empty(holder):
                cut(holder)
        drop(data)
    order = list(CODE.values())
    return Facts(tuple(sorted(linked, key=lambda a: order.index(a.qualifier))), tuple(unrecognised))


def same_flag(expected: bool) -> Callable[[str], bool]:
    """Is a text exactly the word for the expected truth value?"""
    return lambda text: text.upper() == ("TRUE" if expected else "FALSE")


def _said_before(word: str, text: str, repeats: Repeats) -> bool:
    if word in IDLE or word[:8] in IDLE:
        return text.upper() in ("FALSE", "0", "")
    return word in repeats and repeats[word](text)


def same_words(expected: str) -> Callable[[str], bool]:
    """Is a text equal to the expected one apart from blanks and case?"""
    wanted = "".join(expected.split()).lower()
    return lambda text: "".join(text.split()).lower() == wanted


def same_qualifier(qualifier: str, duration: str) -> Callable[[str], bool]:
    """``D T#2s`` repeats qualifier and duration; the duration may be written in another way."""

    def same(text: str) -> bool:
        word, _, time = (text or "N").partition(" ")
        return word.upper() == qualifier.upper() and canonical(time.strip(), "TIME") == duration

    return same
