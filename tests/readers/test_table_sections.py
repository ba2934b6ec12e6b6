"""Several tables below each other in one file: refused with the place where the second begins."""

from __future__ import annotations

import pytest

from asfound.model.problem import Problem
from asfound.readers.reading import read_files

TAGS = "Name;Address;Type\nRun;%I0.0;BOOL\nLamp;%Q0.0;BOOL\n"
PROFILE = b'schema = "asfound/profile/1"\n[columns]\nname = "Name"\naddress = "Address"\n'
SECOND = {
    "the same heading": "Name;Address;Type\nStop;%I0.1;BOOL\n",
    "below a title": "\nOutputs\nName;Address;Type\nStop;%I0.1;BOOL\n",
    "another order": "\nAddress;Comment;Name\n%I0.1;stops;Stop\n",
    "another order and more": "\nAddress;Comment;Name;Page\n%I0.1;stops;Stop;3\n",
    "another language": "Bezeichner;Adresse;Datentyp\nStop;%I0.1;BOOL\n",
    "with a heading of its own": "Symbol;Adresse;Wert 2\nStop;%I0.1;5\n",
    "values": "\nVariable;Value\nSP;5\n",
}
OTHER_ROWS = {
    "a heading nobody knows": ("\nTasks\nTask;Cycle;Priority\nMain;10;1\n", "Cycle is no address"),
    "behind an empty line": ("\nMain;cyclic;1\nFast;cyclic;2\n", "cyclic is no address"),
    "behind a remark": ("// tasks\nMain;cyclic;1\n", "cyclic is no address"),
    "wider rows": ("\n// tasks\n0;;a;b;c\n1;;a;b;c\n", "more cells than the heading"),
}
GAPS = {
    "groups": "\n// lamps\nGreen;%Q0.1;BOOL\n\nRed;%Q0.2;BOOL\n",
    "a wrong address": "\nGreen;%Q0.9;BOOL\n",
    "a placeholder": "Spare;;\nGreen;-;BOOL\n",
    "a word for none": "Spare;;\nGreen;none;BOOL\n",
    "no address": "\nGreen;;BOOL\n",
    "a wide row of many": "\nGreen;%Q0.1;BOOL;x\nRed;%Q0.2;BOOL\n",
    "names that are headings": "\nValue;%QW2;INT\nType;%QW4;INT\nName;%QW6;STRING\n",
}


def refused(text: str, *more: tuple[str, bytes]) -> Problem:
    with pytest.raises(Problem) as caught:
        read_files([("t.csv", text.encode()), *more])
    return caught.value


@pytest.mark.parametrize("second", SECOND.values(), ids=SECOND)
def test_a_second_heading_is_refused_with_its_row(second: str) -> None:
    text = TAGS + second
    row = next(
        n
        for n, line in enumerate(text.split("\n"), 1)
        if n > 3 and ("Adress" in line or "Address" in line or "Value" in line)
    )
    assert str(refused(text)) == (
        f"t.csv, row {row}: several tables stand below each other: this row names the columns again; save each table as a file of its own."
    )


@pytest.mark.parametrize(("second", "why"), OTHER_ROWS.values(), ids=OTHER_ROWS)
def test_rows_of_another_kind_behind_a_gap_are_refused(second: str, why: str) -> None:
    problem = str(refused(TAGS + second))
    assert why in problem
    assert ", row " in problem


@pytest.mark.parametrize("more", GAPS.values(), ids=GAPS)
def test_gaps_between_rows_of_one_kind_do_not_matter(more: str) -> None:
    (table,) = read_files([("t.csv", (TAGS + more).encode())]).tables
    assert len(table.tags) == 2 + sum(";" in line for line in more.split("\n"))


def test_numbers_for_types_behind_a_gap_are_another_kind() -> None:
    text = "Name;Type\nRun;BOOL\nPump;T_Pump\n[Tasks]\nMain;10\nFast;1\n"
    assert "t.csv, row 5: the rows from here on are of another kind: 10 is no type" in str(refused(text))


def test_a_word_for_no_address_is_no_other_kind() -> None:
    text = "Name;Address\nRun;%I0.0\n\nSpare;none\n"
    assert len(read_files([("t.csv", text.encode())]).tables[0].tags) == 2


def test_a_profile_does_not_hide_a_second_table() -> None:
    problem = refused(TAGS + "\nName;Address\nStop;%I0.1\n", ("t.toml", PROFILE))
    assert "names the columns again" in str(problem)


def test_headings_that_only_a_profile_knows_are_known_when_they_come_again() -> None:
    text = "Bez;Kanal\nRun;%I0.0\n\nBez;Kanal\nStop;%I0.1\n"
    profile = b'schema = "asfound/profile/1"\n[columns]\nname = "Bez"\naddress = "Kanal"\n'
    assert "t.csv, row 4: several tables stand below each other" in str(refused(text, ("t.toml", profile)))


@pytest.mark.parametrize(
    "text",
    [
        "Name;Value\nSP;5\nName;Value\nSQ;6\n",
        "Name;Forced value\nSP;5\nName;Forced value\nSQ;6\n",
        "Slot;Module;Order number\n1;CPU;A\nSlot;Module;Order number\n2;DI;B\n",
    ],
)
def test_lists_of_other_kinds_are_asked_too(text: str) -> None:
    assert "row 3: several tables" in str(refused(text))


def test_a_title_among_the_rows_is_told() -> None:
    found = read_files([("t.csv", b"Name;Address;Type\nPumps;;\nRun;%I0.0;BOOL\nStop;%I0.1;BOOL\n")])
    assert [(f.severity, f.where, f.text) for f in found.findings] == [
        ("warning", "t.csv, row 2, column 1 (Name)",
         "the row holds nothing but a name: it is kept as a tag, and may be a title")
    ]  # fmt: skip
    groups = b"Name;Address;Type\nPumps;;\nRun;%I0.0;BOOL\nFans;;\nFan;%Q0.0;BOOL\n"
    assert len(read_files([("t.csv", groups)]).findings) == 2
    assert read_files([("t.csv", b"Name;Address;Type\nPumps;;\nFans;;\n")]).findings == ()
