"""Styles of tag tables: each is read right, or gets a profile that reads it right, or is refused with the reason.

The rows here are our own; the files of ../shared/tables are of the same styles, and asked too where they are there.
"""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest

from asfound.model.copy import Copy
from asfound.model.problem import Problem
from asfound.readers.reading import read_files
from asfound.readers.tables.profile_proposal import propose

SHAPES = Path(__file__).resolve().parents[3] / "shared" / "tables"


class Style(NamedTuple):
    """``tags`` (name, address, type, comment) by name, or ``why`` it is refused; ``plain``: no profile is needed."""

    file: str
    text: str
    tags: tuple[tuple[str, str, str, str], ...] = ()
    plain: bool = False
    why: str = ""


STYLES = {
    "kinds, scopes, aliases and notes": Style(
        "01_kind_scope_name.csv",
        'note,"list"\nKIND,SCOPE,NAME,DESCRIPTION,DATA TYPE,REFERS TO\nTAG,,Fan,"cools",BOOL,\nALIAS,,Fan_Out,,,R1.2\n'
        'NOTE,,Fan,"spare",,Fan.3\nTAG,Main,Speed,,INT,\n',
        (("Fan", "", "BOOL", "cools"), ("Speed", "", "INT", "")),
    ),
    "no heading, a blank in the address": Style(
        "02_no_heading.csv",
        '"Fan","Q 4.1","BOOL","cools, always"\n"Speed","MW 8","INT","wanted"\n',
        (("Fan", "%QX4.1", "BOOL", "cools, always"), ("Speed", "%MW8", "INT", "wanted")),
    ),
    "addresses of three parts": Style(
        "03_dotted_blocks.csv",
        "Variable;Address;Type;Comment\nFan;%Q1.0.7;BOOL;ventil\xe9\nSpeed;%MW8;INT;\n",
        (("Fan", "%QX1.0.7", "BOOL", "ventilé"), ("Speed", "%MW8", "INT", "")),
        plain=True,
    ),
    "the address first": Style(
        "04_address_first.csv",
        "#V=2\n%Q0,FAN-1,cools the oil\n%I4,FAN-2,\n%W12,Speed,wanted\n%T1,Delay,\n",
        (
            ("Delay", "T1", "", ""),
            ("FAN-1", "%QX0", "", "cools the oil"),
            ("FAN-2", "%IX4", "", ""),
            ("Speed", "%MW24", "", "wanted"),
        ),
    ),
    "points with numbers for addresses": Style(
        "05_point_list.csv",
        "#list,points\nPoint,Data type,Function,Address,Factor,Text\nF_1,BIT,FC05,7,1,Output 7\nS_1,UINT16,FC06,7,0.5,wanted\n",
        (("F_1", "", "BOOL", "Output 7"), ("S_1", "", "UINT", "wanted")),
    ),
    "sections": Style(
        "06_sections.csv",
        "// Tasks\n0;MAIN;FAST;\n\n// Tags\n0;VAR;A.FAN;A.FAN;BOOL;0;\n1;VAR;A.SPEED;A.SPEED;INT;0;\n",
        why="several sections stand below each other, each with columns of its own (rows of 4 cells from line 2",
    ),
    "a preamble, and the heading in a remark": Style(
        "07_preamble_lines.csv",
        "#data;;;;\nPLANT;North;;;\nVERSION;2;;;\nUNITS;SI;;;\n#must;must;may;may;may\n# key;title;sort;description;unit\n"
        "Fan;Fan of the oil;digital;cools;0\nSpeed;Wanted speed;analog;set here;12\n",
        (("Fan", "", "", "cools"), ("Speed", "", "", "set here")),
    ),
    "addresses under another heading": Style(
        "08_table_and_node.csv",
        "Signal Name,Folder,Data Type,Node,Comment,Shown\nFan,F 1,Bool,%Q4.1,cools,True\nSpeed,F 2,Int,%MW8,,True\n",
        (("Fan", "%QX4.1", "BOOL", "cools"), ("Speed", "%MW8", "INT", "")),
    ),
    "fixed width": Style(
        "09_fixed_width.txt",
        "NAME    ADDRESS  COMMENT\nFan     Q   4.1  cools\nSpeed   MW  8    wanted speed, set\nDoor    I   1.0\n",
        why="its columns stand at fixed places, with no sign between them",
    ),
    "tabs": Style(
        "10_tabs_utf16.txt",
        "Name\tData type\tAddress\tRetain\tComment\nFan\tBool\t%Q4.1\tFalse\tcools\n",
        (("Fan", "%QX4.1", "BOOL", "cools"),),
        plain=True,
    ),
    "two tables": Style(
        "11_two_tables.csv",
        "In\nTerminal,Tag,Address\nX1,Door,%I1.0\n\nOut\nTerminal,Tag,Address\nX2,Fan,%Q4.1\n",
        why="several tables stand below each other: this row names the columns again",
    ),
    "an address in three columns": Style(
        "12_address_in_parts.csv",
        "Rack,Slot,Channel,Tag,Type\n0,4,1,Fan,BOOL\n0,5,2,Door,BOOL\n",
        why="the address seems to stand in several columns (Rack, Slot, Channel",
    ),
    "a decimal comma": Style(
        "13_decimal_comma.csv",
        "Name;Adresse;Typ;Anfangswert;Kommentar\nSpeed;%MD8;REAL;7,5;Soll\nDelay;%MD12;TIME;T#2s;\n",
        (("Delay", "%MD12", "TIME", ""), ("Speed", "%MD8", "REAL", "Soll")),
        plain=True,
    ),
    "members and elements": Style(
        "14_members.csv",
        "Name,Type,Address,Comment\nFan,T_Fan,%MB8,cools\nFan.On,BOOL,%MX8.0,\nStep[2].Time,INT,%MW10,\n",
        (("Fan", "%MB8", "T_FAN", "cools"), ("Fan.On", "%MX8.0", "BOOL", ""), ("Step[2].Time", "%MW10", "INT", "")),
        plain=True,
    ),
}


