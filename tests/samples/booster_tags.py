"""Tags of booster-1: inputs, outputs, and the memory that the programs share."""

from __future__ import annotations

from collections.abc import Iterator

from samples.plant import Variable

_PUMP_INPUTS = (
    ("Auto", "selector in automatic"),
    ("Hand", "selector in hand"),
    ("StartPB", "local start push button"),
    ("StopOK", "local stop push button, opens when pressed"),
    ("OvlOK", "motor overload relay, opens on trip"),
    ("DriveOK", "drive ready, opens on drive fault"),
    ("RunFb", "running feedback from drive"),
    ("SuctOK", "suction pressure switch, opens on low pressure"),
    ("FlowOK", "flow switch behind check valve"),
    ("ValveOpen", "suction and discharge valve open"),
)
_PUMP_OUTPUTS = (
    ("RunCmd", "run command to drive"),
    ("RunLamp", "lamp running"),
    ("FaultLamp", "lamp fault"),
    ("DriveReset", "fault reset to drive"),
)
_PUMP_BITS = (
    ("Permit", "no lockout, may run"),
    ("Avail", "available for automatic duty"),
    ("OvlTrip", "overload tripped, latched"),
    ("SuctLock", "low-suction lockout, latched"),
    ("StartFail", "did not start in time, latched"),
    ("NoFlow", "no flow while running, latched"),
    ("Fault", "any fault of this pump"),
    ("HandRun", "runs in hand, seal-in"),
    ("DutyReq", "requested by the rotation"),
    ("AutoReq", "automatic request"),
    ("AutoRun", "automatic request after start delay"),
)
_COMMON_INPUTS = (
    ("EStop_OK", "%IX6.0", "emergency stop circuit closed (status of the safety relay)"),
    ("Mains_OK", "%IX6.1", "mains monitor, no phase loss"),
    ("UPS_OK", "%IX6.2", "control supply on mains, battery healthy"),
    ("Station_Auto", "%IX6.3", "station selector in automatic"),
    ("Reset_PB", "%IX6.4", "fault reset push button"),
    ("Door_Closed", "%IX6.5", "pump room door contact"),
    ("Lamp_Test_PB", "%IX6.6", "lamp test push button"),
    ("Fire_Demand", "%IX6.7", "fire brigade key switch, full output"),
    ("Tank_LowLow_OK", "%IX7.0", "suction tank float low-low, opens when the tank is empty"),
    ("Tank_HighHigh_OK", "%IX7.1", "suction tank float high-high, opens at overflow"),
    ("Flood_OK", "%IX7.2", "pump room floor float"),
    ("Chlor_Leak_OK", "%IX7.3", "chlorine leak detector"),
    ("Meter_Pulse", "%IX7.4", "water meter, one pulse per m³"),
    ("Gen_Running", "%IX7.5", "standby generator running"),
    ("Surge_OK", "%IX7.6", "surge arrester healthy"),
    ("Horn_Ack_PB", "%IX7.7", "horn acknowledge push button"),
    ("Inlet_Open", "%IX8.0", "inlet valve open limit"),
    ("Inlet_Closed", "%IX8.1", "inlet valve closed limit"),
    ("Inlet_Remote", "%IX8.2", "inlet valve actuator in remote"),
    ("Inlet_Trip_OK", "%IX8.3", "inlet valve actuator torque and thermal trip"),
    ("Chamber_Dry", "%IX8.4", "inlet chamber floor dry"),
    ("Chamber_Door", "%IX8.5", "inlet chamber cover closed"),
    ("Filter_DP_OK", "%IX8.6", "inlet strainer differential pressure normal"),
)
_COMMON_OUTPUTS = (
    ("Inlet_OpenCmd", "%QX1.4", "inlet valve open"),
    ("Inlet_CloseCmd", "%QX1.5", "inlet valve close"),
    ("Horn", "%QX1.6", "horn"),
    ("Common_Fault", "%QX1.7", "common fault to telemetry"),
    ("Common_Warning", "%QX2.0", "common warning to telemetry"),
    ("Auto_Lamp", "%QX2.1", "station in automatic"),
    ("Tank_Low_Lamp", "%QX2.2", "suction tank low"),
    ("Press_High_Lamp", "%QX2.3", "discharge pressure high"),
    ("Dose_Enable", "%QX2.4", "chlorine dosing pump enable"),
    ("Telemetry_OK", "%QX2.5", "heartbeat to telemetry"),
    ("Vent_Fan", "%QX2.6", "pump room ventilation"),
    ("Sump_Pump", "%QX2.7", "pump room sump pump"),
    ("Chamber_Light", "%QX4.0", "inlet chamber light"),
    ("Inlet_Lamp", "%QX4.1", "inlet valve open, blinks while moving"),
)
_ANALOG = (
    ("LT101_Raw", "%IW20", "suction tank level, raw in µA"),
    ("PT101_Raw", "%IW22", "suction pressure, raw in µA"),
    ("PT201_Raw", "%IW24", "discharge pressure, raw in µA"),
    ("FT201_Raw", "%IW26", "discharge flow, raw in µA"),
    ("AT301_Raw", "%IW28", "free chlorine, raw in µA"),
    ("TT401_Raw", "%IW30", "pump room temperature, raw in µA"),
    ("P1_Amps_Raw", "%IW40", "pump 1 motor current, raw in µA"),
    ("P2_Amps_Raw", "%IW42", "pump 2 motor current, raw in µA"),
    ("P3_Amps_Raw", "%IW44", "pump 3 motor current, raw in µA"),
    ("P1_Brg_Raw", "%IW46", "pump 1 bearing temperature, raw in µA"),
    ("P2_Brg_Raw", "%IW48", "pump 2 bearing temperature, raw in µA"),
    ("P3_Brg_Raw", "%IW50", "pump 3 bearing temperature, raw in µA"),
    ("LT102_Raw", "%IW72", "inlet chamber level, raw in µA"),
    ("PT100_Raw", "%IW74", "inlet main pressure, raw in µA"),
    ("P1_Speed_Out", "%QW20", "pump 1 speed reference, raw in µA"),
    ("P2_Speed_Out", "%QW22", "pump 2 speed reference, raw in µA"),
    ("P3_Speed_Out", "%QW24", "pump 3 speed reference, raw in µA"),
    ("Dose_Rate_Out", "%QW26", "chlorine dosing rate, raw in µA"),
)
_COMMON_BITS = (
    ("Test_On", "always TRUE"),
    ("Lamp_Blink", "lamp blink"),
    ("Reset", "fault reset, one scan"),
    ("Lamp_Test", "lamp test active"),
    ("Station_Run", "station may run in automatic"),
    ("Tank_Low_Lock", "suction tank low, all pumps locked out"),
    ("Level_Low", "suction tank level low"),
    ("Level_High", "suction tank level high"),
    ("Press_Low", "discharge pressure low"),
    ("Press_High", "discharge pressure high"),
    ("Flow_High", "discharge flow high"),
    ("Chlorine_Low", "free chlorine low"),
    ("Chlorine_High", "free chlorine high"),
    ("Room_Hot", "pump room hot"),
    ("Stage_Up", "one more pump, one scan"),
    ("Stage_Down", "one pump less, one scan"),
    ("Stage1_On", "first pump wanted"),
    ("Stage2_On", "second pump wanted"),
    ("Stage3_On", "third pump wanted"),
    ("Night_Hours", "night tariff, 22:00 to 05:00"),
    ("New_Alarm", "an alarm has come since the last acknowledgement"),
    ("Rotate", "take a new order of pumps, one scan"),
    ("Minute_Tick", "one scan each minute"),
    ("Inlet_Fault", "inlet valve did not reach its limit"),
)
_READINGS = (
    ("Tank_Level", "suction tank level in m"),
    ("Suct_Press", "suction pressure in bar"),
    ("Disch_Press", "discharge pressure in bar, filtered"),
    ("Flow", "discharge flow in m³/h, filtered"),
    ("Chlorine", "free chlorine in mg/l"),
    ("Room_Temp", "pump room temperature in °C"),
    ("Chamber_Level", "inlet chamber level in m"),
    ("Main_Press", "inlet main pressure in bar"),
    ("Speed_Ref", "common speed reference in %"),
    ("P1_Amps", "pump 1 motor current in A"),
    ("P2_Amps", "pump 2 motor current in A"),
    ("P3_Amps", "pump 3 motor current in A"),
)


