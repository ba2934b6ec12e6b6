"""Signs of how words are counted: a sign that is misread moves every word address of a station."""

from __future__ import annotations

import pytest

from asfound.analysis.signs import Sign, signs
from asfound.language.parser import parse_statements
from asfound.model.copy import Copy
from asfound.model.hardware import AddressRange, Device, Hardware, Module
from asfound.model.program import Body, GlobalList, Pou, Program, VariableDeclaration
from asfound.model.tags import Tag, TagTable

BYTE, WORD, SIZE = frozenset({"byte"}), frozenset({"word", "size"}), frozenset({"size"})


def tags(*found: str, hardware: Hardware | None = None) -> Copy:
    """Tags, each ``%IW0`` or ``%IW0 INT``."""
    rows = (text.partition(" ") for text in found)
    table = TagTable("T", tuple(Tag(f"t{n}", at, type) for n, (at, _, type) in enumerate(rows)))
    return Copy(tables=(table,), hardware=hardware or Hardware())


def told(copy: Copy) -> list[tuple[str, str, str, int, str]]:
    return [(",".join(sorted(s.ways)), s.words, s.text, s.strength, s.size) for s in signs(copy)[1]]


@pytest.mark.parametrize(
    ("addresses", "expected"),
    [
        ("%IW0 INT, %IW2 INT", ("byte", "byte", "%IW0, %IW2 are neighbours two apart", 1, "W")),
        ("%IW0 INT, %IW1 INT", ("size,word", "word", "%IW0, %IW1 are neighbours one apart", 1, "W")),
        ("%MD0 DINT, %MD4 DINT", ("byte", "byte", "%MD0, %MD4 are neighbours four apart", 1, "D")),
        ("%MD0 DINT, %MD2 DINT", ("word", "word", "%MD0, %MD2 are neighbours two apart", 1, "D")),
        ("%MD0 DINT, %MD1 DINT", ("size", "word", "%MD0, %MD1 are neighbours one apart", 1, "D")),
        ("%ML0 LINT, %ML8 LINT", ("byte", "byte", "%ML0, %ML8 are neighbours eight apart", 1, "L")),
        ("%ML0 LINT, %ML4 LINT", ("word", "word", "%ML0, %ML4 are neighbours four apart", 1, "L")),
        ("%MW0 REAL, %MW4 REAL", ("byte", "byte", "%MW0, %MW4 are neighbours four apart, each 2 wide", 1, "W")),
        ("%MW0 REAL, %MW2 REAL", ("size,word", "word", "%MW0, %MW2 are neighbours two apart, each 2 wide", 1, "W")),
        ("%MW0, %MW1", ("size,word", "word", "%MW0, %MW1 are neighbours one apart", 1, "W")),
        (
            "%IW0 INT, %IW2 INT, %IW4 INT, %IW6 INT, %IW8 INT, %IW10 INT",
            ("byte", "byte", "%IW0, %IW2, %IW4, %IW6 and 2 more are neighbours two apart", 5, "W"),
        ),
        (
            "%IW0 INT, %IW2 INT, %IW4 INT, %IW6 INT",
            ("byte", "byte", "%IW0, %IW2, %IW4, %IW6 are neighbours two apart", 3, "W"),
        ),
        (
            "%IW0 INT, %IW1 INT, %IW3 INT",
            ("", "", "%IW0, %IW1 are close, %IW1, %IW3 are further apart", 2, "W"),
        ),
        (
            "%IW0 INT, %IW1 INT, %IW2 INT, %IW3 INT, %IW5 INT",
            ("size,word", "word", "%IW0, %IW1, %IW2, %IW3 are neighbours one apart", 3, "W"),
        ),
        (
            ", ".join(f"%IW{n} INT" for n in (0, *range(1, 18, 2))),
            ("byte", "byte", "%IW1, %IW3, %IW5, %IW7 and 5 more are neighbours two apart", 8, "W"),
        ),
        (
            ", ".join(f"%IW{n} INT" for n in (0, *range(1, 16, 2))),
            ("", "", "%IW0, %IW1 are close, %IW1, %IW3, %IW5, %IW7 and 4 more are further apart", 8, "W"),
        ),
    ],
)  # fmt: skip
def test_what_two_neighbours_say(addresses: str, expected: tuple[str, str, str, int, str]) -> None:
    assert told(tags(*addresses.split(", "))) == [expected]


@pytest.mark.parametrize(
    "addresses",
    [
        "%IW0 INT", "%IW0 INT, %IW3 INT", "%IW0 INT, %QW1 INT", "%IW0 INT, %ID1 DINT", "%IW0 Motor, %IW2 INT",
        "%MW0 REAL, %MW4 INT", "%MW0 INT, %MW0 INT", "%IW0.1.2 INT, %IW0.1.4 INT", "%MW0 LREAL, %MW3 LREAL",
    ],
)  # fmt: skip
def test_what_says_nothing(addresses: str) -> None:
    assert signs(tags(*addresses.split(", "))) == (not addresses.startswith("%IW0.1"), [])


