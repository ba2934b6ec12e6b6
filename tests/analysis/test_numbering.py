"""How words are counted: what each sign says, what several say together, and what inference must not hang on.

The three ways to count are common practice; the standard leaves the meaning of the numbers to the maker
(IEC 61131-3:2013 6.5.5, from memory).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

import asfound
from asfound.analysis.numbering import Numbering, of, together
from asfound.language.addresses import WAYS, Memory
from asfound.model.copy import Copy
from asfound.model.hardware import AddressRange, Device, Hardware, Module
from asfound.model.tags import Tag, TagTable

Row = tuple[str, str]


def tagged(*rows: Row) -> Copy:
    """A copy whose one table holds an address and a type each."""
    return Copy(
        tables=(TagTable("tags", tuple(Tag(f"T{n}", address, type) for n, (address, type) in enumerate(rows))),)
    )


def words(area: str, *numbers: int) -> list[Row]:
    return [(f"%{area}W{n}", "INT") for n in numbers]


def racked(copy: Copy, *ranges: tuple[str, int, int]) -> Copy:
    """The copy with one module for each direction, first byte and number of bytes."""
    modules = (
        Module(f"M{n}", addresses=(AddressRange(d, start, 8 * size),)) for n, (d, start, size) in enumerate(ranges)
    )  # type: ignore[arg-type]
    return replace(copy, hardware=Hardware((Device("PLC", modules=tuple(modules)),)))


@pytest.mark.parametrize(
    ("rows", "counted", "said"),
    [
        (words("I", 0, 1, 2, 3), "word", "words are counted by word: %IW0, %IW1, %IW2, %IW3 are neighbours one apart"),
        (words("I", 0, 2, 4, 6), "byte", "words are counted by byte: %IW0, %IW2, %IW4, %IW6 are neighbours two apart"),
        (words("M", 100, 102), "byte", "words are counted by byte: %MW100, %MW102 are neighbours two apart"),
        (words("M", 11, 13, 15), "byte", "words are counted by byte: %MW11, %MW13, %MW15 are neighbours two apart"),
        (words("M", 0, 1, 2, 3, 5, 6, 8), "word", "words are counted by word: %MW0, %MW1, %MW2, %MW3 and 2 more are "
         "neighbours one apart"),
        ([("%MD0", "REAL"), ("%MD4", "REAL")], "byte", "words are counted by byte: %MD0, %MD4 are neighbours four apart"),
        ([("%MD0", "DINT"), ("%MD2", "DINT")], "word", "words are counted by word: %MD0, %MD2 are neighbours two apart"),
        ([("%MD0", "DINT"), ("%MD1", "DINT")], "word", "words are counted by word: %MD0, %MD1 are neighbours one apart, "
         "each size by its own"),
        ([("%ML0", "LINT"), ("%ML8", "LINT")], "byte", "words are counted by byte: %ML0, %ML8 are neighbours eight apart"),
        ([("%MW10", "REAL"), ("%MW12", "REAL"), ("%MW14", "REAL")], "word", "words are counted by word: %MW10, %MW12, "
         "%MW14 are neighbours two apart, each 2 wide"),
        ([("%MW0", "ARRAY[0..9] OF INT"), ("%MW20", "ARRAY[0..9] OF INT")], "byte", "words are counted by byte: %MW0, "
         "%MW20 are neighbours 20 apart, each 10 wide"),
    ],
)  # fmt: skip
def test_a_sign_is_read_and_told(rows: list[Row], counted: str, said: str) -> None:
    found = of(tagged(*rows))
    assert (found.counted, found.sentence()) == (counted, said)


@pytest.mark.parametrize(
    "rows",
    [
        words("M", 10),
        words("M", 10, 13, 20),
        [*words("M", 10), ("%MX10.3", "BOOL")],
        [("%MW40", "DINT"), ("%MW42", "INT")],
        [("%MW0", "Motor"), ("%MW1", "Motor"), ("%MW3", "Motor")],
        [*words("I", 0), *words("Q", 1)],
        [("%MD0", "DINT"), ("%MD3", "DINT")],
    ],
)
def test_what_says_nothing_leaves_it_open(rows: list[Row]) -> None:
    """Nor does a value wider than its address beside one that is not: that may be a mistake."""
    found = of(tagged(*rows))
    assert (found.counted, found.ways, found.signs) == ("unclear", WAYS, ())
    assert found.sentence().startswith("whether words are counted by byte or by word is not known, no two addresses ")


@pytest.mark.parametrize(
    "rows",
    [
        [*words("I", 0, 1), *words("Q", 0, 2)],
        words("I", 0, 1, 2, 4),
        words("I", 64, 65, 66, 68, 70, 72),
        [*words("I", 0, 1, 2, 3), ("%MD0", "DINT"), ("%MD4", "DINT")],
    ],
)
def test_signs_that_contradict_each_other_leave_it_open(rows: list[Row]) -> None:
    found = of(tagged(*rows))
    assert (found.counted, found.ways) == ("unclear", WAYS)
    assert "the signs contradict each other (" in found.sentence()


def test_one_wrong_address_in_a_large_plant_does_not_hide_itself() -> None:
    """Twenty words two apart and one between two of them: that one is the mistake, and is told as an overlap."""
    found = of(tagged(*words("I", *range(64, 104, 2), 81)))
    assert found.counted == "byte"
    assert found.at("%IW80").meets(found.at("%IW81")) == "yes"


def test_double_words_of_their_own_are_words_all_the_same() -> None:
    found = of(tagged(*words("M", 0, 1, 2), ("%MD10", "DINT"), ("%MD11", "DINT")))
    assert found.counted == "word"
    assert found.sentence().endswith("; each size by its own: %MD10, %MD11 are neighbours one apart")
    assert found.at("%MD10").meets(found.at("%MD11")) == "no"
    assert found.at("%MD1").meets(found.at("%MW3")) == "yes"


def test_without_words_it_does_not_matter() -> None:
    found = of(tagged(("%IX0.0", "BOOL"), ("%MB3", "BYTE")))
    assert (found.used, found.sentence(), found.at("%IX3.1").meets(found.at("%IB3"))) == (False, "", "yes")


def test_uses_count_as_declarations_do() -> None:
    text = b"PROGRAM P VAR a : INT; s : STRING := 'like %MW6'; END_VAR (* not %MW4 *) a := %MW1 + %MW2; END_PROGRAM"
    assert of(asfound.read(text, "p.st")).signs[0].text == "%MW1, %MW2 are neighbours one apart"


@pytest.mark.parametrize(
    ("rows", "ranges", "counted"),
    [
        (words("I", 64, 70), [("input", 64, 16)], "byte"),
        (words("I", 32, 35), [("input", 64, 16)], "word"),
        (words("I", 0, 3), [("input", 0, 16)], "unclear"),
        (words("Q", 64, 70), [("input", 64, 16)], "unclear"),
    ],
)
def test_byte_ranges_of_modules_are_a_sign(rows: list[Row], ranges: list[tuple[str, int, int]], counted: str) -> None:
    found = of(racked(tagged(*rows), *ranges))
    assert found.counted == counted
    if counted != "unclear":
        assert found.sentence().endswith(f" lie in the byte ranges of the modules only when counted by {counted}")


def test_stations_with_address_spaces_of_their_own_say_nothing() -> None:
    copy = racked(tagged(*words("I", 64, 70)), ("input", 64, 16))
    two = (*copy.hardware.devices, Device("Other", modules=(Module("C"),)))
    assert of(replace(copy, hardware=Hardware(two))).counted == "unclear"


# --- stated, and several copies ----------------------------------------------------------------------------------


def test_what_is_stated_wins_and_what_speaks_against_it_is_told() -> None:
    copy = replace(tagged(*words("I", 0, 1)), words="byte")
    said = "words are counted by byte, as station.toml states, although %IW0, %IW1 are neighbours one apart"
    assert (of(copy).counted, of(copy).sentence()) == ("byte", said)
    assert of(replace(tagged(*words("I", 7)), words="word")).counted == "word"


def test_copies_of_two_opinions_leave_it_open() -> None:
    byte, word, none = tagged(*words("I", 0, 2)), tagged(*words("I", 0, 1)), tagged(*words("I", 5))
    assert [together([a, b]).counted for a, b in ((byte, word), (byte, none), (none, word))] == [
        "unclear",
        "byte",
        "word",
    ]
    assert together([replace(byte, words="byte"), word]).counted == "byte"
    two = together([replace(byte, words="byte"), replace(byte, words="word")])
    assert (two.counted, "one station.toml states byte; one station.toml states word" in two.sentence()) == (
        "unclear",
        True,
    )


def test_a_word_that_moved_is_no_neighbour_of_its_old_place() -> None:
    assert together([tagged(*words("M", 10)), tagged(*words("M", 11))]).counted == "unclear"


# --- laws --------------------------------------------------------------------------------------------------------

NUMBERS = st.lists(st.integers(0, 60), min_size=1, max_size=12, unique=True)
LETTERS = st.sampled_from(["W", "D", "L"])
ADDRESSES = st.builds(
    "%{}{}{}".format, st.sampled_from("IQM"), st.sampled_from("BWDL"), st.integers(0, 30)
) | st.builds("%{}X{}.{}".format, st.sampled_from("IQM"), st.integers(0, 60), st.integers(0, 7))
TYPES = st.sampled_from(["", "INT", "REAL", "DINT", "BOOL", "ARRAY[0..3] OF INT", "Motor"])
ROWS = st.lists(st.tuples(ADDRESSES, TYPES), max_size=10)


@given(ROWS, st.randoms())
def test_the_order_of_declarations_says_nothing(rows: list[Row], random: object) -> None:
    other = list(rows)
    random.shuffle(other)  # type: ignore[attr-defined]
    assert of(tagged(*other)) == of(tagged(*rows))


@given(NUMBERS, LETTERS, st.integers(0, 500))
def test_moving_all_by_an_even_number_says_nothing(numbers: list[int], letter: str, half: int) -> None:
    here, there = (of(tagged(*((f"%M{letter}{n + by}", "") for n in numbers))) for by in (0, 2 * half))
    assert (here.ways, here.counted) == (there.ways, there.counted)


@given(ROWS)
def test_what_is_known_is_what_the_signs_allow(rows: list[Row]) -> None:
    found = of(tagged(*rows))
    for sign in found.signs if found.used and found.counted != "unclear" else ():
        assert sign.ways & {way.words for way in found.ways}
    assert found.used == any(address[2] in "WDL" for address, _ in rows)


@given(ADDRESSES, ADDRESSES)
def test_unclear_is_what_the_ways_do_not_agree_on(a: str, b: str) -> None:
    """Against each way alone; and a lone word that is near no other is clear."""
    each = {Memory.at(a, (way,)).meets(Memory.at(b, (way,))) for way in WAYS}
    assert Numbering().at(a).meets(Numbering().at(b)) == (each.pop() if len(each) == 1 else "unclear")
    assert Numbering().at("%MW4").meets(Numbering().at("%MW400")) == "no"
