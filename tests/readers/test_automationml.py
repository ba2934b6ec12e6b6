"""AutomationML: hardware, links, tag tables; nothing missed; noise; hostile input.

Facts of CAEX and of the recommendation Automation Project Configuration 1.0 to 1.4: from memory.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest
from automationml_mutations import as_caex3
from lxml import etree

from asfound import compare
from asfound.model.copy import Copy
from asfound.model.hardware import AddressRange, Channel, Module
from asfound.model.problem import Problem
from asfound.model.program import Setting
from asfound.readers.automationml import READER, read
from asfound.readers.reader import Probe

DATA = (Path(__file__).parents[1] / "cases" / "automationml" / "intake.aml").read_bytes()


def meaning(data: bytes) -> Copy:
    """A copy without findings, which are not compared."""
    return msgspec.structs.replace(read(data, "intake.aml"), findings=())


def modules(found: Copy) -> dict[str, Module]:
    def walk(several: tuple[Module, ...]) -> Iterator[Module]:
        for one in several:
            yield one
            yield from walk(one.modules)

    return {m.name: m for device in found.hardware.devices for m in walk(device.modules)}


def edited(old: str, new: str, data: bytes = DATA) -> bytes:
    assert old in data.decode(), old
    return data.decode().replace(old, new).encode()


# --- what is read -----------------------------------------------------------------------------------------------


def test_modules_are_nested_as_they_are_plugged() -> None:
    (device,) = meaning(DATA).hardware.devices
    assert (device.name, device.folder, device.comment) == ("intake-1", "Stations", "pump house north")
    assert Setting("Comment/aml-lang=de-DE", "Pumpenhaus Nord") in device.settings
    (rack,) = device.modules
    assert [(m.slot, m.name) for m in rack.modules] == [(1, "CPU 1"), (2, "AI 4")]
    cpu = rack.modules[0]
    assert (cpu.kind, cpu.order_number, cpu.firmware, cpu.type_name, cpu.built_in) == (
        "CPU",
        "WW-CPU-212",
        "3.1",
        "Controller 212",
        False,
    )


def test_built_in_inputs_have_addresses_and_channels_with_their_tags() -> None:
    board = modules(meaning(DATA))["DI 8 on board"]
    assert board.built_in
    assert board.addresses == (AddressRange("input", 0, 8), AddressRange("output", 64, 16))
    assert board.channels == (
        Channel(0, "DI_0", "Digital", "input", 1, "P1_Start", (Setting("Hysteresis", "4"),)),
        Channel(1, "DI_1", "Digital", "input", 1, "P1_Stop"),
    )
    assert Setting("Diagnostics/Filter", "6.4") in board.settings
    assert Setting("Diagnostics/Filter/@Unit", "ms") in board.settings


def test_nodes_and_io_systems_are_resolved_to_names() -> None:
    port = modules(meaning(DATA))["X1"]
    (node,) = port.nodes
    assert (node.name, node.kind, node.address, node.network) == ("X1 node", "Ethernet", "10.9.1.11", "Plant net")
    assert Setting("IoSystem", "Field devices") in port.settings


def test_tag_tables_are_tables() -> None:
    (table,) = meaning(DATA).tables
    assert table.name == "Pump tags"
    assert [(t.name, t.address, t.type, t.comment) for t in table.tags] == [
        ("P1", "", "PUMPDATA", "first pump"),
        ("P1.Speed", "%QW64", "INT", ""),
        ("P1_Start", "%IX0.0", "BOOL", "start button"),
        ("P1_Stop", "%IX0.1", "BOOL", ""),
    ]


def test_no_id_is_left() -> None:
    assert b"0a000000" not in msgspec.json.encode(read(DATA, "intake.aml")).lower()


def test_an_element_of_an_unknown_role_is_told() -> None:
    (finding,) = read(DATA, "intake.aml").findings
    assert (finding.severity, finding.where) == ("warning", "intake.aml")
    assert finding.text == (
        "the element 'Drawings' has the role 'Document', which is not known; it is kept as settings"
    )


def test_elements_of_one_unknown_role_are_one_line_with_a_count() -> None:
    sheet = '<InternalElement Name="{}"><SupportedRoleClass RefRoleClassPath="Lib/{}"/></InternalElement>'
    more = "".join(sheet.format(name, role) for name, role in (("A", "Document"), ("B", "Document"), ("C", "Binder")))
    bare = '<InternalElement Name="D"/><InternalElement Name="E"/>'
    data = edited(
        "    </InternalElement>\n  </InstanceHierarchy>", f"{more}{bare}</InternalElement></InstanceHierarchy>"
    )
    assert [f.text for f in read(data, "intake.aml").findings] == [
        "2 elements have no role, the first is 'D'; they are kept as settings",
        "3 elements have the role 'Document', which is not known, the first is 'Drawings'; they are kept as settings",
        "the element 'C' has the role 'Binder', which is not known; it is kept as settings",
    ]


def test_known_things_inside_unknown_ones_are_found() -> None:
    found = meaning(edited("RoleClassLib/DeviceUserFolder", "RoleClassLib/Area"))
    assert [d.name for d in found.hardware.devices] == ["intake-1"]


def test_a_link_without_partner_is_told_and_kept() -> None:
    found = read(edited(":DI_0", ":DI_9"), "intake.aml")
    texts = [f.text for f in found.findings if "link" in f.text]
    assert texts == [
        "the link 'Link 1' ends at '{0a000000-0000-4000-8000-000000000011}:DI_9', which is not in this file"
    ]
    assert modules(found)["DI 8 on board"].channels[0].tag == ""
    assert any(s.name == "Link" and ":DI_9" in s.value for s in found.hardware.settings)


def test_an_address_nobody_can_read_is_kept_and_told() -> None:
    found = read(edited("%I0.1", "in one"), "intake.aml")
    assert found.tables[0].tags[3].address == "in one"
    assert [(f.severity, f.where, f.text) for f in found.findings if f.severity == "error"] == [
        (
            "error",
            "intake.aml, table 'Pump tags', tag 'P1_Stop'",
            "the address 'in one' is in no known form; it is kept as written",
        )
    ]


def test_two_elements_of_one_id_are_told() -> None:
    found = read(edited("-000000000040}", "-000000000010}"), "intake.aml")
    assert "the element 'Stations/intake-1/Rack 0/AI 4' has the id of another one; links to it go to the first" in [
        f.text for f in found.findings
    ]


def test_a_tag_name_of_two_tables_is_told_with_its_table() -> None:
    second = (
        '<InternalElement ID="x1" Name="Spare tags"><ExternalInterface ID="x2" Name="p1_start" '
        'RefBaseClassPath="L/Tag"/><SupportedRoleClass RefRoleClassPath="L/TagTable"/></InternalElement>'
        '<InternalLink Name="Link 1"'
    )
    data = edited('<InternalLink Name="Link 1"', second)
    assert (
        modules(meaning(data))["DI 8 on board"].channels[0].tag == "Stations/intake-1/Rack 0/CPU 1/Pump tags/P1_Start"
    )
    renamed = re.sub(rb'(?<=["/])Lake intake(?=["/])', b"Lake intake V2", data)
    assert [(c.effect, c.summary) for c in compare(meaning(data), meaning(renamed)).changes] == [
        ("documentation", "hardware: setting Project: Lake intake -> Lake intake V2")
    ]


def test_both_versions_of_caex_say_the_same() -> None:
    old, new = meaning(DATA), meaning(as_caex3(DATA))
    assert old.hardware.devices[0].modules[0].modules[1:] == new.hardware.devices[0].modules[0].modules[1:]
    assert modules(new)["DI 8 on board"].channels == modules(old)["DI 8 on board"].channels
    assert (old.tables, old.hardware.subnets) == (new.tables, new.hardware.subnets)
    assert Setting("ProjectTitle", "Lake intake") in new.hardware.settings


# --- noise ------------------------------------------------------------------------------------------------------


def shuffled(data: bytes) -> bytes:
    """All elements in reverse order."""
    root = etree.fromstring(data)
    for node in root.iter("InternalElement", "InstanceHierarchy"):
        node[:] = list(reversed(node))
    return etree.tostring(root)


NOISY = {
    "new ids": DATA.replace(b"{0a000000-0000-4000", b"{7F3B21C4-9A10-4d2e"),
    "ids without braces": re.sub(rb"\{(0a[0-9a-f-]+)\}", rb"\1", DATA),
    "writer and time": DATA.replace(b"2025-03-04T05", b"2026-01-01T00").replace(b"Sample Writer", b"Another"),
    "white space": re.sub(rb">\s+<", b"><", DATA),
    "padding": re.sub(rb"<Value>([^<]*)</Value>", rb"<Value>\n  \1\n</Value>", DATA),
    "byte order mark": b"\xef\xbb\xbf" + DATA,
    "UTF-16": DATA.decode().replace("utf-8", "utf-16").encode("utf-16"),
    "order": shuffled(DATA),
    "comments": DATA.replace(b"<Version>1.0.3", b"<!-- hand made --><Version>1.0.3"),
    "sides of links": DATA.replace(b"SideA", b"SideX").replace(b"SideB", b"SideA").replace(b"SideX", b"SideB"),
    "names of links": re.sub(rb'Name="Link (\d)"', rb'Name="Verbindung \1"', DATA),
}


@pytest.mark.parametrize("what", NOISY)
def test_noise_gives_an_equal_copy(what: str) -> None:
    assert NOISY[what] != DATA
    assert meaning(NOISY[what]) == meaning(DATA)


# --- containers and hostile input -------------------------------------------------------------------------------


def package(parts: dict[str, bytes], **more: int) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as container:
        for name, data in parts.items():
            container.writestr(name, data)
    return stream.getvalue()


def relations(target: str) -> bytes:
    return (
        '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" '
        f'Type="http://schemas.automationml.org/container/relationship/RootDocument" Target="{target}"/>'
        "</Relationships>"
    ).encode()


def test_a_container_gives_what_its_root_document_gives() -> None:
    data = package({"_rels/.rels": relations("/intake.aml"), "intake.aml": DATA, "library.aml": b"<x/>"})
    assert READER.recognise(Probe(data, "whatever.bin"))
    found = meaning(data)
    assert found.hardware.devices == meaning(DATA).hardware.devices
    assert [e.path for e in found.hardware.extensions if e.path.startswith("part/")] == ["part/library.aml"]
    assert (
        meaning(package({"intake.aml": DATA, "_rels/.rels": relations("/intake.aml"), "library.aml": b"<x/>"})) == found
    )
    assert (
        meaning(package({"_rels/.rels": relations("/intake.aml"), "intake.aml": DATA, "library.aml": b"<y/>"})) != found
    )


PAIR = package({"a.aml": DATA, "b.aml": DATA})
REFUSED = {
    "two roots": (
        PAIR,
        "x.amlx: holds 2 AutomationML documents that could be the main one; give the .aml file itself.",
    ),
    "bomb": (
        package({"a.aml": b"<CAEXFile>" + b" " * 3_000_000 + b"</CAEXFile>"}),
        "x.amlx: unpacks to more than 200 times its size, which no export does; check where the file comes from.",
    ),
    "cut container": (
        package({"a.aml": DATA})[:900],
        "x.amlx: is a damaged zip container; export it again.",
    ),
    "DTD": (
        b'<!DOCTYPE CAEXFile [<!ENTITY a "b">]><CAEXFile>&a;</CAEXFile>',
        "x.amlx: has a document type declaration, which an export never needs and which is refused for safety; "
        "remove the DOCTYPE or export again.",
    ),
    "NUL": (
        DATA.replace(b"pump house", b"pump\x00house"),
        "x.amlx, line 37: is not complete, well-formed XML (...); "
        "export it again, or store it as it is in a folder with readable exports.",
    ),
}


@pytest.mark.parametrize("what", REFUSED)
def test_hostile_input_is_refused(what: str) -> None:
    data, text = REFUSED[what]
    with pytest.raises(Problem) as caught:
        read(data, "x.amlx")
    assert re.sub(r"\(.*\)", "(...)", str(caught.value)) == text  # the brackets hold the words of libxml2


def test_every_cut_is_refused_or_read() -> None:
    for size in range(0, len(DATA) - 20, 499):
        with pytest.raises(Problem):
            read(DATA[:size], "x.aml")


def test_long_and_strange_names_are_kept() -> None:
    name = "N" * 300 + "/[a]:{b}"
    found = meaning(edited('Name="AI 4"', f'Name="{name}"'))
    assert name in modules(found)


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (DATA, True),
        (as_caex3(DATA), True),
        (b'<CAEXFile xmlns="urn:other"/>', False),
        (b"<project/>", False),
        (b"Name;Address\n", False),
        (b"", False),
    ],
)
def test_recognised_by_content(data: bytes, expected: bool) -> None:
    assert READER.recognise(Probe(data, "x.txt")) is expected
