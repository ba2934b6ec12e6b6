"""A plant written anew for every seed: other names, other rungs around those that are edited, another order.

The pieces that edits are made in are written with ``@`` before each name; a seed chooses the names that take their
place. Fillers never use these names, so what an edit does is known whatever stands around it.
"""

from __future__ import annotations

import random
import re

from msgspec.structs import replace

import asfound
from asfound.language.normal import read_normal_form
from asfound.model.copy import Copy

LADDER = """
PROGRAM @Ladder
VAR
  @a, @b, @c, @d, @go, @stop, @alarm : BOOL;
  @perm, @seal, @lamp, @latch, @first, @second, @edge, @both : BOOL;
  @timer : TON; @count : CTU; @spare : TON; @total : INT; @done : BOOL;
  @free : INT;
  $declared
END_VAR
{body LD}
$fill
{network}
  (* permission *)
  @perm := @a AND NOT @b;
$fill
{network}
  @seal := (@go OR @seal) AND NOT @stop;
$fill
{network}
  {call TON} @timer(IN := @seal AND @perm, PT := T#5s);
  @lamp := @timer.Q AND @c;
$fill
{network}
  {call CTU} @count(CU := @c, R := @stop, PV := 10);
  @done := @count.Q;
$fill
{network}
  @latch S= @alarm;
{network}
  @latch R= @stop;
$fill
{network}
  @edge := R_EDGE(@d) AND @c;
{network}
  @both := @a AND @b OR @c AND @d;
$fill
{network}
  @first := @a AND @c;
{network}
  @second := @first OR @d;
{network}
  {when} IF @both THEN JMP Skip; END_IF;
{network}
  {when} IF @perm THEN @total := ADD(@total, 1); END_IF;
{network}
  Skip:
  @alarm := @done AND @b;
END_PROGRAM
"""

BLOCKS = """
PROGRAM @Blocks
VAR
  @x, @y, @z, @sum, @diff, @least, @scaled : INT;
  @high, @run, @hold, @wait : BOOL;
  @pulse : TP; @keep : SR;
  $declared
END_VAR
{body FBD}
$fill
{network}
  @sum := ADD(@x, @y);
$fill
{network}
  @diff := SUB(@x, @z);
{network}
  @least := MIN(@sum, @z);
$fill
{network}
  @high := GT(@x, 100);
{network}
  {call TP} @pulse(IN := @run, PT := T#2s);
  @wait := @pulse.Q;
$fill
{network}
  {call SR} @keep(S1 := @run, R := @high);
  @hold := @keep.Q1;
{network}
  @scaled := SEL(@hold, @x, @y);
END_PROGRAM
"""

TEXT = """
FUNCTION @Limited : INT
VAR_INPUT @value, @top : INT; END_VAR
IF @value > @top THEN @Limited := @top; ELSE @Limited := @value; END_IF;
END_FUNCTION

FUNCTION_BLOCK @Motor
VAR_INPUT @start : BOOL; @speed : INT; END_VAR
VAR_OUTPUT @runs : BOOL; END_VAR
VAR @hours : DINT; END_VAR
@runs := @start AND @speed > 0;
END_FUNCTION_BLOCK

PROGRAM @Text
VAR
  @level, @mode, @index, @amount, @rest, @twice : INT;
  @ready, @busy, @fault, @ack : BOOL;
  @pump : @Motor;
  @row : ARRAY[0..9] OF INT;
  @delay : TIME := T#1s500ms;
  $declared
END_VAR
(* level control *)
$fill
IF @level > 50 THEN
  @ready := TRUE;
ELSE
  @ready := FALSE;
END_IF;
$fill
CASE @mode OF
  1: @amount := 10;
  2, 3: @amount := 20;
ELSE
  @amount := 0;
END_CASE;
$fill
FOR @index := 0 TO 5 DO
  @row[@index] := @amount;
END_FOR;
WHILE @rest > 10 DO
  @rest := @rest - 3;
END_WHILE;
REPEAT
  @twice := @twice * 2;
UNTIL @twice > 64
END_REPEAT;
$fill
@pump(@start := @ready AND NOT @fault, @speed := 30);
@busy := @pump.@runs;
@fault := @Limited(@level, 80) > 70;
$fill
@ack := @busy OR @fault;
END_PROGRAM
"""

LINES = """
PROGRAM @Lines
VAR
  @in1, @in2, @in3, @out1, @out2 : BOOL;
  @num, @step2 : INT;
  @watch : TON;
  $declared
END_VAR
LD @in1
AND @in2
OR @in3
ST @out1
LD @in3
JMPCN later
LD @num
ADD 1
ST @num
later: LD @out1
ANDN @in2
S @out2
CAL @watch(IN := @out2, PT := T#3s)
END_PROGRAM
"""

