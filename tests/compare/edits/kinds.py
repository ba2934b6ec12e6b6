"""The edits: what is written instead of what, and what a comparison has to say about it.

Each row holds the name of the edit, its language, the replacements in the template of :mod:`.plant`, then area, kind and
effect, where it is, and words that the summary or the details hold (``@`` before the names of the template). Effects
follow from the meaning of the languages in IEC 61131-3; that these are the edits people make is common practice.
"""

from __future__ import annotations

from typing import NamedTuple

B, E, D, U = "behaviour", "equivalent", "documentation", "undecided"


class Edit(NamedTuple):
    """``parts`` are (old, new) texts of the template, each of which occurs exactly once."""

    name: str
    language: str
    parts: tuple[tuple[str, str], ...]
    area: str
    kind: str
    effect: str
    where: str
    words: str


def one(name: str, language: str, old: str, new: str, *rest: str) -> Edit:
    """An edit with one replacement; ``rest`` are area, kind, effect, where, words."""
    return Edit(name, language, ((old, new),), *rest)


SEAL = "@seal := (@go OR @seal) AND NOT @stop;"
PERM = "@perm := @a AND NOT @b;"
BOTH = "@both := @a AND @b OR @c AND @d;"
NET = "{network}\n"
FIRST, SECOND = f"{NET}  @first := @a AND @c;\n", f"{NET}  @second := @first OR @d;\n"
SET, RESET = f"{NET}  @latch S= @alarm;\n", f"{NET}  @latch R= @stop;\n"
JUMP = "  {when} IF @both THEN JMP Skip; END_IF;"
L = "@Ladder"

