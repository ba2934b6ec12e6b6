"""What a person states of a station in its ``station.toml`` and no export says, and how a command states it there.

::

    [addresses]
    words = "byte"    # %IW2 lies beside %IW0; "word": beside %IW1

    [indicators]
    "ERR" = "fault"

    [switch]
    "SERVICE" = "program/remote"

    [brings_back]
    reset = "card"
    source = "maker's manual"
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from typing import Literal as Choice

import msgspec
import tomlkit
import tomlkit.exceptions

from asfound.model.logic import Node
from asfound.model.problem import Problem
from asfound.model.station import OPERATIONS, PLACES, POSITIONS, ROLES, BringsBack, Equipment, Position, Role
from asfound.readers import toml


class Addresses(Node, frozen=True):
    """``words``: what the number of a word address counts; None when nobody stated it."""

    words: Choice["byte", "word"] | None = None


class Stated(msgspec.Struct, frozen=True):
    """The tables of the document that are looked at here; the rest is for who reads the whole."""

    addresses: Addresses = Addresses()
    indicators: dict[str, Role] | None = None
    switch: dict[str, Position] | None = None
    brings_back: BringsBack = BringsBack()

    @property
    def equipment(self) -> Equipment:
        """What the controller has, and what comes back."""
        return Equipment(self.indicators, self.switch, self.brings_back)


ADVICE = (
    'it may state words = "byte" or "word" in [addresses]; '
    f"NAME = ROLE in [indicators], with the role {', '.join(ROLES)}; "
    f"POSITION = ROLE in [switch], with the role {', '.join(POSITIONS[:-1])}; "
    f"{', '.join(OPERATIONS)} = {', '.join(PLACES)} and a source in [brings_back]"
)


def stated(data: bytes, where: str) -> Stated:
    """What a station.toml states; a :class:`Problem` when it cannot be understood."""
    toml.refuse_size(len(data), where)
    try:
        return msgspec.convert(toml.loads(data.decode("utf-8"), where), Stated)
    except UnicodeDecodeError as error:
        raise Problem(f"is not UTF-8 (byte {error.start})", where=where, advice="save it as UTF-8") from None
    except msgspec.ValidationError as error:
        raise Problem(f"cannot be understood ({error})", where=where, advice=ADVICE) from None


def stating(data: bytes, tables: Mapping[str, Mapping[str, str]], where: str) -> bytes:
    """A station.toml that states these tables as well, with everything else, comments too, as it was.

    A table that names what is on the device takes the place of the one before; one of ``brings_back`` adds to it.
    """
    try:
        document = tomlkit.parse(data.decode("utf-8"))
        for name, rows in tables.items():
            kept: dict[str, Any] = dict(document.get(name, {})) if name == "brings_back" else {}
            table = tomlkit.table()
            table.update({**kept, **rows})
            document[name] = table
    except (UnicodeDecodeError, tomlkit.exceptions.TOMLKitError) as error:
        raise Problem(f"cannot be written to ({error})", where=where, advice="mend it by hand and store it") from None
    made = tomlkit.dumps(document).encode()
    stated(made, where)
    return made
