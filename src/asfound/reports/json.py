"""Results as JSON documents, the contract for other programs (see schemas/)."""

from __future__ import annotations

import msgspec


def write(document: msgspec.Struct) -> str:
    """Return a document as JSON: two blanks of indent, fields in the order of the contract, one final newline."""
    return msgspec.json.format(msgspec.json.encode(document), indent=2).decode() + "\n"
