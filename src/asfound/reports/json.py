"""Results as JSON documents, the contract for other programs (see schemas/)."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from asfound.checks.readiness.readiness import Readiness
from asfound.compare.result import Comparison


def write(document: msgspec.Struct) -> str:
    """Return a document as JSON: two blanks of indent, fields in the order of the contract, one final newline."""
    if isinstance(document, Comparison | Readiness):  # without what is only there to be drawn
        changes = (replace(c, statements=msgspec.UNSET) for c in document.changes)
        document = replace(document, changes=tuple(changes))
    return msgspec.json.format(msgspec.json.encode(document), indent=2).decode() + "\n"
