"""The standard blocks as the proofs see them, stepped scan by scan against what the standard says they do.

Source of the expected rows: IEC 61131-3:2013 tables 43 to 46 and the timing diagrams of figure 15, from memory.
"""

from __future__ import annotations

import pytest

from asfound.prove.standard_blocks import TEXTS, standard

from .controller import Controller

ON, OFF = True, False


class Stepped(Controller):
    """Runs the text of a block; time goes on by one second a scan."""

    def __init__(self, type: str) -> None:
        block = standard(type)
        assert block is not None
        kinds = {v.name.casefold(): v.type for v in block.variables}
        defaults = {"BOOL": False, "_STATE": (0, False, False)}
        super().__init__(kinds, {name: defaults.get(kind, 0) for name, kind in kinds.items()})
        self.statements = block.bodies[0].statements

    def step(self, **inputs: object) -> dict[str, object]:
        self.state.update(inputs)
        self.run(self.statements)
        return self.state

    def function(self, name: str, args):
        """What the proofs leave open: counting, and a timer whose state is (elapsed, running, output)."""
        if name in ("_UP", "_DOWN"):
            return args[0] + (1 if name == "_UP" else -1)
        if name.endswith("_Q"):
            return args[0][2]
        if name.endswith("_ET"):
            return args[0][0]
        return {"_TIMER_TON": on_delay, "_TIMER_TOF": off_delay, "_TIMER_TP": pulse}[name](*args)


def on_delay(state, on, preset):
    elapsed = min(state[0] + 1, preset) if state[1] and on else 0
    return elapsed, on, on and elapsed >= preset


def off_delay(state, on, preset):
    elapsed = 0 if on else (min(state[0] + 1, preset) if state[1] or state[2] else state[0])
    return elapsed, on, on or (state[2] and elapsed < preset)


def pulse(state, on, preset):
    elapsed, before, out = state
    if out:
        elapsed = min(elapsed + 1, preset)
        out = elapsed < preset
    elif on and not before:
        elapsed, out = 0, True
    elif not on:
        elapsed = 0
    return elapsed, on, out


def steps(type: str, pins: str, out: str, rows: str) -> None:
    """Each row: inputs, a bar, outputs; ``1`` and ``0`` for a BOOL pin."""
    machine = Stepped(type)
    for number, row in enumerate(rows.strip().splitlines()):
        given, expected = (part.split() for part in row.split("|"))
        names = pins.split()
        values = {n.rstrip("#"): (int(v) if n.endswith("#") else v == "1") for n, v in zip(names, given, strict=True)}
        state = machine.step(**values)
        assert [int(state[n]) for n in out.split()] == [int(v) for v in expected], (number, row)


ROWS = {
    "R_TRIG": ("clk", "q", "0|0\n1|1\n1|0\n0|0\n1|1"),
    "F_TRIG": ("clk", "q", "1|0\n0|1\n0|0\n1|0\n0|1"),
    "SR": ("s1 r", "q1", "0 0|0\n1 0|1\n0 0|1\n0 1|0\n1 1|1"),
    "RS": ("s r1", "q1", "0 0|0\n1 0|1\n0 0|1\n0 1|0\n1 1|0"),
    "CTU": ("cu r pv#", "q cv", "0 0 2|0 0\n1 0 2|0 1\n1 0 2|0 1\n0 0 2|0 1\n1 0 2|1 2\n0 0 2|1 2\n1 1 2|0 0\n0 0 2|0 0\n1 0 2|0 1"),
    "CTD": ("cd ld pv#", "q cv", "0 1 2|0 2\n1 0 2|0 1\n1 0 2|0 1\n0 0 2|0 1\n1 0 2|1 0\n0 1 2|0 2"),
    "CTUD": ("cu cd r ld pv#", "qu qd cv",
             "0 0 0 0 1|0 1 0\n1 0 0 0 1|1 0 1\n0 0 0 0 1|1 0 1\n1 1 0 0 1|1 0 1\n0 0 0 0 1|1 0 1\n0 1 0 0 1|0 1 0\n0 0 0 1 1|1 0 1\n0 0 1 1 1|0 1 0"),
    "TON": ("in pt#", "q et", "0 2|0 0\n1 2|0 0\n1 2|0 1\n1 2|1 2\n1 2|1 2\n0 2|0 0\n1 2|0 0\n0 2|0 0"),
    "TOF": ("in pt#", "q et", "0 2|0 0\n1 2|1 0\n0 2|1 1\n0 2|0 2\n1 2|1 0\n0 2|1 1\n1 2|1 0"),
    "TP": ("in pt#", "q et", "0 2|0 0\n1 2|1 0\n0 2|1 1\n0 2|0 2\n0 2|0 0\n1 2|1 0\n1 2|1 1\n1 2|0 2\n1 2|0 2\n0 2|0 0"),
}  # fmt: skip


def test_every_block_is_known() -> None:
    assert TEXTS.keys() == ROWS.keys()


@pytest.mark.parametrize("type", ROWS)
def test_a_block_does_what_the_standard_says(type: str) -> None:
    steps(type, *ROWS[type])


def test_blocks_of_other_widths_have_the_same_text() -> None:
    for name in ("CTU_DINT", "ctud_ulint", "TON_LTIME"):
        block = standard(name)
        assert block is not None
        assert block.bodies == standard(name.split("_")[0]).bodies
    assert standard("RTC") is None