LADDER = (
    one("contact added in series", "LD", PERM, "@perm := @a AND NOT @b AND @c;", "logic", "changed", B, L, "contact @c added in series"),
    one("contact added in parallel", "LD", SEAL, "@seal := (@go OR @seal OR @d) AND NOT @stop;", "logic", "changed", B, L, "contact @d added in parallel"),
    one("interlock bridged", "LD", PERM, "@perm := (@a OR @d) AND NOT @b;", "logic", "changed", B, L, "contact @d added in parallel to @a"),
    one("contact removed from the series", "LD", SEAL, "@seal := @go OR @seal;", "logic", "changed", B, L, "@stop removed from the series"),
    one("branch removed", "LD", SEAL, "@seal := @seal AND NOT @stop;", "logic", "changed", B, L, "contact @go removed from the parallel branches"),
    one("normally closed to normally open", "LD", PERM, "@perm := @a AND @b;", "logic", "changed", B, L, "@b: normally closed -> normally open"),
    one("edge on a contact", "LD", PERM, "@perm := R_EDGE(@a) AND NOT @b;", "logic", "changed", B, L, "@a: normally open -> rising edge"),
    one("rising to falling edge", "LD", "R_EDGE(@d)", "F_EDGE(@d)", "logic", "changed", B, L, "@d: rising edge -> falling edge"),
    one("operand replaced", "LD", PERM, "@perm := @d AND NOT @b;", "logic", "changed", B, L, "contact @a replaced by @d"),
    one("coil replaced", "LD", "@perm := @a AND NOT @b;", "@lamp := @a AND NOT @b;", "logic", "changed", B, L, "coil @perm replaced by coil @lamp"),
    one("coil to set coil", "LD", PERM, "@perm S= @a AND NOT @b;", "logic", "changed", B, L, "coil -> set coil"),
    one("set coil to reset coil", "LD", "@latch S= @alarm;", "@latch R= @alarm;", "logic", "changed", B, L, "set coil -> reset coil"),
    one("coil negated", "LD", PERM, "@perm := NOT (@a AND NOT @b);", "logic", "changed", B, L, "negated"),
    one("preset of a timer", "LD", "PT := T#5s", "PT := T#8s", "logic", "changed", B, L, "preset PT of TON @timer: T#5s -> T#8s"),
    one("preset of a counter", "LD", "PV := 10", "PV := 12", "logic", "changed", B, L, "preset PV of CTU @count: 10 -> 12"),
    Edit("block type", "LD", (("{call TON} @timer", "{call TOF} @timer"), ("@timer : TON", "@timer : TOF")), "logic", "changed", B, L, "block type TON replaced by TOF"),
    one("input of a block fed by another contact", "LD", "IN := @seal AND @perm", "IN := @go", "logic", "changed", B, L, "input IN of TON @timer"),
    one("reset input disconnected", "LD", "CU := @c, R := @stop,", "CU := @c,", "logic", "changed", B, L, "input R of CTU @count no longer connected (was @stop)"),
    one("another instance", "LD", "{call TON} @timer(", "{call TON} @spare(", "logic", "changed", B, L, "@timer replaced by @spare"),
    one("rung added", "LD", SET, f"{NET}  @free2 := @alarm AND @c;\n{SET}", "logic", "added", B, L, "rung added: @free2 := "),
    one("rung removed", "LD", f"{NET}  @edge := R_EDGE(@d) AND @c;\n", "", "logic", "removed", B, L, "rung removed: @edge := "),
    Edit("rung moved past others that do not touch it", "LD", ((f"{NET}  @edge := R_EDGE(@d) AND @c;\n", ""), (SET, f"{NET}  @edge := R_EDGE(@d) AND @c;\n{SET}")), "logic", "moved", E, L, "moved to"),
    Edit("rung moved behind the one that reads it", "LD", ((FIRST, ""), (SECOND, SECOND + FIRST)), "logic", "moved", B, L, "@first"),
    Edit("set and reset change places", "LD", ((SET, ""), (RESET, RESET + SET)), "logic", "moved", B, L, "@latch"),
    one("comment of a rung", "LD", "(* permission *)", "(* permission to start *)", "logic", "changed", D, L, "permission to start"),
    one("contacts in another order", "LD", PERM, "@perm := NOT @b AND @a;", "logic", "changed", E, L, "operands in another order"),
    one("negations written in another way", "LD", PERM, "@perm := NOT (NOT @a OR @b);", "logic", "changed", E, L, "negations written in another way"),
    one("rung factored in another way", "LD", BOTH, "@both := (@a OR @c) AND (@a OR @d) AND (@b OR @c) AND (@b OR @d);", "logic", "changed", E, L, "proved to act the same"),
    one("redundant contact removed", "LD", BOTH, "@both := @a AND @b OR @c AND @d OR @a AND @b AND @c;", "logic", "changed", E, L, "proved to act the same"),
    one("jump condition", "LD", JUMP, "  {when} IF @done THEN JMP Skip; END_IF;", "logic", "changed", B, L, "@both replaced by @done"),
    one("jump made unconditional", "LD", JUMP, "  JMP Skip;", "logic", "changed", B, L, "no longer only while @both"),
    one("jump removed", "LD", f"{NET}{JUMP}\n", "", "logic", "removed", B, L, "rung removed"),
    one("return added", "LD", f"{NET}{JUMP}\n", f"{NET}  {{when}} IF @stop THEN RETURN; END_IF;\n{NET}{JUMP}\n", "logic", "added", B, L, "RETURN"),
    one("enable input", "LD", "{when} IF @perm THEN @total", "{when} IF @done THEN @total", "logic", "changed", B, L, "condition: contact @perm replaced by @done"),
    one("enable input disconnected", "LD", "{when} IF @perm THEN @total := ADD(@total, 1); END_IF;", "@total := ADD(@total, 1);", "logic", "changed", B, L, "no longer only while @perm"),
    one("spelling of a name", "LD", PERM, "@perm := @a_UPPER AND NOT @b;", "logic", "changed", D, L, "only the spelling differs"),
)  # fmt: skip

BL = "@Blocks"
BLOCKS = (
    one("function replaced", "FBD", "@sum := ADD(@x, @y);", "@sum := MUL(@x, @y);", "logic", "changed", B, BL, "function ADD replaced by MUL"),
    one("input negated", "FBD", "SEL(@hold, @x, @y)", "SEL(NOT @hold, @x, @y)", "logic", "changed", B, BL, "@hold"),
    one("constant", "FBD", "GT(@x, 100)", "GT(@x, 120)", "logic", "changed", B, BL, "100 -> 120"),
    one("inputs exchanged where it matters", "FBD", "SUB(@x, @z)", "SUB(@z, @x)", "logic", "changed", B, BL, "of SUB"),
    one("inputs exchanged where it does not matter", "FBD", "ADD(@x, @y)", "ADD(@y, @x)", "logic", "changed", E, BL, ""),
    one("comparison", "FBD", "GT(@x, 100)", "GE(@x, 100)", "logic", "changed", B, BL, "function GT replaced by GE"),
    one("pulse time", "FBD", "PT := T#2s", "PT := T#2s500ms", "logic", "changed", B, BL, "preset PT of TP @pulse: T#2s -> T#2s500ms"),
    one("input fed by another wire", "FBD", "R := @high", "R := @wait", "logic", "changed", B, BL, "input R of SR @keep"),
    one("set dominant to reset dominant", "FBD", "{call SR} @keep(S1 := @run, R := @high)", "{call RS} @keep(S := @run, R1 := @high)", "logic", "changed", B, BL, "block type SR replaced by RS"),
    one("output of a block negated", "FBD", "@hold := @keep.Q1;", "@hold := NOT @keep.Q1;", "logic", "changed", B, BL, "@keep.Q1"),
    one("network added", "FBD", f"{NET}  @scaled", f"{NET}  @free3 := MAX(@x, @y);\n{NET}  @scaled", "logic", "added", B, BL, "network added"),
    one("network removed", "FBD", f"{NET}  @least := MIN(@sum, @z);\n", "", "logic", "removed", B, BL, "network removed"),
)  # fmt: skip

