"""Changes of hardware in the words of the trade."""

from __future__ import annotations

from asfound.compare.comparison import compare
from asfound.model.copy import Copy
from asfound.model.hardware import AddressRange, Channel, Device, Hardware, Module, NetworkNode
from asfound.model.program import Setting


def station(*racks: tuple[Module, ...]) -> Copy:
    modules = tuple(Module(f"Rack {n}", slot=n, kind="Rack", modules=inside) for n, inside in enumerate(racks))
    return Copy(hardware=Hardware((Device("S", modules=modules),)))


def told(old: Copy, new: Copy) -> list[tuple[str, str, str]]:
    return [(c.kind, c.effect, c.summary) for c in compare(old, new).changes]


AI = Module("AI", 3, order_number="WW-AI8-20", firmware="2.1", addresses=(AddressRange("input", 64, 128),))
DI = Module("DI", 4, order_number="WW-DI16-24")


def with_(module: Module, **changes: object) -> Module:
    return Module(**{**{f: getattr(module, f) for f in module.__struct_fields__}, **changes})  # type: ignore[arg-type]


def test_replaced() -> None:
    new = with_(AI, order_number="WW-AI8-22", firmware="3.0")
    assert told(station((AI, DI)), station((new, DI))) == [
        ("changed", "behaviour", "module AI replaced: part number WW-AI8-20 -> WW-AI8-22, firmware 2.1 -> 3.0")
    ]
    assert told(station((AI,)), station((with_(AI, firmware="2.2"),))) == [
        ("changed", "undecided", "module AI: firmware 2.1 -> 2.2")
    ]


def test_moved_added_removed() -> None:
    assert told(station((AI, DI)), station((AI, with_(DI, slot=5)))) == [
        ("moved", "behaviour", "module DI: moved from slot 4 to slot 5")
    ]
    assert told(station((AI,)), station((AI, DI))) == [("added", "behaviour", "module DI in slot 4 added")]
    assert told(station((AI, DI)), station((AI,))) == [("removed", "behaviour", "module DI in slot 4 removed")]


def test_moved_to_another_rack_with_a_new_firmware() -> None:
    old, new = station((AI, DI), ()), station((DI,), (with_(AI, slot=7, firmware="2.2"),))
    assert told(old, new) == [
        ("changed", "undecided", "module AI: firmware 2.1 -> 2.2"),
        (
            "moved",
            "behaviour",
            "module AI moved from device S / slot 0 Rack 0 / slot 3 to device S / slot 1 Rack 1 / slot 7",
        ),
    ]
    assert told(new, old)[1][2] == (
        "module AI moved from device S / slot 1 Rack 1 / slot 7 to device S / slot 0 Rack 0 / slot 3"
    )


def test_two_of_a_kind_are_not_guessed_to_have_moved() -> None:
    old, new = station((AI, with_(AI, slot=5)), ()), station((), (with_(AI, slot=1),))
    modules = [kind for kind, _, summary in told(old, new) if summary.startswith("module")]
    assert sorted(modules) == ["added", "removed", "removed"]


def test_addresses_network_channels_and_nested_settings() -> None:
    old = with_(
        AI,
        nodes=(NetworkNode("X1", address="10.0.0.7", network="Plant"),),
        channels=(Channel(0, "AI_0", direction="input", tag="Level"),),
        settings=(Setting("Diagnostics/WireBreak", "true"), Setting("Diagnostics/Filter/Time", "3 ms")),
    )
    new = with_(
        old,
        addresses=(AddressRange("input", 80, 128),),
        nodes=(NetworkNode("X1", address="10.0.0.8", network="Plant"),),
        channels=(Channel(0, "AI_0", direction="input", tag="Flow"),),
        settings=(Setting("Diagnostics/WireBreak", "false"), Setting("Diagnostics/Filter/Time", "3 ms")),
    )
    assert told(station((old,)), station((new,))) == [
        ("changed", "behaviour", "module AI: setting Diagnostics/WireBreak: true -> false"),
        ("readdressed", "behaviour", "addresses of module AI shifted: input from byte 64, 128 bits -> input from byte 80, 128 bits"),
        ("changed", "behaviour", "input channel 0: tag Level -> Flow"),
        ("changed", "behaviour", "interface X1: network address 10.0.0.7 -> 10.0.0.8"),
    ]  # fmt: skip


def called(name: str, *modules: Module) -> Device:
    return Device(name, modules=(Module("Rack", slot=0, modules=modules),))


def both(*devices: Device) -> Copy:
    return Copy(hardware=Hardware(devices))


def test_a_device_that_is_called_otherwise_is_one_change() -> None:
    old, new = both(called("modules 2025", AI, DI)), both(called("modules 2026", AI, DI))
    assert told(old, new) == [("renamed", "documentation", "device modules 2025 is called modules 2026 now")]
    assert told(new, old) == [("renamed", "documentation", "device modules 2026 is called modules 2025 now")]


def test_what_changed_in_it_is_told_beside_it() -> None:
    assert told(both(called("A", AI, DI)), both(called("B", AI, with_(DI, slot=5)))) == [
        ("renamed", "documentation", "device A is called B now"),
        ("moved", "behaviour", "module DI: moved from slot 4 to slot 5"),
    ]


def test_on_a_network_it_may_be_reached_by_its_name() -> None:
    node = with_(DI, nodes=(NetworkNode("N", "Ethernet", "192.168.0.1", "Plant"),))
    ((kind, effect, _),) = told(both(called("A", AI, node)), both(called("B", AI, node)))
    assert (kind, effect) == ("renamed", "undecided")


def test_devices_without_a_common_module_are_no_rename() -> None:
    assert [kind for kind, *_ in told(both(called("A", AI)), both(called("B", DI)))] == ["removed", "added"]


def test_what_stands_below_a_renamed_device_follows() -> None:
    def copy(name: str) -> Copy:
        below = (Setting("TagTable/Terminals/@below", f"Hall/{name}"),)
        return Copy(hardware=Hardware((called(name, AI, DI),), settings=below))

    assert told(copy("A"), copy("B")) == [("renamed", "documentation", "device A is called B now")]
    moved = Copy(hardware=Hardware((called("B", AI, DI),), settings=(Setting("TagTable/Terminals/@below", "Hall/C"),)))
    assert [effect for _, effect, _ in told(copy("A"), moved)] == ["documentation", "behaviour"]
