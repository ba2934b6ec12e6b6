"""Tag tables: headings, delimiters, encodings, addresses, spreadsheets; nothing missed; hostile input."""

from __future__ import annotations

import io
import random
import zipfile

import msgspec
import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from workbooks import xlsx

from asfound.model.copy import Copy, Finding
from asfound.model.problem import Problem
from asfound.model.program import Extension, Setting
from asfound.model.tags import Tag, TagTable
from asfound.readers.reader import Probe
from asfound.readers.tables.operands import canonical
from asfound.readers.tables.remarks import is_remark
from asfound.readers.tables.tag_table import READER, read

ROWS = [
    ("P1_Start", "%I0.0", "Bool", "Anlauf; Füllstand hoch", "3-F2"),
    ("P1_Run", "%Q4.0", "BOOL", "läuft", ""),
    ("Level", "%IW64", "INT", "Behälter 1, grün", "4-F1"),
    ("Delay", "T5", "TIMER", "", "x"),
    ("Limit", "", "REAL", 'Grenze 3" Rohr', ""),
]
HEADINGS = ("Name", "Address", "Type", "Comment", "Sheet")


def text_of(rows: list[tuple[str, ...]], delimiter: str = ";", headings: tuple[str, ...] = HEADINGS) -> str:
    def cell(text: str) -> str:
        return '"' + text.replace('"', '""') + '"' if any(c in text for c in f'{delimiter}"\n') else text

    return "".join(delimiter.join(map(cell, row)) + "\n" for row in [headings, *rows])


def meaning(data: bytes, name: str = "office/tags.csv") -> Copy:
    return msgspec.structs.replace(read(data, name), findings=(), limits=())


PLAIN = text_of(ROWS)
EXPECTED = (
    TagTable(
        "tags",
        (
            Tag("Delay", "T5", "TIMER", settings=(Setting("Sheet", "x"),)),
            Tag("Level", "%IW64", "INT", "Behälter 1, grün", (Setting("Sheet", "4-F1"),)),
            Tag("Limit", "", "REAL", 'Grenze 3" Rohr'),
            Tag("P1_Run", "%QX4.0", "BOOL", "läuft"),
            Tag("P1_Start", "%IX0.0", "BOOL", "Anlauf; Füllstand hoch", (Setting("Sheet", "3-F2"),)),
        ),
    ),
)


def test_a_table_is_sorted_canonical_and_complete() -> None:
    assert read(PLAIN.encode(), "office/tags.csv") == Copy(tables=EXPECTED)


@pytest.mark.parametrize("delimiter", [";", "\t", ",", "|"])
@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252", "cp850"])
def test_delimiter_and_encoding_are_noise(delimiter: str, codec: str) -> None:
    assert meaning(text_of(ROWS, delimiter).encode(codec)).tables == EXPECTED


@pytest.mark.parametrize(
    "headings",
    [
        ("Name", "Address", "Data type", "Comment"),
        ("Symbol", "Adresse", "Datentyp", "Kommentar"),
        ("Bezeichner", "Operand", "TYP", "Bemerkung"),
        ("Nom", "Adresse", "Type de données", "Commentaire"),
        ("Mnémonique", "Opérande", "Type", "Description"),
        ("Nombre", "Dirección", "Tipo de datos", "Comentario"),
        ("Símbolo", "Operando", "Tipo", "Descripción"),
        ("Nome", "Indirizzo", "Tipo di dati", "Commento"),
        ("Simbolo", "Operando", "Tipo", "Descrizione"),
        ("SYMBOL_NAME", " logical-address ", "DataType", "comments"),
    ],
)
def test_headings_in_five_languages(headings: tuple[str, ...]) -> None:
    assert meaning(text_of(ROWS, ";", (*headings, "Sheet")).encode()).tables == EXPECTED
    assert READER.recognise(Probe(text_of(ROWS, ";", (*headings, "Sheet")).encode(), "export.dat"))


