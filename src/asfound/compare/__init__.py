"""Pairing, differences, effects.

``asfound.compare`` is this package and, in the public interface, the function ``compare(old, new)``. Importing any
module below puts the package under that name, so the package can be called and passes the call on.
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import Any


class _Package(ModuleType):
    def __call__(self, *copies: Any, **references: Any) -> Any:
        from asfound.compare.comparison import compare

        return compare(*copies, **references)


sys.modules[__name__].__class__ = _Package
