"""Profiles: what they make of a table, what is refused and how, and what is proposed for an unknown table."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import jsonschema
import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from reader_samples import PROFILE

import asfound
from asfound.compare.comparison import compare
from asfound.model.copy import Copy, Finding
from asfound.model.problem import Problem
from asfound.readers.reading import read_files
from asfound.readers.tables.profile import parse
from asfound.readers.tables.profile_addresses import AddressPattern, canonical, mistake
from asfound.readers.tables.profile_proposal import propose

TABLE = (
    "Plant 7\n"
    "Tag-Bez.;Kanal;Art;Text;Blatt\n"
    "Start;IN0;Digital;start;3\n"
    "Stop;IN17;Digital;;\n"
    "Run;OUT3;Digital;runs;4\n"
    "Level;W12;Analog;;\n"
)


def copy_of(table: str = TABLE, profile: str = PROFILE, **more: str) -> Copy:
    files = {"t.csv": table, "t.profile.toml": profile, **more}
    return read_files([(name, text.encode()) for name, text in files.items()])


def tags(copy: Copy) -> list[tuple[str, str, str, str]]:
    return [(t.name, t.address, t.type, t.comment) for table in copy.tables for t in table.tags]


def test_a_profile_beside_the_table_reads_it() -> None:
    found = copy_of()
    assert tags(found) == [
        ("Level", "%MW24", "ANALOG", ""),
        ("Run", "%QX0.3", "BOOL", "runs"),
        ("Start", "%IX0.0", "BOOL", "start"),
        ("Stop", "%IX1.7", "BOOL", ""),
    ]
    assert [(s.name, s.value) for t in found.tables[0].tags for s in t.settings] == [("Blatt", "4"), ("Blatt", "3")]
    assert [(e.path, e.text) for e in found.program.extensions] == [("t/above the heading", "Plant 7")]
    assert [(s.name, s.format) for s in found.sources] == [("t.csv", "tag-table"), ("t.profile.toml", "profile")]
    assert found.findings == ()


def test_without_it_the_table_is_only_stored_and_said_to_be() -> None:
    main = "PROGRAM P\nVAR a : BOOL; END_VAR\na := TRUE;\nEND_PROGRAM\n"
    found = read_files([("t.csv", TABLE.encode()), ("p.st", main.encode())])
    assert found.tables == ()
    assert "t.csv is not understood; it is stored and compared byte by byte" in found.limits


def test_every_changed_cell_is_seen() -> None:
    before = copy_of()
    rows = [line.split(";") for line in TABLE.splitlines()]
    for at in range(1, len(rows)):
        for column in range(5 if at > 1 else 0):
            changed = [list(row) for row in rows]
            changed[at][column] += "9"
            found = copy_of("\n".join(map(";".join, changed)))
            assert compare(before, found).changes, (at, column)


def test_the_profile_is_noise_and_what_it_makes_is_not() -> None:
    remark = compare(copy_of(), copy_of(profile=f"# checked by Ada\n{PROFILE}"))
    assert (remark.verdict, remark.changes) == ("noise", ())
    decimal = compare(copy_of(), copy_of(profile=PROFILE.replace("base = 8", "base = 10").replace("[0-7]", "[0-9]")))
    assert [c.summary for c in decimal.changes] == ["Stop: address %IX1.7 -> %IX2.1"]


def test_what_no_pattern_fits_goes_on_to_the_ordinary_reader() -> None:
    found = copy_of(TABLE + "More;%I4.1;BOOL;;\nOdd;Q?7;BOOL;;\n")
    assert ("More", "%IX4.1", "BOOL", "") in tags(found)
    assert found.findings == (
        Finding(
            "error", "t.csv, row 8, column 2 (Kanal)", "the address 'Q?7' is in no known form; it is kept as written"
        ),
    )


def test_a_profile_of_no_use_is_told() -> None:
    found = copy_of("Name;Address\nA;%I0.0\n")
    assert found.findings == (Finding("warning", "t.profile.toml", "the profile fits no file of this copy"),)
    assert tags(found) == [("A", "%IX0.0", "", "")]


def test_two_profiles_for_one_table_are_refused() -> None:
    with pytest.raises(Problem) as caught:
        copy_of(**{"u.toml": PROFILE})
    assert str(caught.value) == (
        't.csv: t.profile.toml and u.toml both fit; say in each profile which files it is for: files = ["..."].'
    )


def test_columns_by_number_without_a_heading() -> None:
    profile = (
        'schema = "asfound/profile/1"\nfiles = ["t*"]\nheading = 0\ndelimiter = "#"\n[columns]\nname = 2\naddress = 1\n'
    )
    assert tags(copy_of("%I0.0#A#x\n%I0.1#B#\n", profile)) == [("A", "%IX0.0", "", ""), ("B", "%IX0.1", "", "")]


def test_other_kinds_of_table() -> None:
    values = (
        'schema = "asfound/profile/1"\ntable = "values"\ndecimal = ","\n[columns]\nname = "P"\nactual = "Ist jetzt"\n'
    )
    assert [(v.name, v.actual) for v in copy_of("P;Ist jetzt\nSP;5,20\n", values).values] == [("SP", "5.20")]
    forces = 'schema = "asfound/profile/1"\ntable = "forces"\n[columns]\naddress = "P"\nforced = "V"\n'
    assert [(f.address, f.value) for f in copy_of("P;V\n%I1.0;1\n", forces).forces] == [("%IX1.0", "1")]
    modules = 'schema = "asfound/profile/1"\ntable = "modules"\n[columns]\nslot = "P"\norder_number = "Art. No"\n'
    (device,) = copy_of("P;Art. No\n4;WW-1\n", modules).hardware.devices
    assert [(m.slot, m.order_number) for m in device.modules[0].modules] == [(4, "WW-1")]


def test_the_columns_must_be_there_when_the_file_is_named() -> None:
    with pytest.raises(Problem) as caught:
        copy_of("Name;Address\nA;%I0.0\n", PROFILE.replace("[columns]", 'files = ["*.csv"]\n[columns]'))
    assert str(caught.value) == (
        "t.csv: no line holds the columns 'Tag-Bez.', 'Kanal', 'art', 'Text' of the profile; "
        "`asfound profile t.csv` proposes a profile that fits."
    )


ROWS = 'schema = "asfound/profile/1"\n[columns]\nname = "N"\n[rows]\ncolumn = "K"\nkinds = ["Tag", "IO"]\n'


def test_rows_of_other_kinds_are_kept_as_text() -> None:
    found = copy_of("K;N;Text\nTAG;A;x\nalias;B;y\nio;C;\n;D;\n", ROWS)
    assert [t[0] for t in tags(found)] == ["A", "C"]
    assert [(s.name, s.value) for s in found.tables[0].tags[0].settings] == [("K", "TAG"), ("Text", "x")]
    assert [(e.path, e.text) for e in found.program.extensions] == [("t/rows of other kinds", "alias\tB\ty\n\tD")]
    told = "2 rows are of kinds that the profile does not name; they are kept as text"
    assert found.findings == (Finding("note", "t.csv, row 3", told),)


@pytest.mark.parametrize(
    ("table", "message"),
    [
        (
            "K;N\nalias;B\n",
            "t.csv: no row is of a kind that the profile names (Tag, IO); correct kinds in the profile.",
        ),
        ("N;Kind\nA;tag\n", "no line holds the columns 'N', 'K' of the profile"),
    ],
)
def test_kinds_that_are_not_there_are_refused(table: str, message: str) -> None:
    with pytest.raises(Problem) as caught:
        copy_of(table, ROWS.replace("[columns]", 'files = ["t.csv"]\n[columns]'))
    assert message in str(caught.value)


# --- mistakes in a profile --------------------------------------------------------------------------------------

HEAD = 'schema = "asfound/profile/1"\n'


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (HEAD + "[columns\n", "p.toml: is not valid TOML (Expected ']' at the end of a table declaration (at line 2, column 9)); mend that line."),
        (HEAD, "p.toml: the key 'columns' is missing; add [columns] with name = \"...\"."),
        (HEAD + "[colums]\nname = 1\n", "p.toml: there is no key 'colums'; write columns."),
        (HEAD + '[columns]\nadress = "A"\n', "p.toml, columns: there is no key 'adress'; write address."),
        (HEAD + '[columns]\ntype = "A"\n', "p.toml, columns: no column name or address is named; a list of tags needs it."),
        (HEAD + "[columns]\nname = 1.5\n", "p.toml, columns, name: expected 'int | str | null', got 'float'; see schemas/profile.json for what may stand here."),
        (HEAD + "[columns]\nname = 1\n", 'p.toml, files: columns given by numbers fit every table; say which, files = ["tags.csv"].'),
        (HEAD + '[columns]\nname = "N"\nslot = "S"\n', "p.toml, columns: a list of tags has no column 'slot'; the columns are name, address, type, comment."),
        (HEAD + '[columns]\nname = "N"\naddress = "N"\n', "p.toml, columns: column 'N' is named twice; give each column one meaning."),
        (HEAD + '[columns]\nname = "N"\n[rows]\ncolumn = "K"\nkinds = []\n', 'p.toml, rows: no kind of rows is named; say which are read, kinds = ["TAG"].'),
        (HEAD + '[columns]\nname = "N"\n[rows]\ncolum = "K"\nkinds = ["T"]\n', "p.toml, rows: there is no key 'colum'; write column."),
        (HEAD + '[columns]\nname = "N"\n[rows]\ncolumn = "N"\nkinds = ["T"]\n', "p.toml, columns: column 'N' is named twice; give each column one meaning."),
        (HEAD + 'delimiter = ";;"\n[columns]\nname = "N"\n', 'p.toml, delimiter: \';;\' is no delimiter; write one sign, ";" or "\\t".'),
        (HEAD + 'encoding = "latin-9000"\n[columns]\nname = "N"\n', "p.toml, encoding: 'latin-9000' is no encoding; write utf-8, cp1252, cp850, ...."),
        (HEAD + 'heading = 0\n[columns]\nname = "N"\n', "p.toml, columns: a table without a heading has no names of columns; write their numbers."),
        ('schema = "asfound/profile/2"\n[columns]\nname = "N"\n', "p.toml, schema: no such value: 'asfound/profile/2'; see schemas/profile.json for what may stand here."),
        (HEAD + '[columns]\nname = "N"\n[[addresses]]\npattern = "("\n', "p.toml, addresses 1: the pattern '(' is no regular expression (missing )); mend it; a digit is [0-9], a plain dot is \\.."),
    ],
)  # fmt: skip
def test_a_mistake_is_named_with_its_key(text: str, message: str) -> None:
    with pytest.raises(Problem) as caught:
        parse(text.encode(), "p.toml")
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("rule", "what"),
    [
        (AddressPattern("X(?P<nummer>[0-9]+)", "I"), "there is no group 'nummer'"),
        (AddressPattern("X[0-9]+", "I"), "the pattern does not say what the number counts"),
        (AddressPattern("X(?P<number>[0-9]+)/(?P<bit>.)", "I"), "number counts bits already"),
        (AddressPattern("X(?P<byte>[0-9]+)"), "the area '' is none"),
        (AddressPattern("X(?P<byte>[0-9]+)", "X"), "the area 'X' is none"),
        (AddressPattern("(?P<area>X)(?P<byte>[0-9]+)"), "the group area needs its table"),
        (AddressPattern("(?P<area>X)(?P<byte>[0-9]+)", areas={"X": "E"}), "areas: 'E' is none"),
        (AddressPattern("X(?P<byte>[0-9]+)", "I", "Q"), "the size 'Q' is none"),
        (AddressPattern("X(?P<byte>[0-9]+)", "I", base=7), "the base 7 is none"),
        (AddressPattern("X(?P<byte>[0-9]+)", "I"), None),
    ],
)
def test_a_mistake_in_a_pattern(rule: AddressPattern, what: str | None) -> None:
    found = mistake(rule)
    assert (found[0] if found else None) == what


@pytest.mark.parametrize(
    ("rule", "text", "expected"),
    [
        # Worked out by hand from the table in the module: bytes from 0, 8 bits each, 2 bytes a word.
        (AddressPattern("In:(?P<word>[0-9]+)/(?P<bit>[0-9]+)", "I"), "In:2/11", "%IX5.3"),
        (AddressPattern("In:(?P<word>[0-9]+)/(?P<bit>[0-9]+)", "I"), "In:2/16", None),
        (AddressPattern("In:(?P<word>[0-9]+)", "I"), "in:2", "%IW4"),
        (AddressPattern("B(?P<byte>[0-9]+)", "M"), "B7", "%MB7"),
        (AddressPattern("B(?P<byte>[0-9]+)", "M", "D"), "B7", "%MD7"),
        (AddressPattern("1(?P<number>[0-9]{4})", "I", first=1), "10017", "%IX2.0"),
        (AddressPattern("1(?P<number>[0-9]{4})", "I", first=1), "10000", None),
        (AddressPattern("K(?P<block>[0-9]+)[.](?P<byte>[0-9]+)[.](?P<bit>[0-9])", "M"), "K5.10.7", "%MX5.10.7"),
        (AddressPattern("K(?P<block>[0-9]+)[.](?P<byte>[0-9]+)[.](?P<bit>[0-9])", "M"), "K5.10.8", None),
        (AddressPattern("(?P<size>B|W)(?P<byte>[0-9]+)", "Q", sizes={"B": "B", "W": "W"}), "W4", "%QW4"),
        (AddressPattern("X(?P<number>[0-9A-F]+)", "I", base=16), "X1F", "%IX3.7"),
        (AddressPattern("Delay(?P<number>[0-9]+)", "T"), "DELAY007", "T7"),
    ],
)
def test_patterns(rule: AddressPattern, text: str, expected: str | None) -> None:
    assert mistake(rule) is None
    assert canonical(text, (rule,)) == expected


# --- proposals --------------------------------------------------------------------------------------------------

STYLES = {
    "points": ("X0", "X17", "Y3", "M5"),
    "blocks": ("B5.BX0.1", "B5.BX0.2", "B5.BW2", "B6.BD4"),
    "words and bits": ("In:0/3", "Out:2/15", "In:1/0", "Out:0/1"),
    "registers": ("10017", "40001", "30002", "00003"),
    "words": ("In 3.2", "Out 3.1", "In 4.7", "Out 0.0"),
}
EXPECTED = {
    "points": ["%IX0.0", "%IX2.1", "%QX0.3", "%MX0.5"],
    "blocks": ["%MX5.0.1", "%MX5.0.2", "%MW5.2", "%MD6.4"],
    "words and bits": ["%IX0.3", "%QX5.7", "%IX2.0", "%QX0.1"],
    "registers": ["%IX2.0", "%MW0", "%IW2", "%QX0.2"],
    "words": ["%IX3.2", "%QX3.1", "%IX4.7", "%QX0.0"],
}


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("head", ["Name,Address,Type,Comment\n", "Bez,Kanal,Art,Was\n", ""])
def test_a_proposal_once_saved_reads_the_table(style: str, head: str) -> None:
    words = ("go on with it", "stop all of it", "tank is full", "pump has run dry")
    rows = [f"N_{n},{a},BOOL,{w}" for n, (a, w) in enumerate(zip(STYLES[style], words, strict=True))]
    table = head + "\n".join(rows) + "\n"
    proposed = propose(table.encode(), "t.csv")
    found = copy_of(table, proposed)
    assert [t[1] for t in tags(found)] == EXPECTED[style], proposed
    assert [(t[0], t[2], t[3]) for t in tags(found)] == [(f"N_{n}", "BOOL", w) for n, w in enumerate(words)]
    assert "# 4 of 4 addresses are understood with this\n" in proposed


def test_the_whole_proposal() -> None:
    assert propose(TABLE.encode(), "up/t.csv") == (
        "# Proposed by `asfound profile` after a look at 4 rows of t.csv.\n"
        "# It is a guess. Check every line, save it beside the table (or name it with --profile), and read again.\n"
        'schema = "asfound/profile/1"\n'
        'table = "tags"\n'
        'files = ["t.csv"]\n'
        'delimiter = ";"\n'
        "heading = 2  # a guess: 0 if that line is a row like the others\n"
        "\n"
        "[columns]\n"
        'address = "Kanal"  # IN0, IN17, OUT3\n'
        'type = "Art"  # Digital, Analog\n'
        'name = "Tag-Bez."  # Start, Stop, Run\n'
        'comment = "Text"  # start, runs\n'
        "\n"
        "[types]\n"
        '"Digital" = "BOOL"\n'
        "\n"
        "[[addresses]]  # 3 cells such as IN0, IN17, OUT3\n"
        "pattern = '(?P<area>OUT|IN)(?P<number>[0-9]+)'\n"
        'areas = { "IN" = "I", "OUT" = "Q" }\n'
        "\n"
        "[[addresses]]  # 1 cells such as W12\n"
        "pattern = 'W(?P<word>[0-9]+)'\n"
        'area = "M"\n'
        "\n"
        "# 4 of 4 addresses are understood with this\n"
    )


@pytest.mark.parametrize(
    ("letters", "last", "said"),
    [
        ("X", 17, "# no 8 and no 9 among them: write base = 8 when they are octal\n"),
        ("XXXXXXY", 17, "# no 8 and no 9 among them: taken as octal\n"),
        ("X", 18, ""),
        ("K", 17, ""),
    ],
)
def test_a_letter_and_a_number_may_be_octal(letters: str, last: int, said: str) -> None:
    rows = "".join(f"N{n};{letter}{n}\n" for n, letter in enumerate(letters))
    proposed = propose(f"Name;Address\n{rows}Last;{letters[0]}{last}\n".encode(), "t.csv")
    assert said in proposed
    assert ("octal" in proposed) == bool(said)


def test_what_is_not_known_must_be_filled_in() -> None:
    proposed = propose(b"Name;Address\nA;KX1.0\nB;KX1.1\n", "t.csv")
    assert "# say what KX is: I, Q, M, T or C\n" in proposed
    with pytest.raises(Problem, match=r"p.toml, addresses 1: the area '' is none; write one of I, Q, M, T, C"):
        parse(proposed.encode(), "p.toml")


@pytest.mark.parametrize("data", [b"", b"hello\n", b"<a/>", b"one line\nand another\n"])
def test_no_table_no_proposal(data: bytes) -> None:
    with pytest.raises(Problem):
        propose(data, "t.csv")


CELLS = st.text(st.characters(exclude_categories=("Cs",)), max_size=8) | st.sampled_from(["X0", "B5.W2", "40001", "7"])


@given(st.lists(st.lists(CELLS, min_size=2, max_size=4), min_size=1, max_size=6), st.sampled_from(";,\t|"))
def test_whatever_is_in_a_table_the_proposal_is_valid_toml(rows: list[list[str]], delimiter: str) -> None:
    table = "\n".join(delimiter.join(row) for row in rows).encode()
    try:
        tomllib.loads(propose(table, "t.csv"))
    except Problem:
        return


@given(st.binary(max_size=300))
def test_any_bytes_are_proposed_for_or_refused(data: bytes) -> None:
    for name in ("t.csv", "t.xlsx", "t.ods"):
        try:
            propose(data, name)
        except Problem as problem:
            assert str(problem).startswith(name)


def test_profiles_are_valid_against_the_schema() -> None:
    schema = json.loads((Path(__file__).parents[2] / "schemas" / "profile.json").read_text(encoding="utf-8"))
    check = jsonschema.Draft202012Validator(schema)
    for text in (PROFILE, propose(TABLE.encode(), "t.csv")):
        check.validate(tomllib.loads(text))
    assert not check.is_valid({**tomllib.loads(PROFILE), "colums": {}})


def test_a_sheet_the_profile_is_not_meant_for_is_read_when_it_needs_none(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheets = {
        "Odd": [("Sym", "Adr"), ("Start", "X:0/1")],
        "Forces": [("Name", "Address", "Forced value"), ("Pump", "%Q0.0", "TRUE")],
        "Other style": [("Name", "Address"), ("Stop", "Y-7")],
    }
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    book.save(tmp_path / "plant.xlsx")
    (tmp_path / "odd.toml").write_text(
        'schema = "asfound/profile/1"\ntable = "tags"\n[columns]\nname = "Sym"\naddress = "Adr"\n'
        "[[addresses]]\npattern = 'X:(?P<byte>[0-9]+)/(?P<bit>[0-9]+)'\narea = \"I\"\n"
    )
    found = asfound.read(tmp_path)
    assert [(t.name, t.address) for table in found.tables for t in table.tags] == [("Start", "%IX0.1")]
    assert [(f.name, f.value) for f in found.forces] == [("Pump", "TRUE")]
    assert [e.path for e in found.program.extensions] == ["sheet/Other style"]