T = "@Text"
TEXT = (
    one("limit of a comparison", "ST", "IF @level > 50", "IF @level > 55", "logic", "changed", B, T, "50"),
    one("greater to greater or equal", "ST", "IF @level > 50", "IF @level >= 50", "logic", "changed", B, T, ">="),
    one("condition of IF", "ST", "IF @level > 50 THEN", "IF @level > 50 AND NOT @fault THEN", "logic", "changed", B, T, "NOT @fault added by AND"),
    one("branch added", "ST", "ELSE\n  @ready := FALSE;", "ELSIF @ack THEN\n  @ready := @busy;\nELSE\n  @ready := FALSE;", "logic", "added", B, T, "branch added"),
    one("statement added inside a branch", "ST", "  @ready := TRUE;\n", "  @ready := TRUE;\n  @ack := FALSE;\n", "logic", "added", B, T, "statement added: @ack := FALSE;"),
    one("statement removed", "ST", "@ack := @busy OR @fault;\n", "", "logic", "removed", B, T, "statement removed: @ack := @busy OR @fault;"),
    one("label of CASE", "ST", "2, 3: @amount", "2, 4: @amount", "logic", "changed", B, T, "4"),
    one("arm of CASE added", "ST", "ELSE\n  @amount := 0;", "  7: @amount := 70;\nELSE\n  @amount := 0;", "logic", "added", B, T, "7"),
    one("ELSE of CASE", "ST", "  @amount := 0;", "  @amount := 1;", "logic", "changed", B, T, "0 -> 1"),
    one("last value of FOR", "ST", "0 TO 5 DO", "0 TO 6 DO", "logic", "changed", B, T, "5 -> 6"),
    one("step of FOR", "ST", "0 TO 5 DO", "0 TO 5 BY 2 DO", "logic", "changed", B, T, "2"),
    one("condition of WHILE", "ST", "WHILE @rest > 10", "WHILE @rest > 11", "logic", "changed", B, T, "11"),
    one("condition of REPEAT", "ST", "UNTIL @twice > 64", "UNTIL @twice > 63", "logic", "changed", B, T, "63"),
    one("EXIT added", "ST", "  @row[@index] := @amount;\n", "  @row[@index] := @amount;\n  EXIT;\n", "logic", "added", B, T, "EXIT"),
    one("RETURN added", "ST", "@pump(@start", "IF @fault THEN RETURN; END_IF;\n@pump(@start", "logic", "added", B, T, "RETURN"),
    one("index of an array", "ST", "@row[@index] := @amount;", "@row[@index + 1] := @amount;", "logic", "changed", B, T, "@row[@index]"),
    one("argument of a call", "ST", "@speed := 30", "@speed := 35", "logic", "changed", B, T, "input @speed of @pump: 30 -> 35"),
    one("argument of a function", "ST", "@Limited(@level, 80)", "@Limited(@level, 60)", "logic", "changed", B, T, "80 -> 60"),
    one("argument of a function that makes no difference", "ST", "@Limited(@level, 80)", "@Limited(@level, 85)", "logic", "changed", E, T, "proved to act the same"),
    one("plus to minus", "ST", "@rest := @rest - 3;", "@rest := @rest + 3;", "logic", "changed", B, T, "@rest - 3 -> @rest + 3"),
    one("or to and", "ST", "@ack := @busy OR @fault;", "@ack := @busy AND @fault;", "logic", "changed", B, T, "AND"),
    Edit("statements exchanged that touch each other", "ST", (("@busy := @pump.@runs;\n", ""), ("@fault := @Limited", "@busy := @pump.@runs;\n@fault := @Limited"), ("@pump(@start := @ready AND NOT @fault, @speed := 30);", "@busy := @pump.@runs;\n@pump(@start := @ready AND NOT @fault, @speed := 30);"), ("@busy := @pump.@runs;\n@fault := @Limited", "@fault := @Limited")), "logic", "moved", B, T, "@pump"),
    Edit("statements exchanged that do not touch each other", "ST", (("@busy := @pump.@runs;\n@fault := @Limited(@level, 80) > 70;", "@fault := @Limited(@level, 80) > 70;\n@busy := @pump.@runs;"),), "logic", "moved", E, T, "moved"),
    one("operands exchanged", "ST", "@ack := @busy OR @fault;", "@ack := @fault OR @busy;", "logic", "changed", E, T, "operands in another order"),
    one("branches exchanged with the condition negated", "ST", "IF @level > 50 THEN\n  @ready := TRUE;\nELSE\n  @ready := FALSE;\nEND_IF;", "@ready := @level > 50;", "logic", "changed", E, T, ""),
    one("comment", "ST", "(* level control *)", "(* level control, see drawing 12 *)", "logic", "changed", D, T, "drawing 12"),
    one("function changed inside", "ST", "@Limited := @top; ELSE", "@Limited := 0; ELSE", "logic", "changed", B, "@Limited", "@top replaced by 0"),
    one("function block changed inside", "ST", "@start AND @speed > 0", "@start AND @speed > 1", "logic", "changed", B, "@Motor", "1"),
)  # fmt: skip

