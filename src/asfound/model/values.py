"""Values read from a running controller: what was tuned, what is forced."""

from __future__ import annotations

from asfound.model.logic import Node
from asfound.model.program import Setting


class ActualValue(Node, frozen=True):
    """A value of a running controller, and the one it started with.

    ``actual`` and ``initial`` keep the written digits (``5.80``) and are in ``unit``, an engineering unit as written
    (bar, s, m3/h), empty when the list has none. ``settings`` hold every further column, by its heading.
    """

    name: str
    actual: str
    initial: str = ""
    unit: str = ""
    comment: str = ""
    settings: tuple[Setting, ...] = ()


class Force(Node, frozen=True):
    """A variable or address that is held from outside the program at ``value``, an IEC literal or as written.

    ``address`` is canonical (``%IX7.0``) when understood, else as written.
    """

    name: str
    value: str
    address: str = ""
    comment: str = ""
    settings: tuple[Setting, ...] = ()
