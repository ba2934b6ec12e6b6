"""Names that occur twice in a list, as findings."""

from __future__ import annotations

from collections.abc import Iterable

from asfound.model.copy import Finding


def repeated(names: Iterable[tuple[str, str]]) -> list[Finding]:
    """A warning for each (name, place) whose name was met before without regard to case, telling both places."""
    first: dict[str, str] = {}
    found = []
    for name, where in names:
        if not name:
            continue
        earlier = first.setdefault(name.lower(), where)
        if earlier is not where:
            text = f"the name '{name}' was used before ({earlier}); both rows are kept"
            found.append(Finding("warning", where, text))
    return found
