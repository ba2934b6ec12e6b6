"""The standard function blocks as programs, so that a call of one is followed like a call of any other block.

Bistables and edge detectors are exact; counters are exact but for the counting itself, whose ends are the maker's
(``PVmax``); timers keep a state of which only this is known: equal state and equal inputs give equal state and outputs,
and what holds at any time: TON is off and at zero without IN, TOF is on and at zero with it.
Source: the bodies and timing diagrams of IEC 61131-3:2013 tables 43 to 46, from memory. Names with an underscore in
front are hidden: memories, and functions known by their arguments alone.
"""

from __future__ import annotations

import re
from functools import lru_cache

from asfound.language.parser import parse_statements
from asfound.language.standard import block
from asfound.model.program import Body, Pou, VariableDeclaration

UP, DOWN, TIMER = "_UP", "_DOWN", "_TIMER"
"""Functions of the texts below: one counted up, one counted down, and the three of a timer."""
_COUNTED = "_cu := CU AND NOT _mu; _mu := CU;"
_COUNTED_DOWN = "_cd := CD AND NOT _md; _md := CD;"
TEXTS = {
    "R_TRIG": "Q := CLK AND NOT _m; _m := CLK;",
    "F_TRIG": "Q := NOT CLK AND NOT _m; _m := NOT CLK;",
    "SR": "Q1 := S1 OR (NOT R AND Q1);",
    "RS": "Q1 := NOT R1 AND (S OR Q1);",
    "CTU": f"{_COUNTED} IF R THEN CV := 0; ELSIF _cu THEN CV := _UP(CV); END_IF; Q := CV >= PV;",
    "CTD": f"{_COUNTED_DOWN} IF LD THEN CV := PV; ELSIF _cd THEN CV := _DOWN(CV); END_IF; Q := CV <= 0;",
    "CTUD": f"{_COUNTED} {_COUNTED_DOWN} IF R THEN CV := 0; ELSIF LD THEN CV := PV; ELSIF NOT (_cu AND _cd) THEN "
    "IF _cu THEN CV := _UP(CV); ELSIF _cd THEN CV := _DOWN(CV); END_IF; END_IF; QU := CV >= PV; QD := CV <= 0;",
    "TON": "_s := _TIMER_TON(_s, IN, PT); Q := IN AND _TIMER_TON_Q(_s); "
    "IF IN THEN ET := _TIMER_TON_ET(_s); ELSE ET := T#0s; END_IF;",
    "TOF": "_s := _TIMER_TOF(_s, IN, PT); Q := IN OR _TIMER_TOF_Q(_s); "
    "IF IN THEN ET := T#0s; ELSE ET := _TIMER_TOF_ET(_s); END_IF;",
    "TP": "_s := _TIMER_TP(_s, IN, PT); Q := _TIMER_TP_Q(_s); ET := _TIMER_TP_ET(_s);",
}


@lru_cache(maxsize=64)
def standard(type: str) -> Pou | None:
    """The program of a standard function block; None when there is none of that name (in any case)."""
    known = block(type)
    if known is None or known.family not in TEXTS:
        return None
    pins = [
        *(VariableDeclaration(p.name, p.type, "input") for p in known.inputs),
        *(VariableDeclaration(p.name, p.type, "output") for p in known.outputs),
    ]
    text = TEXTS[known.family]
    hidden = [VariableDeclaration(name, "_STATE" if name == "_s" else "BOOL")
              for name in dict.fromkeys(re.findall(r"\b_[a-z]+\b", text))]  # fmt: skip
    body = Body("ST", parse_statements(text))
    return Pou(known.name, "function_block", variables=(*pins, *hidden), bodies=(body,))
