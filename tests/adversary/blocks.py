"""Timers, edges, counters, actions, methods, enable pins: what is called twice, conditionally or in another order."""

from __future__ import annotations

from .case import Case, pair

POUS = """FUNCTION_BLOCK Motor
VAR_INPUT on : BOOL; rpm : INT; END_VAR
VAR_OUTPUT run : BOOL; count : INT; END_VAR
VAR was : BOOL; END_VAR
IF on AND NOT was THEN count := count + 1; END_IF;
was := on;
run := on AND rpm > 0;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Pulse
VAR_INPUT x : BOOL R_EDGE; END_VAR
VAR_OUTPUT n : INT; END_VAR
IF x THEN n := n + 1; END_IF;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Tank
VAR_OUTPUT level : INT; END_VAR
METHOD PUBLIC Fill : INT
VAR_INPUT n : INT; END_VAR
level := level + n;
Fill := level;
END_METHOD
METHOD PUBLIC Drain : BOOL
level := level / 2;
Drain := level > 3;
END_METHOD
END_FUNCTION_BLOCK
FUNCTION Plain : INT
VAR_INPUT v : INT; END_VAR
Plain := v + 1;
END_FUNCTION
FUNCTION Counting : INT
VAR_INPUT v : INT; END_VAR
VAR_EXTERNAL total : INT; END_VAR
total := total + 1;
Counting := v + 1;
END_FUNCTION
"""
OWN = (
    "t : TON; u : TON; o : TOF; x : TP; e : R_TRIG; f : F_TRIG; g : R_TRIG; n : CTU; m : Motor; v : Pulse; w : Tank; "
    "s : SR; r : RS; h : INT; l : BOOL; ok : BOOL;"
)


def _pair(id: str, old: str, new: str, differs: bool = True) -> Case:
    return pair(f"block_{id}", old, new, differs, OWN, POUS)


def _action(id: str, old: str, new: str, first: str, second: str = "", differs: bool = True) -> Case:
    actions = f"\nACTION Act:\n{first}\nEND_ACTION" + (f"\nACTION More:\n{second}\nEND_ACTION" if second else "")
    return pair(f"action_{id}", old + actions, new + actions, differs, OWN, POUS)


