"""Racks and modules of booster-1. All order numbers are invented."""

from __future__ import annotations

from samples.plant import Module, Rack

FILTER = (("InputFilter", "3 ms"),)
CURRENT = (("MeasuringRange", "4..20 mA"), ("WireBreakDetection", "true"), ("Smoothing", "weak"))


def racks() -> tuple[Rack, ...]:
    """Two racks; slots 7, 10 and 15 of the first one and slot 2 of the second one are empty."""
    main = (
        Module(0, "PS 0", "Power supply 5 A", "WW-PS5-60", "", comment="control supply from UPS 1"),
        Module(1, "CPU", "Controller 415", "WW-CPU-415", "5.2.1", "CPU", "station controller",
               nodes=(("X1", "Plant network", "10.20.1.11"),),
               settings=(("StartUp", "warm"), ("CycleMonitoring", "150 ms"), ("RetainMemory", "128 kB"))),
        Module(2, "Comm 1", "Communication 2x Ethernet", "WW-COM-2E", "3.0.4", comment="telemetry",
               nodes=(("X1", "Telemetry", "10.60.4.11"),), settings=(("TimeServer", "10.60.4.1"),)),
        Module(3, "DI pump 1", "Digital input 16", "WW-DI16-24", "1.4", inputs=(0, 16, 1), settings=FILTER),
        Module(4, "DI pump 2", "Digital input 16", "WW-DI16-24", "1.4", inputs=(2, 16, 1), settings=FILTER),
        Module(5, "DI pump 3", "Digital input 16", "WW-DI16-24", "1.4", inputs=(4, 16, 1), settings=FILTER),
        Module(6, "DI common", "Digital input 16", "WW-DI16-24", "1.5", inputs=(6, 16, 1), settings=FILTER),
        Module(8, "DO pumps", "Digital output 16", "WW-DO16-24", "1.2", outputs=(0, 16, 1),
               settings=(("OnStop", "off"),)),
        Module(9, "DO common", "Digital output 16", "WW-DO16-24", "1.2", outputs=(2, 16, 1),
               settings=(("OnStop", "off"),)),
        Module(11, "AI process", "Analog input 8", "WW-AI8-20", "2.1", inputs=(64, 8, 16), settings=CURRENT),
        Module(12, "AI motors", "Analog input 8", "WW-AI8-20", "2.1", inputs=(80, 8, 16), settings=CURRENT),
        Module(13, "AO speeds", "Analog output 4", "WW-AO4-20", "2.0", outputs=(64, 4, 16),
               settings=(("OnStop", "hold last value"),)),
        Module(14, "Counter", "Counter 2 channels", "WW-CT2-100", "1.1", inputs=(100, 2, 32),
               comment="spare for a second water meter"),
    )  # fmt: skip
    chamber = (
        Module(0, "PS 1", "Power supply 2 A", "WW-PS2-60", "", comment="inlet chamber"),
        Module(1, "Link", "Rack link", "WW-LNK-1", "2.2", "HeadModule",
               nodes=(("P1", "Plant network", "10.20.1.12"),)),
        Module(3, "DI chamber", "Digital input 8", "WW-DI8-24", "1.4", inputs=(8, 8, 1), settings=FILTER),
        Module(4, "DO chamber", "Digital output 8", "WW-DO8-24", "1.2", outputs=(4, 8, 1)),
        Module(5, "AI chamber", "Analog input 4", "WW-AI4-20", "2.1", inputs=(96, 4, 16), settings=CURRENT),
    )  # fmt: skip
    return (Rack(0, "Rack 0", "WW-RK16", main), Rack(1, "Rack 1", "WW-RK8", chamber))


NETWORKS = (("Plant network", "Ethernet"), ("Telemetry", "Ethernet"))
