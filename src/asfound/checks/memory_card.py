"""How much memory the program needs, about, and whether a card whose size is known holds it with headroom.

The size of a compiled program is in no export. What stands for it is the size of its normal form: text without
drawing, which a compiled program rarely exceeds. The headroom is common practice, without a source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.analysis.overlaps import modules_of
from asfound.analysis.places import Place
from asfound.checks.findings import Finding, finding
from asfound.language.normal import normal_form
from asfound.model.copy import Copy

KB = 1024
HEADROOM = 1.25
PRACTICE = (
    "an export does not tell the compiled size; the text of the program stands for it. A headroom of 25 % is common "
    "practice, without a source"
)
_CARD = re.compile(r"memory\s*card|speicherkarte|carte\s*m.moire|tarjeta\s*de\s*memoria|scheda\s*di\s*memoria", re.I)
_SIZE = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(k|M|G)i?B(?:yte)?s?\b", re.I)
_UNITS = {"k": KB, "m": KB**2, "g": KB**3}


def card(copy: Copy) -> Iterator[Finding]:
    """How much the program needs, and whether a card that the hardware names is too small."""
    if not copy.program.pous:
        return
    size = needed(copy)
    evidence = (f"normal form of the program: {size} bytes",)
    yield finding("memory", "note", Place("program", ()), f"the program needs about {words(size)}", PRACTICE, evidence)
    for device in copy.hardware.devices:
        for module, place, _ in modules_of(device):
            stated = _stated(module.name, module.type_name)
            if stated is not None and size * HEADROOM > stated:
                text = f"{module.name} holds {words(stated)}, the program is about {words(size)}"
                yield finding("memory", "warning", place, text, f"it may not fit; {PRACTICE}")


def needed(copy: Copy) -> int:
    """Bytes of the program of a copy, as its normal form."""
    return sum(len(text.encode()) for path, text in normal_form(copy).items() if path.startswith("program/"))


def size_of(text: str) -> int | None:
    """Bytes of a size in kB, MB or GB in a text; None when there is none.

    >>> size_of("card 256 kB"), size_of("0.5 MB"), size_of("32GB") == 32 * KB**3, size_of("large")
    (262144, 524288, True, None)
    """
    found = _SIZE.search(text)
    return int(float(found[1].replace(",", ".")) * _UNITS[found[2].lower()]) if found else None


def _stated(*names: str) -> int | None:
    return next((size for name in names if _CARD.search(name) and (size := size_of(name)) is not None), None)


def words(size: int) -> str:
    """A size in words: ``64 kB``, ``2.5 MB``.

    >>> words(700), words(262144), words(2621440), words(32 * KB**3)
    ('1 kB', '256 kB', '2.5 MB', '32 GB')
    """
    for unit, name in ((KB**3, "GB"), (KB**2, "MB")):
        if size >= unit:
            return f"{size / unit:.1f}".removesuffix(".0") + f" {name}"
    return f"{max(round(size / KB), 1)} kB"
