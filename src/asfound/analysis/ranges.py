"""Bit ranges of an area: what the modules hold, and whether something lies inside."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence

from asfound.model.hardware import Hardware, Module


def merged(spans: Iterable[range]) -> list[range]:
    """Sorted, those that touch or overlap as one.

    >>> merged([range(8, 16), range(0, 8), range(24, 32)])
    [range(0, 16), range(24, 32)]
    """
    found: list[range] = []
    for span in sorted(spans, key=lambda s: (s.start, s.stop)):
        if found and span.start <= found[-1].stop:
            found[-1] = range(found[-1].start, max(found[-1].stop, span.stop))
        else:
            found.append(span)
    return found


def inside(span: range, covered: Sequence[range]) -> bool:
    """Does it lie wholly in one of some merged ranges?"""
    at = bisect_right(covered, span.start, key=lambda s: s.start) - 1
    return at >= 0 and span.stop <= covered[at].stop


def module_bytes(hardware: Hardware) -> dict[str, list[range]]:
    """Merged bit ranges of all modules by area (I, Q).

    Empty where devices have address spaces of their own: several with a CPU, or several and none known to have one.
    """
    modules = [list(_every(device.modules)) for device in hardware.devices]
    if len(modules) > 1 and sum(any(m.kind.lower() == "cpu" for m in each) for each in modules) != 1:
        return {}
    found: dict[str, list[range]] = {}
    for part in (part for each in modules for module in each for part in module.addresses):
        if part.start is not None and part.start >= 0 and part.length and part.length > 0 and part.direction:
            area = "I" if part.direction == "input" else "Q"
            found.setdefault(area, []).append(range(part.start * 8, part.start * 8 + part.length))
    return {area: merged(spans) for area, spans in found.items()}


def _every(modules: Sequence[Module]) -> Iterator[Module]:
    for module in modules:
        yield module
        yield from _every(module.modules)
