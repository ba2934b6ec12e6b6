"""Direct addresses (IEC 61131-3: directly represented variables): ``%IX0.0``, ``%QW4``, ``%M*``."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple, Self

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


def bits(address: Address) -> range | None:
    """The bits an address covers, counted from bit 0 of byte 0 of its area; None when it cannot be told.

    Assumption (common practice, not in the standard): the first number counts bytes whatever the size letter
    (``%IW4`` is bytes 4 and 5), and a bit is ``byte.bit`` with bits 0 to 7. Two numbers with a size of a byte or more,
    three numbers and more (rack, module, channel) and ``*`` depend on the make: None. A controller that counts words
    (``%IW4`` is the fifth word) needs its own reading.

    >>> bits(Address("I", "X", (2, 3))), bits(Address("Q", "W", (4,)))
    (range(19, 20), range(32, 48))
    """
    width = WIDTHS[address.size]
    if address.wildcard or len(address.parts) not in (1, 2):
        return None
    if width == 1:
        if len(address.parts) != 2 or address.parts[1] > 7:
            return None
        first = address.parts[0] * 8 + address.parts[1]
        return range(first, first + 1)
    if len(address.parts) == 2:
        return None
    first = address.parts[0] * 8
    return range(first, first + width)


@lru_cache(maxsize=131072)
def _memory(address: str) -> tuple[str, str, range | None]:
    found = parse(address)
    if found is None or found.wildcard:
        return "", "", None
    return canonical(address), found.area, bits(found)


class Memory(NamedTuple):
    """Where something lies: ``span`` are its bits in the area (I, Q, M), None when they depend on the make."""

    text: str
    area: str = ""
    span: range | None = None

    @classmethod
    def at(cls, address: str) -> Self:
        """The memory of a direct address; text that is none, or ``%I*``, lies nowhere (empty text)."""
        return cls(*_memory(address))

    def shares(self, other: Memory) -> bool:
        """Do both share a bit? Where the bits cannot be told, only equal texts do.

        >>> Memory.at("%QW4").shares(Memory.at("%QX5.0")), Memory.at("%QW4").shares(Memory.at("%QX6.0"))
        (True, False)
        >>> Memory.at("%IX0.0").shares(Memory.at("%I0.0")), Memory.at("%IW1.2.3").shares(Memory.at("%IW1.2.3"))
        (True, True)
        """
        if self.span is None or other.span is None:
            return bool(self.text) and self.text == other.text
        if self.area != other.area:
            return False
        return self.span.start < other.span.stop and other.span.start < self.span.stop
