"""Racks, modules, submodules, their channels, and addresses on networks: what is plugged into what."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import msgspec

from asfound.model.hardware import Channel, Module, NetworkNode
from asfound.model.program import Extension, Setting
from asfound.readers import xml
from asfound.readers.automationml.attributes import Values, unseen
from asfound.readers.automationml.links import Resolved
from asfound.readers.automationml.roles import last, ranked
from asfound.readers.tables.module_list import modules_in_order
from asfound.readers.xml import Element


class Part(NamedTuple):
    """An element taken apart: what every kind of element has in common. ``settings`` are those beside attributes."""

    name: str
    role: str
    values: Values
    settings: tuple[Setting, ...]
    channels: tuple[Channel, ...]
    members: tuple[Element, ...]
    extensions: tuple[Extension, ...]

    def all_settings(self, more: Iterable[Setting] = ()) -> tuple[Setting, ...]:
        """The attributes nobody asked for, everything else that is a setting, and ``more``, sorted."""
        return in_order([*self.values.settings(), *self.settings, *more])

    def all_extensions(self, more: Iterable[Extension] = ()) -> tuple[Extension, ...]:
        """What is not interpreted, sorted."""
        return tuple(sorted([*self.extensions, *more], key=lambda e: (e.path, e.name, e.text)))


def in_order(settings: Iterable[Setting]) -> tuple[Setting, ...]:
    """Settings by name, then value."""
    return tuple(sorted(settings, key=lambda s: (s.name, s.value)))


def apart(element: Element, links: Resolved) -> Part:
    """Take an InternalElement apart. Its members are cut out but not read."""
    name = xml.attribute(element, "Name")
    roles, extensions = _roles(element)
    settings = [Setting("@role", role) for role in roles[1:]]
    base = xml.attribute(element, "RefBaseSystemUnitPath")
    if base:
        settings.append(Setting("@RefBaseSystemUnitPath", base))
    for description in xml.take_all(element, "Description"):
        settings.append(Setting("@Description", xml.text_of(description).strip()))
        extensions += unseen(description, "Description")
    values = Values(element)
    channels: list[Channel] = []
    for interface in xml.take_all(element, "ExternalInterface"):
        kept = _interface(interface, links, channels, settings)
        extensions += kept
    settings += [Setting("IoSystem", system) for system in links.systems.get(element, ())]
    members = tuple(xml.take_all(element, "InternalElement"))
    extensions += [*values.extensions, *xml.leftovers(element)]
    return Part(name, roles[0] if roles else "", values, tuple(settings), _sorted(channels), members, tuple(extensions))


def _roles(element: Element) -> tuple[list[str], list[Extension]]:
    roles: list[str] = []
    extensions: list[Extension] = []
    for tag, name in (("SupportedRoleClass", "RefRoleClassPath"), ("RoleRequirements", "RefBaseRoleClassPath")):
        for child in xml.take_all(element, tag):
            path = xml.attribute(child, name)
            extensions += unseen(child, tag)
            if path:
                roles.append(last(path))
            else:
                extensions.append(Extension(path=tag, text=""))
    return ranked(roles), extensions


def _interface(
    element: Element, links: Resolved, channels: list[Channel], settings: list[Setting]
) -> tuple[Extension, ...]:
    """Read one interface: a channel, or the end of a link, whose name and class are kept unless the link tells them."""
    name, kind = xml.attribute(element, "Name"), last(xml.attribute(element, "RefBaseClassPath"))
    values = Values(element)
    path = f"ExternalInterface[{name}]"
    if kind == "Channel":
        channels.append(_channel(name, values, ", ".join(sorted(links.tags.get(element, ())))))
    else:
        if element not in links.used or kind != "LogicalEndPoint":
            settings.append(Setting(f"@Interface/{name}", kind))
        settings += (Setting(f"@Interface/{name}/{s.name}", s.value) for s in values.settings())
    extensions = [Extension(f"{path}/{e.path}", e.text, e.name) for e in values.extensions]
    return (*extensions, *unseen(element, path))


def _channel(name: str, values: Values, tag: str) -> Channel:
    return Channel(
        number=values.number("Number"),
        name=name,
        kind=values.text("Type"),
        direction=values.direction("IoType"),
        length=values.number("Length"),
        tag=tag,
        settings=values.settings(),
    )


def _sorted(channels: list[Channel]) -> tuple[Channel, ...]:
    return tuple(
        sorted(channels, key=lambda c: (c.direction, c.number is None, c.number or 0, c.name, msgspec.json.encode(c)))
    )


def network_node(part: Part, networks: Iterable[str]) -> NetworkNode:
    """A node. What is plugged into it, if anything, is for the caller."""
    values = part.values
    return NetworkNode(
        name=part.name,
        kind=values.text("Type"),
        address=values.text("NetworkAddress"),
        network=", ".join(sorted(networks)),
        settings=part.all_settings(),
    )


def nodes_in_order(nodes: Iterable[NetworkNode]) -> tuple[NetworkNode, ...]:
    """Nodes by name, then by all they hold."""
    return tuple(sorted(nodes, key=lambda n: (n.name.lower(), msgspec.json.encode(n))))


def comment_of(values: Values) -> str:
    """The comment; when it has languages only, the first of them, which stays among the settings too."""
    text = values.text("Comment")
    if text:
        return text
    return next((s.value for s in values.settings() if s.name.startswith("Comment/aml-lang=") and s.value), "")


def module(part: Part, modules: Iterable[Module], nodes: Iterable[NetworkNode], more: Iterable[Extension]) -> Module:
    """A module from its parts; ``modules`` are plugged into it."""
    values = part.values
    identifier = values.text("TypeIdentifier")
    scheme, _, number = identifier.partition(":")
    order = number.strip() if scheme.strip() == "OrderNumber" else ""
    if not order:
        values.put("TypeIdentifier", identifier)
    kind = values.text("DeviceItemType")
    role: tuple[Setting, ...] = ()
    if part.role != "DeviceItem":
        role = (Setting("@role", part.role),) if kind or not part.role else ()
        kind = kind or part.role
    slot, firmware, type_name = values.number("PositionNumber"), values.text("FirmwareVersion"), values.text("TypeName")
    return Module(
        name=part.name,
        slot=slot,
        kind=kind,
        order_number=order,
        firmware=firmware,
        type_name=type_name,
        built_in=values.flag("BuiltIn"),
        comment=comment_of(values),
        addresses=values.addresses(),
        channels=part.channels,
        nodes=nodes_in_order(nodes),
        modules=modules_in_order(modules),
        settings=part.all_settings(role),
        extensions=part.all_extensions(more),
    )