CASES = [
    _pair("timer_called_twice", "t(IN := a, PT := T#5s); q := t.Q;", "t(IN := a, PT := T#5s); t(IN := a, PT := T#5s); q := t.Q;", False),
    _pair("timer_called_twice_apart", "t(IN := a, PT := T#5s); q := t.Q; t(IN := b, PT := T#5s);", "t(IN := a, PT := T#5s); q := t.Q;"),
    _pair("timer_conditionally", "t(IN := a, PT := T#5s); q := t.Q;", "IF a THEN t(IN := TRUE, PT := T#5s); END_IF; q := t.Q;"),
    _pair("timer_in_both_branches", "t(IN := a, PT := T#5s); q := t.Q;", "IF a THEN t(IN := TRUE, PT := T#5s); ELSE t(IN := FALSE, PT := T#5s); END_IF; q := t.Q;", False),
    _pair("timer_read_before_call", "t(IN := a, PT := T#5s); q := t.Q;", "q := t.Q; t(IN := a, PT := T#5s);"),
    _pair("timer_preset_changed", "t(IN := a, PT := T#5s); q := t.Q;", "t(IN := a, PT := T#8s); q := t.Q;"),
    _pair("timer_preset_spelled", "t(IN := a, PT := T#5s); q := t.Q;", "t(IN := a, PT := T#5000ms); q := t.Q;", False),
    _pair("timer_et_against_q", "t(IN := a, PT := T#5s); q := t.Q;", "t(IN := a, PT := T#5s); q := t.ET >= T#5s;", False),
    _pair("two_timers_turned", "t(IN := a, PT := T#5s); u(IN := b, PT := T#8s); q := t.Q; p := u.Q;", "u(IN := b, PT := T#8s); t(IN := a, PT := T#5s); q := t.Q; p := u.Q;", False),
    _pair("two_timers_in_a_row_turned", "t(IN := a, PT := T#10ms); u(IN := t.Q, PT := T#10ms); q := u.Q;", "u(IN := t.Q, PT := T#10ms); t(IN := a, PT := T#10ms); q := u.Q;"),
    _pair("self_resetting_timer", "t(IN := NOT l, PT := T#1s); l := t.Q; IF l THEN h := h + 1; END_IF; y := h;", "l := t.Q; t(IN := NOT l, PT := T#1s); IF l THEN h := h + 1; END_IF; y := h;"),
    _pair("on_delay_or_off_delay", "t(IN := a, PT := T#5s); q := t.Q;", "o(IN := a, PT := T#5s); q := o.Q;"),
    _pair("off_delay_or_pulse", "o(IN := a, PT := T#5s); q := o.Q;", "x(IN := a, PT := T#5s); q := x.Q;"),
    _pair("pin_written_before_call", "t.IN := a; t(PT := T#5s); q := t.Q;", "t(IN := a, PT := T#5s); q := t.Q;", False),
    _pair("pin_left_out_keeps", "t(IN := a, PT := T#5s); t(IN := a); q := t.Q;", "t(IN := a, PT := T#5s); t(IN := a, PT := T#5s); q := t.Q;", False),
    _pair("edge_in_a_branch", "e(CLK := a); IF b AND e.Q THEN h := h + 1; END_IF; y := h;", "IF b THEN e(CLK := a); IF e.Q THEN h := h + 1; END_IF; END_IF; y := h;"),
    _pair("edge_called_twice", "e(CLK := a); IF e.Q THEN h := h + 1; END_IF; y := h;", "e(CLK := a); e(CLK := a); IF e.Q THEN h := h + 1; END_IF; y := h;"),
    _pair("one_edge_block_for_two", "e(CLK := a); q := e.Q; g(CLK := b); p := g.Q;", "e(CLK := a); q := e.Q; e(CLK := b); p := e.Q;"),
    _pair("edge_of_a_negation", "f(CLK := a); q := f.Q;", "e(CLK := NOT a); q := e.Q;", False),
    _pair("edge_by_hand", "e(CLK := a); q := e.Q;", "q := a AND NOT l; l := a;", False),
    _pair("edge_by_hand_too_early", "e(CLK := a); q := e.Q;", "l := a; q := a AND NOT l;"),
    _pair("counter_twice", "n(CU := a, R := b, PV := 3); q := n.Q; y := n.CV;", "n(CU := a, R := b, PV := 3); n(CU := a, R := b, PV := 3); q := n.Q; y := n.CV;", False),
    _pair("counter_reset_first", "n(CU := a, R := b, PV := 3); y := n.CV;", "IF NOT b THEN n(CU := a, R := FALSE, PV := 3); ELSE n(CU := a, R := TRUE, PV := 3); END_IF; y := n.CV;", False),
    _pair("counter_not_called_in_reset", "n(CU := a, R := b, PV := 3); y := n.CV;", "IF b THEN n.CV := 0; ELSE n(CU := a, R := FALSE, PV := 3); END_IF; y := n.CV;"),
    _pair("set_or_reset_wins", "s(S1 := a, R := b); q := s.Q1;", "r(S := a, R1 := b); q := r.Q1;"),
    _pair("set_wins_written_out", "s(S1 := a, R := b); q := s.Q1;", "l := a OR (NOT b AND l); q := l;", False),
    _pair("motor_called_conditionally", "m(on := a, rpm := i); q := m.run; y := m.count;", "IF a THEN m(on := TRUE, rpm := i); END_IF; q := m.run; y := m.count;"),
    _pair("motor_called_twice", "m(on := a, rpm := i); y := m.count;", "m(on := b, rpm := i); m(on := a, rpm := i); y := m.count;"),
    _pair("motor_input_kept", "m(on := a, rpm := i); m(on := b); q := m.run;", "m(on := a, rpm := i); m(on := b, rpm := i); q := m.run;", False),
    _pair("edge_input_in_a_branch", "v(x := a); y := v.n;", "IF a THEN v(x := a); END_IF; y := v.n;"),
    _pair("edge_input_twice", "v(x := a); y := v.n;", "v(x := a); v(x := a); y := v.n;", False),
    _pair("output_negated", "m(on := a, rpm := i, run => q);", "m(on := a, rpm := i, NOT run => q);"),
    _pair("output_negated_written_out", "m(on := a, rpm := i, NOT run => q);", "m(on := a, rpm := i); q := NOT m.run;", False),
    _pair("output_taken_later", "m(on := a, rpm := i, run => q); m(on := b, rpm := i);", "m(on := a, rpm := i); m(on := b, rpm := i, run => q);"),
    _pair("output_to_a_place_read_as_input", "m(on := l OR a, rpm := i, run => l); q := l;", "m(on := l OR a, rpm := i); q := l; l := m.run;"),
    _pair("enabled_call", "m(EN := b, on := a, rpm := i); y := m.count;", "IF b THEN m(on := a, rpm := i); END_IF; y := m.count;", False),
    _pair("enabled_call_or_gated_input", "m(EN := b, on := a, rpm := i); y := m.count;", "m(on := a AND b, rpm := i); y := m.count;"),
    _pair("eno_is_en", "m(EN := b, on := a, rpm := i, ENO => ok); q := ok;", "m(EN := b, on := a, rpm := i); q := b;", False),
    _pair("eno_is_not_run", "m(EN := b, on := a, rpm := i, ENO => ok); q := ok;", "m(EN := b, on := a, rpm := i); q := m.run;"),
    _pair("enabled_output_keeps", "m(EN := b, on := a, rpm := i, run => q);", "m(EN := b, on := a, rpm := i); q := b AND m.run;"),
    _pair("enabled_function_counts", "h := Counting(EN := a, v := i); y := total;", "h := Counting(v := i); y := total;"),
    _pair("methods_turned", "h := w.Fill(i); l := w.Drain(); y := w.level;", "l := w.Drain(); h := w.Fill(i); y := w.level;"),
    _pair("method_called_twice", "h := w.Fill(1); y := h + h;", "y := w.Fill(1) + w.Fill(1);"),
    _pair("method_result_unused", "h := w.Fill(1); y := w.level;", "y := w.level;"),
    _pair("method_and_read", "h := w.Fill(1);\ny := w.level;", "y := w.level;\nh := w.Fill(1);"),
    _pair("method_in_condition", "h := w.Fill(8); q := a AND w.Drain(); y := w.level;", "h := w.Fill(8); q := w.Drain() AND a; y := w.level;"),
    _pair("function_called_twice_pure", "y := Plain(i) + Plain(i);", "y := 2 * Plain(i);", False),
    _pair("function_called_twice_counting", "y := Counting(i) + Counting(i);", "y := 2 * Counting(i);"),
    _pair("function_inlined", "y := Plain(i);", "y := i + 1;", False),
    _pair("function_inlined_in_comparison", "q := Plain(i) > 5;", "q := i + 1 > 5;"),
    _action("moved", "Act(); y := h;", "y := h; Act();", "h := h + i;"),
    _action("called_twice", "Act(); y := h;", "Act(); Act(); y := h;", "h := h + i;"),
    _action("inlined", "Act(); y := h;", "h := h + i; y := h;", "h := h + i;", differs=False),
    _action("two_turned", "Act(); More(); y := h;", "More(); Act(); y := h;", "h := i;", "h := h * 2;"),
    _action("two_apart_turned", "Act(); More();", "More(); Act();", "y := i;", "z := j;", differs=False),
    _action("in_a_branch", "IF a THEN Act(); END_IF; y := h;", "Act(); y := h;", "h := h + 1;"),
    _action("that_returns", "Act(); y := i;", "IF NOT a THEN y := i; END_IF;", "IF a THEN RETURN; END_IF; h := 1;"),
]  # fmt: skip
