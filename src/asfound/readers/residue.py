"""What is left of an element after reading: noise is dropped by the table, the rest becomes extensions.

Shared by the readers that consume a program document (see readers.xml); each has a :class:`Residue` with its own table.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from asfound.model.program import Extension
from asfound.readers.noise_paths import matches
from asfound.readers.reader import Noise
from asfound.readers.xml import Element, attribute, canonical, cut, is_empty, leftovers, local, take, take_all

_NUMBER = re.compile(r"-?[0-9]{1,18}")
TYPE = "{http://www.w3.org/2001/XMLSchema-instance}type"
Unrecognised = tuple[Extension, ...]
"""What was unrecognised about an element: beyond what its reader understands."""
TYPED = ("Object", "DefinedType", "TypeSpec")
"""How the names of elements end whose ``xsi:type`` says what they are."""

OF_DATA = ("/@handleUnknown", "/@ObjectId")
"""How the rows of a noise table end that count in any extension data."""


@dataclass(frozen=True)
class Residue:
    """The noise table of a format, and the names its schema uses for what every format has.

    ``wrappers`` are elements that say nothing once they are empty. Names begin with a ``capital`` in the newer exchange
    format; ``common`` has the words of the older one for what is named in another way besides. ``text_type`` is the
    ``xsi:type`` of a text, which says nothing.
    """

    noise: tuple[Noise, ...]
    wrappers: frozenset[str]
    capital: bool = False
    text_type: str = ""
    common: Mapping[str, str] = field(default_factory=dict)
    known: dict[tuple[str, bool], bool] = field(default_factory=dict, compare=False, repr=False)
    """Answers already given; a document has far fewer paths than nodes."""

    @property
    def extra(self) -> str:
        """Name of the element for extension data."""
        return self.name("addData")

    def name(self, word: str) -> str:
        """The name of an element in this format, from the word of the older one."""
        return word[:1].upper() + word[1:] if self.capital else word

    def documentation(self, element: Element, word: str = "documentation") -> tuple[str, tuple[Extension, ...]]:
        """Collapsed text of a ``documentation`` (or ``content``), taken, with what was unrecognised inside it."""
        found = take(element, self.name(word))
        if found is None:
            return "", ()
        if self.text_type and kind_of(found) == self.text_type:
            del found.attrib[TYPE]
        return words(found), hollow(found)

    def is_noise(self, path: str) -> bool:
        """Does a path (``block/position/@x``) match a row of the noise table?"""
        return self._matched(path, False)

    def _matched(self, path: str, covering: bool) -> bool:
        """``covering``: only by a row ending in ``/**``, which covers an element with everything below it."""
        key = (path, covering)
        if key not in self.known:
            rows = (n.path for n in self.noise if not covering or n.path.endswith("/**"))
            if foreign(path):
                rows = (row for row in rows if foreign(row) or row.endswith(OF_DATA))
            self.known[key] = any(matches(row, path) for row in rows)
        return self.known[key]

    def rest(self, element: Element) -> tuple[Extension, ...]:
        """Extensions for everything below ``element`` that nobody took and that is not noise.

        Paths start with the name of the element itself. Elements that hold nothing once the noise is gone leave none.
        """
        here = step(element)
        self._prune(element, here)
        owner = self.common.get(here, here[:1].lower() + here[1:])
        found = [
            self._unknown(owner, data)
            for add in element
            if local(add) == self.extra and not add.attrib and not (add.text or "").strip()
            for data in take_all(add)
        ]
        for add in take_all(element, self.extra):
            if not is_empty(add):
                element.append(add)
        found += [Extension(path=f"{owner}/{e.path}", text=e.text, name=e.name) for e in leftovers(element)]
        return tuple(sorted(found, key=lambda e: (e.path, e.name, e.text)))

    def _unknown(self, owner: str, data: Element) -> Extension:
        """Extension data that nobody understands, told alike whichever of the exchange formats carried it."""
        word = uri_word(data.get("name"))
        data.tag = f"{str(data.tag).rpartition('}')[0]}}}data" if "}" in str(data.tag) else "data"
        return Extension(path=f"{owner}/data[{word}]", text=canonical(data), name=str(data.get("name", "")))

    def _prune(self, element: Element, path: str) -> None:
        for name in list(element.attrib):
            if self.is_noise(f"{path}/@{str(name).rpartition('}')[2]}"):
                del element.attrib[name]
        for child in list(element):
            where = f"{path}/{step(child)}"
            covered = local(child) != self.extra and self._matched(where, True)
            if not covered:
                self._prune(child, where)
            wraps = local(child) in self.wrappers and not foreign(where)
            if covered or (is_empty(child) and (wraps or self.is_noise(where))):
                cut(child)


def foreign(path: str) -> bool:
    """Does a path (or a row of a noise table) lead into extension data? There a name may mean anything.

    >>> foreign("pou/addData/data[own]/axis/position/@x"), foreign("block/position/@x")
    (True, False)
    """
    return "/data[" in path or "/Data[" in path


def step(element: Element) -> str:
    """Name of an element inside a path: the local name; extension data also by the last word of its own name.

    ``data[objectid]`` stands for ``<data name="http://.../objectid">``, ``attribute[38391c6d]`` for a GUID as key,
    ``LdObject[Coil]`` for ``<LdObject xsi:type="Coil">``.
    """
    name = local(element)
    if name.endswith(TYPED) and TYPE in element.attrib:
        return f"{name}[{kind_of(element)}]"
    if name in ("data", "Data"):
        return f"{name}[{uri_word(element.get('name', ''))}]"
    return f"attribute[{element.get('guid', '')[:8]}]" if name == "attribute" else name


def kind_of(element: Element) -> str:
    """The word in ``xsi:type`` without a prefix, left in the tree; empty when there is none."""
    return str(element.get(TYPE, "")).strip().rpartition(":")[2]


def uri_word(uri: str | None) -> str:
    """Last word of a URI, lower case; ``sfc/element`` and ``fbd/...`` keep their two words.

    >>> uri_word("http://example.org/plcopenxml/objectid"), uri_word("http://example.org/plcopenxml/sfc/element")
    ('objectid', 'sfc/element')
    """
    words = (uri or "").rstrip("/").lower().split("/")
    return "/".join(words[-2:]) if len(words) > 1 and words[-2] in ("sfc", "fbd") else words[-1]


def choice(element: Element, name: str, allowed: Iterable[str]) -> str:
    """An attribute that must be one of a few words; ``none`` and absent are empty.

    Anything else stays in the tree and so becomes an extension.
    """
    value = str(element.get(name, "")).strip()
    if value in ("", "none"):
        attribute(element, name)
        return ""
    return attribute(element, name).strip() if value in allowed else ""


def flag(element: Element, name: str) -> bool:
    """A Boolean attribute; absent is false (schema default). A word that is no Boolean stays in the tree."""
    return choice(element, name, ("true", "1", "false", "0", "True", "False", "TRUE", "FALSE")).lower() in (
        "true",
        "1",
    )


def whole(element: Element, name: str) -> int:
    """A whole number, 0 when absent; text that is no number stays in the tree."""
    found = whole_number(str(element.get(name, "0")))
    if found is None:
        return 0
    attribute(element, name)
    return found


def whole_number(text: str) -> int | None:
    """A whole number of at most 18 ASCII digits, None for anything else (``int`` takes more, and fails on some)."""
    return int(text) if _NUMBER.fullmatch(text.strip()) else None


def flat(groups: Iterable[tuple[Extension, ...]]) -> tuple[Extension, ...]:
    """Several groups of extensions as one, sorted."""
    found = [extension for group in groups for extension in group]
    return tuple(sorted(found, key=lambda e: (e.path, e.name, e.text)))


def said_of(extensions: Iterable[Extension], names: Iterable[str]) -> tuple[Extension, ...]:
    """Extensions of a list under the names of what they are said of: an export may have several lists of one kind."""
    of = ", ".join(names)
    return tuple(Extension(path=e.path, text=e.text, name=" of ".join(filter(None, (e.name, of)))) for e in extensions)


def code(element: Element) -> str:
    """All text below an element, exact and in reading order, taken out of the tree."""
    text = "".join(str(part) for part in element.itertext())
    for node in element.iter():
        node.text = None
        if node is not element:
            node.tail = None
    return text


def words(element: Element | None) -> str:
    """As :func:`code` with white space collapsed, because exporters indent documentation to fit the file."""
    return "" if element is None else " ".join(code(element).split())


def hollow(element: Element, *wrappers: str) -> tuple[Extension, ...]:
    """Extensions inside an element whose text was taken; ``xhtml`` and ``p`` wrappers mean nothing by themselves."""
    found: list[Extension] = []
    owner = local(element)
    for node in element.iter():
        name = local(node)
        if node is element or name in ("xhtml", "p", *wrappers):
            found += [
                Extension(path=f"{owner}/{name}/@{str(k).rpartition('}')[2]}", text=str(v)) for k, v in node.items()
            ]
        else:
            found.append(Extension(path=f"{owner}/{name}", text=" ".join(f"{k!s}={v!s}" for k, v in node.items())))
    return tuple(found)
