"""Programs of screens-1: the rake cycle as a sequential chart, conveyor and common parts in ladder."""

from __future__ import annotations

from samples.booster_pumps import program
from samples.notation import SIGNATURES
from samples.plant import Action, Go, Jump, Part, Pou, Select, Step, Tied, Variable, rungs_of

SIGNATURES["RakeCycle"] = (
    ("Start", "AtTop", "AtBottom", "AtHome", "Torque", "DriveOK", "Reset"),
    ("Down", "Up", "Wiper", "Ready", "Fault", "Cycles"),
)

COUNT = """\
(* One more complete cycle; a complete cycle clears the count of jams. *)
Cycles := Cycles + 1;
Jams := 0;
"""
BACK_OFF = """\
(* The torque limit has switched off the rake: count it. *)
Jams := Jams + 1;
"""


def chart() -> tuple[Part, ...]:
    """Home, lower, engage, raise, clean; jams are backed off twice before they become a fault."""
    return (
        Step("Home", (Tied("Ready"), Tied("Down", "R"), Tied("Up", "R")), True, "Waits at home with the rake open"),
        Go("Start AND AtHome AND DriveOK AND NOT Fault"),
        Step("Lower", (Tied("Down"), Tied("TravelAlarm", "D", "T#45s")), comment="Lower the open rake"),
        Select(
            (
                (
                    Go("AtBottom"),
                    Step("Engage", (Tied("Settle", "D", "T#2s"),), comment="Let the rake settle in the bars"),
                    Go("Settle"),
                    Step("Raise", (Tied("Up"), Tied("WiperReady", "S"), Tied("TravelAlarm", "D", "T#45s"))),
                    Select(
                        (
                            (Go("TopReached", reference=True),),
                            (
                                Go("Torque AND Jams < 2"),
                                Step("BackOff", (Tied("CountJam", "P"), Tied("Down", "L", "T#3s"))),
                                Go("BackOff.T > T#4s"),
                                Jump("Raise"),
                            ),
                            (Go("Torque OR TravelAlarm OR NOT DriveOK"), Jump("Failed")),
                        )
                    ),
                    Step("Clean", (Tied("Wiper", "L", "T#6s"), Tied("CountCycle", "P")), comment="Wipe the rake"),
                    Go("Clean.T > T#8s"),
                    Step("Park", (Tied("WiperReady", "R"), Tied("Down")), comment="From the top down to home"),
                    Go("AtHome"),
                    Jump("Home"),
                ),
                (
                    Go("TravelAlarm OR NOT DriveOK"),
                    Step("Failed", (Tied("Fault", "S"),), comment="Stands still until reset"),
                    Go("Reset AND DriveOK"),
                    Step("Clear", (Tied("Fault", "R"), Tied("", "P", inline="Jams := 0;"))),
                    Go("NOT Fault"),
                    Jump("Home"),
                ),
            )
        ),
    )


def rake() -> Pou:
    """The sequence of one rake."""
    ins = ("Start", "AtTop", "AtBottom", "AtHome", "Torque", "DriveOK", "Reset")
    outs = ("Down", "Up", "Wiper", "Ready", "Fault")
    own = ("Settle", "TravelAlarm", "WiperReady")
    return Pou(
        "RakeCycle", "functionBlock", "SFC", "One cleaning cycle of a rake",
        (*(Variable(name, "BOOL", "inputVars") for name in ins),
         *(Variable(name, "BOOL", "outputVars") for name in outs),
         Variable("Cycles", "UDINT", "outputVars", retain=True),
         *(Variable(name, "BOOL") for name in own), Variable("Jams", "INT")),
        chart=chart(),
        actions=(Action("CountCycle", COUNT), Action("CountJam", BACK_OFF)),
        transitions=(Action("TopReached", "AtTop AND WiperReady"),),
    )  # fmt: skip


_CALLS = (
    ("level", "Level difference over the screens in m",
     "Level_Diff := SUB(MUL(INT_TO_REAL(LT1_Raw), 0.0001), MUL(INT_TO_REAL(LT2_Raw), 0.0001))"),
    ("start_a", "Rake A: by level difference or time in automatic, or by hand",
     "Start_A := OR(AND(Auto_A, OR(GT(Level_Diff, SP_Diff_Start), Clock_A)), AND(Hand_A, Start_A_PB))"),
    ("rake_a", "Rake A",
     "Rake_A:RakeCycle(Start=AND(Start_A, Conv_Run), AtTop=A_Top, AtBottom=A_Bottom, AtHome=A_Home, Torque=A_Torque, "
     "DriveOK=A_DriveOK, Reset=Reset_PB); A_Down := Rake_A.Down; A_Up := Rake_A.Up; A_Wiper := Rake_A.Wiper; "
     "A_Fault := Rake_A.Fault"),
    ("start_b", "Rake B: by level difference or time in automatic, or by hand",
     "Start_B := OR(AND(Auto_B, OR(GT(Level_Diff, SP_Diff_Start), Clock_B)), AND(Hand_B, Start_B_PB))"),
    ("rake_b", "Rake B",
     "Rake_B:RakeCycle(Start=AND(Start_B, Conv_Run), AtTop=B_Top, AtBottom=B_Bottom, AtHome=B_Home, Torque=B_Torque, "
     "DriveOK=B_DriveOK, Reset=Reset_PB); B_Down := Rake_B.Down; B_Up := Rake_B.Up; B_Wiper := Rake_B.Wiper; "
     "B_Fault := Rake_B.Fault"),
)  # fmt: skip

