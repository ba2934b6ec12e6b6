"""Direct addresses (IEC 61131-3: directly represented variables): ``%IX0.0``, ``%QW4``, ``%M*``."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal, NamedTuple, Self

_ADDRESS = re.compile(r"%\s*([IQM])\s*([XBWDL]?)\s*(\*|\d{1,18}(?:\s*\.\s*\d{1,18})*)", re.IGNORECASE)
WIDTHS = {"X": 1, "B": 8, "W": 16, "D": 32, "L": 64, "": 1}
"""Bits of each size letter (IEC 61131-3:2013 table 16, from memory); no letter means a bit."""


class Address(NamedTuple):
    """``area`` I, Q or M; ``size`` X B W D L or empty; ``parts`` the numbers; ``wildcard`` for ``%I*``."""

    area: str
    size: str
    parts: tuple[int, ...]
    wildcard: bool = False


def parse(text: str) -> Address | None:
    """Read a direct address in any case and spacing; None when it is none.

    >>> parse("%qw 4")
    Address(area='Q', size='W', parts=(4,), wildcard=False)
    """
    found = _ADDRESS.fullmatch(text.strip())
    if found is None:
        return None
    area, size, rest = found.group(1).upper(), found.group(2).upper(), found.group(3)
    if rest == "*":
        return Address(area, size, (), True)
    return Address(area, size, tuple(int(part) for part in rest.split(".")))


def canonical(text: str) -> str:
    """Upper case without blanks and leading zeros; text that is no direct address stays as it is.

    No size letter means a bit (IEC 61131-3:2013 table 16, from memory), so ``%I0.0`` becomes ``%IX0.0``. Only ``%I*``
    stays as it is: there the declared type says the size.

    >>> canonical("%ix 00.7"), canonical("%I0.7"), canonical("COM1")
    ('%IX0.7', '%IX0.7', 'COM1')
    """
    address = parse(text)
    if address is None:
        stripped = text.strip()
        return stripped.upper() if re.fullmatch(r"%\w+(\.\w+)*\*?", stripped) else text
    if address.wildcard:
        return f"%{address.area}{address.size}*"
    return f"%{address.area}{address.size or 'X'}{'.'.join(map(str, address.parts))}"


class Way(NamedTuple):
    """One way to count: what the number of a word and wider stands for, and that of a bit before its point.

    ``words``: the first byte, the first word of 16 bits, or how many of its own size lie before it.
    """

    words: Literal["byte", "word", "size"] = "byte"
    bits: Literal["byte", "word"] = "byte"


BYTES = Way()
WAYS = (BYTES, Way("word"), Way("word", "word"), Way("size"), Way("size", "word"))
"""Every way that is met (common practice; the standard leaves it to the maker). A byte is always counted by byte."""


def bits(address: Address, way: Way = BYTES) -> range | None:
    """The bits an address covers, counted from bit 0 of byte 0 of its area; None when it cannot be told.

    A bit is ``unit.bit`` with bits 0 to 7. Two numbers with a size of a byte or more, three numbers and more (rack,
    module, channel) and ``*`` depend on the make: None.

    >>> bits(Address("I", "X", (2, 3))), bits(Address("Q", "W", (4,)))
    (range(19, 20), range(32, 48))
    >>> bits(Address("Q", "W", (4,)), Way("word")), bits(Address("M", "D", (1,)), Way("size"))
    (range(64, 80), range(32, 64))
    """
    width = WIDTHS[address.size]
    if address.wildcard or len(address.parts) not in (1, 2):
        return None
    if width == 1:
        if len(address.parts) != 2 or address.parts[1] > 7:
            return None
        first = address.parts[0] * (8 if way.bits == "byte" else 16) + address.parts[1]
        return range(first, first + 1)
    if len(address.parts) == 2:
        return None
    first = address.parts[0] * unit(width, way)
    return range(first, first + width)


def unit(width: int, way: Way) -> int:
    """How many bits the number of an address of this width counts.

    >>> unit(32, BYTES), unit(32, Way("word")), unit(32, Way("size")), unit(8, Way("word"))
    (8, 16, 32, 8)
    """
    if width <= 8 or way.words == "byte":
        return 8
    return 16 if way.words == "word" else width


Meeting = Literal["yes", "no", "unclear"]


@lru_cache(maxsize=131072)
def _memory(address: str, ways: tuple[Way, ...]) -> tuple[str, str, tuple[range, ...]]:
    found = parse(address)
    if found is None or found.wildcard:
        return "", "", ()
    spans = tuple(span for way in ways if (span := bits(found, way)) is not None)
    return canonical(address), found.area, spans


class Memory(NamedTuple):
    """Where something lies in its area (I, Q, M): bits for each way to count that is possible, none when unknown.

    Two memories that are held against each other are made with the same ways.
    """

    text: str
    area: str = ""
    spans: tuple[range, ...] = ()

    @classmethod
    def at(cls, address: str, ways: tuple[Way, ...] = WAYS) -> Self:
        """The memory of a direct address; text that is none, or ``%I*``, lies nowhere (empty text)."""
        return cls(*_memory(address, ways))

    def meets(self, other: Memory) -> Meeting:
        """Do both share a bit, whichever way is right? Where the bits cannot be told, only equal texts do.

        >>> Memory.at("%QW4").meets(Memory.at("%QW5")), Memory.at("%QW4").meets(Memory.at("%QW40"))
        ('unclear', 'no')
        >>> Memory.at("%QW4", (BYTES,)).meets(Memory.at("%QX5.0", (BYTES,)))
        'yes'
        >>> Memory.at("%IX0.0").meets(Memory.at("%I0.0")), Memory.at("%IW1.2.3").meets(Memory.at("%IW1.2.3"))
        ('yes', 'yes')
        """
        if not self.spans or not other.spans:
            return "yes" if self.text and self.text == other.text else "no"
        if self.area != other.area:
            return "no"
        shared = [a.start < b.stop and b.start < a.stop for a, b in zip(self.spans, other.spans, strict=True)]
        return "yes" if all(shared) else "unclear" if any(shared) else "no"