NOISY = {
    "row order": text_of(random.Random(1).sample(ROWS, len(ROWS))),
    "empty rows": PLAIN.replace("\n", "\n;;;;\n\n"),
    "line ends": PLAIN.replace("\n", "\r\n"),
    "padding": "\n".join(line if '"' in line else line.replace(";", " ;\t") + "  " for line in PLAIN.split("\n")),
    "quotes": "\n".join(
        ";".join('"' + c.replace('"', '""') + '"' for c in row) for row in [HEADINGS, *ROWS]
    ),
    "column order": text_of([row[::-1] for row in ROWS], ";", HEADINGS[::-1]),
    "first line": "sep=;\n" + PLAIN,
    "empty column": text_of([(*row, "") for row in ROWS], ";", (*HEADINGS, "Unused")),
    "type case": PLAIN.replace("BOOL", "Bool"),
    "address form": PLAIN.replace("%I0.0", "E 0.0").replace("%Q4.0", "%QX4.0").replace("%IW64", "EW64"),
}  # fmt: skip


@pytest.mark.parametrize("what", NOISY)
def test_noise_gives_an_equal_copy(what: str) -> None:
    assert NOISY[what] != PLAIN
    assert meaning(NOISY[what].encode()).tables == EXPECTED


def test_every_changed_cell_is_seen() -> None:
    before = meaning(PLAIN.encode())
    for at, row in enumerate(ROWS):
        assert meaning(text_of(ROWS[:at] + ROWS[at + 1 :]).encode()) != before
        for column, cell in enumerate(row):
            for new in {f"{cell}x", ""} - {cell}:
                changed = [*row[:column], new, *row[column + 1 :]]
                rows = [*ROWS[:at], tuple(changed), *ROWS[at + 1 :]]
                assert meaning(text_of(rows).encode()) != before, (row, column, new)
    assert meaning(PLAIN.replace("Sheet", "Sheets").encode()) != before
    assert meaning(("Plant 7\n" + PLAIN).encode()) != before
    assert meaning(PLAIN.replace(";x\n", ";x;beyond\n").encode()) != before


def test_lines_above_the_heading_are_kept() -> None:
    found = meaning(("Plant 7;;\nprinted by hand\n" + PLAIN).encode())
    assert found.program.extensions == (Extension("tags/above the heading", "Plant 7\nprinted by hand"),)


def test_headings_that_repeat_or_are_missing_have_names() -> None:
    found = meaning(b"Name;Address;Note;Note;\nA;%I0.0;1;2;3;4\n").tables[0].tags[0]
    assert [(s.name, s.value) for s in found.settings] == [
        ("Note", "1"),
        ("Note (2)", "2"),
        ("column 5", "3"),
        ("column 6", "4"),
    ]


def test_of_two_columns_for_one_role_the_plainer_word_wins() -> None:
    found = meaning(b"Description;Comment;Name;Type\nlong;short;A;INT\n").tables[0].tags[0]
    assert (found.comment, found.settings) == ("short", (Setting("Description", "long"),))


# --- findings ---------------------------------------------------------------------------------------------------


def test_findings_name_row_cell_and_value() -> None:
    data = b"Name;Address;Comment\nA;%I0.0;\nB;B5.BX0.0;\n;%M1.0;spare\n\na;I 0.8;\nC;;no address\n"
    found = read(data, "t.csv")
    assert [t.name for t in found.tables[0].tags] == ["", "A", "a", "B", "C"]
    assert found.tables[0].tags[3].address == "B5.BX0.0"
    assert found.findings == (
        Finding(
            "error",
            "t.csv, row 3, column 2 (Address)",
            "the address 'B5.BX0.0' is in no known form; it is kept as written",
        ),
        Finding("warning", "t.csv, row 4, column 1 (Name)", "the row has no name; it is kept"),
        Finding(
            "error",
            "t.csv, row 6, column 2 (Address)",
            "the address 'I 0.8' is in no known form; it is kept as written",
        ),
        Finding(
            "warning",
            "t.csv, row 6, column 1 (Name)",
            "the name 'a' was used before (t.csv, row 2, column 1 (Name)); both rows are kept",
        ),
    )


def test_a_guessed_encoding_is_told() -> None:
    assert read(PLAIN.encode("cp1252"), "t.csv").findings == (
        Finding("note", "t.csv", "the encoding is not marked; it was read as cp1252, check a letter with an accent"),
    )