def _bits(start: int, area: str) -> Iterator[str]:
    number = start * 8
    while True:
        yield f"%{area}X{number // 8}.{number % 8}"
        number += 1


def tags() -> tuple[Variable, ...]:
    """Inputs, outputs and located memory of the station as it was built."""
    found: list[Variable] = []
    for pump in (1, 2, 3):
        pairs = zip(_PUMP_INPUTS, _bits(2 * (pump - 1), "I"), strict=False)
        found += [_tag(f"P{pump}_{name}", at, f"pump {pump} {text}") for (name, text), at in pairs]
    found += [_tag(*row) for row in _COMMON_INPUTS]
    addresses = _bits(0, "Q")
    for pump in (1, 2, 3):
        found += [_tag(f"P{pump}_{n}", next(addresses), f"pump {pump} {text}") for n, text in _PUMP_OUTPUTS]
    found += [_tag(*row) for row in _COMMON_OUTPUTS]
    found += [Variable(name, "INT", "globalVars", at, comment=text) for name, at, text in _ANALOG]
    addresses = _bits(0, "M")
    for pump in (1, 2, 3):
        found += [_tag(f"P{pump}_{n}", next(addresses), f"pump {pump} {text}") for n, text in _PUMP_BITS]
    found += [_tag(name, next(addresses), text) for name, text in _COMMON_BITS]
    places = iter(range(16, 1000, 4))
    found += [Variable(n, "REAL", "globalVars", f"%MD{next(places)}", comment=t) for n, t in _READINGS]
    return tuple(Variable(**{**vars(tag), "name": _NAMES_2025.get(tag.name, tag.name)}) for tag in found)