CHART = """
PROGRAM @Chart
VAR
  @begin, @full, @empty, @abort, @hot, @valve, @drain, @heater, @mixer : BOOL;
  $declared
END_VAR
{body SFC}
{chart}
INITIAL_STEP @Idle:
END_STEP
STEP @Fill:
  @Open(N);
  @mixer(D, T#4s);
END_STEP
STEP @Heat:
  @Warm(S);
END_STEP
STEP @Empty:
  @Out(N);
  @Warm(R);
END_STEP
TRANSITION FROM @Idle TO @Fill
  := @begin AND NOT @abort;
END_TRANSITION
TRANSITION FROM @Fill TO @Heat
  := @full;
END_TRANSITION
TRANSITION FROM @Fill TO @Empty
  := @abort;
END_TRANSITION
TRANSITION FROM @Heat TO @Empty
  := @hot;
END_TRANSITION
TRANSITION FROM @Empty TO @Idle
  := @empty;
END_TRANSITION
ACTION @Open:
@valve := NOT @full;
END_ACTION
ACTION @Warm:
@heater := TRUE;
END_ACTION
ACTION @Out:
@drain := TRUE;
END_ACTION
END_PROGRAM
"""

FRAME = """
TYPE
  @Recipe : STRUCT
    @dose : INT := 5;
    @name : STRING[20];
  END_STRUCT;
  @Colour : (@red, @green, @blue);
  @Tank : ARRAY[1..4] OF INT;
  @Percent : INT (0..100);
  @Alias : @Recipe;
END_TYPE

CONFIGURATION @Plant
VAR_GLOBAL
  @estop AT %IX0.0 : BOOL; (* emergency stop *)
  @horn AT %QX1.3 : BOOL;
  @setpoint : INT := 42;
END_VAR
VAR_GLOBAL RETAIN
  @kept : DINT;
END_VAR
RESOURCE @Cpu ON PLC
TASK @Fast(INTERVAL := T#10ms, PRIORITY := 1);
TASK @Slow(INTERVAL := T#100ms, PRIORITY := 5);
PROGRAM @I1 WITH @Fast : @Ladder;
PROGRAM @I2 WITH @Slow : @Blocks;
PROGRAM @I3 WITH @Slow : @Text;
PROGRAM @I4 WITH @Slow : @Lines;
PROGRAM @I5 WITH @Slow : @Chart;
END_RESOURCE
END_CONFIGURATION
"""

TEMPLATE = "\n".join((TEXT, LADDER, BLOCKS, LINES, CHART, FRAME))
_NAME = re.compile(r"@(\w+)")
_SYLLABLES = ("ba", "de", "fo", "gi", "ku", "la", "me", "no", "pi", "ru", "sa", "te", "vo", "xi", "zu")


def names(template: str, seed: int) -> dict[str, str]:
    """A name for every name of the template, all different, whatever their case."""
    rng = random.Random(seed)
    chosen: dict[str, str] = {}
    for key in dict.fromkeys(_NAME.findall(template)):
        word = "".join(rng.choice(_SYLLABLES) for _ in range(3))
        chosen[key] = f"{word.capitalize() if key[0].isupper() else word}_{len(chosen)}"
    return chosen


def filled(template: str, seed: int) -> str:
    """The template with fillers of its own in every POU; names are still written with ``@``."""
    rng = random.Random(seed + 1)
    pous = re.split(r"(?=^PROGRAM )", template, flags=re.M)
    return "".join(_fill(pou, rng, number) for number, pou in enumerate(pous))


def _fill(pou: str, rng: random.Random, number: int) -> str:
    declared: list[str] = []
    head = "{network}\n" if "{body LD}" in pou or "{body FBD}" in pou else ""

    def piece(_: re.Match[str]) -> str:
        lines = []
        for _n in range(rng.randrange(3)):
            target, *inputs = (f"f{number}_{len(declared)}_{k}" for k in range(4))
            declared.extend((target, *inputs))
            value = rng.choice(("{0} AND {1}", "{0} OR {1} AND {2}", "NOT {0} AND ({1} OR {2})"))
            lines.append(f"{head}{target} := {value.format(*inputs)};")
        return "\n".join(lines)

    text = re.sub(r"^\$fill$", piece, pou, flags=re.M)
    return text.replace("$declared", f"{', '.join(declared)} : BOOL;" if declared else "")


def written(template: str, chosen: dict[str, str]) -> str:
    """The program text of a template."""
    return _NAME.sub(lambda found: chosen.get(found[1], found[1]), template)


def read(text: str) -> Copy:
    """The copy of a program text; ladders and block diagrams are written in the normal form, which has rungs."""
    pous = re.split(r"(?=^(?:PROGRAM|FUNCTION|TYPE|CONFIGURATION)\b(?!.* WITH ))", text, flags=re.M)
    drawn = [pou for pou in pous if "{body " in pou]
    plain = asfound.read("".join(pou for pou in pous if pou not in drawn).encode(), "plant.st")
    pages = {f"program/pous/{number}.st": "{normal 1}\n" + pou for number, pou in enumerate(drawn)}
    more = read_normal_form(pages).program.pous
    return replace(plain, program=replace(plain.program, pous=(*plain.program.pous, *more)))
