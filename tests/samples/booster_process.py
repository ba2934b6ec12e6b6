"""Function block networks, structured text and instruction list of booster-1."""

from __future__ import annotations

from samples.notation import SIGNATURES
from samples.plant import DataType, Pou, Rows, Variable, rungs_of

SIGNATURES.update(
    {
        "Scale": (("Raw", "Low", "High"), ("OUT",)),
        "ToRaw": (("Percent",), ("OUT",)),
        "Lag": (("X", "T"), ("Y",)),
        "PressureControl": (("Enable", "SetPoint", "Actual", "Kp", "Ki", "MinSpeed"), ("Speed", "AtLimit")),
        "AlarmLimit": (("Value", "Limit", "Hysteresis", "Delay", "Low"), ("Alarm",)),
        "HornControl": (("NewAlarm", "Acknowledge", "Mute"), ("Sound",)),
    }
)

_SCALING = (
    ("tank", "Suction tank level 0 to 4 m", "Tank_Level := Scale(LT101_Raw, 0.0, 4.0)"),
    ("suction", "Suction pressure 0 to 6 bar", "Suct_Press := Scale(PT101_Raw, 0.0, 6.0)"),
    ("discharge", "Discharge pressure 0 to 16 bar, filtered with 0.8 s",
     "Press_Lag:Lag(X=Scale(PT201_Raw, 0.0, 16.0), T=0.8); Disch_Press := Press_Lag.Y"),
    ("flow", "Discharge flow 0 to 400 m³/h, filtered with 2 s",
     "Flow_Lag:Lag(X=Scale(FT201_Raw, 0.0, 400.0), T=2.0); Flow := Flow_Lag.Y"),
    ("chlorine", "Free chlorine 0 to 1 mg/l, filtered with 10 s",
     "Chlor_Lag:Lag(X=Scale(AT301_Raw, 0.0, 1.0), T=10.0); Chlorine := Chlor_Lag.Y"),
    ("room", "Pump room temperature -20 to 80 °C", "Room_Temp := Scale(TT401_Raw, -20.0, 80.0)"),
    ("chamber", "Inlet chamber level 0 to 3 m", "Chamber_Level := Scale(LT102_Raw, 0.0, 3.0)"),
    ("main", "Inlet main pressure 0 to 10 bar", "Main_Press := Scale(PT100_Raw, 0.0, 10.0)"),
    ("amps1", "Motor current of pump 1, 0 to 60 A", "P1_Amps := Scale(P1_Amps_Raw, 0.0, 60.0)"),
    ("amps2", "Motor current of pump 2, 0 to 60 A", "P2_Amps := Scale(P2_Amps_Raw, 0.0, 60.0)"),
    ("amps3", "Motor current of pump 3, 0 to 60 A", "P3_Amps := Scale(P3_Amps_Raw, 0.0, 60.0)"),
)  # fmt: skip