_CONVEYOR = (
    ("request", "Conveyor is wanted by a running rake or by hand",
     "( Start_A | Start_B | A_Up | B_Up | Conv_Hand Conv_Start_PB ) Conv_Request:TOF(PT=T#60s) -> Conv_Wanted"),
    ("lockout", "Pull cord, belt drift or drive fault stop the conveyor until reset",
     "( /Cord_OK | /Drift_OK | /Conv_DriveOK ) -> S=Conv_Lock"),
    ("reset", "Reset the lockout", "Reset Cord_OK Drift_OK Conv_DriveOK -> R=Conv_Lock"),
    ("warning", "Horn for 4 s before the belt starts",
     "Conv_Wanted /Conv_RunFb /Conv_Lock Start_Warn:TP(PT=T#4s) -> Start_Horn"),
    ("command", "Run after the warning",
     "Conv_Wanted /Conv_Lock Start_Dly:TON(PT=T#5s) -> Conv_Cmd"),
    ("slip", "Belt slips: no pulses of the tail pulley while running",
     "Conv_RunFb /Tail_Pulse Slip_Tmr:TON(PT=T#6s) -> S=Conv_Slip"),
    ("slip_reset", "Reset the slip alarm", "Reset -> R=Conv_Slip"),
    ("run", "The rakes may only start on a running belt", "Conv_RunFb /Conv_Slip /Conv_Lock -> Conv_Run"),
    ("press", "Screenings press runs with the belt and 2 min longer",
     "Conv_Run Press_OK Press_Tmr:TOF(PT=T#2m) -> Press_Cmd"),
    ("wash", "Wash water while the press runs", "Press_Cmd /Frost -> Wash_Valve"),
    ("container", "Container full: stop feeding, keep the press",
     "Cont_Full Cont_Tmr:TON(PT=T#10s) -> Cont_Alarm"),
)  # fmt: skip

_COMMON = (
    ("reset", "Reset acts for one scan only", "^Reset_PB -> Reset"),
    ("blink_a", "Blink: off time", "/Blink_B Blink_Off:TON(PT=T#500ms) -> Blink"),
    ("blink_b", "Blink: on time", "Blink Blink_On:TON(PT=T#500ms) -> Blink_B"),
    ("clock_a", "Rake A is due 30 min after its last start", "/Clock_A Clock_A_Tmr:TON(PT=T#30m) -> S=Clock_A"),
    ("clock_a_done", "Rake A has started", "A_Down -> R=Clock_A"),
    ("clock_b", "Rake B is due 30 min after its last start", "/Clock_B Clock_B_Tmr:TON(PT=T#30m) -> S=Clock_B"),
    ("clock_b_done", "Rake B has started", "B_Down -> R=Clock_B"),
    ("lamp_a", "Lamp: rake A moves, blinks on fault",
     "( A_Down | A_Up | A_Fault Blink | Lamp_Test ) -> A_Lamp"),
    ("lamp_b", "Lamp: rake B moves, blinks on fault",
     "( B_Down | B_Up | B_Fault Blink | Lamp_Test ) -> B_Lamp"),
    ("lamp_conv", "Lamp: conveyor runs, blinks on lockout",
     "( Conv_RunFb | Conv_Lock Blink | Lamp_Test ) -> Conv_Lamp"),
    ("lamp_cont", "Lamp: container full", "( Cont_Alarm | Lamp_Test ) -> Cont_Lamp"),
    ("alarm", "Common alarm to the control room",
     "( A_Fault | B_Fault | Conv_Lock | Conv_Slip | Cont_Alarm | /Press_OK ) -> Common_Alarm"),
)  # fmt: skip


def pous() -> tuple[Pou, ...]:
    """All POUs as built."""
    calls = Pou(
        "ScreenCalls", "program", "FBD", "Starts the rakes and ties them to inputs and outputs",
        (Variable("Rake_A", "RakeCycle"), Variable("Rake_B", "RakeCycle")), rungs=rungs_of(_CALLS),
    )  # fmt: skip
    return (
        rake(),
        calls,
        program("Conveyor", "Belt, press and wash water", rungs_of(_CONVEYOR), "Conv_Wanted"),
        program("Common", "Reset, lamps and common alarm", rungs_of(_COMMON), "Blink_B"),
    )
