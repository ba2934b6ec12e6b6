"""Names and free texts as they may stand in a declaration or a chart."""

from __future__ import annotations

from asfound.language.pragmas import pragma
from asfound.language.tokens import is_identifier
from asfound.language.types import stands_alone


def name(text: str) -> str:
    """A name, plain or dotted, as it may stand in a declaration."""
    return text if all(map(is_identifier, text.split("."))) else pragma("name", text)


def words(text: str) -> str:
    """Text of a declaration that may be anything: as it is where that is safe, else quoted."""
    return text if stands_alone(text) else pragma("text", text)
