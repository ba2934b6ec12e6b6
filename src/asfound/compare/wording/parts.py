"""Fields of everything but logic: declarations, types, tasks, tags, hardware, values, forces, unknown data."""

from __future__ import annotations

from asfound.compare.wording.fields import Field, headline, note

PARTS: dict[str, Field] = {
    "said": headline("{new}"),
    "line": Field("{new}"),
    "used": note("used in {new}"),
    "used more": note("used in {new} more places"),
}
