"""Elementary types, literals and addresses against the tables of the standard.

External source: IEC 61131-3:2013 tables 5 to 10 and 16. Every value here is from memory, none was copied from the code.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from asfound.compare.parts.declarations import initial_values
from asfound.language.addresses import WIDTHS, canonical, parse
from asfound.language.elementary import ELEMENTARY
from asfound.language.literals import canonical as literal
from asfound.language.literals import value
from asfound.language.types import canonical_type
from asfound.prove.sorts import FLOATS, bounds

INTEGERS = {
    "SINT": (-128, 127),
    "INT": (-32_768, 32_767),
    "DINT": (-2_147_483_648, 2_147_483_647),
    "LINT": (-9_223_372_036_854_775_808, 9_223_372_036_854_775_807),
    "USINT": (0, 255),
    "UINT": (0, 65_535),
    "UDINT": (0, 4_294_967_295),
    "ULINT": (0, 18_446_744_073_709_551_615),
    "BYTE": (0, 0xFF),
    "WORD": (0, 0xFFFF),
    "DWORD": (0, 0xFFFF_FFFF),
    "LWORD": (0, 0xFFFF_FFFF_FFFF_FFFF),
}
"""Table 10: integers have 8, 16, 32, 64 bits, bit strings as many."""
DEFAULTS = {
    **dict.fromkeys(("SINT", "INT", "DINT", "LINT", "USINT", "UINT", "UDINT", "ULINT"), "0"),
    **dict.fromkeys(("BYTE", "WORD", "DWORD", "LWORD"), "16#0"),
    **dict.fromkeys(("REAL", "LREAL"), "0.0"),
    "BOOL": "FALSE",
    "TIME": "T#0s",
    "LTIME": "LTIME#0s",
    "STRING": "''",
    "STRING[20]": "''",
    "WSTRING": '""',
}
"""Table 10: default initial values. Those of dates depend on the implementation and are not assumed."""
DATES = ("DATE", "LDATE", "TOD", "LTOD", "DT", "LDT")
PREFIXES = {
    ("T", "TIME"): ("14ms", "duration", 14_000_000),
    ("LT", "LTIME"): ("5us", "duration", 5_000),
    ("D", "DATE"): ("1984-06-25", "date", "1984-06-25"),
    ("LD", "LDATE"): ("2012-02-29", "date", "2012-02-29"),
    ("TOD", "TIME_OF_DAY"): ("15:36:55.36", "tod", "15:36:55.36"),
    ("LTOD", "LTIME_OF_DAY"): ("15:36:55.360_227_400", "tod", "15:36:55.3602274"),
    ("DT", "DATE_AND_TIME"): ("1984-06-25-15:36:55.36", "dt", "1984-06-25-15:36:55.36"),
    ("LDT", "LDATE_AND_TIME"): ("1984-06-25-15:36:55", "dt", "1984-06-25-15:36:55"),
}
"""Tables 8 and 9: short and long prefix, both in any case."""


@pytest.mark.parametrize("type", INTEGERS)
def test_the_range_of_an_integer(type):
    assert bounds(type) == INTEGERS[type]
    for number in INTEGERS[type]:
        assert value(f"{type}#{number}") == ("int", number)


def test_the_formats_of_reals():
    """IEC 60559 basic formats: 8 bits of exponent and 24 of significand, 11 and 53."""
    assert FLOATS == {"REAL": (8, 24), "LREAL": (11, 53)}
    assert value("LREAL#1.34E-12") == ("real", Fraction("1.34e-12"))


def test_every_elementary_type_has_its_name():
    table = {*INTEGERS, "BOOL", "REAL", "LREAL", "TIME", "LTIME", "STRING", "WSTRING", "CHAR", "WCHAR", *DATES}
    long = {name for pair in PREFIXES for name in pair if len(name) > 2}
    assert table | (long - {"TOD", "LTOD", "LDT"}) | {"TOD", "LTOD", "LDT"} == ELEMENTARY


@pytest.mark.parametrize("type", DEFAULTS)
def test_an_absent_initial_value_is_the_default(type):
    (found,) = initial_values("", literal(DEFAULTS[type], type), type)
    assert found.effect == "documentation"


@pytest.mark.parametrize("type", [*DATES, "MyType"])
def test_no_default_is_assumed_where_the_standard_leaves_it_open(type):
    (found,) = initial_values("", "D#1970-01-01", type)
    assert found.effect == "behaviour"


@pytest.mark.parametrize("pair", PREFIXES, ids="-".join)
def test_both_prefixes_of_a_moment(pair):
    text, kind, content = PREFIXES[pair]
    for prefix in (*pair, *(name.lower() for name in pair)):
        assert value(f"{prefix}#{text}") == (kind, content)
        assert literal(f"{prefix}#{text}") == literal(f"{pair[0]}#{text}")


@pytest.mark.parametrize("pair", [p for p in PREFIXES if len(p[0]) > 1 and p[0] not in ("LT", "LD")], ids="-".join)
def test_both_names_of_a_type(pair):
    assert canonical_type(pair[1]) == canonical_type(pair[0].lower()) == pair[0]
    assert canonical_type(f"ARRAY[0..1] OF {pair[1]}") == f"ARRAY[0..1] OF {pair[0]}"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("-12", ("int", -12)), ("123_4", ("int", 1234)), ("+986", ("int", 986)),
        ("-12.0", ("real", Fraction(-12))), ("0.4560", ("real", Fraction("0.456"))),
        ("-1.34E-12", ("real", Fraction("-1.34e-12"))), ("1.0e+6", ("real", Fraction(10**6))),
        ("2#1111_1111", ("int", 255)), ("2#1110_0000", ("int", 224)),
        ("8#377", ("int", 255)), ("8#340", ("int", 224)), ("16#FF", ("int", 255)), ("16#ff", ("int", 255)),
        ("16#E0", ("int", 224)), ("BOOL#0", ("bool", False)), ("TRUE", ("bool", True)),
        ("DINT#5", ("int", 5)), ("UINT#16#9AF", ("int", 0x9AF)), ("WORD#16#AFF", ("int", 0xAFF)),
    ],
)  # fmt: skip
def test_numbers_of_the_table(text, expected):
    """Table 5, with its examples."""
    assert value(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("''", ""), ("'A'", "A"), ("' '", " "), ("'$''", "'"), ("'\"'", '"'), ("'$R$L'", "\r\n"), ("'$0D$0A'", "\r\n"),
        ("'$$1.00'", "$1.00"), ("'$24'", "$"), ("'$l$n$p$t'", "\n\n\f\t"), ("STRING#'OK'", "OK"), ("CHAR#'X'", "X"),
        ('""', ""), ('"$""', '"'), ('"$00C4"', "Ä"), ('WSTRING#"OK"', "OK"), ('WCHAR#"X"', "X"),
    ],
)  # fmt: skip
def test_strings_of_the_tables(text, expected):
    """Tables 6 and 7: two digits after ``$`` in a string, four in a wide one."""
    assert value(text)[1] == expected
    assert value(text)[0] == ("wstring" if '"' in text[-1] else "string")


def test_prefixes_of_direct_addresses():
    """Table 16: I, Q, M; X or nothing a bit, B 8, W 16, D 32, L 64 bits; ``*`` not yet located."""
    assert WIDTHS == {"X": 1, "": 1, "B": 8, "W": 16, "D": 32, "L": 64}
    for area in "IQM":
        for size in ("X", "", "B", "W", "D", "L"):
            assert parse(f"%{area}{size}1.2") is not None
            assert parse(f"%{area}{size}*") is not None
    for wrong in ("%N0", "%IS0", "IX0.0", "%I", "%IX"):
        assert parse(wrong) is None
    assert canonical("%QX75") == canonical("%Q75")
    assert canonical("%IW2.5.7.1") == "%IW2.5.7.1"
