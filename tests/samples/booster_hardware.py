"""Racks and modules of booster-1, by duty and not by kind. Names, part numbers and settings are nobody's: all invented.

The settings are in the words a device description uses for people.
"""

from __future__ import annotations

from samples.plant import Module, Rack

DELAY = (("input delay", "5 ms"),)
CURRENT = (
    ("signal", "4 to 20 mA"),
    ("raw value", "microamperes"),
    ("open-circuit monitoring", "on"),
    ("averaging", "4 readings"),
)
OFF = (("outputs on stop", "off"),)
KEPT = (("outputs on stop", "as last written"),)
DIGITAL_IN, DIGITAL_OUT = "Digital input, 16 points", "Digital output, 16 points"


def racks() -> tuple[Rack, ...]:
    """Two racks; places 7, 13 and 16 of the first one and place 3 of the second one are empty."""
    pump_room = (
        Module(1, "DI pump 1", DIGITAL_IN, "digital-in-16", "1.4", inputs=(0, 16, 1), settings=DELAY),
        Module(2, "DI pump 2", DIGITAL_IN, "digital-in-16", "1.4", inputs=(2, 16, 1), settings=DELAY),
        Module(3, "DI pump 3", DIGITAL_IN, "digital-in-16", "1.4", inputs=(4, 16, 1), settings=DELAY),
        Module(4, "DO pumps", DIGITAL_OUT, "digital-out-16", "1.2", outputs=(0, 16, 1), settings=OFF),
        Module(5, "AI motors", "Analog input, 8 channels", "analog-in-8a", "2.1", inputs=(40, 8, 16),
               settings=CURRENT),
        Module(6, "AO speeds", "Analog output, 4 channels", "analog-out-4", "2.0", outputs=(20, 4, 16),
               settings=KEPT),
        Module(8, "Controller", "Controller, large", "controller-large", "5.2.1", "CPU", "station controller",
               nodes=(("Port A", "Plant network", "10.20.1.11"),),
               settings=(("restart", "warm"), ("longest cycle", "120 ms"), ("retained memory", "96 kB"))),
        Module(9, "DI common", DIGITAL_IN, "digital-in-16", "1.5", inputs=(6, 16, 1), settings=DELAY),
        Module(10, "DO common", DIGITAL_OUT, "digital-out-16", "1.2", outputs=(2, 16, 1), settings=OFF),
        Module(11, "AI process", "Analog input, 8 channels", "analog-in-8a", "2.1", inputs=(20, 8, 16),
               settings=CURRENT),
        Module(12, "Counter", "Counter, 2 channels", "counter-2", "1.1", inputs=(76, 2, 32),
               comment="spare for a second water meter"),
        Module(14, "Supply", "Power supply, 80 W", "supply-80", "", comment="control supply from UPS 1"),
        Module(15, "Telemetry", "Network module, 2 ports", "network-2", "3.0.4", comment="to the control room",
               nodes=(("Port A", "Telemetry", "10.60.4.11"),), settings=(("time server", "10.60.4.1"),)),
    )  # fmt: skip
    chamber = (
        Module(1, "DI chamber", "Digital input, 8 points", "digital-in-8", "1.4", inputs=(8, 8, 1),
               settings=DELAY),
        Module(2, "DO chamber", "Digital output, 8 points", "digital-out-8", "1.2", outputs=(4, 8, 1)),
        Module(4, "AI chamber", "Analog input, 4 channels", "analog-in-4", "2.1", inputs=(72, 4, 16),
               settings=CURRENT),
        Module(5, "Link", "Rack link", "link", "2.2", "HeadModule",
               nodes=(("Port A", "Plant network", "10.20.1.12"),)),
        Module(6, "Chamber supply", "Power supply, 30 W", "supply-30", "", comment="inlet chamber"),
    )  # fmt: skip
    return (
        Rack(1, "Pump room rack", "rack-16", pump_room),
        Rack(2, "Chamber rack", "rack-8", chamber),
    )


NETWORKS = (("Plant network", "Ethernet"), ("Telemetry", "Ethernet"))
