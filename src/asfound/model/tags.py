"""Tag tables: symbolic names given to addresses outside the program text."""

from __future__ import annotations

from asfound.model.logic import Node
from asfound.model.program import Setting


class Tag(Node, frozen=True):
    """``address`` is canonical (``%IX0.0``) when understood, else as written; ``type`` an IEC type name, upper case."""

    name: str
    address: str = ""
    type: str = ""
    comment: str = ""
    settings: tuple[Setting, ...] = ()
    """Every further column that holds something, by its header, sorted."""


class TagTable(Node, frozen=True):
    """Tags sorted by name (row order is noise); two rows with one name are both kept."""

    name: str
    tags: tuple[Tag, ...]
