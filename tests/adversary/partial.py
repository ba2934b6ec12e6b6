"""What can fail: divisions, indexes; and the guards before them."""

from __future__ import annotations

from .case import Case, pair, swapped

OWN = "e : ARRAY[0..3] OF INT := [1, 2, 3, 4]; m : INT; n : INT; r : REAL; s : INT (0..9);"


def _pair(id: str, old: str, new: str, differs: bool = True) -> Case:
    return pair(f"guard_{id}", old, new, differs, OWN)


def _swapped(id: str, first: str, second: str, differs: bool = True) -> Case:
    return swapped(f"guard_{id}", first, second, differs, OWN)


CASES = [
    _pair("and_swapped", "q := (i <> 0) AND (10 / i > 2);", "q := (10 / i > 2) AND (i <> 0);"),
    _pair("and_of_three_last_moved", "q := a AND (i <> 0) AND (10 / i > 2);", "q := a AND (10 / i > 2) AND (i <> 0);"),
    _pair("and_of_three_first_moved", "q := a AND (i <> 0) AND (10 / i > 2);", "q := (i <> 0) AND (10 / i > 2) AND a;", False),
    _pair("and_of_three_guards_swapped", "q := a AND (i <> 0) AND (10 / i > 2);", "q := (i <> 0) AND a AND (10 / i > 2);", False),
    _pair("or_swapped", "q := (i = 0) OR (10 / i > 2);", "q := (10 / i > 2) OR (i = 0);"),
    _pair("or_of_three", "q := a OR (i = 0) OR (10 / i > 2);", "q := (10 / i > 2) OR a OR (i = 0);"),
    _pair("and_against_function", "q := (i <> 0) AND (10 / i > 2);", "q := AND(i <> 0, 10 / i > 2);"),
    _pair("and_against_nested_if", "q := FALSE; IF i <> 0 THEN IF 10 / i > 2 THEN q := TRUE; END_IF; END_IF;",
          "q := FALSE; IF (i <> 0) AND (10 / i > 2) THEN q := TRUE; END_IF;"),
    _pair("nested_if_swapped", "q := FALSE; IF i <> 0 THEN IF 10 / i > 2 THEN q := TRUE; END_IF; END_IF;",
          "q := FALSE; IF 10 / i > 2 THEN IF i <> 0 THEN q := TRUE; END_IF; END_IF;"),
    _pair("nested_if_other_condition_swapped", "q := FALSE; IF a THEN IF b THEN q := TRUE; END_IF; END_IF;",
          "q := FALSE; IF b THEN IF a THEN q := TRUE; END_IF; END_IF;", False),
    _pair("guard_dropped", "q := (i <> 0) AND (10 / i > 2);", "q := 10 / i > 2;"),
    _pair("guard_weakened", "q := (i > 0) AND (10 / i > 2);", "q := 10 / i > 2;"),
    _pair("negated_by_de_morgan", "q := NOT ((i = 0) OR (10 / i <= 2));", "q := (i <> 0) AND (10 / i > 2);", False),
    _pair("negated_and_swapped", "q := NOT ((i = 0) OR (10 / i <= 2));", "q := (10 / i > 2) AND (i <> 0);"),
    _pair("mod_swapped", "q := (j <> 0) AND (i MOD j = 1);", "q := (i MOD j = 1) AND (j <> 0);"),
    _pair("xor_has_no_guard", "q := (i <> 0) XOR (10 / i > 2);", "q := (10 / i > 2) XOR (i <> 0);", False),
    _pair("division_hoisted", "IF i <> 0 THEN y := 10 / i; END_IF;", "m := 10 / i; IF i <> 0 THEN y := m; END_IF;"),
    _pair("division_sunk", "m := 10 / i; IF a THEN y := m; END_IF;", "IF a THEN m := 10 / i; y := m; END_IF;"),
    _pair("division_result_unused", "m := 10 / i; y := j;", "m := 0; y := j;"),
    _pair("division_times_zero", "y := 0 * (10 / i);", "y := 0;"),
    _pair("division_minus_itself", "y := 10 / i - 10 / i;", "y := 0;"),
    _pair("division_compared_with_itself", "q := 10 / i = 10 / i;", "q := TRUE;"),
    _pair("division_multiplied_out", "q := i / j > 2;", "q := i > 2 * j;"),
    _pair("i_over_i", "y := i / i;", "y := 1;"),
    _pair("selector_guards", "y := SEL(i = 0, 10 / i, 0);", "IF i = 0 THEN y := 0; ELSE y := 10 / i; END_IF;"),
    _pair("mux_guards", "y := MUX(BOOL_TO_INT(a), j, 10 / i);", "IF a THEN y := 10 / i; ELSE y := j; END_IF;"),
    _pair("or_true_absorbs", "q := a OR NOT a OR (10 / i > 2);", "q := TRUE;"),
    _pair("and_false_absorbs", "q := (10 / i > 2) AND FALSE;", "q := FALSE;"),
    _pair("absorbed", "q := a OR (a AND (10 / i > 2));", "q := a;"),
    _pair("distributed", "q := (a AND (10 / i > 2)) OR (b AND (10 / i > 2));", "q := (a OR b) AND (10 / i > 2);", False),
    _pair("common_part_in_front", "q := (a AND (10 / i > 2)) OR (b AND (10 / i > 2));", "q := (10 / i > 2) AND (a OR b);"),
    _pair("same_term_twice", "q := (10 / i > 2) AND (10 / i > 2);", "q := 10 / i > 2;", False),
    _pair("literal_divisor", "q := a AND (i / 10 > 2);", "q := (i / 10 > 2) AND a;", False),
    _pair("index_guard_swapped", "q := (i >= 0) AND (i < 4) AND (e[i] > 2);", "q := (e[i] > 2) AND (i >= 0) AND (i < 4);"),
    _pair("index_guard_nested_if", "IF i >= 0 THEN IF i < 4 THEN y := e[i]; END_IF; END_IF;",
          "IF (i >= 0) AND (i < 4) THEN y := e[i]; END_IF;", False),
    _pair("index_guard_in_or", "q := (i < 0) OR (i > 3) OR (e[i] > 2);", "q := (e[i] > 2) OR (i < 0) OR (i > 3);"),
    _pair("index_guard_dropped", "IF (i >= 0) AND (i < 4) THEN y := e[i]; END_IF;", "y := e[i];"),
    _pair("index_read_unused", "m := e[i]; y := j;", "m := 0; y := j;"),
    _pair("case_guards", "CASE i OF 0: y := 0; ELSE y := 10 / i; END_CASE;", "m := 10 / i; CASE i OF 0: y := 0; ELSE y := m; END_CASE;"),
    _pair("while_guard_swapped", "m := 3; WHILE (m >= 0) AND (e[m] > i) DO m := m - 1; END_WHILE; y := m;",
          "m := 3; WHILE (e[m] > i) AND (m >= 0) DO m := m - 1; END_WHILE; y := m;"),
    _pair("return_guards", "IF i = 0 THEN y := 0; RETURN; END_IF; y := 10 / i;", "y := 10 / i; IF i = 0 THEN y := 0; END_IF;"),
    _pair("real_division", "r := INT_TO_REAL(i); q := (i <> 0) AND (10.0 / r > 2.0);", "r := INT_TO_REAL(i); q := (10.0 / r > 2.0) AND (i <> 0);"),
    _pair("division_function_form", "q := (i <> 0) AND (DIV(10, i) > 2);", "q := (DIV(10, i) > 2) AND (i <> 0);"),
    _pair("division_hidden_in_a_variable", "m := 10 / i; q := (i <> 0) AND (m > 2);", "q := (i <> 0) AND (10 / i > 2);"),
    _pair("subrange_written_and_mended", "s := i; s := LIMIT(0, i, 9); y := s;", "s := LIMIT(0, i, 9); y := s;"),
    _swapped("write_before_a_division", "y := j;", "z := 10 / i;", False),
    _swapped("two_divisions", "y := 10 / j;", "z := 10 / i;", False),
]  # fmt: skip
