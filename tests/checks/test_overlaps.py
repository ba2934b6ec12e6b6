"""Overlaps against an independent answer: a map with one entry for each bit, filled claim by claim."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from asfound.analysis.numbering import Numbering
from asfound.analysis.overlaps import harmless, module_claims, overlaps, overlaps_by_counting, tag_claims
from asfound.compare.comparison import compare
from asfound.language.addresses import BYTES
from asfound.model.copy import Copy
from asfound.model.hardware import AddressRange, Device, Hardware, Module
from asfound.model.tags import Tag, TagTable

SIZES = {"X": 1, "B": 8, "W": 16, "D": 32, "L": 64}
ADDRESSES = st.one_of(
    st.builds("%{}X{}.{}".format, st.sampled_from("IQM"), st.integers(0, 12), st.integers(0, 7)),
    st.builds("%{}{}{}".format, st.sampled_from("IQM"), st.sampled_from("BWDL"), st.integers(0, 12)),
)
TYPES = st.sampled_from(["BOOL", "INT", "WORD", ""])


def bits_of(address: str) -> set[tuple[str, int]]:
    """The bits of an address, worked out from its text alone."""
    area, size, rest = address[1], address[2], address[3:]
    if size == "X":
        byte, bit = rest.split(".")
        return {(area, int(byte) * 8 + int(bit))}
    return {(area, int(rest) * 8 + n) for n in range(SIZES[size])}


def table(*rows: tuple[str, str, str]) -> Copy:
    tags = tuple(sorted((Tag(n, a, t) for n, a, t in rows), key=lambda t: t.name.lower()))
    return Copy(tables=(TagTable("tags", tags),))


@given(st.lists(st.tuples(ADDRESSES, TYPES), max_size=12))
def test_tags_share_bits_exactly_when_the_bit_map_says_so(rows: list[tuple[str, str]]) -> None:
    named = [(f"T{n}", address, type) for n, (address, type) in enumerate(rows)]
    expected = {frozenset((a[0], b[0])) for a, b in combinations(named, 2) if bits_of(a[1]) & bits_of(b[1])}
    found = overlaps_by_counting(tag_claims(table(*named), Numbering((BYTES,))))
    pairs = {frozenset((o.first.name, o.second.name)) for o in found}
    assert pairs <= expected
    for overlap in found:
        shared = {(overlap.first.area, bit) for bit in overlap.span}
        addresses = {n: a for n, a, _ in named}
        assert shared == bits_of(addresses[overlap.first.name]) & bits_of(addresses[overlap.second.name])
    # Of several tags at the very same bits each is paired with the first only; the others follow from that.
    groups = {name: min(n for n, a, _ in named if bits_of(a) == bits_of(address)) for name, address, _ in named}
    assert {frozenset(map(groups.get, pair)) for pair in pairs} == {frozenset(map(groups.get, p)) for p in expected}


RANGES = st.builds(AddressRange, st.sampled_from(["input", "output"]), st.integers(0, 20), st.integers(1, 80))


@given(st.lists(RANGES, max_size=8))
def test_modules_share_bytes_exactly_when_the_bit_map_says_so(ranges: list[AddressRange]) -> None:
    modules = tuple(Module(f"M{n}", slot=n, addresses=(r,)) for n, r in enumerate(ranges))
    owners: dict[tuple[str, int], set[str]] = {}
    for module in modules:
        (part,) = module.addresses
        for bit in range(part.start * 8, part.start * 8 + part.length):
            owners.setdefault((part.direction, bit), set()).add(module.name)
    expected = {frozenset(pair) for names in owners.values() for pair in combinations(sorted(names), 2)}
    copy = Copy(hardware=Hardware((Device("S", modules=modules),)))
    found = {frozenset((o.first.name, o.second.name)) for o in overlaps(module_claims(copy))}
    same = {(r.direction, r.start, r.length) for r in ranges}
    if len(same) == len(ranges):
        assert found == expected
    else:
        assert found <= expected and bool(found) == bool(expected)


def module(name: str, slot: int, start: int, length: int, *inside: Module) -> Module:
    return Module(name, slot=slot, addresses=(AddressRange("input", start, length),), modules=inside)


def test_what_is_plugged_in_shares_the_bytes_of_its_carrier() -> None:
    carrier = module("Head", 1, 0, 32, module("Part 1", 1, 0, 16), module("Part 2", 2, 1, 16))
    found = overlaps(module_claims(Copy(hardware=Hardware((Device("S", modules=(carrier,)),)))))
    assert [(o.first.name, o.second.name) for o in found] == [("Part 1", "Part 2")]


def test_stations_with_a_cpu_of_their_own_do_not_overlap() -> None:
    def station(name: str, kind: str) -> Device:
        return Device(name, modules=(Module("C", kind=kind), module(f"DI {name}", 1, 0, 8)))

    def count(*kinds: str) -> int:
        devices = tuple(station(f"S{n}", kind) for n, kind in enumerate(kinds))
        return len(overlaps(module_claims(Copy(hardware=Hardware(devices)))))

    assert (count("CPU", "CPU"), count("CPU", "HeadModule"), count("", "")) == (0, 1, 0)


def test_two_names_of_one_thing_are_harmless() -> None:
    tags = table(("A", "%IX0.0", "BOOL"), ("B", "%IX0.0", "BOOL"), ("W", "%IW0", "INT"))
    found = overlaps_by_counting(tag_claims(tags, Numbering((BYTES,))))
    assert [(o.first.name, o.second.name, harmless(o)) for o in found] == [("W", "A", False), ("A", "B", True)]


# --- a change that makes an overlap -----------------------------------------------------------------------------


def test_an_overlap_that_a_change_made_is_told_with_the_change() -> None:
    others = [(f"T{n}", f"%QW{2 * n}", "INT") for n in range(3)]
    old = table(("Level", "%IW64", "INT"), ("Flow", "%IW70", "INT"), *others)
    new = table(("Level", "%IW64", "INT"), ("Flow", "%IX65.0", "INT"), *others)
    found = [(c.area, c.kind, c.effect, c.where, c.summary) for c in compare(old, new).changes]
    assert found == [
        ("tag", "readdressed", "behaviour", "tag Flow", "Flow: address %IW70 -> %IX65.0"),
        (
            "tag", "added", "behaviour", "tag Level / addresses",
            "addresses overlap now: Level (%IW64, INT) and Flow (%IX65.0, INT) share input bit 65.0",
        ),
    ]  # fmt: skip
    back = compare(new, old).changes[-1]
    assert (back.kind, back.summary.partition(":")[0]) == ("removed", "addresses no longer overlap")


def test_an_overlap_that_hangs_on_how_words_are_counted_is_undecided() -> None:
    """The old tags lie two apart, the new ones one apart: a wrong address, or a station that counts words."""
    old = table(("Level", "%IW64", "INT"), ("Flow", "%IW66", "INT"))
    new = table(("Level", "%IW64", "INT"), ("Flow", "%IW65", "INT"))
    found = compare(old, new)
    assert [(c.effect, c.summary) for c in found.changes][1:] == [
        (
            "undecided",
            "addresses may overlap now: Level (%IW64, INT) and Flow (%IW65, INT) may share memory, depending on how "
            "words are counted",
        )
    ]
    signs = "%IW64, %IW66 are neighbours two apart; %IW64, %IW65 are neighbours one apart"
    assert f"the signs contradict each other ({signs})" in found.limits[-1]


def test_an_overlap_that_was_there_before_is_no_change() -> None:
    old = table(("Level", "%IW64", "INT"), ("Bit", "%IX64.0", "BOOL"))
    new = table(("Level", "%IW64", "INT"), ("Bit", "%IX64.1", "BOOL"))
    assert [c.kind for c in compare(old, new).changes] == ["readdressed"]


def test_a_replaced_module_that_claims_more_is_told() -> None:
    def copy(length: int, order: str) -> Copy:
        modules = (
            Module("AI", 1, order_number=order, addresses=(AddressRange("input", 64, length),)),
            module("CT", 2, 80, 32),
        )
        return Copy(hardware=Hardware((Device("S", modules=modules),)))

    summaries = [c.summary for c in compare(copy(128, "A"), copy(144, "B")).changes]
    assert summaries == [
        "module AI replaced: part number A -> B",
        "addresses of module AI changed: input from byte 64, 128 bits -> input from byte 64, 144 bits",
        "addresses overlap now: module slot 1 AI (input bytes 64 to 81) and module slot 2 CT (input bytes 80 to 83) "
        "share input bytes 80 to 81",
    ]
