"""Station screens-1: two rake screens and a conveyor at the intake."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from samples import screens_program
from samples.booster_hardware import CURRENT, DELAY, DIGITAL_IN, OFF
from samples.plant import Action, Go, Module, Part, Rack, Select, Station, Step, Task, Tied, Value, Variable

_INPUTS = (
    ("A_Top", "rake A top limit"), ("A_Bottom", "rake A bottom limit"), ("A_Home", "rake A home"),
    ("A_Torque", "rake A torque limit"), ("A_DriveOK", "rake A drive ready"), ("Auto_A", "rake A in automatic"),
    ("Hand_A", "rake A in hand"), ("Start_A_PB", "rake A start push button"),
    ("B_Top", "rake B top limit"), ("B_Bottom", "rake B bottom limit"), ("B_Home", "rake B home"),
    ("B_Torque", "rake B torque limit"), ("B_DriveOK", "rake B drive ready"), ("Auto_B", "rake B in automatic"),
    ("Hand_B", "rake B in hand"), ("Start_B_PB", "rake B start push button"),
    ("Cord_OK", "pull cord of the belt"), ("Drift_OK", "belt drift switches"),
    ("Conv_DriveOK", "belt drive ready"), ("Conv_RunFb", "belt running"), ("Conv_Hand", "belt in hand"),
    ("Conv_Start_PB", "belt start push button"), ("Tail_Pulse", "pulses of the tail pulley"),
    ("Press_OK", "screenings press ready"), ("Cont_Full", "container full"), ("Frost", "frost thermostat"),
    ("Reset_PB", "reset push button"), ("Lamp_Test", "lamp test push button"),
)  # fmt: skip
_OUTPUTS = (
    ("A_Down", "rake A down"), ("A_Up", "rake A up"), ("A_Wiper", "rake A wiper"), ("A_Lamp", "rake A lamp"),
    ("B_Down", "rake B down"), ("B_Up", "rake B up"), ("B_Wiper", "rake B wiper"), ("B_Lamp", "rake B lamp"),
    ("Conv_Cmd", "belt run command"), ("Start_Horn", "start warning"), ("Press_Cmd", "screenings press"),
    ("Wash_Valve", "wash water valve"), ("Conv_Lamp", "belt lamp"), ("Cont_Lamp", "container lamp"),
    ("Common_Alarm", "common alarm to the control room"),
)  # fmt: skip
_BITS = (
    ("Reset", "reset, one scan"), ("Blink", "lamp blink"), ("Start_A", "rake A is wanted"),
    ("Start_B", "rake B is wanted"), ("Clock_A", "rake A by time"), ("Clock_B", "rake B by time"),
    ("A_Fault", "rake A fault"), ("B_Fault", "rake B fault"), ("Conv_Lock", "belt locked out, latched"),
    ("Conv_Slip", "belt slips, latched"), ("Conv_Run", "belt runs and may be loaded"),
    ("Cont_Alarm", "container full for 10 s"),
)  # fmt: skip


def _tags() -> tuple[Variable, ...]:
    found = []
    for area, start, rows in (("I", 0, _INPUTS), ("Q", 0, _OUTPUTS), ("M", 0, _BITS)):
        for number, (name, text) in enumerate(rows, 8 * start):
            found.append(Variable(name, "BOOL", "globalVars", f"%{area}X{number // 8}.{number % 8}", comment=text))
    found += [
        Variable("LT1_Raw", "INT", "globalVars", "%IW8", comment="level before the screens, raw in µA, 0.1 mm each"),
        Variable("LT2_Raw", "INT", "globalVars", "%IW10", comment="level behind the screens, raw in µA, 0.1 mm each"),
        Variable("Level_Diff", "REAL", "globalVars", "%MD4", comment="level difference in m"),
    ]
    return tuple(found)


def _racks() -> tuple[Rack, ...]:
    digital_out = "Digital output, 8 points"
    modules = (
        Module(1, "DI rakes", DIGITAL_IN, "digital-in-16", "1.4", inputs=(0, 16, 1), settings=DELAY),
        Module(2, "DO rakes", digital_out, "digital-out-8", "1.2", outputs=(0, 8, 1), settings=OFF),
        Module(3, "DI belt", DIGITAL_IN, "digital-in-16", "1.4", inputs=(2, 16, 1), settings=DELAY),
        Module(4, "DO belt", digital_out, "digital-out-8", "1.2", outputs=(1, 8, 1), settings=OFF),
        Module(6, "AI level", "Analog input, 4 channels", "analog-in-4", "2.1", inputs=(8, 4, 16),
               settings=CURRENT),
        Module(7, "Controller", "Controller, small", "controller-small", "5.1.0", "CPU",
               nodes=(("Port A", "Plant network", "10.20.2.11"),), settings=(("restart", "warm"),)),
        Module(8, "Supply", "Power supply, 80 W", "supply-80", ""),
        Module(9, "Telemetry", "Network module, 1 port", "network-1", "3.0.4",
               nodes=(("Port A", "Telemetry", "10.60.4.12"),)),
    )  # fmt: skip
    return (Rack(1, "Screen rack", "rack-10", modules),)


def as_left_2025() -> Station:
    """All three copies agree."""
    initial = "0.12"
    return Station(
        name="screens-1",
        title="Intake screens",
        version="2025.1",
        tags=_tags(),
        globals=(
            Variable("SP_Diff_Start", "REAL", "globalVars", "", initial, "level difference that starts a rake", True),
        ),
        types=(),
        pous=screens_program.pous(),
        text_pous=(),
        tasks=(
            Task("Fast", "T#20ms", 1, (("Belt", "Conveyor"), ("Rest", "Common")), "belt and lockouts"),
            Task("Slow", "T#100ms", 3, (("Screens", "ScreenCalls"),), "rake sequences"),
        ),
        racks=_racks(),
        networks=(("Plant network", "Ethernet"), ("Telemetry", "Ethernet")),
        library=("MotorBlocks", "2.1.0"),
        values=(Value("SP_Diff_Start", initial, initial, "m", "level difference that starts a rake"),),
    )


def _chart(station: Station, change: Callable[[Part], Part]) -> Station:
    return station.with_pou("RakeCycle", lambda pou: replace(pou, chart=_walk(pou.chart, change)))


def _walk(parts: tuple[Part, ...], change: Callable[[Part], Part]) -> tuple[Part, ...]:
    found = []
    for part in parts:
        if isinstance(part, Select):
            part = Select(tuple(_walk(branch, change) for branch in part.branches))
        found.append(change(part))
    return tuple(found)


def spring_2026() -> Station:
    """The office reworded a comment inside an action, downloaded and copied to the card."""
    text = screens_program.BACK_OFF.replace("count it.", "count it, two in a row are allowed.")
    actions = (Action("CountCycle", screens_program.COUNT), Action("CountJam", text))
    return replace(as_left_2025(), version="2026.1").with_pou("RakeCycle", lambda pou: replace(pou, actions=actions))


def found_2026() -> Station:
    """On site: a condition widened, the time of the wiper lost, two alternatives in another order."""
    return _chart(spring_2026(), _on_site)


def _on_site(part: Part) -> Part:
    if isinstance(part, Go) and part.condition == "BackOff.T > T#4s":
        return Go("BackOff.T > T#4s OR NOT Torque")
    if isinstance(part, Step) and part.name == "Clean":
        return replace(part, actions=(Tied("Wiper", "N"), *part.actions[1:]))
    if isinstance(part, Select) and len(part.branches) == 3:
        top, jam, failed = part.branches
        return Select((top, failed, jam))
    return part


def as_left_2026() -> Station:
    """The wider condition is right and stays; the wiper has its time again and a jam is backed off first."""

    def keep(part: Part) -> Part:
        return _on_site(part) if isinstance(part, Go) else part

    return replace(_chart(spring_2026(), keep), version="2026.2")
