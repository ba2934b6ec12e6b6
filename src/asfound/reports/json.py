"""Results as JSON documents, the contract for other programs (see schemas/)."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from asfound.checks.readiness.readiness import Readiness
from asfound.compare.result import Change, Comparison


def write(document: msgspec.Struct) -> str:
    """Return a document as JSON: two blanks of indent, fields in the order of the contract, one final newline."""
    if isinstance(document, Comparison | Readiness):
        document = replace(document, changes=tuple(map(_documented, document.changes)))
    return msgspec.json.format(msgspec.json.encode(document), indent=2).decode() + "\n"


def _documented(change: Change) -> Change:
    """Without what is only there to be drawn, and without outputs of which nothing is told but what reach says."""
    return replace(change, statements=msgspec.UNSET, reached=tuple(each for each in change.reached if each.way))
