"""Ladder programs of booster-1: pumps, staging, inlet valve, alarms."""

from __future__ import annotations

import re

from samples.plant import Pou, Rung, Variable, rungs_of

_PUMP = (
    ("suction", "Pump {n}: low suction pressure for 5 s locks the pump out until reset",
     "/P{n}_SuctOK P{n}_RunFb P{n}_SuctTmr:TON(PT=T#5s) -> S=P{n}_SuctLock"),
    ("suction_reset", "Pump {n}: suction pressure is back and the fault is reset",
     "P{n}_SuctOK Reset -> R=P{n}_SuctLock"),
    ("overload", "Pump {n}: motor overload relay tripped",
     "/P{n}_OvlOK -> S=P{n}_OvlTrip"),
    ("overload_reset", "Pump {n}: overload relay closed again and the fault is reset",
     "P{n}_OvlOK Reset -> R=P{n}_OvlTrip"),
    ("start_fail", "Pump {n}: no running feedback 10 s after the run command",
     "P{n}_RunCmd /P{n}_RunFb P{n}_FailTmr:TON(PT=T#10s) -> S=P{n}_StartFail"),
    ("no_flow", "Pump {n}: running for 15 s but the check valve does not open",
     "P{n}_RunFb /P{n}_FlowOK P{n}_FlowTmr:TON(PT=T#15s) -> S=P{n}_NoFlow"),
    ("latch_reset", "Pump {n}: reset start failure and missing flow",
     "Reset /P{n}_RunFb -> R=P{n}_StartFail R=P{n}_NoFlow"),
    ("permit", "Pump {n}: may run when nothing locks it out",
     "EStop_OK Mains_OK /Tank_Low_Lock /P{n}_SuctLock /P{n}_OvlTrip P{n}_DriveOK "
     "/P{n}_StartFail /P{n}_NoFlow P{n}_ValveOpen -> P{n}_Permit"),
    ("available", "Pump {n}: available for the rotation",
     "P{n}_Auto P{n}_Permit -> P{n}_Avail"),
    ("hand", "Pump {n}: started by hand, seals itself in until stop or a lockout",
     "( P{n}_StartPB | P{n}_HandRun ) P{n}_Hand P{n}_StopOK P{n}_Permit -> P{n}_HandRun"),
    ("request", "Pump {n}: automatic request from the rotation",
     "P{n}_DutyReq P{n}_Avail Station_Run -> P{n}_AutoReq"),
    ("delay", "Pump {n}: start delay, so that a short dip of pressure starts nothing",
     "P{n}_AutoReq P{n}_DlyTmr:TON(PT=T#8s) -> P{n}_AutoRun"),
    ("command", "Pump {n}: run command to the drive",
     "( P{n}_AutoRun | P{n}_HandRun ) P{n}_Permit -> P{n}_RunCmd"),
    ("fault", "Pump {n}: any fault",
     "( P{n}_SuctLock | P{n}_OvlTrip | /P{n}_DriveOK | P{n}_StartFail | P{n}_NoFlow ) -> P{n}_Fault"),
    ("drive_reset", "Pump {n}: pass the reset on to the drive",
     "Reset /P{n}_DriveOK P{n}_RstTmr:TP(PT=T#1s) -> P{n}_DriveReset"),
    ("run_lamp", "Pump {n}: lamp running",
     "( P{n}_RunFb | Lamp_Test ) -> P{n}_RunLamp"),
    ("fault_lamp", "Pump {n}: lamp fault blinks",
     "( P{n}_Fault Lamp_Blink | Lamp_Test ) -> P{n}_FaultLamp"),
)  # fmt: skip

_STAGING = (
    ("run", "Station may run in automatic",
     "Station_Auto EStop_OK Mains_OK /Tank_Low_Lock -> Station_Run"),
    ("up", "All running pumps near full speed: call one more. The timer restarts itself",
     "GE(Speed_Ref,SP_Stage_Up) Station_Run /Stage_Up Up_Tmr:TON(PT=SP_Up_Time) -> Stage_Up"),
    ("down", "Pumps run slowly: let one go",
     "LE(Speed_Ref,SP_Stage_Down) Station_Run /Stage_Down Down_Tmr:TON(PT=SP_Down_Time) -> Stage_Down"),
    ("first", "One pump always runs in automatic",
     "Station_Run -> Stage1_On"),
    ("third_on", "Third pump; ahead of the second, so that one pulse adds only one pump",
     "Stage_Up Stage2_On -> S=Stage3_On"),
    ("second_on", "Second pump",
     "Stage_Up Stage1_On -> S=Stage2_On"),
    ("second_off", "Drop the second pump only when the third is off already",
     "Stage_Down /Stage3_On -> R=Stage2_On"),
    ("third_off", "Drop the third pump",
     "Stage_Down -> R=Stage3_On"),
    ("stop", "Station stopped: start again with one pump",
     "/Station_Run -> R=Stage2_On R=Stage3_On"),
    ("fire", "Fire brigade demand: all pumps",
     "Fire_Demand Station_Run -> S=Stage2_On S=Stage3_On"),
    ("lamp", "Lamp: station in automatic",
     "( Station_Auto | Lamp_Test ) -> Auto_Lamp"),
)  # fmt: skip
NIGHT = Rung(
    "night",
    "Night mode: keep the third pump off at night unless the fire brigade or the flow needs it",
    "Night_Hours /Fire_Demand /Flow_High -> R=Stage3_On",
)

