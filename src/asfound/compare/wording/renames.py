"""Fields of renames, and of what follows from them."""

from __future__ import annotations

from asfound.compare.wording.fields import Field

RENAMES: dict[str, Field] = {}
