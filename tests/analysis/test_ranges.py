"""Bit ranges of modules: a range that is merged wrongly makes an address covered, or overlap, that is not."""

from __future__ import annotations

import pytest

from asfound.analysis.ranges import inside, merged, module_bytes
from asfound.analysis.sizes import size
from asfound.model.hardware import AddressRange, Device, Hardware, Module


@pytest.mark.parametrize(
    ("spans", "expected"),
    [
        ([], []),
        ([range(0, 8)], [range(0, 8)]),
        ([range(8, 16), range(0, 8)], [range(0, 16)]),
        ([range(0, 8), range(9, 16)], [range(0, 8), range(9, 16)]),
        ([range(0, 32), range(8, 16)], [range(0, 32)]),
        ([range(0, 8), range(4, 20), range(30, 31)], [range(0, 20), range(30, 31)]),
        ([range(0, 8), range(16, 24), range(8, 12)], [range(0, 12), range(16, 24)]),
    ],
)
def test_ranges_that_touch_are_one(spans: list[range], expected: list[range]) -> None:
    assert merged(spans) == expected


@pytest.mark.parametrize(
    ("span", "expected"),
    [
        (range(8, 16), True), (range(8, 9), True), (range(15, 16), True), (range(15, 17), False),
        (range(7, 9), False), (range(0, 1), False), (range(16, 17), False), (range(31, 33), False),
        (range(32, 40), True), (range(40, 41), False),
    ],
)  # fmt: skip
def test_what_lies_wholly_inside(span: range, expected: bool) -> None:
    assert inside(span, [range(8, 16), range(32, 40)]) is expected
    assert not inside(span, [])


def part(start: int | None, length: int | None, direction: str = "input") -> AddressRange:
    return AddressRange(direction, start, length)  # type: ignore[arg-type]


def test_the_ranges_of_modules_and_of_what_is_plugged_into_them() -> None:
    inner = Module("inner", addresses=(part(4, 8), part(0, 12, "output")))
    outer = Module("outer", addresses=(part(2, 16), part(9, 8, "output")), modules=(inner,))
    assert module_bytes(Hardware((Device("D", modules=(outer,)),))) == {
        "I": [range(16, 40)], "Q": [range(0, 12), range(72, 80)],
    }  # fmt: skip


@pytest.mark.parametrize(
    "unknown", [part(None, 8), part(1, None), part(-1, 8), part(1, 0), part(1, -8), part(1, 8, "")]
)
def test_a_range_that_is_not_known_is_left_out(unknown: AddressRange) -> None:
    assert module_bytes(Hardware((Device("D", modules=(Module("m", addresses=(unknown,)),)),))) == {}
    both = Module("m", addresses=(part(0, 1), unknown))
    assert module_bytes(Hardware((Device("D", modules=(both,)),))) == {"I": [range(0, 1)]}


def device(kind: str, start: int) -> Device:
    return Device(kind, modules=(Module("rack", modules=(Module("m", kind=kind, addresses=(part(start, 8),)),)),))


@pytest.mark.parametrize(
    ("kinds", "expected"),
    [
        (("",), {"I": [range(0, 8)]}), (("CPU", ""), {"I": [range(0, 16)]}), (("", "cpu"), {"I": [range(0, 16)]}),
        (("", ""), {}), (("CPU", "CPU"), {}), (("CPU", "CPU", ""), {}), (("CPU",), {"I": [range(0, 8)]}), ((), {}),
    ],
)  # fmt: skip
def test_devices_share_addresses_only_below_one_cpu(kinds: tuple[str, ...], expected: dict[str, list[range]]) -> None:
    devices = tuple(device(kind, start) for start, kind in enumerate(kinds))
    assert module_bytes(Hardware(devices)) == expected


@pytest.mark.parametrize(
    ("type", "expected"),
    [
        ("BOOL", 1), ("byte", 8), (" INT ", 16), ("REAL", 32), ("LWORD", 64), ("Motor", None), ("", None),
        ("ARRAY[0..3] OF INT", 64), ("array [1..2] of byte", 16), ("ARRAY[-1..1] OF INT", 48),
        ("ARRAY[0..3, 1..2] OF WORD", 128), ("ARRAY[3..1] OF INT", 0), ("ARRAY[5..5] OF INT", 16),
        ("ARRAY[0..N] OF INT", None), ("ARRAY[0..1, 0..N] OF INT", None), ("ARRAY[0..1] OF Motor", None),
    ],
)  # fmt: skip
def test_the_bits_of_a_type(type: str, expected: int | None) -> None:
    assert size(type) == expected