def tags(copy: Copy) -> tuple[tuple[str, str, str, str], ...]:
    return tuple((t.name, t.address, t.type, t.comment) for table in copy.tables for t in table.tags)


def settled(copy: Copy) -> list[tuple[str, str]]:
    return [(s.name, s.value) for table in copy.tables for t in table.tags for s in t.settings]


def profiled(name: str, data: bytes) -> Copy:
    return read_files([(name, data), ("p.toml", propose(data, name).encode())])


@pytest.mark.parametrize("style", STYLES.values(), ids=STYLES)
def test_style(style: Style) -> None:
    data = style.text.encode("utf-16" if "utf16" in style.file else "cp1252")
    if style.plain:
        assert tags(read_files([(style.file, data)])) == style.tags
    else:
        with pytest.raises(Problem) as caught:
            read_files([(style.file, data)])
        assert style.why in str(caught.value)
    if not style.why:
        assert tags(profiled(style.file, data)) == style.tags
        return
    with pytest.raises(Problem) as caught:
        propose(data, style.file)
    assert caught.value.what.startswith("cannot be read with a profile: ")
    assert style.why in caught.value.what
    assert caught.value.advice


FILES = {
    "01_kind_scope_name.csv": "Level_Raw DINT, Pump1_Run BOOL",
    "02_no_heading.csv": "Door %IX1.2 BOOL, Level_Raw %IW64 INT, Pump1_Run %QX0.3 BOOL",
    "03_dotted_blocks.csv": "Motor %QX0.2.5 BOOL, Run %MX12 BOOL, Speed %MW100 INT, Start_PB %IX0.1.3 BOOL",
    "04_address_first.csv": "EMC-E %QX0, EXT-E %IX1, GUI-E %IX0, Level %MW0, Old_Timer T3, reset %MX0.0",
    "05_point_list.csv": "AO_0 INT, DI_0 BOOL, DI_1 BOOL",
    "07_preamble_lines.csv": "P_suct, T_out",
    "08_table_and_node.csv": "I_High %IX0.0 BOOL, O_Load %QX0.2 BOOL, SetSpeed %MW14 INT",
    "10_tabs_utf16.txt": "Pump1_Run %QX0.3 BOOL, SP_Level %MD20 REAL",
    "13_decimal_comma.csv": "SP_Druck %MD20 REAL, SP_Faktor %MD28 REAL, SP_Zeit %MD24 TIME",
    "14_members.csv": "Pump1 %MB100 ST_PUMP, Pump1.Hours %MD104 DINT, Pump1.Run %MX100.0 BOOL, "
    "Recipe[1].Dose %MD200 REAL, Recipe[2].Dose %MD204 REAL",
}