_PROCESS = (
    ("setpoint", "Lower set-point at night, full one on fire brigade demand",
     "Set_Point := SEL(AND(Night_Hours, !Fire_Demand), SP_Pressure, SP_Night_Pressure)"),
    ("control", "Pressure control; one common speed for all running pumps",
     "Press_PI:PressureControl(Enable=Station_Run, SetPoint=Set_Point, Actual=Disch_Press, Kp=SP_Kp, Ki=SP_Ki, "
     "MinSpeed=SP_Speed_Min); Speed_Ref := Press_PI.Speed"),
    ("speed1", "Pump 1 speed; in hand it runs at 80 %",
     "P1_Speed_Out := ToRaw(SEL(P1_HandRun, SEL(P1_RunCmd, 0.0, Speed_Ref), 80.0))"),
    ("speed2", "Pump 2 speed; in hand it runs at 80 %",
     "P2_Speed_Out := ToRaw(SEL(P2_HandRun, SEL(P2_RunCmd, 0.0, Speed_Ref), 80.0))"),
    ("speed3", "Pump 3 speed; in hand it runs at 80 %",
     "P3_Speed_Out := ToRaw(SEL(P3_HandRun, SEL(P3_RunCmd, 0.0, Speed_Ref), 80.0))"),
    ("dose", "Chlorine dosing follows the flow",
     "Dose_Rate_Out := ToRaw(SEL(Dose_Enable, 0.0, LIMIT(0.0, MUL(Flow, SP_Dose_Factor), 100.0)))"),
    ("level_low", "Suction tank low",
     "Lim_Low:AlarmLimit(Value=Tank_Level, Limit=SP_Level_Low, Hysteresis=0.15, Delay=T#3s, Low=TRUE); "
     "Level_Low := Lim_Low.Alarm"),
    ("level_high", "Suction tank high",
     "Lim_High:AlarmLimit(Value=Tank_Level, Limit=SP_Level_High, Hysteresis=0.1, Delay=T#5s, Low=FALSE); "
     "Level_High := Lim_High.Alarm"),
    ("press_low", "Discharge pressure low: burst main or pumps off",
     "Lim_PLow:AlarmLimit(Value=Disch_Press, Limit=SP_Press_Low, Hysteresis=0.2, Delay=T#15s, Low=TRUE); "
     "Press_Low := Lim_PLow.Alarm"),
    ("press_high", "Discharge pressure high",
     "Lim_PHigh:AlarmLimit(Value=Disch_Press, Limit=SP_Press_High, Hysteresis=0.3, Delay=T#2s, Low=FALSE); "
     "Press_High := Lim_PHigh.Alarm"),
    ("flow_high", "Flow that needs the third pump",
     "Lim_Flow:AlarmLimit(Value=Flow, Limit=SP_Flow_High, Hysteresis=20.0, Delay=T#10s, Low=FALSE); "
     "Flow_High := Lim_Flow.Alarm"),
    ("chlor_low", "Free chlorine low",
     "Lim_ClLow:AlarmLimit(Value=Chlorine, Limit=SP_Chlorine_Low, Hysteresis=0.02, Delay=T#5m, Low=TRUE); "
     "Chlorine_Low := Lim_ClLow.Alarm"),
    ("chlor_high", "Free chlorine high",
     "Lim_ClHigh:AlarmLimit(Value=Chlorine, Limit=SP_Chlorine_High, Hysteresis=0.02, Delay=T#1m, Low=FALSE); "
     "Chlorine_High := Lim_ClHigh.Alarm"),
    ("room_hot", "Pump room hot",
     "Lim_Room:AlarmLimit(Value=Room_Temp, Limit=SP_Room_Hot, Hysteresis=2.0, Delay=T#1m, Low=FALSE); "
     "Room_Hot := Lim_Room.Alarm"),
)  # fmt: skip

_PRESSURE = (
    ("error", "Control error", "Error := SUB(SetPoint, Actual)"),
    ("integral", "Integral part, 0.2 s cycle, limited against wind-up, cleared when disabled",
     "Integral := SEL(Enable, 0.0, LIMIT(0.0, ADD(Integral, MUL(Error, Ki, 0.2)), 100.0))"),
    ("sum", "Proportional and integral part", "Raw_Speed := ADD(MUL(Error, Kp), Integral)"),
    ("output", "Speed in %; 0 when disabled", "Speed := SEL(Enable, 0.0, LIMIT(MinSpeed, Raw_Speed, 100.0))"),
    ("limit", "Control is at its upper limit", "AtLimit := GE(Raw_Speed, 100.0)"),
)  # fmt: skip
_LIMIT = (
    ("over", "Beyond the limit", "Over := SEL(Low, GT(Value, Limit), LT(Value, Limit))"),
    ("back", "Back behind the limit by the hysteresis",
     "Back := SEL(Low, LT(Value, SUB(Limit, Hysteresis)), GT(Value, ADD(Limit, Hysteresis)))"),
    ("alarm", "Comes delayed, goes with hysteresis",
     "Tmr:TON(IN=Over, PT=Delay); Mem:SR(S1=Tmr.Q, R=Back); Alarm := Mem.Q1"),
)  # fmt: skip

DUTY = """\
(* Puts the pumps in order of run hours. A new order is taken when all of them stand still
   or when the rotation asks for it or there is none yet, so that no pump changes over in the middle of the day. *)
IF NOT Running OR Rotate OR Order[1] = 0 THEN
  FOR i := 1 TO 3 DO
    Order[i] := i;
  END_FOR;
  FOR i := 1 TO 2 DO
    FOR k := 1 TO 3 - i DO
      IF Hours[Order[k]] > Hours[Order[k + 1]] THEN
        Held := Order[k];  // swap
        Order[k] := Order[k + 1];
        Order[k + 1] := Held;
      END_IF;
    END_FOR;
  END_FOR;
END_IF;
Given := 0;
FOR i := 1 TO 3 DO
  Request[Order[i]] := Available[Order[i]] AND (Given < Wanted);
  IF Request[Order[i]] THEN
    Given := Given + 1;
  END_IF;
END_FOR;
"""

