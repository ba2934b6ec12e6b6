"""Direct addresses. External source: IEC 61131-3:2013 table 16 (prefixes), from memory.

Byte numbering is common practice, not in the standard.
"""

from __future__ import annotations

import pytest

from asfound.language.addresses import Address, bits, canonical, parse


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("%IX0.0", Address("I", "X", (0, 0))),
        ("%qw 4", Address("Q", "W", (4,))),
        ("% m d 12", Address("M", "D", (12,))),
        ("%I1.0", Address("I", "", (1, 0))),
        ("%IW1.2.3.4.5", Address("I", "W", (1, 2, 3, 4, 5))),
        ("%M*", Address("M", "", (), True)),
        ("%QX*", Address("Q", "X", (), True)),
        ("%LX0", None),
        ("COM1", None),
        ("%IX", None),
        ("%IX0.", None),
        ("", None),
    ],
)
def test_reading(text, expected):
    assert parse(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("%ix 00.07", "%IX0.7"),
        ("%q*", "%Q*"),
        ("%I1.0", "%IX1.0"),
        ("%QX*", "%QX*"),
        ("%m5", "%MX5"),
        ("tag 1", "tag 1"),
        ("%sx3", "%SX3"),
    ],
)
def test_one_spelling(text, expected):
    assert canonical(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("%IX0.0", range(1)),
        ("%IX2.3", range(19, 20)),
        ("%I2.3", range(19, 20)),
        ("%IB2", range(16, 24)),
        ("%QW4", range(32, 48)),
        ("%MD8", range(64, 96)),
        ("%ML8", range(64, 128)),
        ("%IX0.8", None),
        ("%I*", None),
        ("%IW1.2", None),
        ("%IX1.2.3", None),
    ],
)
def test_bits(text, expected):
    address = parse(text)
    assert address is not None
    assert bits(address) == expected
