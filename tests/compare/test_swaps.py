"""What exchanged its address: a wrong pair hides two changes behind one."""

from __future__ import annotations

import pytest

from asfound.compare.parts.swaps import swaps


@pytest.mark.parametrize(
    ("items", "expected"),
    [
        ([("A", "%I1", "%I2"), ("B", "%i2", "%i1")], [("A", "B")]),
        ([("A", "%I1", "%I2"), ("B", "%I2", "%I3")], []),
        ([("A", "%I1", "%I1"), ("B", "%i1", "%I1")], []),
        ([("A", "", "%I1"), ("B", "%I1", "")], []),
        ([("A", "%I1", ""), ("B", "", "%I1")], []),
        (
            [("D", "%I1", "%I2"), ("A", "%I2", "%I1"), ("C", "%I1", "%I2"), ("B", "%I2", "%I1")],
            [("A", "C"), ("B", "D")],
        ),
        ([("A", "%I1", "%I2"), ("B", "%I1", "%I2"), ("C", "%I2", "%I1")], [("A", "C")]),
    ],
)
def test_two_of_which_each_took_what_the_other_had(
    items: list[tuple[str, str, str]], expected: list[tuple[str, str]]
) -> None:
    assert swaps(items) == expected
