"""Hardware configuration: devices, racks, modules, channels, networks."""

from __future__ import annotations

from typing import Literal as Choice

from asfound.model.logic import Node
from asfound.model.program import Extension, Setting


class AddressRange(Node, frozen=True):
    """What a module claims of the process image.

    ``start`` is a byte, from 0; ``length`` in bits; None when the export does not say or the text is not a number.
    """

    direction: Choice["input", "output", ""]
    start: int | None = None
    length: int | None = None


class Channel(Node, frozen=True):
    """One I/O point.

    ``number`` as the export counts, ``length`` in bits, ``kind`` in words of the export (digital, analog). ``tag`` is
    the name of the tag tied to it, resolved through the links, or empty.
    """

    number: int | None = None
    name: str = ""
    kind: str = ""
    direction: Choice["input", "output", ""] = ""
    length: int | None = None
    tag: str = ""
    settings: tuple[Setting, ...] = ()


class NetworkNode(Node, frozen=True):
    """An address on a network, as written (``192.168.0.1``, ``7``); ``network`` is the resolved name of the subnet."""

    name: str
    kind: str = ""
    address: str = ""
    network: str = ""
    settings: tuple[Setting, ...] = ()


class Module(Node, frozen=True):
    """Anything that is plugged in: rack, power supply, CPU, I/O module, submodule. Nesting means plugged into.

    ``slot`` counts as the export does; ``order_number`` and ``firmware`` as written; ``built_in`` when it cannot be
    taken out. Currents, sizes and the like are ``settings``, with the unit in their text.
    """

    name: str
    slot: int | None = None
    kind: str = ""
    order_number: str = ""
    firmware: str = ""
    type_name: str = ""
    built_in: bool = False
    comment: str = ""
    addresses: tuple[AddressRange, ...] = ()
    channels: tuple[Channel, ...] = ()
    nodes: tuple[NetworkNode, ...] = ()
    modules: tuple[Module, ...] = ()
    settings: tuple[Setting, ...] = ()
    extensions: tuple[Extension, ...] = ()


class Device(Node, frozen=True):
    """A station with its racks. ``folder`` is where the project tree keeps it (documentation)."""

    name: str
    type_name: str = ""
    comment: str = ""
    folder: str = ""
    modules: tuple[Module, ...] = ()
    settings: tuple[Setting, ...] = ()
    extensions: tuple[Extension, ...] = ()


class Subnet(Node, frozen=True):
    """A network or an I/O system of a project."""

    name: str
    kind: str = ""
    settings: tuple[Setting, ...] = ()
    extensions: tuple[Extension, ...] = ()


class Hardware(Node, frozen=True):
    """All devices and networks of one copy, in the order of the export; empty when it holds no hardware."""

    devices: tuple[Device, ...] = ()
    subnets: tuple[Subnet, ...] = ()
    settings: tuple[Setting, ...] = ()
    extensions: tuple[Extension, ...] = ()
