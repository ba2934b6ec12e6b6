"""Store, compare and prove the program in a programmable controller, from open-format exports.

>>> import asfound
>>> old, new = asfound.read("last-year.xml"), asfound.read("today.xml")  # doctest: +SKIP
>>> asfound.compare(old, new).verdict  # doctest: +SKIP
'behaviour'
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__all__ = ["Archive", "Comparison", "Copy", "Problem", "compare", "read"]
__version__ = "0.1.0"

if TYPE_CHECKING:
    from asfound.archive.archive import Archive
    from asfound.compare.comparison import compare
    from asfound.compare.result import Comparison
    from asfound.model.copy import Copy
    from asfound.model.problem import Problem
    from asfound.readers.reading import read

_HOMES = {
    "Archive": "asfound.archive.archive",
    "Comparison": "asfound.compare.result",
    "Copy": "asfound.model.copy",
    "Problem": "asfound.model.problem",
    "compare": "asfound.compare.comparison",
    "read": "asfound.readers.reading",
}


def __getattr__(name: str) -> Any:
    """Load the public names on first use, so that ``asfound --version`` loads nothing."""
    if name not in _HOMES:
        raise AttributeError(f"module 'asfound' has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_HOMES[name]), name)
