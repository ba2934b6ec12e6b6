"""CASE, loops, RETURN, EXIT, jumps."""

from __future__ import annotations

from .case import Case, pair

OWN = "m : INT; n : INT; e : ARRAY[0..3] OF INT; done : BOOL;"


def _pair(id: str, old: str, new: str, differs: bool = True) -> Case:
    return pair(f"control_{id}", old, new, differs, OWN)


CASES = [
    _pair("case_labels_overlap_turned", "CASE i OF 1..5: y := 1; 3: y := 2; END_CASE;", "CASE i OF 3: y := 2; 1..5: y := 1; END_CASE;"),
    _pair("case_arms_apart_turned", "CASE i OF 1: y := 1; 3: y := 2; END_CASE;", "CASE i OF 3: y := 2; 1: y := 1; END_CASE;", False),
    _pair("case_range_split", "CASE i OF 1..3: y := 1; END_CASE;", "CASE i OF 1, 2, 3: y := 1; END_CASE;", False),
    _pair("case_range_shorter", "CASE i OF 1..3: y := 1; END_CASE;", "CASE i OF 1, 2: y := 1; END_CASE;"),
    _pair("case_label_never_reached", "CASE i OF 1..5: y := 1; 3: y := 2; END_CASE;", "CASE i OF 1..5: y := 1; END_CASE;", False),
    _pair("case_else_against_nothing", "CASE i OF 1: y := 1; ELSE y := y; END_CASE;", "CASE i OF 1: y := 1; END_CASE;", False),
    _pair("case_else_zero", "CASE i OF 1: y := 1; ELSE y := 0; END_CASE;", "CASE i OF 1: y := 1; END_CASE;"),
    _pair("case_against_ifs_that_change_it", "m := i; CASE m OF 1: m := 2; 2: m := 3; END_CASE; y := m;", "m := i; IF m = 1 THEN m := 2; END_IF; IF m = 2 THEN m := 3; END_IF; y := m;"),
    _pair("case_against_elsif_that_changes_it", "m := i; CASE m OF 1: m := 2; 2: m := 3; END_CASE; y := m;", "m := i; IF m = 1 THEN m := 2; ELSIF m = 2 THEN m := 3; END_IF; y := m;", False),
    _pair("case_negative_label", "CASE i OF -1: y := 1; END_CASE;", "CASE i OF 1: y := 1; END_CASE;"),
    _pair("for_variable_after_loop", "FOR n := 1 TO 3 DO m := m + 1; END_FOR; y := n;", "FOR n := 1 TO 3 DO m := m + 1; END_FOR; y := 4;"),
    _pair("for_variable_after_loop_last", "FOR n := 1 TO 3 DO m := m + 1; END_FOR; y := n;", "FOR n := 1 TO 3 DO m := m + 1; END_FOR; y := 3;"),
    _pair("for_variable_after_exit", "FOR n := 1 TO 3 DO IF n = 2 THEN EXIT; END_IF; END_FOR; y := n;", "y := 2; n := 2;", False),
    _pair("for_unrolled", "m := 0; FOR n := 0 TO 3 DO m := m + e[n]; END_FOR; y := m;", "m := e[0] + e[1] + e[2] + e[3]; y := m;", False),
    _pair("for_never_runs", "FOR n := 3 TO 1 DO y := 1; END_FOR;", "n := 3;", False),
    _pair("for_down", "m := 0; FOR n := 3 TO 1 BY -1 DO m := m * 2 + n; END_FOR; y := m;", "m := 0; FOR n := 1 TO 3 DO m := m * 2 + n; END_FOR; y := m;"),
    _pair("for_step", "m := 0; FOR n := 0 TO 5 BY 2 DO m := m + n; END_FOR; y := m;", "y := 6;", False),
    _pair("for_end_changed_inside", "m := 3; done := FALSE; FOR n := 1 TO m DO m := 2; END_FOR; y := n;", "m := 3; FOR n := 1 TO 3 DO m := 2; END_FOR; y := n;"),
    _pair("for_variable_written_inside", "m := 0; FOR n := 1 TO 5 DO m := m + 1; n := n + 1; END_FOR; y := m;", "m := 0; FOR n := 1 TO 5 BY 2 DO m := m + 1; END_FOR; y := m;", False),
    _pair("exit_before_or_after_the_write", "FOR n := 1 TO 3 DO IF a THEN EXIT; END_IF; y := n; END_FOR;", "FOR n := 1 TO 3 DO y := n; IF a THEN EXIT; END_IF; END_FOR;"),
    _pair("exit_of_the_inner_loop", "m := 0; FOR n := 1 TO 2 DO WHILE TRUE DO m := m + 1; EXIT; END_WHILE; END_FOR; y := m;", "y := 2; m := 2;", False),
    _pair("exit_leaves_one_loop_only", "m := 0; FOR n := 1 TO 2 DO WHILE TRUE DO m := m + 1; EXIT; END_WHILE; END_FOR; y := m;", "y := 1; m := 1;"),
    _pair("continue_against_if", "m := 0; FOR n := 1 TO 4 DO IF n = i THEN CONTINUE; END_IF; m := m + n; END_FOR; y := m;", "m := 0; FOR n := 1 TO 4 DO IF n <> i THEN m := m + n; END_IF; END_FOR; y := m;", False),
    _pair("while_against_repeat", "m := i; WHILE m > 5 DO m := m / 2; END_WHILE; y := m;", "m := i; REPEAT m := m / 2; UNTIL m <= 5 END_REPEAT; y := m;"),
    _pair("while_against_guarded_repeat", "m := i; WHILE m > 5 DO m := m / 2; END_WHILE; y := m;", "m := i; IF m > 5 THEN REPEAT m := m / 2; UNTIL m <= 5 END_REPEAT; END_IF; y := m;", False),
    _pair("return_moved_before_a_write", "q := a; IF b THEN RETURN; END_IF; y := i;", "IF b THEN RETURN; END_IF; q := a; y := i;"),
    _pair("return_moved_behind_a_write", "IF b THEN RETURN; END_IF; y := i; q := a;", "y := i; IF b THEN RETURN; END_IF; q := a;"),
    _pair("return_against_if", "IF b THEN RETURN; END_IF; y := i; q := a;", "IF NOT b THEN y := i; q := a; END_IF;", False),
    _pair("return_at_the_end", "q := a; RETURN;", "q := a;", False),
    _pair("return_in_case", "CASE i OF 1: RETURN; END_CASE; y := j;", "IF i <> 1 THEN y := j; END_IF;", False),
    _pair("dead_code_after_return", "q := a; RETURN; p := b;", "q := a; RETURN;", False),
    _pair("dead_code_before_return", "q := a; p := b; RETURN;", "q := a; RETURN; p := b;"),
    _pair("last_writer_wins", "q := a; q := b;", "q := b; q := a;"),
    _pair("last_writer_wins_first_dropped", "q := a; q := b;", "q := b;", False),
    _pair("read_between_two_writes", "q := a; p := q; q := b;", "p := q; q := b;"),
    _pair("set_then_reset", "IF a THEN q := TRUE; END_IF; IF b THEN q := FALSE; END_IF;", "IF b THEN q := FALSE; END_IF; IF a THEN q := TRUE; END_IF;"),
    _pair("set_then_reset_as_latch", "IF a THEN q := TRUE; END_IF; IF b THEN q := FALSE; END_IF;", "q := (a OR q) AND NOT b;", False),
    _pair("if_without_else_keeps", "IF a THEN q := b; END_IF;", "q := a AND b;"),
    _pair("if_without_else_keeps_written_out", "IF a THEN q := b; END_IF;", "q := (a AND b) OR (NOT a AND q);", False),
    _pair("old_value_used", "y := m; m := i;", "m := i; y := m;"),
    _pair("delayed_by_a_cycle", "y := n; n := m; m := i;", "y := m; m := n; n := i;", False),
    _pair("branches_turned", "IF a THEN y := 1; ELSE y := 2; END_IF;", "IF NOT a THEN y := 2; ELSE y := 1; END_IF;", False),
    _pair("elsif_turned", "IF a THEN y := 1; ELSIF b THEN y := 2; END_IF;", "IF b THEN y := 2; ELSIF a THEN y := 1; END_IF;"),
    _pair("elsif_turned_exclusive", "IF i > 5 THEN y := 1; ELSIF i < 3 THEN y := 2; END_IF;", "IF i < 3 THEN y := 2; ELSIF i > 5 THEN y := 1; END_IF;", False),
    _pair("condition_written_inside", "m := i; IF m > 3 THEN m := 0; y := 1; END_IF; IF m <= 3 THEN y := 2; END_IF;", "m := i; IF m > 3 THEN m := 0; y := 1; ELSE y := 2; END_IF;"),
]  # fmt: skip