HOURS = """\
(* Counts minutes with the pump running; 60 of them are an hour. *)
IF Run AND Tick THEN
  Minutes := Minutes + 1;
  IF Minutes >= 60 THEN
    Minutes := 0;
    Pump.Hours := Pump.Hours + 1;
  END_IF;
END_IF;
Begin(CLK := Run);
IF Begin.Q THEN
  Pump.Starts := Pump.Starts + 1;
END_IF;
"""

LAG = """\
(* First order filter for a 0.2 s cycle; T in seconds. *)
IF First THEN
  Y := X;
  First := FALSE;
ELSIF T > 0.0 THEN
  Y := Y + (X - Y) * 0.2 / (T + 0.2);
ELSE
  Y := X;
END_IF;
"""

HORN = """\
        LD    NewAlarm      (* a new alarm starts the horn *)
        ANDN  Seen
        S     Sounding
        LD    NewAlarm
        ST    Seen
        LD    Acknowledge   (* acknowledged: silent until the next one *)
        ORN   NewAlarm
        R     Sounding
        LD    Sounding
        ANDN  Mute
        ST    Sound
"""

RECORDS = """\
(* Clock: one tick a minute, tariff hours, rotation at 06:00. *)
Clock(IN := NOT Clock.Q, PT := T#1m);
Minute_Tick := Clock.Q;
IF Minute_Tick THEN
  Minute := (Minute + 1) MOD 1440;
END_IF;
Night_Hours := (Minute >= 1320) OR (Minute < 300);
Rotate := Minute_Tick AND (Minute = 360);

(* Run hours and starts *)
Rec1(Run := P1_RunFb, Tick := Minute_Tick, Pump := Pumps[1]);
Rec2(Run := P2_RunFb, Tick := Minute_Tick, Pump := Pumps[2]);
Rec3(Run := P3_RunFb, Tick := Minute_Tick, Pump := Pumps[3]);

(* Rotation of the duty *)
Wanted := 0;
IF Stage1_On THEN Wanted := 1; END_IF;
IF Stage2_On THEN Wanted := 2; END_IF;
IF Stage3_On THEN Wanted := 3; END_IF;
Duty.Available[1] := P1_Avail;
Duty.Available[2] := P2_Avail;
Duty.Available[3] := P3_Avail;
FOR n := 1 TO 3 DO
  Duty.Hours[n] := Pumps[n].Hours;
END_FOR;
Duty(Wanted := Wanted, Running := P1_RunFb OR P2_RunFb OR P3_RunFb, Rotate := Rotate);
P1_DutyReq := Duty.Request[1];
P2_DutyReq := Duty.Request[2];
P3_DutyReq := Duty.Request[3];

(* State for the telemetry *)
IF Tank_Low_Lock THEN
  State := Locked;
ELSIF Common_Fault THEN
  State := Faulted;
ELSIF P1_RunFb OR P2_RunFb OR P3_RunFb THEN
  State := Running;
ELSIF Station_Run THEN
  State := Standby;
ELSE
  State := Off;
END_IF;
"""

CONVERSIONS = """\
(* Conversions of analog values. Raw values are microamperes of a 4 to 20 mA loop; below 3600 its wire is broken. *)

FUNCTION Scale : REAL
VAR_INPUT
  Raw : INT;     (* value of the analog input *)
  Low : REAL;    (* physical value at 4 mA *)
  High : REAL;   (* physical value at 20 mA *)
END_VAR
IF Raw < 3600 THEN
  Scale := Low;  // broken wire: the lower end is the safe one for level and pressure
ELSE
  Scale := Low + (INT_TO_REAL(Raw) - 4000.0) * (High - Low) / 16000.0;
END_IF;
END_FUNCTION

FUNCTION ToRaw : INT
VAR_INPUT
  Percent : REAL;  (* 0 to 100 % *)
END_VAR
ToRaw := REAL_TO_INT(4000.0 + LIMIT(0.0, Percent, 100.0) * 160.0);
END_FUNCTION
"""


