"""The memory card: the smallest common size that holds the program with headroom.

The size of a compiled program is in no export. What stands for it is the size of its normal form: text without
drawing, which a compiled program rarely exceeds. Sizes and headroom are common practice, without a source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.analysis.overlaps import modules_of
from asfound.checks.findings import Finding, finding
from asfound.language.normal import normal_form
from asfound.model.copy import Copy

KB = 1024
SIZES = (64 * KB, 128 * KB, 256 * KB, 512 * KB, 2048 * KB, 4096 * KB, 8192 * KB)
"""Bytes of common cards."""
HEADROOM = 1.25
PRACTICE = (
    "an export does not tell the compiled size; the text of the program stands for it. Card sizes and a headroom of "
    "25 % are common practice, without a source"
)
_CARD = re.compile(r"memory\s*card|speicherkarte|carte\s*m.moire|tarjeta\s*de\s*memoria|scheda\s*di\s*memoria", re.I)
_SIZE = re.compile(r"([0-9]+)\s*(k|M)i?B(?:yte)?s?\b", re.I)


def smallest(size: int) -> int | None:
    """The smallest common card for a program of ``size`` bytes with headroom; None when none is large enough.

    >>> smallest(50_000), smallest(60_000), smallest(10_000_000)
    (65536, 131072, None)
    """
    return next((card for card in SIZES if size * HEADROOM <= card), None)


def card(copy: Copy) -> Iterator[Finding]:
    """Which card the program needs, and whether one that the hardware names is too small."""
    if not copy.program.pous:
        return
    size = needed(copy)
    fits = smallest(size)
    fitting = f"a memory card of {words(fits)}" if fits else "no common memory card"
    text = f"the program is about {words(size)}: {fitting} holds it with headroom"
    yield finding("memory card", "note", "program", text, PRACTICE, (f"normal form of the program: {size} bytes",))
    for device in copy.hardware.devices:
        for module, place, _ in modules_of(device):
            stated = _stated(module.name, module.type_name)
            if stated is not None and size * HEADROOM > stated:
                text = f"{module.name} holds {words(stated)}, the program is about {words(size)}"
                yield finding("memory card", "warning", place.where, text, f"it may not fit; {PRACTICE}")


def needed(copy: Copy) -> int:
    """Bytes of the program of a copy, as its normal form."""
    return sum(len(text.encode()) for path, text in normal_form(copy).items() if path.startswith("program/"))


def size_of(text: str) -> int | None:
    """Bytes of a size such as ``256 kB`` or ``4MB`` in a text; None when there is none."""
    found = _SIZE.search(text)
    return int(found[1]) * (KB if found[2].lower() == "k" else KB * KB) if found else None


def _stated(*names: str) -> int | None:
    return next((size for name in names if _CARD.search(name) and (size := size_of(name)) is not None), None)


def words(size: int) -> str:
    """A size in words: ``64 kB``, ``2 MB``."""
    if size >= KB * KB and size % (KB * KB) == 0:
        return f"{size // (KB * KB)} MB"
    return f"{max(round(size / KB), 1)} kB"