@pytest.mark.skipif(not SHAPES.is_dir(), reason="the shapes of tables are not here")
@pytest.mark.parametrize("style", STYLES.values(), ids=STYLES)
def test_the_file_of_that_style(style: Style) -> None:
    data = (SHAPES / style.file).read_bytes()
    if style.why:
        for read in (lambda: read_files([(style.file, data)]), lambda: propose(data, style.file)):
            with pytest.raises(Problem) as caught:
                read()
            assert style.why in str(caught.value)
        return
    found = profiled(style.file, data)
    assert ", ".join(" ".join(filter(None, tag[:3])) for tag in tags(found)) == FILES[style.file]
    assert [f for f in found.findings if f.severity != "note"] == []
    if style.plain:
        assert tags(read_files([(style.file, data)])) == tags(found)


# --- what would go wrong ----------------------------------------------------------------------------------------


def test_rows_that_are_no_tags_are_kept_and_told() -> None:
    style = STYLES["kinds, scopes, aliases and notes"]
    found = profiled("t.csv", style.text.encode())
    assert {e.path: e.text for e in found.program.extensions} == {
        "t/above the heading": "note\tlist",
        "t/rows of other kinds": "ALIAS\t\tFan_Out\t\t\tR1.2\nNOTE\t\tFan\tspare\t\tFan.3",
    }
    assert [f.text for f in found.findings] == [
        "2 rows are of kinds that the profile does not name; they are kept as text"
    ]


@pytest.mark.parametrize(
    "table",
    [
        "KIND,NAME,DATA TYPE\nTAG,Fan,BOOL\nALIAS,Other,BOOL\nTAG,Lamp,BOOL\n",
        "NAME,DATA TYPE,KIND\nFan,BOOL,TAG\nOther,BOOL,ALIAS\nLamp,BOOL,TAG\n",
        "Bez,Sorte,Was\nFan,BOOL,Variable\nOther,BOOL,Alias\nLamp,BOOL,Variable\n",
        "TAG,Fan,BOOL\nALIAS,Other,BOOL\nTAG,Lamp,BOOL\n",
        'remark,"x"\nTYPE,SCOPE,NAME,DATATYPE,ATTRIBUTES\nTAG,,Fan,BOOL,a := 1\nALIAS,,Other,,b := 2\nTAG,M,Lamp,BOOL,a := 1\n',
    ],
)
def test_kinds_are_no_comment_and_aliases_no_tags(table: str) -> None:
    assert [(t[0], t[3]) for t in tags(profiled("t.csv", table.encode()))] == [("Fan", ""), ("Lamp", "")]


def test_kinds_without_tags_are_refused() -> None:
    with pytest.raises(Problem, match=r"of several kinds \(MEMBER, ALIAS\); export the tags alone"):
        propose(b"KIND,NAME,DATA TYPE\nMEMBER,a,BOOL\nALIAS,b,\n", "t.csv")


@pytest.mark.parametrize("words", [("VAR", "CONSTANT"), ("Input", "Output"), ("Eingang", "Parameter")])
@pytest.mark.parametrize("heading", ["Class", "Kind"])
def test_sorts_of_tags_are_tags(words: tuple[str, str], heading: str) -> None:
    text = f"Name,{heading},Type\na,{words[0]},INT\nb,{words[1]},INT\n"
    assert len(tags(read_files([("t.csv", text.encode())]))) == 2
    assert "[rows]" not in propose(text.encode(), "t.csv")


def test_numbers_that_say_no_area_are_kept_under_their_heading() -> None:
    style = STYLES["points with numbers for addresses"]
    text = propose(style.text.encode(), "t.csv")
    assert "The same number stands in several rows" in text
    assert ("Address", "7") in settled(profiled("t.csv", style.text.encode()))
    once = propose(b"Name,Address\nFan,3\nSpeed,14\n", "t.csv")
    whole = (
        once.replace("# address", "address")
        .replace("# [[", "[[")
        .replace("# pattern", "pattern")
        .replace("# area", "area")
    )
    read = read_files([("t.csv", b"Name,Address\nFan,3\nSpeed,14\n"), ("p.toml", whole.encode())])
    assert [t[:2] for t in tags(read)] == [("Fan", "%MW6"), ("Speed", "%MW28")]


@pytest.mark.parametrize(
    ("word", "type"),
    [
        ("int16", "INT"),
        ("UINT16", "UINT"),
        ("Int32", "DINT"),
        ("uint32", "UDINT"),
        ("float32", "REAL"),
        ("uint8", "USINT"),
    ],
)
def test_words_for_types(word: str, type: str) -> None:
    table = f"Bez,Kanal,Art\nFan,IN0,bool\nSpeed,W7,{word}\n"
    assert tags(profiled("t.csv", table.encode()))[1][2] == type


