"""The project tree: folders, devices, networks, tag tables, wherever they are nested."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec

from asfound.model.copy import Finding
from asfound.model.hardware import Device, Module, NetworkNode, Subnet
from asfound.model.program import Extension, Setting
from asfound.model.tags import TagTable
from asfound.readers import xml
from asfound.readers.automationml import plugged_modules
from asfound.readers.automationml.links import Resolved
from asfound.readers.automationml.named_references import Names
from asfound.readers.automationml.plugged_modules import Part, apart
from asfound.readers.automationml.roles import role_of
from asfound.readers.automationml.tags import tag_table
from asfound.readers.tables.module_list import modules_in_order
from asfound.readers.xml import Element


class Tree:
    """Collects what the instance hierarchies of one file hold."""

    def __init__(self, where: str, names: Names, links: Resolved) -> None:
        self.where, self.names, self.links = where, names, links
        self.devices: list[Device] = []
        self.subnets: list[Subnet] = []
        self.tables: list[TagTable] = []
        self.settings: list[Setting] = []
        self.extensions: list[Extension] = []
        self.findings: list[Finding] = []
        self.unknown: dict[str, list[str]] = {}
        """Paths of the elements of each role that is not known, or of none, in document order."""

    def hierarchy(self, element: Element) -> None:
        """Read one InstanceHierarchy, which has been cut out of the tree."""
        self.settings.append(Setting("InstanceHierarchy", xml.attribute(element, "Name")))
        for member in xml.take_all(element, "InternalElement"):
            self._place(member, "")
        self.extensions += (
            Extension(f"InstanceHierarchy/{left.path}", left.text, left.name) for left in xml.leftovers(element)
        )

    def told(self) -> list[Finding]:
        """The findings, with one for all elements of a role that is not known."""
        return [*self.findings, *(_unknown(role, paths, self.where) for role, paths in self.unknown.items())]

    def _place(self, element: Element, folder: str) -> None:
        """Read an element that is not part of a device."""
        role = role_of(element)
        if role == "Device":
            self._device(element, folder)
        elif role in ("DeviceItem", "CommunicationInterface", "CommunicationPort", "Node"):
            loose = self._plugged([element])
            name = str(element.get("Name", "")) or (loose[0][0].name if loose[0] else "")
            device = Device(name, folder=folder, modules=modules_in_order(loose[0]), extensions=tuple(loose[2]))
            self.devices.append(device)
        elif not self._shared(element, role):
            self._group(element, role, folder)

    def _shared(self, element: Element, role: str) -> bool:
        """Read what may stand at any level: networks, I/O systems and tag tables. False when it is none."""
        if role in ("Subnet", "IoSystem"):
            self._subnet(element, role)
        elif role == "TagTable":
            self._table(element)
        else:
            return False
        return True

    def _group(self, element: Element, role: str, folder: str) -> None:
        """A project, a folder, or an element of a role that is not known: its members are read as usual."""
        path = self.names.path(element)
        part = apart(element, self.links)
        inner = folder
        if role == "AutomationProject":
            self._keep(part, "Project", [Setting("Project", part.name)])
        else:
            inner = f"{folder}/{part.name}" if folder else part.name
        before = len(self.devices)
        for member in part.members:
            self._place(member, inner)
        if role == "DeviceUserFolder":
            told = len(self.devices) > before
            self._keep(part, f"Folder/{inner}", [] if told else [Setting("Folder", inner)])
        elif role != "AutomationProject":
            self._keep(part, f"Element/{path}", [Setting(f"Element/{path}", role)])
            self.unknown.setdefault(role, []).append(path)

    def _keep(self, part: Part, prefix: str, more: Iterable[Setting]) -> None:
        """Settings and extensions of an element that has no struct of its own."""
        self.settings += more
        self.settings += (Setting(f"{prefix}/{s.name}", s.value) for s in part.all_settings())
        self.settings += (Setting(f"{prefix}/Channel/{c.name}", msgspec.json.encode(c).decode()) for c in part.channels)
        self.extensions += (Extension(f"{prefix}/{e.path}", e.text, e.name) for e in part.all_extensions())

    def _table(self, element: Element) -> None:
        path = self.names.path(element)
        table, part = tag_table(element, self.where, self.links, self.findings)
        self.tables.append(table)
        above = path.rpartition("/")[0]
        below = [Setting(f"TagTable/{table.name}/@below", above)] if above else []
        self._keep(part, f"TagTable/{table.name}", below)

    def _subnet(self, element: Element, role: str) -> None:
        above = self.names.path(element).rpartition("/")[0]
        part = apart(element, self.links)
        kind = part.values.text("Type")
        more = [Setting("@below", above)] if above else []
        more += (Setting(f"Channel/{c.name}", msgspec.json.encode(c).decode()) for c in part.channels)
        if role == "IoSystem":
            more += [Setting("Type", kind)] if kind else []
            kind = role
        found = Subnet(part.name, kind, part.all_settings(more), part.all_extensions())
        self.subnets.append(found)
        for member in part.members:
            self._place(member, part.name)

    def _device(self, element: Element, folder: str) -> None:
        part = apart(element, self.links)
        modules, nodes, more = self._plugged(part.members)
        if nodes:
            modules.append(Module("", kind="Node", nodes=plugged_modules.nodes_in_order(nodes)))
        if part.channels:
            modules.append(Module("", kind="Device", channels=part.channels))
        values = part.values
        self.devices.append(
            Device(
                name=part.name,
                type_name=values.text("TypeName"),
                comment=plugged_modules.comment_of(values),
                folder=folder,
                modules=modules_in_order(modules),
                settings=part.all_settings(),
                extensions=part.all_extensions(more),
            )
        )

    def _plugged(self, members: Iterable[Element]) -> tuple[list[Module], list[NetworkNode], list[Extension]]:
        """Modules and nodes among the members of a device or module, and what a node has no place for."""
        modules: list[Module] = []
        nodes: list[NetworkNode] = []
        extensions: list[Extension] = []
        for element in members:
            role = role_of(element)
            if role == "Device":
                self._device(element, self.names.path(element).rpartition("/")[0])
            elif role == "Node":
                self._node(element, modules, nodes, extensions)
            elif not self._shared(element, role):
                part = apart(element, self.links)
                modules.append(plugged_modules.module(part, *self._plugged(part.members)))
        return modules, nodes, extensions

    def _node(
        self, element: Element, modules: list[Module], nodes: list[NetworkNode], extensions: list[Extension]
    ) -> None:
        networks = self.links.networks.get(element, [])
        part = apart(element, self.links)
        nodes.append(plugged_modules.network_node(part, networks))
        extensions += (Extension(f"{part.name}/{e.path}", e.text, e.name) for e in part.all_extensions())
        inside, inner, more = self._plugged(part.members)
        if part.channels or inside or inner:
            modules.append(
                Module(part.name, kind="Node", channels=part.channels, nodes=tuple(inner), modules=tuple(inside))
            )
        extensions += more


def _unknown(role: str, paths: Sequence[str], where: str) -> Finding:
    named = f"the role '{role}', which is not known" if role else "no role"
    if len(paths) == 1:
        return Finding("warning", where, f"the element '{paths[0]}' has {named}; it is kept as settings")
    text = f"{len(paths)} elements have {named}, the first is '{paths[0]}'; they are kept as settings"
    return Finding("warning", where, text)
