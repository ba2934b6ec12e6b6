"""One answer to how words are counted, in the effect, the case, the reach, the moves and the limits of a comparison."""

from __future__ import annotations

from pathlib import Path

import pytest

import asfound
from asfound.analysis.crossreference import cross_reference
from asfound.compare.result import Comparison
from asfound.model.copy import Copy

PAIRS = Path(__file__).parents[2] / ".." / "shared" / "pairs" / "once"
TEXT = """
PROGRAM P
VAR
  a AT %IW{0} : INT; b AT %IW{1} : INT; c AT %IW{2} : INT; d AT %IW{3} : INT; y AT %QW{0} : INT; z AT %QW{1} : INT;
END_VAR
y := a + b;
z := c + {4};
END_PROGRAM
"""
WORDS, BYTES = (0, 1, 2, 3), (0, 2, 4, 6)


def read(text: str) -> Copy:
    return asfound.read(text.encode(), "p.st")


def pair(numbers: tuple[int, ...]) -> tuple[Copy, Copy]:
    return read(TEXT.format(*numbers, "d")), read(TEXT.format(*numbers, "a"))


def given(name: str) -> tuple[Copy, Copy]:
    if not PAIRS.exists():
        pytest.skip("../shared absent")
    return asfound.read(PAIRS / f"{name}.old.st"), asfound.read(PAIRS / f"{name}.new.st")


def counted(found: Comparison) -> list[str]:
    return [limit for limit in found.limits if "words are counted" in limit]


@pytest.mark.parametrize(
    ("copies", "reach", "way", "apart"),
    [
        (lambda: pair(WORDS), "P.z (%QW1)", "word", "%IW0, %IW1, %IW2, %IW3 are neighbours one apart"),
        (lambda: pair(BYTES), "P.z (%QW2)", "byte", "%IW0, %IW2, %IW4, %IW6 are neighbours two apart"),
        (lambda: given("words_numbered_by_word"), "P.z (%QW1)", "word", "one apart"),
        (lambda: given("words_numbered_by_byte"), "P.z (%QW2)", "byte", "two apart"),
    ],
)
def test_effect_case_and_reach(copies, reach: str, way: str, apart: str) -> None:  # type: ignore[no-untyped-def]
    found = asfound.compare(*copies())
    (change,) = found.changes
    assert (change.effect, change.reach) == ("behaviour", (reach,))
    assert change.witness is not None and set(change.witness.old) == {reach.removeprefix("P.")}
    (said,) = counted(found)
    assert said.startswith(f"words are counted by {way}: %IW0, ") and said.endswith(apart)


def test_where_names_no_neighbour() -> None:
    for copy in (pair(WORDS)[0], given("words_numbered_by_word")[0]):
        found = cross_reference(copy, "%IW3")
        assert (found.also, found.perhaps) == (("d (%IW3)",), ())
        assert [(use.access, use.text) for use in found.uses] == [
            ("declared", "d AT %IW3 : INT;"),
            ("read", "z := c + d;"),
        ]
        assert found.counted.startswith("words are counted by word: ")
    found = cross_reference(pair(BYTES)[0], "%IW3")
    assert (found.also, found.perhaps) == (("b (%IW2)", "c (%IW4)"), ())


def test_where_says_perhaps_when_it_is_not_known() -> None:
    found = cross_reference(
        read("PROGRAM P VAR l AT %QX4.1 : BOOL; w AT %QW4 : WORD; END_VAR w := 1; l := TRUE; END_PROGRAM"), "l"
    )
    assert (found.also, found.perhaps) == (("%QX4.1",), ("w (%QW4)",))
    assert [(use.text, use.perhaps) for use in found.uses] == [
        ("l AT %QX4.1 : BOOL;", False), ("w AT %QW4 : WORD;", True), ("w := 1;", True), ("l := TRUE;", False)
    ]  # fmt: skip
    assert found.counted.startswith("whether words are counted by byte or by word is not known")


MOVED = "PROGRAM P VAR x, y : INT; {0} END_VAR {1} {2} END_PROGRAM"


COUNTED = "it depends on how words are counted whether %MW2 and %MW3 share memory; if so, %MW2 is now read before it is"


@pytest.mark.parametrize(
    ("other", "effect", "said"),
    [
        (2, "undecided", COUNTED),
        (1, "equivalent", "nothing it passes is affected"),
        (9, "equivalent", "nothing it passes is affected"),
    ],
)
def test_two_statements_that_change_places(other: int, effect: str, said: str) -> None:
    """%MW2 and %MW3 are themselves one apart: where two outputs are two apart, that is a contradiction."""
    more = f"e AT %QW0 : INT; f AT %QW{other} : INT;"
    first, second = "%MW2 := x;", "y := %MW3;"
    found = asfound.compare(read(MOVED.format(more, first, second)), read(MOVED.format(more, second, first)))
    (change,) = found.changes
    assert (change.effect, change.details[0].startswith(said)) == (effect, True), change.details


