"""Values read from a running controller: what was tuned, what is forced."""

from __future__ import annotations

from asfound.model.logic import Node
from asfound.model.program import Setting


class ActualValue(Node, frozen=True):
    """``actual`` and ``initial`` keep the written digits; ``unit`` is an engineering unit (bar, s, m3/h)."""

    name: str
    actual: str
    initial: str = ""
    unit: str = ""
    comment: str = ""
    settings: tuple[Setting, ...] = ()


class Force(Node, frozen=True):
    """A variable or address that is held at ``value`` from outside the program."""

    name: str
    value: str
    address: str = ""
    comment: str = ""
    settings: tuple[Setting, ...] = ()
