"""Recursion without the interpreter's stack, so that a diagram of any length can be followed.

A function that would call itself is written as a generator: it yields the generator of each call it needs and is sent
the answer back. :func:`finish` keeps the calls in a list. Cost: two to three times a plain call.
"""

from __future__ import annotations

from collections.abc import Generator
from typing import Any, TypeVar

T = TypeVar("T")
Steps = Generator["Steps[Any]", Any, T]


def finish(first: Steps[T]) -> T:
    """The answer of a generator that yields the calls it depends on.

    >>> def count(n: int) -> Steps[int]:
    ...     return 0 if n == 0 else 1 + (yield count(n - 1))
    >>> finish(count(100_000))
    100000
    """
    waiting: list[Steps[Any]] = [first]
    answer: Any = None
    while waiting:
        try:
            needed = waiting[-1].send(answer)
        except StopIteration as done:
            waiting.pop()
            answer = done.value
        else:
            waiting.append(needed)
            answer = None
    result: T = answer
    return result