def _vars(section: str, text: str, retain: bool = False) -> tuple[Variable, ...]:
    """``name TYPE [initial]`` separated by semicolons."""
    found = []
    for part in text.split(";"):
        name, type_name, *initial = part.replace("ARRAY ", "ARRAY_").split()
        type_name = type_name.replace("ARRAY_", "ARRAY[1..3] OF ")
        found.append(Variable(name, type_name, section, initial=initial[0] if initial else "", retain=retain))
    return tuple(found)


def _instances(rows: Rows) -> str:
    import re

    return ";".join(f"{a} {b}" for _, _, text in rows for a, b in re.findall(r"(\w+):(\w+)\(", text))


def pous() -> tuple[Pou, ...]:
    """Networks and text programs as built."""
    ins, outs, own = "inputVars", "outputVars", "localVars"
    return (
        Pou("Scaling", "program", "FBD", "Analog inputs in engineering units",
            _vars(own, _instances(_SCALING)), rungs=rungs_of(_SCALING)),
        Pou("Process", "program", "FBD", "Pressure control, speeds, dosing and limits",
            _vars(own, "Set_Point REAL;" + _instances(_PROCESS)), rungs=rungs_of(_PROCESS)),
        Pou("PressureControl", "functionBlock", "FBD", "PI control for a 0.2 s task",
            (*_vars(ins, "Enable BOOL;SetPoint REAL;Actual REAL;Kp REAL;Ki REAL;MinSpeed REAL"),
             *_vars(outs, "Speed REAL;AtLimit BOOL"),
             *_vars(own, "Error REAL;Integral REAL;Raw_Speed REAL")), rungs=rungs_of(_PRESSURE)),
        Pou("AlarmLimit", "functionBlock", "FBD", "Limit with delay and hysteresis",
            (*_vars(ins, "Value REAL;Limit REAL;Hysteresis REAL;Delay TIME;Low BOOL"),
             *_vars(outs, "Alarm BOOL"), *_vars(own, "Over BOOL;Back BOOL;Tmr TON;Mem SR")),
            rungs=rungs_of(_LIMIT)),
        Pou("PumpDuty", "functionBlock", "ST", "Rotation of the pumps by run hours",
            (*_vars(ins, "Available ARRAY BOOL;Hours ARRAY UDINT;Wanted INT;Running BOOL;Rotate BOOL"),
             *_vars(outs, "Request ARRAY BOOL"), *_vars(own, "Order ARRAY INT", retain=True),
             *_vars(own, "i INT;k INT;Held INT;Given INT")), text=DUTY),
        Pou("PumpRecord", "functionBlock", "ST", "Run hours and starts of one pump",
            (*_vars(ins, "Run BOOL;Tick BOOL"), *_vars("inOutVars", "Pump PumpData"),
             *_vars(own, "Minutes INT", retain=True), *_vars(own, "Begin R_TRIG")), text=HOURS),
        Pou("Lag", "functionBlock", "ST", "First order filter",
            (*_vars(ins, "X REAL;T REAL"), *_vars(outs, "Y REAL"), *_vars(own, "First BOOL TRUE")), text=LAG),
        Pou("HornControl", "functionBlock", "IL", "Horn with acknowledgement",
            (*_vars(ins, "NewAlarm BOOL;Acknowledge BOOL;Mute BOOL"), *_vars(outs, "Sound BOOL"),
             *_vars(own, "Seen BOOL;Sounding BOOL")), text=HORN),
        Pou("Records", "program", "ST", "Clock, run hours, rotation and state",
            (*_vars(own, "Clock TON;Rec1 PumpRecord;Rec2 PumpRecord;Rec3 PumpRecord;Duty PumpDuty;Wanted INT;n INT"),
             *_vars(own, "Minute INT", retain=True)), text=RECORDS),
    )  # fmt: skip


def types() -> tuple[DataType, ...]:
    """User types of the station."""
    members = (
        Variable("Hours", "UDINT", comment="run hours"),
        Variable("Starts", "UDINT", comment="starts"),
        Variable("Serial", "STRING[12]", comment="serial number of the pump"),
    )
    return (
        DataType("PumpData", "What is remembered of a pump", members),
        DataType("StationState", "State for the telemetry", values=("Off", "Standby", "Running", "Locked", "Faulted")),
    )


def globals_() -> tuple[Variable, ...]:
    """Shared variables without an address, beside the set-points."""
    return (
        Variable("Pumps", "ARRAY[1..3] OF PumpData", "globalVars", comment="the three pumps", retain=True),
        Variable("State", "StationState", "globalVars", comment="state for the telemetry"),
    )