def test_a_table_of_an_unknown_style_is_refused_with_the_command_that_helps() -> None:
    data = b"Name;Address\nA;%I0.0\nB;IN17\nC;OUT3\nD;-\n"
    with pytest.raises(Problem) as caught:
        read(data, "upload/t.csv")
    assert str(caught.value) == (
        "upload/t.csv, row 3, column 2 (Address): the address 'IN17' is in no known form, like 2 of 3 addresses of this "
        "table; `asfound profile upload/t.csv` proposes how to read them."
    )
    with pytest.raises(
        Problem, match=r"^t.xlsx, sheet S, cell B2: the address 'IN1' .* `asfound profile t.xlsx` proposes"
    ):
        read(xlsx({"S": [("Name", "Address"), ("A", "IN1")]}), "t.xlsx")
    assert (
        len(read(data.replace(b"OUT3", b"%M3.0"), "t.csv").findings) == 2
    )  # one unrecognised cell among others is a finding


@pytest.mark.parametrize(
    ("data", "text"),
    [
        (
            b"Name;Address\nA;%I0.0\nB;\"%I0.1\nC;%I0.2\n",
            "t.csv, line 3: is not a readable table (unexpected end of data); "
            "close the quotes of that row, or double a quote that belongs to the text.",
        ),
        (
            b"some;thing\nelse;here\n",
            "t.csv: has no heading of a tag-table within its first 20 lines; "
            "name the columns in its first line, e.g. 'Name;Address;Type;Comment'.",
        ),
        (
            b"",
            "t.csv: has no heading of a tag-table within its first 20 lines; "
            "name the columns in its first line, e.g. 'Name;Address;Type;Comment'.",
        ),
    ],
)  # fmt: skip
def test_refused(data: bytes, text: str) -> None:
    with pytest.raises(Problem) as caught:
        read(data, "t.csv")
    assert str(caught.value) == text


# --- addresses --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        # Operands of DIN 19239 in German and English letters, from memory.
        ("E0.0", "%IX0.0"), ("E 0.7", "%IX0.7"), ("EB4", "%IB4"), ("EW4", "%IW4"), ("ED4", "%ID4"),
        ("I0.0", "%IX0.0"), ("IB4", "%IB4"), ("IW 4", "%IW4"), ("ID4", "%ID4"),
        ("A12.5", "%QX12.5"), ("AB1", "%QB1"), ("AW2", "%QW2"), ("AD4", "%QD4"),
        ("Q12.5", "%QX12.5"), ("QB1", "%QB1"), ("QW2", "%QW2"), ("QD4", "%QD4"),
        ("M10.1", "%MX10.1"), ("MB10", "%MB10"), ("MW10", "%MW10"), ("MD10", "%MD10"),
        ("T5", "T5"), ("T 005", "T5"), ("Z3", "C3"), ("C3", "C3"), ("z 3", "C3"), ("e 00.1", "%IX0.1"),
        # Prefixes of IEC 61131-3:2013, table 16, from memory: I Q M; X B W D L or none.
        ("%IX0.0", "%IX0.0"), ("%I0.0", "%IX0.0"), ("%QB7", "%QB7"), ("%QW4", "%QW4"), ("%MD10", "%MD10"),
        ("%ML8", "%ML8"), ("%iw3.2.1", "%IW3.2.1"), ("%MX 10.1", "%MX10.1"), ("%E0.0", "%IX0.0"), ("%AW4", "%QW4"),
    ],
)  # fmt: skip
def test_addresses(written: str, expected: str) -> None:
    assert canonical(written) == expected


@pytest.mark.parametrize(
    "written",
    ["", "E0.8", "E0", "EW4.1", "B5", "X1", "%EX", "40001", "E-1.0", "T", "Z1.2", "E0,0", "IX0.0", "E０.0", "COM1"],
)
def test_addresses_in_no_known_form(written: str) -> None:
    assert canonical(written) is None


@given(st.text(max_size=12))
def test_a_canonical_address_stays_itself(text: str) -> None:
    once = canonical(text)
    assert once is None or canonical(once) == once


# --- spreadsheets -----------------------------------------------------------------------------------------------


def test_a_workbook_gives_what_the_text_gives() -> None:
    data = xlsx({"Tabelle1": [HEADINGS, *ROWS]})
    assert READER.recognise(Probe(data, "anything"))
    found = read(data, "office/tags.xlsx")
    assert found.tables == EXPECTED
    assert found.limits == (
        "Of a spreadsheet the values of the cells are compared; formulas, formats, notes and drawings are not.",
    )


def test_sheets_are_tables_and_others_are_kept() -> None:
    data = xlsx({"Pumps": [HEADINGS, *ROWS[:2]], "Valves": [HEADINGS, *ROWS[2:]], "Read me": [("by hand", 2.5)]})
    found = meaning(data, "tags.xlsx")
    assert [(t.name, len(t.tags)) for t in found.tables] == [("Pumps", 2), ("Valves", 3)]
    assert found.program.extensions == (Extension("sheet/Read me", "by hand\t2.5"),)