I = "@Lines"  # noqa: E741
LINES = (
    one("load negated", "IL", "LD @in1\n", "LDN @in1\n", "logic", "changed", B, I, "@in1"),
    one("and to or", "IL", "AND @in2\n", "OR @in2\n", "logic", "changed", B, I, ""),
    one("operand of an instruction", "IL", "OR @in3\n", "OR @in1\n", "logic", "changed", B, I, "@in3"),
    one("target of a store", "IL", "ST @out1\n", "ST @out2\n", "logic", "changed", B, I, "@out1 replaced by target @out2"),
    one("store to set", "IL", "S @out2\n", "ST @out2\n", "logic", "changed", B, I, "@out2"),
    one("jump on the other value", "IL", "JMPCN later", "JMPC later", "logic", "changed", B, I, "@in3"),
    one("constant of an instruction", "IL", "ADD 1\n", "ADD 2\n", "logic", "changed", B, I, "2"),
    one("instructions added", "IL", "ST @num\n", "ST @num\nLD @num\nST @step2\n", "logic", "added", B, I, "statement added: @step2 := @num;"),
    one("instructions in another order", "IL", "LD @in1\nAND @in2\n", "LD @in2\nAND @in1\n", "logic", "changed", E, I, "operands in another order"),
    one("input of a called block", "IL", "PT := T#3s", "PT := T#4s", "logic", "changed", B, I, "T#3s -> T#4s"),
)  # fmt: skip

C = "@Chart"
HEAT = "TRANSITION FROM @Fill TO @Heat\n  := @full;\nEND_TRANSITION\n"
ABORT = "TRANSITION FROM @Fill TO @Empty\n  := @abort;\nEND_TRANSITION\n"
CHART = (
    one("condition of a transition", "SFC", ":= @begin AND NOT @abort;", ":= @begin;", "logic", "changed", B, C, "@abort"),
    one("alternatives tried in another order", "SFC", HEAT + ABORT, ABORT + HEAT, "logic", "moved", B, C, "alternatives leaving step @Fill are tried in another order"),
    one("target of a transition", "SFC", "TRANSITION FROM @Heat TO @Empty", "TRANSITION FROM @Heat TO @Fill", "logic", "changed", B, C, "@Heat"),
    one("qualifier of an action", "SFC", "@Open(N)", "@Open(S)", "logic", "changed", B, C, "qualifier of action @Open in step @Fill: N -> S"),
    one("time of an action", "SFC", "@mixer(D, T#4s)", "@mixer(D, T#6s)", "logic", "changed", B, C, "T#4s -> T#6s"),
    one("action added to a step", "SFC", "  @Warm(S);\n", "  @Warm(S);\n  @mixer(N);\n", "logic", "added", B, C, "action @mixer"),
    one("action removed from a step", "SFC", "  @Warm(R);\n", "", "logic", "removed", B, C, "action @Warm"),
    one("code of an action", "SFC", "@valve := NOT @full;", "@valve := NOT @full AND @begin;", "logic", "changed", B, C, "@begin"),
    Edit("initial step", "SFC", (("INITIAL_STEP @Idle:", "STEP @Idle:"), ("STEP @Heat:", "INITIAL_STEP @Heat:")), "logic", "changed", B, C, "initial"),
    one("transition removed", "SFC", ABORT, "", "logic", "removed", B, C, "@Fill -> @Empty"),
)  # fmt: skip

