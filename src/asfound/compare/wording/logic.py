"""Fields of logic: statements, rungs, networks, charts, expressions. Their effect is proved, not read off the field."""

from __future__ import annotations

from asfound.compare.wording.fields import Field

LOGIC: dict[str, Field] = {}