def test_cells_that_are_no_text() -> None:
    data = xlsx({"S": [("Name", "Type", "a", "b", "c"), ("A", "INT", 5, 0.1, True)]})
    assert [s.value for s in meaning(data).tables[0].tags[0].settings] == ["5", "0.1", "TRUE"]


def test_a_place_in_a_workbook_is_a_cell() -> None:
    found = read(xlsx({"S": [(), ("Name", "Address"), ("A", "what?"), ("B", "M0.0")]}), "t.xlsx")
    assert found.findings == (
        Finding("error", "t.xlsx, sheet S, cell B3", "the address 'what?' is in no known form; it is kept as written"),
    )


def test_a_cell_without_a_stored_value_is_told_and_kept() -> None:
    found = read(xlsx({"S": [("Name", "Type"), ("A", "=1+2"), ("B", "#N/A")]}), "t.xlsx")
    assert [(f.severity, f.where, f.text) for f in found.findings] == [
        ("error", "t.xlsx, sheet1/B2", "the cell has no stored value (1+2); save the workbook again"),
        ("error", "t.xlsx, sheet1/B3", "the cell has no stored value (#N/A); save the workbook again"),
    ]
    assert [e.path for e in found.program.extensions] == ["cell/sheet1/B2", "cell/sheet1/B3"]


def test_hostile_workbooks_are_refused() -> None:
    good = xlsx({"S": [("Name", "Type"), ("A", "INT")]})
    stray = openpyxl.Workbook()
    stray.active["A1"], stray.active["XFD1048576"] = "Name", "far"
    stream = io.BytesIO()
    stray.save(stream)
    bomb = io.BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as container:
        container.writestr("xl/workbook.xml", b" " * 5_000_000)
    for data, text in (
        (good[:900], "t.xlsx: is a damaged zip container; export it again."),
        (
            stream.getvalue(),
            "t.xlsx: has a cell so far from the others that the sheet spans 16384 columns and 1048576 rows; "
            "delete the stray cell.",
        ),
        (
            bomb.getvalue(),
            "t.xlsx: unpacks to more than 200 times its size, which no export does; check where the file comes from.",
        ),
    ):
        assert READER.recognise(Probe(data, "t.xlsx"))
        with pytest.raises(Problem) as caught:
            read(data, "t.xlsx")
        assert str(caught.value) == text


# --- laws -------------------------------------------------------------------------------------------------------

# Cells without digits, which are no addresses: a table whose addresses are of an unknown style is refused.
CELLS = st.text(
    st.characters(codec="utf-8", exclude_characters="\r\x00", exclude_categories=("Nd", "Nl", "No", "Cs")), max_size=8
).map(str.strip)


@given(st.lists(st.tuples(CELLS, CELLS, CELLS, CELLS, CELLS), max_size=8), st.randoms(use_true_random=False))
def test_row_order_never_matters_and_no_row_is_lost(rows: list[tuple[str, ...]], shuffle: random.Random) -> None:
    rows = [row for row in rows if not is_remark(row)]
    mixed = list(rows)
    shuffle.shuffle(mixed)
    one, two = meaning(text_of(rows).encode()), meaning(text_of(mixed).encode())
    assert one == two
    assert len(one.tables[0].tags) == sum(any(row) for row in rows)


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    for more in (data, b"Name;Address\n" + data, b"PK\x03\x04" + data):
        READER.recognise(Probe(more, "t.xlsx"))
        try:
            read(more, "t.csv")
        except Problem as problem:
            assert str(problem).startswith("t.csv")


def test_names_of_300_letters_and_nul_are_kept() -> None:
    found = meaning(f"Name;Type\n{'N' * 300};INT\nA\x00B;INT\n".encode())
    assert [len(t.name) for t in found.tables[0].tags] == [3, 300]


@pytest.mark.parametrize(
    "text",
    ["", "PROGRAM P\nVAR x : BOOL; END_VAR\nEND_PROGRAM\n", "<a/>", "Name\nA\n", "Name;Actual\nA;1\n", "\x00\x01"],
)
def test_not_a_tag_table(text: str) -> None:
    assert not READER.recognise(Probe(text.encode(), "t.csv"))
