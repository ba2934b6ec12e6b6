"""AutomationML against a second, independent reading: the standard library's ElementTree and nothing of ours.

The facts read here (CAEX 2.15 and 3.0, recommendation Automation Project Configuration): from memory.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest

from asfound.model.hardware import Module
from asfound.readers.automationml import read

ROOT = Path(__file__).parents[2]
INTAKE = ROOT / "tests" / "cases" / "automationml" / "intake.aml"
FILES = [INTAKE, *sorted((ROOT / "sample_exports").glob("*/*/*/hardware.aml"))]
CAEX3 = "http://www.dke.de/CAEX"

Facts = dict[str, list[tuple[object, ...]]]


def plain(element: ElementTree.Element) -> str:
    return element.tag.rpartition("}")[2]


def attributes(element: ElementTree.Element) -> dict[str, str]:
    found = {}
    for child in element:
        if plain(child) == "Attribute":
            value = next((v for v in child if plain(v) == "Value"), None)
            found[child.get("Name", "")] = (value.text or "").strip() if value is not None else ""
    return found


def role(element: ElementTree.Element) -> str:
    for child in element:
        path = child.get("RefRoleClassPath") or child.get("RefBaseRoleClassPath") or ""
        if plain(child) in ("SupportedRoleClass", "RoleRequirements") and path:
            return path.rpartition("/")[2]
    return ""


def expected(data: bytes) -> Facts:
    """Modules with slot, order number, firmware and addresses; nodes; tags; which tag is tied to which channel."""
    root = ElementTree.fromstring(data)
    elements = [e for e in root.iter() if plain(e) == "InternalElement"]
    by_id = {e.get("ID", "").strip("{}").lower(): e for e in elements if e.get("ID")}
    facts: Facts = {"modules": [], "nodes": [], "tags": [], "ties": []}
    for element in elements:
        values = attributes(element)
        if role(element) == "DeviceItem":
            order = values.get("TypeIdentifier", "")
            facts["modules"].append((
                element.get("Name"), values.get("PositionNumber", ""), order.removeprefix("OrderNumber:"),
                values.get("FirmwareVersion", ""), tuple(_ranges(element)),
            ))  # fmt: skip
        elif role(element) == "Node":
            facts["nodes"].append((element.get("Name"), values.get("NetworkAddress", "")))
        elif role(element) == "TagTable":
            for interface in element:
                if plain(interface) == "ExternalInterface":
                    facts["tags"].append((interface.get("Name"), attributes(interface).get("DataType", "").upper()))
    for link in (e for e in root.iter() if plain(e) == "InternalLink"):
        ends = [_end(link.get(f"RefPartnerSide{side}", ""), by_id) for side in "AB"]
        kinds = {kind: name for kind, name in ends if kind}
        if kinds.keys() == {"Channel", "Tag"}:
            facts["ties"].append((kinds["Channel"], kinds["Tag"]))
    return {key: sorted(rows, key=str) for key, rows in facts.items()}


def _ranges(element: ElementTree.Element) -> Iterator[tuple[str, str, str]]:
    for child in element:
        if plain(child) == "Attribute" and child.get("Name") == "Address":
            for entry in (e for e in child if plain(e) == "Attribute"):
                values = attributes(entry)
                yield values["IoType"].lower(), values["StartAddress"], values["Length"]


def _end(text: str, by_id: dict[str, ElementTree.Element]) -> tuple[str, str]:
    identity, _, name = text.partition(":")
    owner = by_id.get(identity.strip("{}").lower())
    if owner is None:  # a path of names: its last step, which is unique in these files
        last = identity.rpartition("/")[2].strip("[]")
        owner = next((e for e in by_id.values() if e.get("Name") == last), None)
    for child in owner if owner is not None else ():
        if plain(child) == "ExternalInterface" and child.get("Name") == name:
            return child.get("RefBaseClassPath", "").rpartition("/")[2], name
    return "", name


def found(data: bytes, name: str = "hardware.aml") -> Facts:
    copy = read(data, name)
    facts: Facts = {"modules": [], "nodes": [], "tags": [], "ties": []}

    def walk(module: Module) -> None:
        interface = module.kind in ("CommunicationInterface", "CommunicationPort") and module.slot is None
        if not interface:
            slot = "" if module.slot is None else str(module.slot)
            ranges = tuple((r.direction, str(r.start), str(r.length)) for r in module.addresses)
            order = module.order_number or next((s.value for s in module.settings if s.name == "TypeIdentifier"), "")
            facts["modules"].append((module.name, slot, order, module.firmware, ranges))
        facts["nodes"] += [(node.name, node.address) for node in module.nodes]
        facts["ties"] += [(c.name, tag) for c in module.channels for tag in c.tag.split(", ") if tag]
        for inside in module.modules:
            walk(inside)

    for device in copy.hardware.devices:
        for module in device.modules:
            walk(module)
    facts["tags"] = [(t.name, t.type) for table in copy.tables for t in table.tags]
    return {key: sorted(rows, key=str) for key, rows in facts.items()}


def as_caex_3(data: bytes) -> bytes:
    text = data.decode().replace('SchemaVersion="2.15"', f'SchemaVersion="3.0" xmlns="{CAEX3}"', 1)
    return text.encode()


@pytest.mark.parametrize("path", FILES, ids=lambda p: "-".join(p.parts[-4:-1]))
def test_a_second_parser_finds_the_same(path: Path) -> None:
    data = path.read_bytes()
    mine, theirs = found(data), expected(data)
    for key, rows in theirs.items():
        if key == "tags":  # members of structured tags are rows of ours besides
            assert [row for row in mine[key] if "." not in str(row[0])] or rows == []
            assert set(rows) <= set(mine[key])
        else:
            assert mine[key] == rows, key
    assert sum(map(len, theirs.values())) > 5


@pytest.mark.parametrize("path", [INTAKE])
def test_in_both_versions_and_in_a_container(path: Path) -> None:
    data = path.read_bytes()
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as container:
        container.writestr(
            "[Content_Types].xml", '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"/>'
        )
        container.writestr("_rels/.rels", (
            '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" '
            'Type="http://schemas.automationml.org/container/relationship/RootDocument" Target="/intake.aml"/></Relationships>'
        ))  # fmt: skip
        container.writestr("intake.aml", as_caex_3(data))
    assert expected(as_caex_3(data)) == expected(data)
    assert found(as_caex_3(data)) == found(data)
    assert found(stream.getvalue(), "intake.amlx") == found(data)
