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

from asfound.model.logic import Node
from asfound.model.problem import Problem
from asfound.model.station import (
    INTERRUPTIONS,
    KEEPERS,
    LACKS,
    ROLES,
    SWITCH_ROLES,
    BringsBack,
    Equipment,
    Lacks,
    Role,
    SwitchRole,
)  # fmt: skip
from asfound.model.visible import visible
from asfound.readers import toml


class Addresses(Node, frozen=True):
    """``words``: what the number of a word address counts; None when nobody stated it."""

    words: Choice["byte", "word"] | None = None


class Stated(msgspec.Struct, frozen=True, omit_defaults=True):
    """The tables of the document that are looked at here; the rest is for who reads the whole."""

    addresses: Addresses = Addresses()
    indicators: dict[str, Role] | None = None
    switch: dict[str, SwitchRole] | None = None
    brings_back: BringsBack = BringsBack()
    lacks: Lacks = Lacks()

    @property
    def equipment(self) -> Equipment:
        """What the controller has, and what comes back."""
        return Equipment(self.indicators, self.switch, self.brings_back, self.lacks.names())


ADVICE = {
    "addresses": 'write words = "byte" or words = "word" in [addresses]',
    "indicators": f'write "NAME" = "ROLE" in [indicators]; the roles are {", ".join(ROLES)}',
    "switch": f'write "POSITION" = "ROLE" in [switch]; the roles are {", ".join(SWITCH_ROLES)}',
    "brings_back": f"write {', '.join(INTERRUPTIONS)}, each one of {', '.join(KEEPERS)}, and a source in [brings_back]",
    "lacks": f"write {', '.join(LACKS)} = true in [lacks]",
}
"""What to write, by table."""
LONGEST = 60
"""Characters of a name on a device."""
RESERVED = ("rest", "none")
"""Words of commands, which no name can be."""


def stated(data: bytes, where: str) -> Stated:
    """What a station.toml states; a :class:`Problem` when it cannot be understood."""
    return msgspec.convert(document(data, where), Stated)


def document(data: bytes, where: str) -> dict[str, Any]:
    """The whole document, each of the tables in it looked at by itself; a :class:`Problem` that says which is wrong."""
    toml.refuse_size(len(data), where)
    try:
        found = toml.loads(data.decode("utf-8"), where)
    except UnicodeDecodeError as error:
        raise Problem(f"is not UTF-8 (byte {error.start})", where=where, advice="save it as UTF-8") from None
    for table, advice in ADVICE.items():
        if table in found:
            _refuse({table: found[table]}, table, advice, where)
    return found


def _refuse(part: dict[str, Any], table: str, advice: str, where: str) -> None:
    """Raise Problem for a table that cannot be understood, or a name that no device bears."""
    try:
        found = msgspec.convert(part, Stated)
    except msgspec.ValidationError as error:
        raise Problem(f"cannot be understood ({error})", where=where, advice=advice) from None
    for name in (*(found.indicators or ()), *(found.switch or ())):
        if wrong := wrong_name(name):
            raise Problem(f"[{table}] names '{visible(name[:LONGEST])}', {wrong}", where=where, advice=advice)


def wrong_name(name: str) -> str:
    """Why no indicator and no position can be called that; empty when one can."""
    if not name.strip():
        return "which is no name"
    if name.strip().lower() in RESERVED:
        return "which is a word of the commands"
    return f"which is longer than {LONGEST} characters" if len(name) > LONGEST else ""


Tables = Mapping[str, Mapping[str, str | bool]]
"""Tables of a station.toml, each with its rows."""


def stating(data: bytes, tables: Tables, where: str) -> bytes:
    """A station.toml that states these tables as well, with everything else, comments too, as it was.

    A table that names what is on the device takes the place of the one before; one of ``brings_back`` adds to it.
    """
    before = document(data, where)
    written = tomlkit.parse(data.decode("utf-8"))
    for name, rows in tables.items():
        table = tomlkit.table()
        table.update({**(before.get(name, {}) if name == "brings_back" else {}), **rows})
        written[name] = table
    made = tomlkit.dumps(written).encode()
    stated(made, where)
    return made