_INLET = (
    ("open", "Open when the tank runs low; seals itself in until the upper level",
     "( LT(Tank_Level,SP_Level_Open) | Open_Req ) /Close_Req -> Open_Req"),
    ("close", "Close at the upper level, at the overflow float, or with a flooded chamber",
     "( GT(Tank_Level,SP_Level_Close) | /Tank_HighHigh_OK | /Chamber_Dry ) -> Close_Req"),
    ("open_cmd", "Open command until the limit; never against the close command",
     "Open_Req Inlet_Remote Inlet_Trip_OK /Inlet_Fault /Inlet_Open /Inlet_CloseCmd -> Inlet_OpenCmd"),
    ("close_cmd", "Close command until the limit",
     "Close_Req Inlet_Remote Inlet_Trip_OK /Inlet_Fault /Inlet_Closed /Inlet_OpenCmd -> Inlet_CloseCmd"),
    ("travel", "Travel time over: a limit switch or the actuator has failed",
     "( Inlet_OpenCmd | Inlet_CloseCmd ) Travel_Tmr:TON(PT=T#90s) -> S=Inlet_Fault"),
    ("travel_reset", "Reset the travel fault; by the button itself, the pulse is too short for this task",
     "Reset_PB -> R=Inlet_Fault"),
    ("lamp", "Lamp: open, blinks while moving",
     "( Inlet_Open | ( Inlet_OpenCmd | Inlet_CloseCmd ) Lamp_Blink | Lamp_Test ) -> Inlet_Lamp"),
    ("light", "Chamber light while the cover is open", "/Chamber_Door -> Chamber_Light"),
)  # fmt: skip

_ALARMS = (
    ("always", "Always on", "( Test_On | /Test_On ) -> Test_On"),
    ("blink_a", "Blink: off time", "/Blink_B BlinkOff:TON(PT=T#500ms) -> Lamp_Blink"),
    ("blink_b", "Blink: on time", "Lamp_Blink BlinkOn:TON(PT=T#500ms) -> Blink_B"),
    ("reset", "Reset acts for one scan only", "^Reset_PB -> Reset"),
    ("lamp_test", "Lamp test ends by itself after 10 s",
     "Lamp_Test_PB TestTmr:TP(PT=T#10s) -> Lamp_Test"),
    ("tank", "Suction tank empty: all pumps off. Level and float are independent of each other",
     "( Level_Low | /Tank_LowLow_OK ) TankTmr:TON(PT=T#3s) -> Tank_Low_Lock"),
    ("tank_lamp", "Lamp: suction tank low",
     "( Tank_Low_Lock | Lamp_Test ) -> Tank_Low_Lamp"),
    ("press_lamp", "Lamp: discharge pressure high",
     "( Press_High Lamp_Blink | Lamp_Test ) -> Press_High_Lamp"),
    ("common_fault", "Common fault: something has stopped or will stop a pump",
     "( P1_Fault | P2_Fault | P3_Fault | Tank_Low_Lock | Inlet_Fault ) -> Common_Fault"),
    ("warning", "Common warning: needs a visit, not at night",
     "( /Door_Closed | /Flood_OK | /UPS_OK | /Surge_OK | Room_Hot | Chlorine_Low | /Filter_DP_OK ) "
     "WarnTmr:TON(PT=T#10s) -> Common_Warning"),
    ("new_alarm", "A new alarm starts the horn",
     "( ^Common_Fault | ^Chlorine_High | ~Chlor_Leak_OK | ^Press_Low ) -> S=New_Alarm"),
    ("acknowledge", "Acknowledged", "Horn_Ack_PB -> R=New_Alarm"),
    ("horn", "Horn; silent while the door is open, somebody is there",
     "New_Alarm HornBox:HornControl(Acknowledge=Horn_Ack_PB,Mute=!Door_Closed) -> Horn"),
    ("dose", "Chlorine dosing only with flow and without a leak",
     "( P1_RunFb | P2_RunFb | P3_RunFb ) Chlor_Leak_OK /Chlorine_High -> Dose_Enable"),
    ("fan", "Ventilation: warm, or chlorine in the room",
     "( GT(Room_Temp,SP_Fan_On) | /Chlor_Leak_OK ) -> Vent_Fan"),
    ("sump", "Sump pump runs on for 30 s", "/Flood_OK SumpTmr:TOF(PT=T#30s) -> Sump_Pump"),
    ("heartbeat", "Heartbeat to telemetry", "Lamp_Blink EStop_OK -> Telemetry_OK"),
)  # fmt: skip


def _locals(rungs: tuple[Rung, ...], *bits: str) -> tuple[Variable, ...]:
    """Declarations of the block instances found in the rungs, and of further Boolean locals."""
    found = [pair for rung in rungs for pair in re.findall(r"(\w+):(\w+)\(", rung.text)]
    return tuple(Variable(name, type_name) for name, type_name in found) + tuple(Variable(b, "BOOL") for b in bits)


def program(name: str, comment: str, rungs: tuple[Rung, ...], *bits: str) -> Pou:
    """A ladder program that declares its instances itself."""
    return Pou(name, "program", "LD", comment, _locals(rungs, *bits), rungs=rungs)


def programs() -> tuple[Pou, ...]:
    """The ladder programs as built."""
    pumps = tuple(
        Rung(f"p{n}_{key}", comment.format(n=n), _text(text.format(n=n)))
        for n in (1, 2, 3)
        for key, comment, text in _PUMP
    )
    return (
        program("PumpControl", "Lockouts, start and stop of the three pumps", pumps),
        program("Staging", "How many pumps are wanted", rungs_of(_STAGING)),
        program("InletValve", "Fills the suction tank from the main", rungs_of(_INLET), "Open_Req", "Close_Req"),
        program("Alarms", "Alarms, lamps, horn and auxiliaries", rungs_of(_ALARMS), "Blink_B"),
    )


def _text(text: str) -> str:
    return text.replace("P3_FlowOK", "P3_FlowSw")