@pytest.mark.parametrize("addresses", ["%IX0.0 BOOL, %IX0.1 BOOL", "%IB0 BYTE, %IB1 BYTE", "IW0 INT, IW2 INT"])
def test_no_word_no_matter(addresses: str) -> None:
    assert signs(tags(*addresses.split(", "))) == (False, [])


def test_the_widest_use_of_a_number_counts() -> None:
    """A word that is declared as REAL somewhere is two words wide; as wide as nobody knows it stays unknown."""
    assert told(tags("%MW0 REAL", "%MW0 INT", "%MW4 REAL")) == [
        ("byte", "byte", "%MW0, %MW4 are neighbours four apart, each 2 wide", 1, "W")
    ]


def test_every_declaration_and_every_use_in_the_text_counts() -> None:
    def variable(at: str, section: str = "local") -> VariableDeclaration:
        return VariableDeclaration(f"v{at[1:]}", "INT", section, at)  # type: ignore[arg-type]

    inner = Pou("m", "method", variables=(variable("%MW4"),))
    body = Body("ST", parse_statements("%MW6 := %MW8 + 1; (* %MW11 *) s := '%MW13'; b := %MW14.1; x := %MB15;"))
    pou = Pou("P", "program", variables=(variable("%MW2"),), bodies=(body,), members=(inner,))
    copy = Copy(program=Program(pous=(pou,), globals=(GlobalList("G", "C", (variable("%MW0", "global"),)),)))
    expected = ("byte", "byte", "%MW0, %MW2, %MW4, %MW6 and 1 more are neighbours two apart", 4, "W")
    assert told(copy) == [expected]
    form = {"program/pous/P": "x := %MW10;", "tags/T": "%MW12", "program/types/T": "%MW12"}
    (found,) = signs(copy, form)[1]
    assert (found.text, found.strength) == ("%MW0, %MW2, %MW4 are neighbours two apart", 2)
    assert signs(copy, {"program/pous/P": "x := %MW6;"})[1][0].strength == 3


def racks(*parts: tuple[int, int]) -> Hardware:
    ranges = tuple(AddressRange("input", start, length) for start, length in parts)
    return Hardware((Device("D", modules=(Module("m", addresses=ranges),)),))


@pytest.mark.parametrize(
    ("addresses", "hardware", "expected"),
    [
        (
            "%IW64 INT, %IW70 INT", racks((64, 64)),
            Sign(BYTE, "byte", "%IW64, %IW70 lie in the byte ranges of the modules only when counted by byte", 2),
        ),
        (
            "%IW32 INT, %IW35 INT", racks((64, 64)),
            Sign(WORD, "word", "%IW32, %IW35 lie in the byte ranges of the modules only when counted by word", 2),
        ),
        (
            "%ID16 DINT, %ID20 DINT", racks((64, 32), (80, 32)),
            Sign(WORD, "word", "%ID16, %ID20 lie in the byte ranges of the modules only when counted by word", 2),
        ),
        (
            "%IW64 INT, %IW67 INT, %IW70 INT, %IW400 INT", racks((64, 64)),
            Sign(BYTE, "byte",
                 "%IW64, %IW67, %IW70 lie in the byte ranges of the modules only when counted by byte", 3),
        ),
        (
            "%IW64 INT, %IW67 INT, %IW70 INT, %IW73 INT", racks((64, 160)),
            Sign(BYTE, "byte",
                 "%IW64, %IW67, %IW70, %IW73 lie in the byte ranges of the modules only when counted by byte", 4),
        ),
        (
            "%IW64 INT, %IW67 INT, %IW70 INT, %IW73 INT, %IW76 INT", racks((64, 160)),
            Sign(BYTE, "byte",
                 "%IW64, %IW67, %IW70, %IW73 and 1 more lie in the byte ranges of the modules only when counted by byte",
                 5),
        ),
        (
            "%IW64 INT, %IW67 INT, %IW70 INT, %IW73 INT, %IW76 INT, %IW79 INT", racks((64, 160)),
            Sign(BYTE, "byte",
                 "%IW64, %IW67, %IW70, %IW73 and 2 more lie in the byte ranges of the modules only when counted by byte",
                 6),
        ),
    ],
)  # fmt: skip
def test_what_the_modules_say(addresses: str, hardware: Hardware, expected: Sign) -> None:
    found = signs(tags(*addresses.split(", "), hardware=hardware))[1]
    assert expected in found
    assert [s for s in found if "modules" in s.text] == [expected]


@pytest.mark.parametrize(
    ("addresses", "hardware"),
    [
        ("%IW64 INT, %IW300 INT, %IW400 INT", racks((64, 64))),  # most lie in no module
        ("%QW64 INT, %QW70 INT", racks((64, 64))),  # of an area without modules
        ("%IW0 INT, %IW3 INT", racks((0, 800))),  # they lie there either way
        ("%IW64 INT, %IW70 INT", Hardware()),
    ],
)
def test_modules_that_say_nothing(addresses: str, hardware: Hardware) -> None:
    assert [s for s in signs(tags(*addresses.split(", "), hardware=hardware))[1] if "modules" in s.text] == []
