"""Remark lines in tables: never a tag, never in the way of the heading, always kept as text."""

from __future__ import annotations

import pytest

from asfound.model.copy import Copy
from asfound.readers.reading import read_files

PROFILE = 'schema = "asfound/profile/1"\nfiles = ["t.csv"]\n{}[columns]\nname = 1\naddress = 2\n'


def read(text: str, profile: str = "") -> Copy:
    files = [("t.csv", text.encode())] + ([("t.toml", PROFILE.format(profile).encode())] if profile else [])
    return read_files(files)


def names(copy: Copy) -> list[str]:
    return [tag.name for table in copy.tables for tag in table.tags]


def kept(copy: Copy) -> dict[str, str]:
    return {extension.path: extension.text for extension in copy.program.extensions}


ROWS = "Run;%I0.0;BOOL\n{}\nLamp;%Q0.0;BOOL\n"


@pytest.mark.parametrize(
    "remark",
    [
        "// pumps",
        "# made by hand",
        "#1.0",
        "REM old",
        "rem",
        "/* pumps */",
        "(* pumps *)",
        "--------",
        "// a;b",
        "# a;b",
    ],
)
@pytest.mark.parametrize("profile", ["", "heading = 1\n", "heading = 0\n"])
def test_a_remark_between_rows_is_no_tag(remark: str, profile: str) -> None:
    head = "" if "0" in profile else "Name;Address;Type\n"
    found = read(head + ROWS.format(remark), profile)
    assert names(found) == ["Lamp", "Run"]
    assert kept(found) == {"t/remarks": remark.replace(";", "\t")}
    assert found.findings == ()


@pytest.mark.parametrize(
    "row", ["REM;%I0.1;BOOL", "-;%I0.1;BOOL", "--;%I0.1;BOOL", "Remote;%I0.1;BOOL", "(a);%I0.1;BOOL"]
)
def test_what_may_be_a_row_is_one(row: str) -> None:
    assert row.split(";", maxsplit=1)[0] in names(read("Name;Address;Type\n" + ROWS.format(row)))


def test_names_that_begin_with_the_sign_are_names() -> None:
    assert names(read("Name;Type\n#Run;BOOL\n#Stop;BOOL\nAll;BOOL\n")) == ["#Run", "#Stop", "All"]


def test_a_row_that_was_perhaps_taken_out_is_told() -> None:
    found = read("Name;Address;Type\n" + ROWS.format("#Stop;%I0.1;BOOL"))
    assert names(found) == ["Lamp", "Run"]
    assert kept(found) == {"t/remarks": "#Stop\t%I0.1\tBOOL"}
    assert [(f.severity, f.where, f.text) for f in found.findings] == [
        ("note", "t.csv, row 3", "the row begins with #: it is taken for a remark, and kept as text")
    ]


@pytest.mark.parametrize("count", [1, 25, 300])
def test_remarks_do_not_hide_the_heading(count: int) -> None:
    found = read('# a line, with "signs" in it;"\n' * count + "Name;Address;Type\n" + ROWS.format(""))
    assert names(found) == ["Lamp", "Run"]
    assert kept(found)["t/above the heading"].count("\n") == count - 1


@pytest.mark.parametrize("sign", ["# ", "#", "// ", "REM "])
def test_the_heading_may_stand_in_a_remark(sign: str) -> None:
    found = read(f"# Plant;7\n{sign}Name;Address;Type;Sheet\nRun;%I0.0;BOOL;4\n")
    assert [(t.name, t.address, t.type, t.settings[0].name) for t in found.tables[0].tags] == [
        ("Run", "%IX0.0", "BOOL", "Sheet")
    ]
    assert kept(found) == {"t/above the heading": "# Plant\t7"}


def test_a_remark_that_no_row_agrees_with_is_no_heading() -> None:
    found = read_files(
        [("p.st", b"// Name, Address, Type\nPROGRAM P\nVAR a, b : BOOL; END_VAR\na := b;\nEND_PROGRAM\n")]
    )
    assert found.tables == ()
    assert [pou.name for pou in found.program.pous] == ["P"]


def test_a_heading_below_wins_over_one_in_a_remark() -> None:
    assert names(read("# Name;Address;Type\nName;Address;Type\nRun;%I0.0;BOOL\n")) == ["Run"]


def test_quotes_in_a_remark_neither_swallow_nor_refuse_rows() -> None:
    text = 'Name,Address,Comment\n// the, "big" pumps\nRun,%I0.0,"a\n// b"\n// say,"so\nLamp,%Q0.0,c\n'
    found = read(text)
    assert [(t.name, t.comment) for t in found.tables[0].tags] == [("Lamp", "c"), ("Run", "a\n// b")]
    assert kept(found)["t/remarks"].startswith('// the\t"big" pumps\n// say\t"so')


def test_remarks_are_compared() -> None:
    from asfound.compare.comparison import compare

    one, two = (read("Name;Address;Type\n" + ROWS.format(f"// {word}")) for word in ("pumps", "fans"))
    assert [change.area for change in compare(one, two).changes] == ["extension"]
