"""Standard functions, and functions of others."""

from __future__ import annotations

from .case import Case, pair

OWN = "w : WORD; x : BYTE; m : INT; n : INT; s : STRING; t : STRING; u : TIME; r : REAL; l : BOOL; v : DWORD;"
START = "w := INT_TO_WORD(i); m := LIMIT(0, j, 40); s := INT_TO_STRING(i); t := INT_TO_STRING(j);\n"


def _pair(id: str, old: str, new: str, differs: bool = True) -> Case:
    return pair(f"function_{id}", START + old, START + new, differs, OWN)


CASES = [
    _pair("shift_by_too_much", "y := WORD_TO_INT(SHL(w, 16));", "y := 0;"),
    _pair("shift_by_variable_limited", "y := WORD_TO_INT(SHL(w, m));", "IF m > 15 THEN y := 0; ELSE y := WORD_TO_INT(SHL(w, m)); END_IF;"),
    _pair("shift_twice_or_by_the_sum", "y := WORD_TO_INT(SHL(SHL(w, 10), 10));", "y := WORD_TO_INT(SHL(w, 20));"),
    _pair("shift_twice_small", "y := WORD_TO_INT(SHL(SHL(w, 2), 3));", "y := WORD_TO_INT(SHL(w, 5));", False),
    _pair("shift_there_and_back", "y := WORD_TO_INT(SHR(SHL(w, 4), 4));", "y := WORD_TO_INT(w);"),
    _pair("rotate_all_the_way", "y := WORD_TO_INT(ROL(w, 16));", "y := WORD_TO_INT(w);", False),
    _pair("rotate_left_or_right", "y := WORD_TO_INT(ROL(w, 4));", "y := WORD_TO_INT(ROR(w, 12));", False),
    _pair("select_turned", "y := SEL(a, i, j);", "y := SEL(NOT a, j, i);", False),
    _pair("select_turned_inputs_only", "y := SEL(a, i, j);", "y := SEL(a, j, i);"),
    _pair("select_inverted_only", "y := SEL(a, i, MOVE(50));", "y := SEL(NOT a, i, MOVE(50));"),
    _pair("select_with_names", "y := SEL(a, i, j);", "y := SEL(G := a, IN1 := j, IN0 := i);", False),
    _pair("select_against_if", "y := SEL(a, i, j);", "IF a THEN y := j; ELSE y := i; END_IF;", False),
    _pair("mux_beyond", "y := MUX(i, j, k);", "IF i = 0 THEN y := j; ELSE y := k; END_IF;"),
    _pair("mux_of_two_bounded", "y := MUX(BOOL_TO_INT(a), j, k);", "y := SEL(a, j, k);", False),
    _pair("mux_turned", "y := MUX(BOOL_TO_INT(a), j, k);", "y := MUX(BOOL_TO_INT(a), k, j);"),
    _pair("limit_as_min_and_max", "y := LIMIT(0, i, 9);", "y := MIN(MAX(0, i), 9);", False),
    _pair("limit_crossed", "y := LIMIT(j, i, k);", "y := MAX(MIN(i, k), j);"),
    _pair("limit_by_if", "y := LIMIT(0, i, 9);", "IF i < 0 THEN y := 0; ELSIF i > 9 THEN y := 9; ELSE y := i; END_IF;", False),
    _pair("limit_turned_arguments", "y := LIMIT(0, i, 9);", "y := LIMIT(9, i, 0);"),
    _pair("max_turned", "y := MAX(i, j);", "y := MAX(j, i);", False),
    _pair("max_or_min", "y := MAX(i, j);", "y := MIN(i, j);"),
    _pair("move_is_nothing", "y := MOVE(i);", "y := i;", False),
    _pair("chained_comparison", "q := GT(i, j, k);", "q := (i > j) AND (j > k);", False),
    _pair("chained_comparison_not_all", "q := GT(i, j, k);", "q := (i > j) AND (i > k);"),
    _pair("chained_equal", "q := EQ(i, j, k);", "q := (i = j) AND (i = k);", False),
    _pair("not_equal_turned", "q := NE(i, j);", "q := NOT EQ(j, i);", False),
    _pair("and_function_or_operator", "q := AND(a, b, c);", "q := a AND b AND c;", False),
    _pair("word_and_bool", "w := w AND 16#FFFF; y := WORD_TO_INT(w);", "y := WORD_TO_INT(w);", False),
    _pair("word_and_less", "w := w AND 16#7FFF; y := WORD_TO_INT(w);", "y := WORD_TO_INT(w);"),
    _pair("word_xor_itself", "w := w XOR w; y := WORD_TO_INT(w);", "y := 0; w := 0;", False),
    _pair("concat_turned", "y := LEN(CONCAT(s, t));", "y := LEN(CONCAT(t, s));", False),
    _pair("concat_turned_content", "q := LEFT(CONCAT(s, t), 1) = '1';", "q := LEFT(CONCAT(t, s), 1) = '1';"),
    _pair("concat_nested", "s := CONCAT(s, CONCAT(t, 'x')); y := LEN(s);", "s := CONCAT(s, t, 'x'); y := LEN(s);", False),
    _pair("left_or_mid", "t := LEFT(s, 2); q := t = '1';", "t := MID(s, 2, 1); q := t = '1';", False),
    _pair("left_or_right", "t := LEFT(s, 1); q := t = '1';", "t := RIGHT(s, 1); q := t = '1';"),
    _pair("find_in_itself", "y := FIND(s, s);", "y := 1;", False),
    _pair("string_case", "q := s = 'a';", "q := s = 'A';", False),
    _pair("string_constant_changed", "t := 'on'; y := LEN(t);", "t := 'off'; y := LEN(t);"),
    _pair("bool_to_int_or_select", "y := BOOL_TO_INT(a);", "y := SEL(a, 0, 1);", False),
    _pair("int_to_bool", "q := INT_TO_BOOL(i);", "q := i <> 0;", False),
    _pair("int_to_bool_greater", "q := INT_TO_BOOL(i);", "q := i > 0;"),
    _pair("time_converted", "u := DINT_TO_TIME(1500); q := u > T#1s;", "q := TRUE; u := T#1s500ms;", False),
    _pair("time_compared_in_ms", "u := DINT_TO_TIME(INT_TO_DINT(i)); q := u > T#1s;", "u := DINT_TO_TIME(INT_TO_DINT(i)); q := TIME_TO_DINT(u) > 1000;", False),
    _pair("conversion_beside_inverted_contact", "r := INT_TO_REAL(i) / 4.0; q := REAL_TO_INT(r) > 5 AND NOT a;", "r := INT_TO_REAL(i) / 4.0; q := REAL_TO_INT(r) > 5 AND a;"),
    _pair("unknown_beside_inverted_contact", "q := Elsewhere(i) AND NOT a;", "q := Elsewhere(i) AND a;"),
    _pair("unknown_inverted", "q := Elsewhere(i);", "q := NOT Elsewhere(i);"),
    _pair("unknown_another_argument", "q := Elsewhere(i);", "q := Elsewhere(j);"),
    _pair("unknown_another_function", "q := Elsewhere(i);", "q := Nowhere(i);"),
    _pair("unknown_twice", "q := Elsewhere(i) AND Elsewhere(i);", "q := Elsewhere(i);", False),
    _pair("unknown_arguments_turned", "q := Elsewhere(i, j);", "q := Elsewhere(j, i);"),
    _pair("unknown_of_equal_value", "q := Elsewhere(i + 1);", "q := Elsewhere(1 + i);", False),
    _pair("power_or_product", "y := REAL_TO_INT(EXPT(INT_TO_REAL(m), 2));", "y := REAL_TO_INT(INT_TO_REAL(m) * INT_TO_REAL(m));", False),
]  # fmt: skip
