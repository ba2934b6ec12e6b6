"""What was understood though it is not written as it has to be, as notes: each way of reading once, with a count."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from asfound.language.near_keywords import Odd, corrected
from asfound.model.copy import Finding
from asfound.readers.xml import Element


def corrected_texts(pou: Element, place: str) -> list[Odd]:
    """What was almost right in the texts of a POU that has not been read yet, each put right in the tree."""
    found: list[Odd] = []
    for text in (each for body in pou.iter("{*}ST") for each in body.iter() if each.text):
        right, odd = corrected(text.text or "", lambda: _names(pou))
        if odd:
            text.text = right
            found += [each._replace(place=place) for each in odd]
    return found


def _names(pou: Element) -> set[str]:
    return {str(each.get("name")).upper() for each in pou.iter() if each.get("name")}


def told(odd: Iterable[Odd], where: Callable[[Odd], str]) -> list[Finding]:
    """A note for each reading, at the first place, in order."""
    found: dict[str, list[Odd]] = {}
    for each in odd:
        found.setdefault(each.reading, []).append(each)
    return [
        Finding("note", where(first), f"{first.what}{f' (and {len(more)} more)' if more else ''}; read {reading}")
        for reading, (first, *more) in found.items()
    ]