_NAMES_2025 = {"P3_FlowOK": "P3_FlowSw"}
"""Pump 3 came later and kept its maker's name for the flow switch until the spring of 2026."""


def _tag(name: str, address: str, comment: str) -> Variable:
    return Variable(name, "BOOL", "globalVars", address, comment=comment)


SETTINGS = (
    ("SP_Pressure", "REAL", "5.2", "bar", "discharge pressure set-point"),
    ("SP_Night_Pressure", "REAL", "4.6", "bar", "discharge pressure set-point at night"),
    ("SP_Kp", "REAL", "12.0", "%/bar", "pressure control, proportional gain"),
    ("SP_Ki", "REAL", "1.5", "%/(bar·s)", "pressure control, integral gain"),
    ("SP_Speed_Min", "REAL", "35.0", "%", "lowest speed of a running pump"),
    ("SP_Stage_Up", "REAL", "96.0", "%", "speed at which one more pump is called"),
    ("SP_Stage_Down", "REAL", "48.0", "%", "speed at which one pump is let go"),
    ("SP_Up_Time", "TIME", "T#20s", "", "speed above stage-up limit before a pump is added"),
    ("SP_Down_Time", "TIME", "T#45s", "", "speed below stage-down limit before a pump is dropped"),
    ("SP_Level_Open", "REAL", "2.4", "m", "open the inlet valve below this level"),
    ("SP_Level_Close", "REAL", "3.4", "m", "close the inlet valve above this level"),
    ("SP_Level_Low", "REAL", "0.9", "m", "suction tank low, lock out all pumps"),
    ("SP_Level_High", "REAL", "3.7", "m", "suction tank high"),
    ("SP_Press_Low", "REAL", "3.5", "bar", "discharge pressure low"),
    ("SP_Press_High", "REAL", "7.5", "bar", "discharge pressure high"),
    ("SP_Flow_High", "REAL", "280.0", "m³/h", "flow that three pumps together may not miss"),
    ("SP_Chlorine_Low", "REAL", "0.15", "mg/l", "free chlorine low"),
    ("SP_Chlorine_High", "REAL", "0.45", "mg/l", "free chlorine high"),
    ("SP_Dose_Factor", "REAL", "0.2", "%/(m³/h)", "dosing rate per flow"),
    ("SP_Room_Hot", "REAL", "38.0", "°C", "pump room hot"),
    ("SP_Fan_On", "REAL", "28.0", "°C", "ventilation on"),
)
"""Tuned on site: name, type, initial value, unit, comment. They are retained."""


def settings() -> tuple[Variable, ...]:
    """The set-points as retained globals without an address."""
    return tuple(Variable(n, t, "globalVars", "", i, c, retain=True) for n, t, i, _, c in SETTINGS)
