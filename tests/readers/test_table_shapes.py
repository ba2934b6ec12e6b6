"""Tables whose heading alone would mislead: read right, or refused with the reason. Shapes are common practice."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.model.problem import Problem
from asfound.readers.reading import read_files
from asfound.readers.tables.profile_proposal import propose
from asfound.readers.tables.unaccounted import JOINED

SHAPES = Path(__file__).resolve().parents[3] / "shared" / "tables"

REFUSED = {
    "kinds": ("KIND,SCOPE,NAME,DATA TYPE\nVARIABLE,,Run,BOOL\nALIAS,,Out,\n", "of several kinds (VARIABLE, ALIAS)"),
    "type is a kind": ("TYPE,SCOPE,NAME,DATATYPE\nTAG,,Run,BOOL\nALIAS,,Out,\n", "of several kinds (TAG, ALIAS)"),
    "address elsewhere": ("Name,Type,Node\nRun,BOOL,%I0.0\n", "column 3 (Node) holds addresses such as %I0.0"),
    "address in parts": ("Slot,Channel,Tag,Type\n4,3,Door,BOOL\n", "several columns (Slot, Channel)"),
    "names are addresses": ("Name,Type\n%I0.0,BOOL\n%I0.1,BOOL\n", "the column of names holds addresses"),
    "names are sorts": (
        "Signal,Address\nDI,%I0.0\nDI,%I0.1\nDO,%Q0.0\n",
        "the column of names holds DI, which is a sort",
    ),
    "side by side": ("Tag,Type,Tag,Type\nRun,BOOL,Lamp,BOOL\n", "two tables stand side by side (tag, type"),
    "types are numbers": ("Name,Type\nRun,1\nLamp,2\n", "is called a type and holds 1"),
}
READ = {
    "a group": "Name,Type,Address,Group\nRun,BOOL,%I0.0,Pumps\nLamp,BOOL,%Q0.0,Lamps\n",
    "one kind": "Kind,Name,Type\nTAG,Run,BOOL\nTAG,Lamp,BOOL\n",
    "a slot": "Slot,Name,Type,Address\n1,Run,BOOL,%I0.0\n2,Lamp,BOOL,%Q0.0\n",
    "two remarks": "Name,Type,Comment,Description\nRun,BOOL,a,b\nLamp,BOOL,c,d\n",
}


@pytest.mark.parametrize(("text", "why"), REFUSED.values(), ids=REFUSED)
def test_what_is_not_accounted_for_is_refused(text: str, why: str) -> None:
    with pytest.raises(Problem) as caught:
        read_files([("t.csv", text.encode())])
    assert why in str(caught.value)
    assert caught.value.advice == JOINED or "asfound profile t.csv" in str(caught.value)


@pytest.mark.parametrize("text", READ.values(), ids=READ)
def test_further_columns_that_say_nothing_of_the_rows_are_kept(text: str) -> None:
    assert [tag.name for tag in read_files([("t.csv", text.encode())]).tables[0].tags] == ["Lamp", "Run"]


@pytest.mark.skipif(not SHAPES.is_dir(), reason="the shapes of tables are not here")
@pytest.mark.parametrize(
    ("file", "why"),
    [
        ("01_kind_scope_name.csv", "several kinds (VARIABLE, ALIAS, NOTE)"),
        ("08_table_and_node.csv", "column 4 (Node) holds addresses"),
        ("11_two_tables.csv", "names the columns again"),
        ("12_address_in_parts.csv", "several columns (Rack, Slot, Channel, Direction)"),
    ],
)
def test_shapes_that_are_refused_with_the_reason(file: str, why: str) -> None:
    with pytest.raises(Problem) as caught:
        read_files([(file, (SHAPES / file).read_bytes())])
    assert why in str(caught.value)


def _initial(rows: str) -> list[str]:
    table = read_files([("t.csv", f"Name;Typ;Anfangswert\n{rows}".encode())]).tables[0]
    return [tag.settings[0].value for tag in table.tags]


def test_a_decimal_comma_that_is_used_throughout_is_the_number() -> None:
    assert _initial("A;REAL;5,2\nB;TIME;T#8s\nC;REAL;0,75\nD;STRING;1,5\n") == ["5.2", "T#8s", "0.75", "1,5"]


def test_a_comma_that_may_be_something_else_stays() -> None:
    assert _initial("A;REAL;5,2\nB;REAL;1.5\n") == ["5,2", "1.5"]
    assert _initial("A;REAL;5,200\nB;REAL;1\n") == ["5,200", "1"]


@pytest.mark.skipif(not SHAPES.is_dir(), reason="the shapes of tables are not here")
def test_shape_with_a_decimal_comma() -> None:
    file = "13_decimal_comma.csv"
    (table,) = read_files([(file, (SHAPES / file).read_bytes())]).tables
    assert [tag.settings[0].value for tag in table.tags] == ["5.2", "0.75", "T#8s"]


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("KIND,NAME,DATA TYPE\nMEMBER,a,BOOL\nALIAS,b,\nNOTE,a,\n", "of several kinds"),
        ("Terminal,Signal,Address\nX1,a,%I0.0\n\nTerminal,Signal,Address\nX2,b,%Q0.0\n", "several tables"),
        ("Rack,Slot,Channel,Tag,Type\n0,4,3,Door,BOOL\n0,4,4,Float,BOOL\n", "in several columns"),
    ],
)
def test_no_profile_is_proposed_that_would_read_a_table_wrongly(text: str, reason: str) -> None:
    with pytest.raises(Problem, match=reason):
        propose(text.encode(), "list.csv")


def test_a_module_list_by_channel_is_no_address_in_parts() -> None:
    assert 'table = "modules"' in propose(b"Rack,Slot,Channel,Order\n0,4,3,AA-1\n0,4,4,AA-2\n", "list.csv")
