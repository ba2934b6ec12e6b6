"""``stcode`` data: structured text that a block of a drawing holds, and that stands nowhere else."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.language.parser import parse_statements
from asfound.model.logic import Statement
from asfound.readers.drawing.drawn_items import Pin
from asfound.readers.extra.attribute_pragmas import data_items, drop
from asfound.readers.residue import code
from asfound.readers.xml import Element, cut


def own_code(element: Element) -> tuple[Statement, ...]:
    """Statements of the code a block carries, taken; none when it carries none, or in a shape nobody knows.

    What is not taken stays in the tree and so becomes an extension.
    """
    entries = data_items(element, "stcode")
    if len(entries) != 1:
        return ()
    (data,) = entries
    holders = list(data)
    if len(holders) != 1 or any(node.attrib for node in holders[0].iter()) or (data.text or "").strip():
        return ()
    statements = parse_statements("".join(str(part) for part in holders[0].itertext()))
    if statements:
        code(holders[0])
        cut(holders[0])
        drop(data)
    return statements


def is_frame(element: Element, pins: Sequence[Pin]) -> bool:
    """Is a block a mere frame for its own code, without any pin but EN and ENO? Only then the code is all it does."""
    if element.get("typeName", "").strip().upper() != "EXECUTE" or element.get("instanceName"):
        return False
    plain = not any(p.negated or p.edge or p.storage for p in pins)
    return plain and {p.name.lower() for p in pins} <= {"en", "eno"}
