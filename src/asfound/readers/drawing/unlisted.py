"""Sentences about wires that come from a pin which its block does not list."""

from __future__ import annotations

from collections.abc import Iterable


def block_words(instance: str, type: str) -> str:
    """How a block is called.

    >>> block_words("T1", "TON"), block_words("", "ADD")
    ('block T1 (TON)', 'block ADD')
    """
    instance, type = instance.strip(), type.strip()
    return f"block {instance} ({type})" if instance and type else f"block {instance or type}".strip()


def from_unlisted(instance: str, type: str, names: Iterable[str]) -> str:
    """About a block whose outputs are named by wires and stand in no list.

    >>> from_unlisted("T1", "TON", ["Q1", "Q2", "q1"])
    'block T1 (TON) does not list the outputs Q1, Q2 that wires come from; read as if it did'
    """
    spelled: dict[str, str] = {}
    for name in names:
        spelled.setdefault(name.lower(), name)
    distinct = list(spelled.values())
    which = (
        f"the outputs {', '.join(distinct)} that wires come"
        if len(distinct) > 1
        else f"the output {distinct[0]} that a wire comes"
    )
    return f"{block_words(instance, type)} does not list {which} from; read as if it did"
