"""Addresses that overlap: modules that claim the same bytes, tags that share bits.

All claims of one address space are sorted by their first bit and swept once; claims of the very same bits are one
point of the sweep. Cost: n log n, plus the overlaps found, for each way to count words that is possible (see
numbering): what overlaps in each of them does, what overlaps in some may. Addresses whose bits depend on the make take
no part.

Modules share one address space unless several devices have a CPU of their own (or none is known to have one): then
every device is a space of its own. A module and what is plugged into it may claim the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal as Choice
from typing import NamedTuple

from asfound.analysis.numbering import Numbering, different
from asfound.analysis.places import Place, module_place, module_words, tag_place
from asfound.model.copy import Copy
from asfound.model.hardware import Device, Module

AREAS = {"I": "input", "Q": "output", "M": "memory"}


class Claim(NamedTuple):
    """Something that lies at ``span`` (bits from 0) of an area. ``space`` keeps stations apart; ``path`` nests."""

    kind: Choice["module", "tag"]
    name: str
    text: str
    area: str
    span: range
    space: str
    type: str
    place: Place
    path: tuple[int, ...] = ()
    address: str = ""


class Overlap(NamedTuple):
    """Two claims (the larger, or else the earlier one first) and the bits that both hold.

    Not ``sure`` when they share bits only if words are counted in one of the ways that are possible.
    """

    first: Claim
    second: Claim
    span: range
    sure: bool = True


def bytes_of(area: str, span: range) -> str:
    """Bits in words: ``input bytes 64 to 79``, ``output byte 4``, ``memory bit 10.3``.

    >>> bytes_of("I", range(512, 640)), bytes_of("M", range(83, 84))
    ('input bytes 64 to 79', 'memory bit 10.3')
    """
    first, last = span.start // 8, (span.stop - 1) // 8
    word = AREAS[area]
    if len(span) == 1:
        return f"{word} bit {first}.{span.start % 8}"
    return f"{word} byte {first}" if first == last else f"{word} bytes {first} to {last}"


def module_claims(copy: Copy) -> list[Claim]:
    """The address ranges of all modules that are stated whole."""
    devices = copy.hardware.devices
    with_cpu = sum(any(m.kind.lower() == "cpu" for m, _, _ in modules_of(device)) for device in devices)
    apart = with_cpu > 1 or (with_cpu == 0 and len(devices) > 1)
    found = []
    for number, device in enumerate(devices):
        for module, place, path in modules_of(device):
            for part in module.addresses:
                if part.start is None or part.start < 0 or not part.length or part.length < 0 or not part.direction:
                    continue
                area = "I" if part.direction == "input" else "Q"
                span = range(part.start * 8, part.start * 8 + part.length)
                text = f"module {module_words(module)} ({bytes_of(area, span)})"
                space = device.name if apart else ""
                found.append(Claim("module", module.name, text, area, span, space, "", place, (number, *path)))
    return found


def modules_of(device: Device) -> Iterator[tuple[Module, Place, tuple[int, ...]]]:
    """Every module of a device with its place and the numbers of the way to it."""
    yield from _below(device.modules, Place(f"device {device.name}", (f"device:{device.name}",)), ())


def _below(
    modules: Sequence[Module], place: Place, path: tuple[int, ...]
) -> Iterator[tuple[Module, Place, tuple[int, ...]]]:
    for number, module in enumerate(modules):
        at = module_place(place, module)
        yield module, at, (*path, number)
        yield from _below(module.modules, at, (*path, number))


Row = tuple[str, str, str]
"""Name, address and type of a tag."""


def tag_rows(copy: Copy) -> list[tuple[Row, str]]:
    """Tags of all tables with the name of their table, and global variables with an address (without a table)."""
    found = [((t.name, t.address, t.type), table.name) for table in copy.tables for t in table.tags if t.address]
    return found + [
        ((v.name, v.address, v.type), "") for block in copy.program.globals for v in block.variables if v.address
    ]


def tag_claims(copy: Copy, numbering: Numbering) -> list[list[Claim]]:
    """Everything in :func:`tag_rows` that lies at known bits, for each way to count words; the first way first.

    One name at one address counts once. Ways that put everything at the same bits are told once.
    """
    return claims_of(tag_rows(copy), numbering)


def claims_of(rows: Iterable[tuple[Row, str]], numbering: Numbering) -> list[list[Claim]]:
    """The claims of tags, for each way to count words that is possible."""
    found: dict[tuple[str, str], list[Claim]] = {}
    for (name, address, type), table in rows:
        memory = numbering.at(address)
        if not memory.spans or (name.lower(), memory.text) in found:
            continue
        place = tag_place(table, name) if table else Place(f"global {name}", ("globals", f"variable:{name}"))
        upper = type.strip().upper()
        text = f"{name} ({memory.text}{', ' + upper if upper else ''})"
        claim = Claim("tag", name, text, memory.area, memory.spans[0], "", upper, place, address=memory.text)
        found[name.lower(), memory.text] = [claim._replace(span=span) for span in memory.spans]
    columns = different([[claim.span for claim in each] for each in found.values()])
    return [[each[column] for each in found.values()] for column in columns]


def overlaps(claims: Iterable[Claim]) -> list[Overlap]:
    """All pairs that share a bit and do not belong into each other, sorted by area and bit.

    Of several tags at the very same bits each is paired with the first of them only.
    """
    spaces: dict[tuple[str, str, str], dict[tuple[int, int], list[Claim]]] = {}
    for claim in claims:
        key = claim.kind, claim.space, claim.area
        spaces.setdefault(key, {}).setdefault((claim.span.start, -claim.span.stop), []).append(claim)
    found = []
    for _, points in sorted(spaces.items()):
        active: list[list[Claim]] = []
        for point in sorted(points):
            here = sorted(points[point], key=lambda c: (c.name.lower(), c.place.path))
            active = [group for group in active if group[0].span.stop > here[0].span.start]
            pairs = [(group[0], here[0]) for group in active] + [(here[0], other) for other in here[1:]]
            found += [Overlap(a, b, _shared(a, b)) for a, b in pairs if not _nested(a, b)]
            active.append(here)
    return found


def overlaps_by_counting(ways: Sequence[Sequence[Claim]]) -> list[Overlap]:
    """All pairs of tags that share a bit in some way to count words, from what :func:`tag_claims` gives.

    One that is not sure is given as it is in the first way in which it is there.
    """
    found: dict[tuple[str, str], Overlap] = {}
    times: dict[tuple[str, str], int] = {}
    for each in (overlap for claims in ways for overlap in overlaps(claims)):
        key = min(each.first.text, each.second.text), max(each.first.text, each.second.text)
        found.setdefault(key, each)
        times[key] = times.get(key, 0) + 1
    return [each if times[key] == len(ways) else each._replace(sure=False) for key, each in found.items()]


def _shared(a: Claim, b: Claim) -> range:
    return range(max(a.span.start, b.span.start), min(a.span.stop, b.span.stop))


def _nested(a: Claim, b: Claim) -> bool:
    """Is one module plugged into the other?"""
    short = min(len(a.path), len(b.path))
    return a.kind == "module" and len(a.path) != len(b.path) and a.path[:short] == b.path[:short]


def shared_words(overlap: Overlap) -> str:
    """``share input byte 65``; not what they share when that hangs on how words are counted."""
    if not overlap.sure:
        return "may share memory, depending on how words are counted"
    return f"share {bytes_of(overlap.first.area, overlap.span)}"


def harmless(overlap: Overlap) -> bool:
    """Two names of one type at one address: a second name for the same thing, nothing is read in another way."""
    a, b = overlap.first, overlap.second
    return a.kind == "tag" and a.span == b.span and a.type == b.type
