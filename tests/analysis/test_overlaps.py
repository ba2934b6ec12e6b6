"""Addresses that overlap: every pair that shares a bit is found once, in words, with the bits that both hold."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.analysis.numbering import Numbering
from asfound.analysis.overlaps import (
    Claim,
    Overlap,
    bytes_of,
    harmless,
    module_claims,
    overlaps,
    overlaps_by_counting,
    shared_words,
    tag_claims,
)
from asfound.analysis.places import Place
from asfound.language.addresses import BYTES
from asfound.model.copy import Copy
from asfound.model.hardware import AddressRange, Device, Hardware, Module
from asfound.model.program import GlobalList, Program, VariableDeclaration
from asfound.model.tags import Tag, TagTable

SPANS = st.builds(lambda start, length: range(start, start + length), st.integers(0, 40), st.sampled_from([1, 8, 16]))


def claim(name: str, span: range, area: str = "M", **more: object) -> Claim:
    return Claim(**{"kind": "tag", "text": name, "space": "", "type": "", "place": Place(name, (name,)),
                    "name": name, "span": span, "area": area, **more})  # type: ignore[arg-type]  # fmt: skip


@given(st.lists(st.tuples(SPANS, st.sampled_from("IM")), max_size=8, unique=True))
def test_every_pair_that_shares_a_bit_is_found(spans: list[tuple[range, str]]) -> None:
    claims = [claim(f"t{n}", span, area) for n, (span, area) in enumerate(spans)]
    found = {(frozenset((o.first.name, o.second.name)), o.span) for o in overlaps(claims)}
    assert found == {
        (frozenset((a.name, b.name)), range(min(both), max(both) + 1))
        for a, b in combinations(claims, 2)
        if a.area == b.area and (both := set(a.span) & set(b.span))
    }


def test_the_larger_comes_first_and_several_at_the_same_bits_are_paired_with_the_first() -> None:
    found = overlaps([claim("c", range(8)), claim("d", range(16)), claim("b", range(8)), claim("a", range(8))])
    assert [(o.first.name, o.second.name) for o in found] == [("d", "a"), ("a", "b"), ("a", "c")]


def test_overlaps_are_sorted_by_area_and_bit_and_stations_are_apart() -> None:
    claims = [
        claim("m", range(8)),
        claim("n", range(4, 9)),
        claim("i", range(20, 30), "I"),
        claim("j", range(25, 30), "I"),
    ]
    assert [o.first.name for o in overlaps(claims)] == ["i", "m"]
    assert not overlaps([claim("m", range(8), space="A"), claim("n", range(8), space="B")])


@pytest.mark.parametrize(
    ("area", "span", "words"),
    [
        ("I", range(0, 8), "input byte 0"),
        ("Q", range(12, 17), "output bytes 1 to 2"),
        ("M", range(15, 16), "memory bit 1.7"),
        ("Q", range(32, 48), "output bytes 4 to 5"),
    ],
)
def test_bits_in_words(area: str, span: range, words: str) -> None:
    assert bytes_of(area, span) == words
    both = claim("a", span, area), claim("b", span, area)
    assert shared_words(Overlap(*both, span)) == f"share {words}"
    assert shared_words(Overlap(*both, span, sure=False)) == "may share memory, depending on how words are counted"


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ({}, {}, True),
        ({"type": "WORD"}, {"type": "INT"}, False),
        ({"span": range(8)}, {"span": range(4)}, False),
        ({"kind": "module"}, {"kind": "module"}, False),
    ],
)
def test_two_names_of_one_type_at_one_address_are_harmless(
    one: dict[str, object], other: dict[str, object], expected: bool
) -> None:
    first, second = (claim(**{"name": n, "span": range(8), **m}) for n, m in (("a", one), ("b", other)))
    assert harmless(Overlap(first, second, range(4))) is expected


def rack(*modules: Module, name: str = "PLC") -> Device:
    return Device(name, modules=modules)


def card(name: str, *ranges: AddressRange, **more: object) -> Module:
    return Module(name, addresses=ranges, **more)  # type: ignore[arg-type]


IN = AddressRange("input", 2, 12)


def test_a_module_claims_what_it_states_whole() -> None:
    bad = [AddressRange("", 0, 8), AddressRange("input", None, 8), AddressRange("input", 0), AddressRange("input", -1, 8),
           AddressRange("input", 0, -8), AddressRange("input", 0, 0)]  # fmt: skip
    found = module_claims(Copy(hardware=Hardware((rack(card("A", IN, *bad, AddressRange("output", 0, 8))),))))
    assert [(c.kind, c.name, c.area, c.span, c.text) for c in found] == [
        ("module", "A", "I", range(16, 28), "module A (input bytes 2 to 3)"),
        ("module", "A", "Q", range(0, 8), "module A (output byte 0)"),
    ]


def test_a_module_and_what_is_plugged_into_it_may_claim_the_same() -> None:
    inside = rack(Module("Base", addresses=(IN,), modules=(card("Sub", IN),)))
    beside = rack(Module("Base", addresses=(IN,), modules=(Module("Deep", modules=(card("X"),)),)), card("Y", IN))
    below = rack(Module("A", modules=(card("B", IN),)), Module("C", modules=(Module("D", modules=(card("E", IN),)),)))
    counts = [len(overlaps(module_claims(Copy(hardware=Hardware((each,)))))) for each in (inside, beside, below)]
    assert counts == [0, 1, 1]


@pytest.mark.parametrize(
    ("kinds", "expected"),
    [(("CPU", "cpu"), 0), (("cpu", ""), 1), (("", ""), 0), (("cpu", "head"), 1), (("cpu", "head", ""), 2)],
)
def test_devices_with_a_cpu_of_their_own_share_no_addresses(kinds: tuple[str, ...], expected: int) -> None:
    devices = (rack(card("A", IN, kind=kind), name=f"PLC{n}") for n, kind in enumerate(kinds))
    assert len(overlaps(module_claims(Copy(hardware=Hardware(tuple(devices)))))) == expected


def station(*tags: tuple[str, str, str]) -> Copy:
    return Copy(tables=(TagTable("T", tuple(Tag(*tag) for tag in tags)),))


def test_tags_claim_bits_by_address_and_type_one_name_at_one_address_once() -> None:
    declared = GlobalList("G", "", (VariableDeclaration("v", "INT", "global", "%MW4"), VariableDeclaration("w", "INT")))
    copy = station(("a", "%MB4", "byte"), ("A", "%MB4", "BYTE"), ("b", "", ""), ("c", "%XX", ""), ("d", "%MX0.3", ""))
    (found,) = tag_claims(Copy(tables=copy.tables, program=Program(globals=(declared,))), Numbering((BYTES,)))
    assert [(c.text, c.area, c.span, c.type, c.place.path[0]) for c in found] == [
        ("a (%MB4, BYTE)", "M", range(32, 40), "BYTE", "tags:T"),
        ("d (%MX0.3)", "M", range(3, 4), "", "tags:T"),
        ("v (%MW4, INT)", "M", range(32, 48), "INT", "globals"),
    ]


def test_what_hangs_on_how_words_are_counted_is_not_sure() -> None:
    copy = station(("a", "%MW1", "WORD"), ("b", "%MB2", "BYTE"), ("c", "%MB3", "BYTE"))
    found = overlaps_by_counting(tag_claims(copy, Numbering()))
    assert {(o.first.name, o.second.name): o.sure for o in found} == {("a", "b"): True, ("a", "c"): False}
    by_byte = overlaps_by_counting(tag_claims(copy, Numbering((BYTES,))))
    assert [(o.first.name, o.second.name, o.sure) for o in by_byte] == [("a", "b", True)]