def test_fixed_width_behind_a_number() -> None:
    text = "".join(
        f"126,{n:<24}{a:<12}BOOL      {c}\n"
        for n, a, c in (("Fan", "Q   4.1", "cools"), ("Door", "I   1.0", "shut"), ("Lamp", "Q   4.2", "red"))
    )
    with pytest.raises(Problem, match="at fixed places"):
        propose(text.encode(), "t.txt")


def test_padded_cells_are_no_fixed_width() -> None:
    text = "".join(
        f'"{n:<24}","{a:<12}","BOOL      ","{c:<20}"\n'
        for n, a, c in (("Fan", "Q   4.1", "cools"), ("Door", "I   1.0", "shut"), ("Lamp", "Q   4.2", "red"))
    )
    assert [t[:2] for t in tags(profiled("t.txt", text.encode()))] == [
        ("Door", "%IX1.0"), ("Fan", "%QX4.1"), ("Lamp", "%QX4.2")
    ]  # fmt: skip


def test_lines_above_rows_without_a_heading_are_refused() -> None:
    with pytest.raises(Problem, match=r"line 1 is no row, and no line names the columns; remove the lines above"):
        propose(b"Plant\nFan,%Q4.1,BOOL,cools\nDoor,%I1.0,BOOL,closed\n", "t.csv")


def test_a_first_row_that_is_short_is_a_row() -> None:
    assert len(tags(profiled("t.csv", b"Fan,%Q4.1,,\nDoor,%I1.0,BOOL,closed\nLamp,%Q4.2,BOOL,red\n"))) == 3


@pytest.mark.parametrize(
    "text", ["a b\nc d\ne f\n", "Some text,  with blanks\nand more,  of it\nand,  so on\n", "x\n\ny\n\nz\n"]
)
def test_what_is_no_table_of_fixed_width(text: str) -> None:
    with pytest.raises(Problem) as caught:
        read_files([("t.txt", text.encode())])
    assert "fixed places" not in str(caught.value)


def test_a_tag_table_with_a_slot_is_no_list_of_modules() -> None:
    assert 'table = "tags"' in propose(b"Slot,Name,Node,Text\n4,Fan,%Q4.1,cools\n4,Door,%I1.0,shut\n", "t.csv")


@pytest.mark.parametrize(
    "text", ["Tag,Address,Tag,Address\nFan,%Q4.1,Door,%I1.0\n", "Tag,Type,Tag,Type\nFan,BOOL,Door,BOOL\n"]
)
def test_two_tables_side_by_side_are_refused(text: str) -> None:
    with pytest.raises(Problem, match="two tables stand side by side"):
        propose(text.encode(), "t.csv")


@pytest.mark.parametrize("heading", ["Offset", "Alias"])
def test_what_says_no_area_or_is_called_otherwise_is_no_address(heading: str) -> None:
    cells = ("0.0", "2.0") if heading == "Offset" else ("F1", "D1")
    text = f"Bez,Art,{heading}\nFan,BOOL,{cells[0]}\nSpeed,INT,{cells[1]}\n"
    found = profiled("t.csv", text.encode())
    assert [t[1] for t in tags(found)] == ["", ""]
    assert (heading, cells[0]) in settled(found)


def test_a_list_of_values_with_commas_says_so() -> None:
    table = "Bez;Istwert;Initial value\nSpeed;7,5;8\nLimit;0,25;1\n"
    assert 'decimal = ","' in propose(table.encode(), "t.csv")
    assert 'decimal = ","' not in propose(table.replace("0,25", "0.25").encode(), "t.csv")


def test_a_proposal_is_of_the_kind_that_is_read_without_it() -> None:
    assert 'table = "values"' in propose(b"Name;Value\nSpeed;7\nLimit;8\n", "t.csv")


def test_a_list_of_values_gets_a_name() -> None:
    found = profiled("t.csv", b"Bez;Istwert\nSpeed;7\nLimit;8\n")
    assert [(v.name, v.actual) for v in found.values] == [("Limit", "8"), ("Speed", "7")]


def test_dates_are_no_names() -> None:
    with pytest.raises(Problem, match="no column looks like names or addresses"):
        propose(b"when,much\n2026-01-01,5\n2026-01-02,6\n", "t.csv")


def test_the_proposed_profile_of_a_tag_table_leaves_the_comma_as_it_is_read_without() -> None:
    style = STYLES["a decimal comma"]
    assert settled(profiled("t.csv", style.text.encode())) == settled(read_files([("t.csv", style.text.encode())]))
