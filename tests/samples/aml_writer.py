"""Write a station's racks, modules and channels as AutomationML (CAEX 2.15, Automation Project Configuration)."""

from __future__ import annotations

import re
import uuid

from lxml import etree

from samples.plant import Module, Rack, Station
from samples.style import Style
from samples.tc6_writer import SPACE

ROLES = "AutomationProjectConfigurationRoleClassLib/"
INTERFACES = "AutomationProjectConfigurationInterfaceClassLib/"
Element = etree._Element


def write(station: Station, style: Style) -> bytes:
    """The hardware file of one copy."""
    return _Writer(station, style).bytes()


class _Writer:
    def __init__(self, station: Station, style: Style) -> None:
        self.station, self.style = station, style
        self.links: list[tuple[str, str]] = []
        self.channels: dict[str, str] = {}

    def bytes(self) -> bytes:
        name = f"{self.station.name}.aml"
        root = etree.Element("CAEXFile", FileName=name, SchemaVersion="2.15")
        header = etree.SubElement(etree.SubElement(root, "AdditionalInformation"), "WriterHeader")
        for key, value in (
            ("WriterName", self.style.product), ("WriterID", self.style.product.replace(" ", "-").lower()),
            ("WriterVendor", "Example Waterworks"), ("WriterVersion", self.style.release),
            ("WriterRelease", self.style.release), ("LastWritingDateTime", self.style.created),
            ("WriterProjectTitle", self.station.title),
        ):  # fmt: skip
            etree.SubElement(header, key).text = value
        hierarchy = etree.SubElement(root, "InstanceHierarchy", Name="Hardware")
        self._project(hierarchy)
        etree.indent(root, space=self.style.indent)
        text = etree.tostring(root, encoding="unicode")
        return f'<?xml version="1.0" encoding="utf-8"?>\n{text}\n'.encode()

    def _guid(self, path: str) -> str:
        return "{" + str(uuid.uuid5(SPACE, f"{self.style.created} {self.station.name} {path}")) + "}"

    def _element(self, parent: Element, name: str, path: str) -> Element:
        return etree.SubElement(parent, "InternalElement", ID=self._guid(path), Name=name)

    def _attribute(self, parent: Element, name: str, value: str) -> Element:
        element = etree.SubElement(parent, "Attribute", Name=name)
        etree.SubElement(element, "Value").text = value
        return element

    def _role(self, parent: Element, role: str) -> None:
        etree.SubElement(parent, "SupportedRoleClass", RefRoleClassPath=ROLES + role)

    def _interface(self, parent: Element, name: str, kind: str) -> Element:
        return etree.SubElement(parent, "ExternalInterface", Name=name, RefBaseClassPath=INTERFACES + kind)

    def _project(self, hierarchy: Element) -> None:
        project = self._element(hierarchy, self.station.title, "project")
        for name, kind in self.station.networks:
            subnet = self._element(project, name, f"net {name}")
            self._attribute(subnet, "Type", kind)
            self._interface(subnet, "LogicalEndPoint", "LogicalEndPoint")
            self._role(subnet, "Subnet")
        device = self._element(project, self.station.name, "device")
        self._attribute(device, "TypeName", "Control cabinet")
        if self.style.comments:
            self._attribute(device, "Comment", self.station.title)
        for rack in self.station.racks:
            self._rack(device, rack)
        self._tag_table(device)
        self._role(device, "Device")
        self._role(project, "AutomationProject")
        for number, (side_a, side_b) in enumerate(self.links, 1):
            sides = {"RefPartnerSideA": side_a, "RefPartnerSideB": side_b}
            etree.SubElement(project, "InternalLink", {"Name": f"Link {number}", **sides})

    def _rack(self, device: Element, rack: Rack) -> None:
        element = self._element(device, rack.name, f"rack {rack.slot}")
        self._item(element, "Rack", rack.order, rack.slot, "")
        for module in rack.modules:
            self._module(element, rack, module)
        self._role(element, "DeviceItem")

    def _item(self, element: Element, type_name: str, order: str, slot: int, kind: str) -> None:
        self._attribute(element, "TypeName", type_name)
        self._attribute(element, "TypeIdentifier", f"OrderNumber:{order}")
        if kind:
            self._attribute(element, "DeviceItemType", kind)
        self._attribute(element, "PositionNumber", str(slot))
        self._attribute(element, "BuiltIn", "false")

    def _module(self, rack_element: Element, rack: Rack, module: Module) -> None:
        path = f"rack {rack.slot} slot {module.slot}"
        element = self._element(rack_element, module.name, path)
        self._item(element, module.type_name, module.order, module.slot, module.kind)
        if module.firmware:
            self._attribute(element, "FirmwareVersion", module.firmware)
        if module.comment and self.style.comments:
            self._attribute(element, "Comment", module.comment)
        self._addresses(element, module)
        for name, value in module.settings:
            self._attribute(element, name, value)
        self._points(element, module, path)
        for name, network, address in module.nodes:
            self._node(element, name, network, address, path)
        self._role(element, "DeviceItem")

    def _addresses(self, element: Element, module: Module) -> None:
        given = [("Input", module.inputs), ("Output", module.outputs)]
        found = [(direction, points) for direction, points in given if points]
        if not found:
            return
        holder = etree.SubElement(element, "Attribute", Name="Address")
        etree.SubElement(holder, "RefSemantic", CorrespondingAttributePath="OrderedListType")
        for number, (direction, (first, count, bits)) in enumerate(found, 1):
            entry = etree.SubElement(holder, "Attribute", Name=str(number))
            self._attribute(entry, "StartAddress", str(first))
            self._attribute(entry, "Length", str(count * bits))
            self._attribute(entry, "IoType", direction)

    def _points(self, element: Element, module: Module, path: str) -> None:
        for direction, points in (("Input", module.inputs), ("Output", module.outputs)):
            if not points:
                continue
            first, count, bits = points
            for number in range(count):
                name = f"{direction}_{number}"
                channel = self._interface(element, name, "Channel")
                self._attribute(channel, "Type", "Digital" if bits == 1 else "Analog")
                self._attribute(channel, "IoType", direction)
                self._attribute(channel, "Number", str(number))
                self._attribute(channel, "Length", str(bits))
                letter = "I" if direction == "Input" else "Q"
                place = first * 8 + number * bits
                address = f"%{letter}X{place // 8}.{place % 8}" if bits == 1 else f"%{letter}W{place // 8}"
                self.channels[address] = f"{self._guid(path)}:{name}"

    def _node(self, element: Element, name: str, network: str, address: str, path: str) -> None:
        port = self._element(element, name, f"{path} {name}")
        self._attribute(port, "Label", name)
        node = self._element(port, f"{name} node", f"{path} {name} node")
        self._attribute(node, "Type", dict(self.station.networks)[network])
        self._attribute(node, "NetworkAddress", address)
        if re.match(r"\d+\.\d+\.", address):
            self._attribute(node, "SubnetMask", "255.255.255.0")
        self._interface(node, "LogicalEndPoint", "LogicalEndPoint")
        self._role(node, "Node")
        self._role(port, "CommunicationInterface")
        self.links.append(
            (f"{self._guid(f'{path} {name} node')}:LogicalEndPoint", f"{self._guid(f'net {network}')}:LogicalEndPoint")
        )

    def _tag_table(self, device: Element) -> None:
        table = self._element(device, "Terminals", "tag table")
        self._attribute(table, "AssignToDefault", "true")
        tags = self.station.tags if self.style.comments else sorted(self.station.tags, key=lambda t: t.address)
        for tag in tags:
            if tag.address not in self.channels:
                continue
            element = self._interface(table, tag.name, "Tag")
            self._attribute(element, "DataType", tag.type)
            self._attribute(element, "IoType", "Input" if tag.address[1] == "I" else "Output")
            self._attribute(element, "LogicalAddress", tag.address)
            if tag.comment and self.style.comments:
                self._attribute(element, "Comment", tag.comment)
            self.links.append((self.channels[tag.address], f"{self._guid('tag table')}:{tag.name}"))
        self._role(table, "TagTable")
