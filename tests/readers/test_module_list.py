"""Module lists: racks and modules of stations that export nothing better."""

from __future__ import annotations

import msgspec
import pytest

from asfound.model.copy import Copy, Finding
from asfound.model.hardware import AddressRange, Device, Hardware, Module
from asfound.model.program import Setting
from asfound.readers.reader import Probe
from asfound.readers.tables.module_list import READER, read

HEADING = (
    "Rack;Slot;Module;Order number;Firmware;Input start;Input length (bytes);Output start;Output length (bytes);"
    "Current draw (mA);Comment;Colour"
)
ROWS = [
    "1;4;DO 8;WW-DO8;;;;4;1;60;valves;grey",
    "0;2;DI 16;WW-DI16;1.4;0;2;;;25;;",
    "0;1;PS 5;WW-PS5;;;;;;;control supply;",
]
PLAIN = "\n".join([HEADING, *ROWS]) + "\n"


def rack(number: int, *modules: Module) -> Module:
    return Module(f"Rack {number}", slot=number, kind="rack", modules=modules)


EXPECTED = Hardware(
    devices=(
        Device(
            "modules",
            modules=(
                rack(
                    0,
                    Module("PS 5", 1, order_number="WW-PS5", comment="control supply"),
                    Module(
                        "DI 16",
                        2,
                        order_number="WW-DI16",
                        firmware="1.4",
                        addresses=(AddressRange("input", 0, 16),),
                        settings=(Setting("Current draw", "25 mA"),),
                    ),
                ),
                rack(
                    1,
                    Module(
                        "DO 8",
                        4,
                        order_number="WW-DO8",
                        comment="valves",
                        addresses=(AddressRange("output", 4, 8),),
                        settings=(Setting("Colour", "grey"), Setting("Current draw", "60 mA")),
                    ),
                ),
            ),
        ),
    )
)


def meaning(text: str) -> Copy:
    return msgspec.structs.replace(read(text.encode(), "card/modules.csv"), findings=())


def test_modules_sit_in_racks_by_slot() -> None:
    assert read(PLAIN.encode(), "card/modules.csv") == Copy(hardware=EXPECTED)


@pytest.mark.parametrize(
    "heading",
    [
        "Baugruppenträger;Steckplatz;Baugruppe;Bestellnummer;Firmwarestand;Eingangsadresse;Eingangslänge (Bytes);"
        "Ausgangsadresse;Ausgangslänge (Bytes);Stromaufnahme [mA];Bemerkung;Colour",
        "Châssis;Emplacement;Module;Référence;Version de firmware;Adresse d'entrée;Longueur des entrées (octets);"
        "Adresse de sortie;Longueur des sorties (octets);Consommation (mA);Commentaire;Colour",
        "Bastidor;Ranura;Módulo;Referencia;Firmware;Dirección de entrada;Longitud de entrada (bytes);"
        "Dirección de salida;Longitud de salida (bytes);Consumo (mA);Comentario;Colour",
        "Telaio;Alloggiamento;Modulo;Numero di ordinazione;Versione firmware;Indirizzo di ingresso;"
        "Lunghezza ingressi (byte);Indirizzo di uscita;Lunghezza uscite (byte);Assorbimento (mA);Commento;Colour",
    ],
)
def test_headings_in_five_languages(heading: str) -> None:
    text = PLAIN.replace(HEADING, heading)
    assert READER.recognise(Probe(text.encode(), "x"))
    assert read(text.encode(), "card/modules.csv") == Copy(hardware=EXPECTED)


def test_row_order_is_noise() -> None:
    assert meaning("\n".join([HEADING, *reversed(ROWS)])).hardware == EXPECTED


def test_every_changed_cell_is_seen() -> None:
    cells = [row.split(";") for row in ROWS]
    for at, row in enumerate(cells):
        assert meaning("\n".join([HEADING, *ROWS[:at], *ROWS[at + 1 :]])).hardware != EXPECTED
        for column, cell in enumerate(row):
            for new in {f"{cell}x", "7", ""} - {cell}:
                changed = ";".join([*row[:column], new, *row[column + 1 :]])
                text = "\n".join([HEADING, *ROWS[:at], changed, *ROWS[at + 1 :]])
                assert meaning(text).hardware != EXPECTED, (row, column, new)


def test_stations_are_devices() -> None:
    found = meaning("Station;Slot;Module\nB;1;x\nA;1;y\n").hardware.devices
    assert [(d.name, d.modules[0].name, d.modules[0].modules[0].name) for d in found] == [
        ("A", "Rack", "y"),
        ("B", "Rack", "x"),
    ]


def test_findings() -> None:
    text = "Slot;Module;Input start;Input length;Current\n1;A;0;2;25\n1;B;2.0;2;\ntwo;;;;\n"
    found = read(text.encode(), "m.csv")
    assert found.findings == (
        Finding("note", "m.csv, column 4 (Input length)", "the heading states no unit; lengths are read as bytes"),
        Finding("note", "m.csv, column 5 (Current)", "the heading states no unit; the current is kept as written"),
        Finding("error", "m.csv, row 3, column 3 (Input start)", "'2.0' is not a whole number; it is kept"),
        Finding(
            "warning",
            "m.csv, row 3, column 1 (Slot)",
            "slot 1 was used before (m.csv, row 2, column 1 (Slot)); both modules are kept",
        ),
        Finding("warning", "m.csv, row 4, column 2 (Module)", "the row names no module; it is kept"),
        Finding("error", "m.csv, row 4, column 1 (Slot)", "'two' is not a whole number; it is kept"),
    )
    (device,) = found.hardware.devices
    assert [m.settings for m in device.modules[0].modules] == [
        (Setting("Current draw", "25"),),
        (Setting("Input start", "2.0"),),
        (Setting("Slot", "two"),),
    ]


def test_lengths_in_bits() -> None:
    found = meaning("Slot;Module;Input start;Input length (bits)\n1;A;0;12\n").hardware.devices[0]
    assert found.modules[0].modules[0].addresses == (AddressRange("input", 0, 12),)


def test_a_list_without_slots_is_one_too() -> None:
    """A compact controller or one on a rail has none; what it is and its firmware are what is asked for."""
    text = b"Module;Part number;Firmware\nController;controller-small;5.1.0\nExpansion;digital-in-8;1.4\n"
    (device,) = read(text, "modules.csv").hardware.devices
    (rack,) = device.modules
    assert [(m.name, m.order_number, m.firmware, m.slot) for m in rack.modules] == [
        ("Controller", "controller-small", "5.1.0", None), ("Expansion", "digital-in-8", "1.4", None),
    ]  # fmt: skip
