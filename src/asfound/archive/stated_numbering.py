"""What a person states of a station in its ``station.toml`` and no export says: how the words of addresses are counted.

::

    [addresses]
    words = "byte"    # %IW2 lies beside %IW0; "word": beside %IW1
"""

from __future__ import annotations

from typing import Literal as Choice

import msgspec

from asfound.model.logic import Node
from asfound.model.problem import Problem
from asfound.readers import toml


class Addresses(Node, frozen=True):
    """``words``: what the number of a word address counts; None when nobody stated it."""

    words: Choice["byte", "word"] | None = None


class _Part(msgspec.Struct, frozen=True):
    """The one table of the document that is looked at here; the rest is for who reads the whole."""

    addresses: Addresses = Addresses()


def addresses(data: bytes, where: str) -> Addresses:
    """The table ``[addresses]`` of a station.toml; a :class:`Problem` when it cannot be understood."""
    toml.refuse_size(len(data), where)
    try:
        return msgspec.convert(toml.loads(data.decode("utf-8"), where), _Part).addresses
    except UnicodeDecodeError as error:
        raise Problem(f"is not UTF-8 (byte {error.start})", where=where, advice="save it as UTF-8") from None
    except msgspec.ValidationError as error:
        advice = 'write words = "byte" or words = "word" in [addresses]'
        raise Problem(f"cannot be understood ({error})", where=where, advice=advice) from None
