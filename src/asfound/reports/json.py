"""The comparison as one JSON document, the contract for other programs (schemas/comparison.json)."""

from __future__ import annotations

import msgspec

from asfound.compare.result import Comparison


def write(comparison: Comparison) -> str:
    """Return ``comparison`` as JSON: two blanks of indent, fields in the order of the contract, one final newline."""
    return msgspec.json.format(msgspec.json.encode(comparison), indent=2).decode() + "\n"
