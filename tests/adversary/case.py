"""A pair of programs that somebody made to be judged wrongly, and how one is written down in few words.

``differs`` is what the author expects by hand: under at least one reading (see interpreter/readings.py) the two do not
act the same; None: too rare for random runs to show. The interpreter must agree; what asfound says is compared with the interpreter.
"""

from __future__ import annotations

from typing import NamedTuple

PLACES = """VAR
  a AT %IX0.0, b AT %IX0.1, c AT %IX0.2, d AT %IX0.3 : BOOL;
  i AT %IW2 : INT; j AT %IW4 : INT; k AT %IW6 : INT;
  q AT %QX0.0 : BOOL; p AT %QX0.1 : BOOL; y AT %QW2 : INT; z AT %QW4 : INT;
END_VAR
"""
PLACES = PLACES.replace("a AT %IX0.0, b AT %IX0.1, c AT %IX0.2, d AT %IX0.3 : BOOL", (
    "a AT %IX0.0 : BOOL; b AT %IX0.1 : BOOL; c AT %IX0.2 : BOOL; d AT %IX0.3 : BOOL"
))  # fmt: skip
GLOBALS = "total : INT; other : INT; flag : BOOL; list : ARRAY[0..3] OF INT;"
EXTERNALS = "VAR_EXTERNAL total : INT; other : INT; flag : BOOL; list : ARRAY[0..3] OF INT; END_VAR\n"


class Case(NamedTuple):
    id: str
    old: str
    new: str
    differs: bool | None


def program(body: str, own: str = "", before: str = "", globals: str = GLOBALS) -> str:
    """A whole text: inputs a b c d (BOOL) and i j k (INT), outputs q p and y z, globals as above; ``own`` is declared
    in the program besides (whole VAR blocks, or variables of one), ``before`` are other POUs and types.
    """
    own = f"VAR {own} END_VAR\n" if own and not own.lstrip().startswith("VAR") else own
    externals = EXTERNALS if globals == GLOBALS else ""
    if globals and globals != GLOBALS:
        externals = f"VAR_EXTERNAL {globals.replace(' := TRUE', '')} END_VAR\n"
    return (
        f"{before}PROGRAM P\n{PLACES}{externals}{own}\n{body}\nEND_PROGRAM\n"
        f"CONFIGURATION C\nVAR_GLOBAL {globals} END_VAR\nRESOURCE R ON PLC\n"
        "TASK T(INTERVAL := T#10ms, PRIORITY := 1);\nPROGRAM I WITH T : P;\nEND_RESOURCE\nEND_CONFIGURATION\n"
    )


def pair(id: str, old: str, new: str, differs: bool | None, own: str = "", before: str = "") -> Case:
    """Two bodies in the same surroundings."""
    return Case(id, program(old, own, before), program(new, own, before), differs)


def swapped(id: str, first: str, second: str, differs: bool = True, own: str = "", before: str = "") -> Case:
    """Two statements in one order and in the other."""
    return pair(id, f"{first}\n{second}", f"{second}\n{first}", differs, own, before)
