"""Where an object of a drawing stands."""

from __future__ import annotations

from asfound.readers.xml import Element, take


def position(element: Element, name: str) -> tuple[float, float]:
    """Drawn place of an object, (0, 0) when it has none; the first child of that name is taken."""
    place = take(element, name)
    if place is None:
        return 0.0, 0.0
    return _float(place.get("x", "")), _float(place.get("y", ""))


def _float(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return 0.0
