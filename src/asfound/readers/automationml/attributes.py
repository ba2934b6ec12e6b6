"""CAEX attributes to settings, and the known ones among them to numbers, flags and texts.

``Attribute`` elements nest; a nested one becomes a setting whose name is a path (``Filter/Time``). What
belongs to an attribute but is not its value has a step with ``@`` (``Pressure/@Unit``).
"""

from __future__ import annotations

import re
from typing import Literal as Choice

from asfound.model.hardware import AddressRange
from asfound.model.program import Extension, Setting
from asfound.readers import xml
from asfound.readers.xml import Element

LISTS = ("OrderedListType", "ListType")
_NUMBER = re.compile(r"[+-]?[0-9]{1,10}")
_ADDRESS = re.compile(r"Address/(?:[^/]+/)?(StartAddress|Length|IoType)")

Direction = Choice["input", "output", ""]


class Values:
    """The attributes of one element. Each question takes its answer out; what is left are the settings."""

    def __init__(self, element: Element) -> None:
        self._left: list[Setting] = []
        self.extensions: list[Extension] = []
        self._eat(element, "")

    def text(self, name: str) -> str:
        """First value of that name, empty when there is none."""
        for setting in self._left:
            if setting.name == name and setting.value:
                self._left.remove(setting)
                return setting.value
        return ""

    def number(self, name: str) -> int | None:
        """A whole number; a text that is none stays a setting."""
        text = self.text(name)
        if _NUMBER.fullmatch(text):
            return int(text)
        self.put(name, text)
        return None

    def flag(self, name: str) -> bool:
        """An xs:boolean, false when absent; a text that is none stays a setting."""
        text = self.text(name)
        if text not in ("true", "false", "1", "0"):
            self.put(name, text)
        return text in ("true", "1")

    def direction(self, name: str) -> Direction:
        """``Input`` or ``Output``; every other text stays a setting."""
        text = self.text(name)
        if text.lower() == "input":
            return "input"
        if text.lower() == "output":
            return "output"
        self.put(name, text)
        return ""

    def put(self, name: str, value: str) -> None:
        """Add a setting, unless its value is empty."""
        if value:
            self._left.append(Setting(name, value))

    def addresses(self) -> tuple[AddressRange, ...]:
        """The ordered list ``Address``; an entry that is not two numbers and a direction stays a setting."""
        groups = {s.name.rpartition("/")[0] for s in self._left if _ADDRESS.fullmatch(s.name)}
        found = []
        numbers = [group.removeprefix("Address").removeprefix("/") for group in sorted(groups, key=_list_order)]
        if numbers != [str(n) for n in range(1, len(numbers) + 1)]:
            self.put("Address/@numbers", ", ".join(number or "none" for number in numbers))
        for group in sorted(groups, key=_list_order):
            direction = self.direction(f"{group}/IoType")
            start, length = self.number(f"{group}/StartAddress"), self.number(f"{group}/Length")
            if direction or start is not None or length is not None:
                found.append(AddressRange(direction, start, length))
        return tuple(found)

    def settings(self) -> tuple[Setting, ...]:
        """What nobody asked for, sorted."""
        return tuple(sorted(self._left, key=lambda s: (s.name, s.value)))

    def _eat(self, element: Element, prefix: str) -> None:
        for found in xml.take_all(element, "Attribute"):
            name = xml.attribute(found, "Name")
            self._one(found, prefix + (f"[{name}]" if "/" in name else name))

    def _one(self, element: Element, path: str) -> None:
        for ignored in ("AttributeDataType", "RefAttributeType"):
            xml.attribute(element, ignored)
        self.put(f"{path}/@Unit", xml.attribute(element, "Unit"))
        values = xml.take_all(element, "Value")
        nested = next(xml.children(element, "Attribute"), None) is not None
        for value in values:
            self._left.append(Setting(path, xml.text_of(value).strip()))
            self._rest(value, f"{path}/Value")
        if not values and not nested:
            self._left.append(Setting(path, ""))
        self._eat(element, f"{path}/")
        for role in ("DefaultValue", "Description"):
            for child in xml.take_all(element, role):
                self._left.append(Setting(f"{path}/@{role}", xml.text_of(child).strip()))
                self._rest(child, f"{path}/{role}")
        for child in xml.take_all(element, "RefSemantic"):
            meaning = xml.attribute(child, "CorrespondingAttributePath")
            if meaning.rpartition("/")[2] not in LISTS:
                self._left.append(Setting(f"{path}/@RefSemantic", meaning))
            self._rest(child, f"{path}/RefSemantic")
        self._rest(element, path)

    def _rest(self, element: Element, path: str) -> None:
        self.extensions += unseen(element, path)


def _list_order(group: str) -> tuple[int, str]:
    last = group.rpartition("/")[2]
    return (int(last) if last.isascii() and last.isdecimal() else 0, last)


def unseen(element: Element, path: str) -> tuple[Extension, ...]:
    """What nobody took from an element that was itself cut out of the tree at ``path``."""
    return tuple(
        Extension(path=f"{path}/{left.path}", text=left.text, name=left.name) for left in xml.leftovers(element)
    )
