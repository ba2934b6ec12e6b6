"""Value lists and force lists."""

from __future__ import annotations

import io

import openpyxl
import pytest

from asfound.model.copy import Copy, Finding
from asfound.model.program import Setting
from asfound.model.values import ActualValue, Force
from asfound.readers.reader import Probe, Reader
from asfound.readers.tables import module_list, tag_table
from asfound.readers.tables.value_list import FORCE_READER, READER, read_forces, read_values

VALUES = "Name;Actual;Initial;Unit;Comment\nSetpoint;3,50;3.2;bar;tuned\nDelay;T#8s;T#5s;;\n"
FORCES = "Name;Address;Forced value;Comment\nP1_Run;%Q4.0;TRUE;test\n;%I0.1;FALSE;\n"


def test_values_keep_their_digits() -> None:
    assert read_values(VALUES.encode(), "v.csv") == Copy(
        values=(
            ActualValue("Delay", "T#8s", "T#5s"),
            ActualValue("Setpoint", "3,50", "3.2", "bar", "tuned"),
        )
    )


def test_forces_have_canonical_addresses() -> None:
    assert read_forces(FORCES.encode(), "f.csv") == Copy(
        forces=(Force("", "FALSE", "%IX0.1"), Force("P1_Run", "TRUE", "%QX4.0", "test"))
    )


def test_nothing_forced_is_an_empty_list() -> None:
    assert read_forces(b"Name;Address;Forced value;Comment\n", "f.csv") == Copy()


@pytest.mark.parametrize(
    "heading",
    [
        "Variable;Istwert;Anfangswert;Einheit;Kommentar",
        "Symbol;Aktueller Wert;Startwert;Einheit;Beschreibung",
        "Nom;Valeur actuelle;Valeur initiale;Unité;Commentaire",
        "Nombre;Valor actual;Valor inicial;Unidad;Comentario",
        "Nome;Valore attuale;Valore iniziale;Unità;Commento",
        "Name;Value;Start value;Units;Description",
    ],
)
def test_values_in_five_languages(heading: str) -> None:
    data = VALUES.replace("Name;Actual;Initial;Unit;Comment", heading).encode()
    assert READER.recognise(Probe(data, "x"))
    assert read_values(data, "v.csv") == read_values(VALUES.encode(), "v.csv")


@pytest.mark.parametrize(
    "heading",
    [
        "Symbol;Adresse;Zwangswert;Kommentar",
        "Nom;Adresse;Valeur forcée;Commentaire",
        "Nombre;Dirección;Valor forzado;Comentario",
        "Nome;Indirizzo;Valore forzato;Commento",
    ],
)
def test_forces_in_five_languages(heading: str) -> None:
    data = FORCES.replace("Name;Address;Forced value;Comment", heading).encode()
    assert FORCE_READER.recognise(Probe(data, "x"))
    assert read_forces(data, "f.csv") == read_forces(FORCES.encode(), "f.csv")


def test_further_columns_are_settings() -> None:
    data = b"Name;Address;Value;Actual;Initial\nA;%MW4;7;8;9\n"
    assert read_values(data, "v.csv").values == (
        ActualValue("A", "8", "9", settings=(Setting("Address", "%MW4"), Setting("Value", "7"))),
    )


def test_findings() -> None:
    values = read_values(b"Name,Actual\nA,1\na,\n,2\n", "v.csv")
    assert values.findings == (
        Finding("warning", "v.csv, row 4, column 1 (Name)", "the row has no name; it is kept"),
        Finding(
            "warning",
            "v.csv, row 3, column 1 (Name)",
            "the name 'a' was used before (v.csv, row 2, column 1 (Name)); both rows are kept",
        ),
        Finding("warning", "v.csv, row 3, column 2 (Actual)", "the row has no actual value"),
    )
    forces = read_forces(b"Address,Forced\nwhat,1\n%I0.0,\n", "f.csv")
    assert forces.findings == (
        Finding(
            "error", "f.csv, row 2, column 1 (Address)", "the address 'what' is in no known form; it is kept as written"
        ),
        Finding("warning", "f.csv, row 3, column 2 (Forced)", "the row has no forced value"),
    )


@pytest.mark.parametrize("text, read", [(VALUES, read_values), (FORCES, read_forces)], ids=["values", "forces"])
def test_every_changed_cell_is_seen(text: str, read) -> None:
    before = read(text.encode(), "x.csv")
    heading, *rows = [line.split(";") for line in text.splitlines()]
    for at, row in enumerate(rows):
        for column, cell in enumerate(row):
            for new in {f"{cell}x", ""} - {cell}:
                changed = [heading, *rows[:at], [*row[:column], new, *row[column + 1 :]], *rows[at + 1 :]]
                after = read("\n".join(";".join(r) for r in changed).encode(), "x.csv")
                assert (after.values, after.forces) != (before.values, before.forces), (row, column, new)


def test_a_workbook_gives_what_the_text_gives() -> None:
    book = openpyxl.Workbook()
    for line in VALUES.splitlines():
        book.active.append(line.split(";"))
    stream = io.BytesIO()
    book.save(stream)
    assert READER.recognise(Probe(stream.getvalue(), "x"))
    assert read_values(stream.getvalue(), "v.xlsx").values == read_values(VALUES.encode(), "v.csv").values


READERS = (FORCE_READER, READER, module_list.READER, tag_table.READER)


@pytest.mark.parametrize(
    ("heading", "expected"),
    [
        ("Name;Actual", READER),
        ("Name;Address;Actual;Unit", READER),
        ("Name;Type;Value", READER),
        ("Name;Address;Value", tag_table.READER),
        ("Name;Address;Type;Initial value", tag_table.READER),
        ("Address;Forced value", FORCE_READER),
        ("Rack;Slot;Module", module_list.READER),
        ("Name;Comment", None),
        ("Name", None),
    ],
)
def test_one_reader_knows_each_heading(heading: str, expected: Reader | None) -> None:
    probe = Probe(f"{heading}\n".encode(), "x.csv")
    assert [r.name for r in READERS if r.recognise(probe)] == ([expected.name] if expected else [])