def test_places_beside_each_other_are_proved_apart() -> None:
    """By word %MD2 lies beside %MD0 and %MW3 inside it (common practice of word-counting controllers)."""
    text = "PROGRAM P VAR a AT %MD0 : DINT; b AT %MD2 : DINT; w AT %MW{0} : INT; x : INT; END_VAR {1} END_PROGRAM"
    swapped = ("a := 1; w := 2;", "w := 2; a := 1;")
    for number, effect in ((2, "equivalent"), (1, "behaviour")):
        copies = (read(text.format(number, body)) for body in swapped)
        assert [c.effect for c in asfound.compare(*copies).changes] == [effect], number


def test_a_double_word_is_not_the_word_of_its_number() -> None:
    """By word %MD4 begins with %MW4; where each size counts its own it is %MW8 and %MW9."""
    text = (
        "PROGRAM P VAR a AT %MD4 : DINT; b AT %MD{0} : DINT; w AT %MW8 : INT; x : INT; END_VAR {1} x := w; END_PROGRAM"
    )
    reach = {}
    for number in (5, 6):
        reach[number] = cross_reference(read(text.format(number, "a := 1;")), "a").also
    assert reach == {5: ("%MD4", "w (%MW8)"), 6: ("%MD4",)}


def test_nothing_is_said_without_words() -> None:
    old, new = (
        read(f"PROGRAM P VAR a AT %IX0.0 : BOOL; b AT %QB0 : BYTE; END_VAR b := {n}; END_PROGRAM") for n in (1, 2)
    )
    assert counted(asfound.compare(old, new)) == []


def test_a_wide_address_is_no_twin_of_a_wide_type() -> None:
    """%MW4 : DINT and %MD4 begin at one byte where bytes are counted, and nowhere else."""
    text = "PROGRAM P VAR a AT %MW4 : DINT; i AT %IW0 : INT; j AT %IW{0} : INT; x : DINT; END_VAR {1} END_PROGRAM"
    for number, apart in ((1, True), (2, False)):
        copies = (read(text.format(number, body)) for body in ("a := 1; x := %MD8;", "x := %MD8; a := 1;"))
        assert [c.effect for c in asfound.compare(*copies).changes] == ["equivalent"], (number, apart)


@pytest.mark.parametrize(
    ("declared", "effect"),
    [("ARRAY[0..3] OF INT", "behaviour"), ("REAL", "undecided"), ("LREAL", "behaviour"), ("INT", "undecided")],
)
def test_a_value_wider_than_its_address_takes_all_its_bits(declared: str, effect: str) -> None:
    """Words by byte: %MW10 with four words ends before %MW18, with two before %MW14; what else Fill does nobody knows."""
    text = "PROGRAM P VAR v AT %MW10 : {0}; i AT %IW0 : INT; j AT %IW2 : INT; x : INT; END_VAR {1} END_PROGRAM"
    first, second = "Fill(out => v);", "x := %MW16;"
    old, new = (read(text.format(declared, body)) for body in (first + second, second + first))
    assert [c.effect for c in asfound.compare(old, new).changes] == [effect]
    assert bool(cross_reference(old, "%MW16").also) == (effect == "behaviour")


def memory(inputs: dict[str, str], high: bool, places: dict[str, tuple[int, int]]) -> dict[int, int]:
    """Bits of the memory behind some inputs; fails where two of them would need another one. First bit and size each."""
    found: dict[int, int] = {}
    for name, value in inputs.items():
        first, size = places[name.split(" ")[0]]
        number = int(value == "TRUE") if value in ("TRUE", "FALSE") else int(value) % (1 << size)
        data = number.to_bytes((size + 7) // 8, "big" if high else "little")
        for n in range(size):
            bit = data[n // 8] >> n % 8 & 1
            assert found.setdefault(first + n, bit) == bit, (name, inputs)
    return found


@pytest.mark.parametrize(
    ("old", "new", "differs"),
    [
        ("y := c + d;", "y := c + a;", True),
        ("y := c;", "y := d;", True),
        ("IF l THEN y := c; END_IF", "IF l THEN y := a; END_IF", True),
        ("o := l;", "o := NOT l;", True),
        ("o := l;", "o := l OR c = 3;", False),
    ],
)
def test_a_case_with_inputs_that_may_share_memory_can_happen(old: str, new: str, differs: bool) -> None:
    """%IW2 and %IW3 contradict the outputs: the case must exist in both ways to count and both orders of bytes.

    With the high byte first, c = 3 makes bit 0 of byte 3 TRUE: then there is no case, and none is shown.
    """
    text = (
        "PROGRAM P VAR a AT %IW0 : INT; c AT %IW2 : INT; d AT %IW3 : INT; l AT %IX3.0 : BOOL; y AT %QW0 : INT; "
        "o AT %QX9.0 : BOOL; z AT %QW2 : INT; END_VAR {0} END_PROGRAM"
    )
    (change,) = asfound.compare(read(text.format(old)), read(text.format(new))).changes[:1]
    assert (change.effect, change.witness is not None) == ("behaviour", differs), change
    if change.witness is None:
        return
    for unit in (8, 16):
        places = {name: (unit * n, 16) for name, n in (("a", 0), ("c", 2), ("d", 3))}
        for bits in (8, 16):
            for high in (False, True):
                memory(change.witness.inputs, high, places | {"l": (bits * 3, 1)})
