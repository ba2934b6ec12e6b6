"""Small TOML files that a person writes: read whole or refused with one sentence, whatever is in them."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from asfound.model.problem import Problem

MAX_BYTES = 100_000
"""Bytes of a table profile or a station.toml: some hundred times what one needs."""
LARGEST = 1_000_000_000
"""No number in such a file is as large."""
MEND = "mend that line"
_DEEP = re.compile(
    r"""(?<![\w-])(?:(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){30}""",
)
"""A name of more than 30 parts: tomllib goes through all of them again for each, and nobody writes such a name."""


def loads(text: str, name: str) -> dict[str, Any]:
    """The document in a text, whose size is known to be small. Raises Problem that says where."""
    if deep := _DEEP.search(text):
        where = f"{name}, line {text.count(chr(10), 0, deep.start()) + 1}"
        raise Problem("names more than 30 tables inside each other", where=where, advice=MEND)
    try:
        found = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Problem(f"is not valid TOML ({error})", where=name, advice=MEND) from None
    except RecursionError:
        raise Problem("has brackets too deep inside each other", where=name, advice="take them out") from None
    except ValueError:  # Python reads no more than 4,300 digits
        raise Problem(
            "holds a number of thousands of digits", where=name, advice="write the number that is meant"
        ) from None
    _refuse_numbers(found, name)
    return found


def refuse_size(size: int, name: str) -> None:
    """Raise Problem for a file larger than anybody writes by hand."""
    if size > MAX_BYTES:
        raise Problem(f"is larger than {MAX_BYTES // 1000} kB", where=name, advice="leave only what it needs in it")


def _refuse_numbers(found: dict[str, Any], name: str) -> None:
    waiting: list[tuple[str, Any]] = list(found.items())
    while waiting:
        key, value = waiting.pop()
        if isinstance(value, dict):
            waiting += [(f"{key}, {inner}", each) for inner, each in value.items()]
        elif isinstance(value, list):
            waiting += [(f"{key}, {at}", each) for at, each in enumerate(value, 1)]
        elif isinstance(value, int) and abs(value) > LARGEST:
            raise Problem("the number is too large", where=f"{name}, {key}", advice="write the number that is meant")
