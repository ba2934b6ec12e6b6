"""Store, compare and prove the program in a programmable controller, from open-format exports.

:func:`read` makes a :class:`Copy` of a file, a folder or bytes; :func:`compare` makes a :class:`Comparison` of two
copies; :class:`Archive` keeps copies as records of stations. Whatever a user can mend is raised as :class:`Problem`,
and nothing else is raised on purpose. All results are frozen structs; ``reports.json.write`` writes any of them.

>>> import asfound
>>> before = b"PROGRAM Pump VAR start, stop, run : BOOL; END_VAR run := (start OR run) AND NOT stop; END_PROGRAM"
>>> after = before.replace(b"AND NOT stop", b"")
>>> found = asfound.compare(asfound.read(before, "pump.st"), asfound.read(after, "pump.st"))
>>> found.verdict, found.counts.behaviour
('behaviour', 1)
>>> found.changes[0].where, found.changes[0].summary
('Pump / statement 1', 'run: operand NOT stop removed from AND')
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
