"""Workbooks written by other libraries (openpyxl for .xlsx, odfpy for .ods) and read through calamine."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.text import P
from workbooks import xlsx

import asfound
from asfound.model.copy import Copy
from asfound.model.program import Extension
from asfound.readers.container import Part
from asfound.readers.reader import Probe
from asfound.readers.registry import readers
from asfound.readers.tables.tag_table import read
from asfound.readers.tables.unseen import of_ods

Rows = list[tuple[object, ...]]
SHEETS: dict[str, Rows] = {
    "Tags": [
        ("Name", "Address", "Type", "Comment", "Order", "Spare"),
        ("P1_Start", "%I0.0", "BOOL", "Anlauf; Füllstand hoch", 5, True),
        ("Level", "%IW64", "INT", "  Behälter 1, grün ", 0.1, None),
        ("Limit", None, "REAL", 'Grenze 3" Rohr', -2, False),
    ],
    "Read me": [("by hand", 2.5)],
}


def ods(sheets: dict[str, Rows]) -> bytes:
    document = OpenDocumentSpreadsheet()
    for name, rows in sheets.items():
        table = Table(name=name)
        for row in rows:
            line = TableRow()
            for value in row:
                line.addElement(_cell(value))
            table.addElement(line)
        document.spreadsheet.addElement(table)
    stream = io.BytesIO()
    document.write(stream)
    return stream.getvalue()


def _cell(value: object) -> TableCell:
    if value is None:
        return TableCell()
    if isinstance(value, bool):
        cell = TableCell(valuetype="boolean", booleanvalue="true" if value else "false")
    elif isinstance(value, int | float):
        cell = TableCell(valuetype="float", value=str(value))
    elif str(value).startswith("="):
        return TableCell(formula=f"of:{value}")
    elif str(value).startswith("#"):
        cell = TableCell(formula="of:=1/0", valuetype="string", stringvalue="")
    else:
        cell = TableCell(valuetype="string")
    cell.addElement(P(text=str(value)))
    return cell


WRITERS = {"t.xlsx": xlsx, "t.ods": ods}


@pytest.mark.parametrize("name", WRITERS)
def test_both_formats_say_the_same(name: str) -> None:
    found = read(WRITERS[name](SHEETS), name)
    (table,) = found.tables
    assert [(t.name, t.address, t.type, t.comment) for t in table.tags] == [
        ("Level", "%IW64", "INT", "Behälter 1, grün"),
        ("Limit", "", "REAL", 'Grenze 3" Rohr'),
        ("P1_Start", "%IX0.0", "BOOL", "Anlauf; Füllstand hoch"),
    ]
    assert [[(s.name, s.value) for s in t.settings] for t in table.tags] == [
        [("Order", "0.1")],
        [("Order", "-2"), ("Spare", "FALSE")],
        [("Order", "5"), ("Spare", "TRUE")],
    ]
    assert (table.name, found.program.extensions) == ("Tags", (Extension("sheet/Read me", "by hand\t2.5"),))


@pytest.mark.parametrize("name", WRITERS)
@pytest.mark.parametrize(
    ("rows", "format"),
    [
        ([("Name", "Address"), ("A", "%I0.0")], "tag-table"),
        ([("Nom", "Valeur actuelle", "Unité"), ("SP", 5.2, "bar")], "value-list"),
        ([("Bezeichner", "Zwangswert"), ("A", True)], "force-list"),
        ([("Ranura", "Módulo"), (3, "DI")], "module-list"),
    ],
)
def test_every_kind_of_list_is_recognised(name: str, rows: Rows, format: str) -> None:
    data = WRITERS[name]({"S": rows})
    assert next(r.name for r in readers() if r.recognise(Probe(data, "export"))) == format


@pytest.mark.parametrize("name", WRITERS)
def test_every_changed_cell_is_seen(name: str) -> None:
    before = read(WRITERS[name](SHEETS), name)
    for at, row in enumerate(SHEETS["Tags"][1:], 1):
        for column, value in enumerate(row):
            changed = [list(r) for r in SHEETS["Tags"]]
            changed[at][column] = "other" if value != "other" else "another"
            after = read(WRITERS[name]({**SHEETS, "Tags": [tuple(r) for r in changed]}), name)
            assert _without_findings(after) != _without_findings(before), (at, column)


def _without_findings(copy: Copy) -> tuple[object, ...]:
    return copy.tables, copy.program


def test_a_cell_of_an_ods_without_a_stored_value_is_told_and_kept() -> None:
    found = read(ods({"S": [("Name", "Type"), ("A", "=1+2"), ("B", "#DIV/0!")]}), "t.ods")
    assert [(f.severity, f.where, f.text) for f in found.findings] == [
        ("error", "t.ods, S, row 2", "the cell has no stored value (of:=1+2); save the workbook again"),
        ("error", "t.ods, S, row 3", "the cell has no stored value (of:=1/0 #DIV/0!); save the workbook again"),
    ]
    assert [(e.path, e.text) for e in found.program.extensions] == [
        ("cell/S, row 2", "of:=1+2"),
        ("cell/S, row 3", "of:=1/0 #DIV/0!"),
    ]


def test_an_error_beside_a_stored_value_is_told_with_its_row() -> None:
    content = (
        '<d xmlns:table="t" xmlns:office="o" xmlns:calcext="c" xmlns:text="x"><table:table table:name="S">'
        '<table:table-row table:number-rows-repeated="3"><table:table-cell/></table:table-row>'
        '<table:table-row><table:table-cell table:formula="of:=A1" office:value-type="float" office:value="0" '
        'calcext:value-type="error"><text:p>#REF!</text:p></table:table-cell>'
        '<table:table-cell table:formula="of:=1" office:value-type="float" office:value="1"><text:p>1</text:p>'
        "</table:table-cell></table:table-row></table:table></d>"
    )
    assert of_ods(Part("content.xml", content.encode()), "t.ods") == [("S, row 4", "of:=A1 #REF!")]


FORCED: Rows = [("Name", "Address", "Forced value"), ("Pump", "%Q0.0", "TRUE")]
NAMED: Rows = [("Name", "Address", "Type"), ("Start", "%I0.0", "BOOL")]
PLUGGED: Rows = [("Slot", "Module", "Order number"), ("2", "DI 8", "WW-DI8")]
TUNED: Rows = [("Name", "Actual value"), ("Set", "5.8")]


@pytest.mark.parametrize("make", [xlsx, ods])
def test_a_workbook_may_hold_tables_of_every_kind_in_any_order(make: Callable[[dict[str, Rows]], bytes]) -> None:
    sheets = {"Tags": NAMED, "Forces": FORCED, "Modules": PLUGGED, "Values": TUNED, "Read me": [("by hand", "x")]}
    whole = asfound.read(make(sheets), "plant" + (".xlsx" if make is xlsx else ".ods"))
    turned = asfound.read(make(dict(reversed(list(sheets.items())))), "plant" + (".xlsx" if make is xlsx else ".ods"))
    assert [(f.name, f.value) for f in whole.forces] == [("Pump", "TRUE")]
    assert [v.actual for v in whole.values] == ["5.8"]
    assert [t.name for table in whole.tables for t in table.tags] == ["Start"]
    assert [m.order_number for d in whole.hardware.devices for r in d.modules for m in r.modules] == ["WW-DI8"]
    assert asfound.compare(whole, turned).changes == ()


def test_a_force_on_the_second_sheet_that_changed_is_told_as_a_force() -> None:
    old, new = (
        asfound.read(xlsx({"Tags": NAMED, "Forces": [FORCED[0], ("Pump", "%Q0.0", value)]}), "plant.xlsx")
        for value in ("TRUE", "FALSE")
    )
    assert [(c.area, c.effect) for c in asfound.compare(old, new).changes] == [("force", "behaviour")]