G = "@estop"
DECLARATIONS = (
    one("start value", "declarations", "@setpoint : INT := 42", "@setpoint : INT := 43", "declaration", "changed", B, "@setpoint", "42 -> 43"),
    one("type of a variable", "declarations", "@total : INT", "@total : DINT", "declaration", "changed", B, "@total", "type INT -> DINT"),
    one("address of a variable", "declarations", "@horn AT %QX1.3", "@horn AT %QX1.4", "declaration", "readdressed", B, "@horn", "%QX1.3 -> %QX1.4"),
    one("retention lost", "declarations", "VAR_GLOBAL RETAIN", "VAR_GLOBAL", "declaration", "changed", B, "@kept", "retain"),
    one("comment of a variable", "declarations", "(* emergency stop *)", "(* emergency stop, door side *)", "declaration", "changed", D, "@estop", "door side"),
    one("variable added", "declarations", "@free : INT;", "@free : INT; @more : INT;", "declaration", "added", E, "@more", "@more"),
    one("variable removed", "declarations", "@free : INT;", "", "declaration", "removed", E, "@free", "@free"),
    one("bounds of an array", "declarations", "ARRAY[0..9]", "ARRAY[0..8]", "declaration", "changed", B, "@row", "0..9"),
    one("start value of a time", "declarations", "T#1s500ms", "T#1s600ms", "declaration", "changed", B, "@delay", "T#1s600ms"),
    one("order of arguments of a function", "declarations", "@value, @top : INT", "@top, @value : INT", "declaration", "moved", B, "@Limited", "order of inputs changed"),
    one("member of a structure", "declarations", "@dose : INT := 5;", "@dose : INT := 6;", "datatype", "changed", B, "@Recipe", "5 -> 6"),
    one("order of members", "declarations", "@dose : INT := 5;\n    @name : STRING[20];", "@name : STRING[20];\n    @dose : INT := 5;", "datatype", "moved", B, "@Recipe", "order of members changed"),
    one("value of an enumeration", "declarations", "@green, @blue)", "@blue, @green)", "datatype", "changed", B, "@Colour", ""),
    one("bounds of an array type", "declarations", "ARRAY[1..4] OF INT", "ARRAY[1..5] OF INT", "datatype", "changed", B, "@Tank", "1..5"),
    one("range of a subrange", "declarations", "INT (0..100)", "INT (0..120)", "datatype", "changed", B, "@Percent", "120"),
    one("interval of a task", "tasks", "T#10ms", "T#20ms", "task", "changed", B, "@Fast", "T#10ms -> T#20ms"),
    one("priority of a task", "tasks", "PRIORITY := 5", "PRIORITY := 3", "task", "changed", B, "@Slow", "5 -> 3"),
    one("program in another task", "tasks", "@I3 WITH @Slow", "@I3 WITH @Fast", "task", "changed", B, "@I3", "@Slow -> @Fast"),
    one("program no longer run", "tasks", "PROGRAM @I2 WITH @Slow : @Blocks;\n", "", "task", "removed", B, "@I2", "@I2"),
    one("task added", "tasks", "TASK @Slow", "TASK @New(INTERVAL := T#1s, PRIORITY := 9);\nTASK @Slow", "task", "added", D, "@New", "@New"),
)  # fmt: skip


RENAMES = (
    "perm",
    "timer",
    "x",
    "level",
    "in1",
    "Fill",
    "Open",
    "estop",
    "Motor",
    "Ladder",
    "Recipe",
    "Percent",
    "I2",
    "Fast",
)
"""Names that are written anew everywhere: each is one change, and nothing else is said."""

EDITS = (*LADDER, *BLOCKS, *TEXT, *LINES, *CHART, *DECLARATIONS)
