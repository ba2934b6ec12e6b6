"""The comparison as one self-contained HTML file that opens offline."""

from __future__ import annotations

from asfound.compare.result import Comparison
from asfound.model.copy import Copy


def write(comparison: Comparison, old: Copy | None, new: Copy | None, *, title: str = "") -> str:
    """Return the whole page; ``old`` and ``new`` let it draw the networks that changed."""
    raise NotImplementedError
