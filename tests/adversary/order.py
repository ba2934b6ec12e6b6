"""Operands around calls that write: in which order they are taken decides."""

from __future__ import annotations

from .case import Case, pair

POUS = """FUNCTION Up : INT
VAR_INPUT v : INT; END_VAR
VAR_EXTERNAL total : INT; END_VAR
total := total + v;
Up := total;
END_FUNCTION
FUNCTION RUN_TO_LIMIT : BOOL
VAR_INPUT v : BOOL; END_VAR
VAR_EXTERNAL total : INT; END_VAR
total := total + 1;
RUN_TO_LIMIT := v AND total < 10;
END_FUNCTION
FUNCTION INT_TO_BIG : INT
VAR_INPUT v : INT; END_VAR
VAR_EXTERNAL total : INT; END_VAR
total := total + 1;
INT_TO_BIG := v + total;
END_FUNCTION
FUNCTION Say : BOOL
VAR_INPUT v : BOOL; END_VAR
VAR_EXTERNAL flag : BOOL; END_VAR
flag := v;
Say := NOT v;
END_FUNCTION
FUNCTION Twice : INT
VAR_INPUT v : INT; w : INT; END_VAR
Twice := 2 * v + w;
END_FUNCTION
FUNCTION_BLOCK Sum
VAR_INPUT v : INT; w : INT; END_VAR
VAR_OUTPUT s : INT; END_VAR
s := v - w;
END_FUNCTION_BLOCK
"""
OWN = "m : INT; n : INT; r : BOOL; s : Sum;"


def _pair(id: str, old: str, new: str, differs: bool = True) -> Case:
    return pair(f"order_{id}", old, new, differs, OWN, POUS)


CASES = [
    _pair("mirrored_comparison", "q := Up(1) > total;", "q := total < Up(1);"),
    _pair("mirrored_comparison_of_two_calls", "q := Up(1) > Up(i);", "q := Up(i) < Up(1);"),
    _pair("mirrored_equality", "q := Up(1) = total;", "q := total = Up(1);"),
    _pair("mirrored_inequality_as_not", "q := Up(1) <> total;", "q := NOT (total = Up(1));"),
    _pair("mirrored_around_a_call_that_writes_elsewhere", "q := Up(1) > i;", "q := i < Up(1);", False),
    _pair("inverted_beside_a_call_that_writes_elsewhere", "q := Say(a) OR b;", "q := Say(a) OR NOT b;"),
    _pair("call_inverted_beside_a_contact", "q := Say(a) OR b;", "q := NOT Say(a) OR b;"),
    _pair("call_behind_a_contact_or_before", "q := Say(a) OR b;", "q := b OR Say(a);"),
    _pair("call_left_out_by_a_contact", "q := Say(a) AND b;", "r := Say(a); q := r AND b;", None),
    _pair("call_chosen_or_taken_before", "y := SEL(a, Up(1), 5);", "n := Up(1); y := SEL(a, n, 5);"),
    _pair("call_chosen_otherwise", "y := SEL(a, Up(1), 5);", "y := SEL(a, Up(1), 6);"),
    _pair("call_beside_what_can_fail", "y := Up(1) + 10 / i;", "y := 10 / i + Up(1);", None),
    _pair("call_beside_what_reads_its_argument", "n := i; y := Up(n) + n;", "n := i; y := n + Up(n);", False),
    _pair("mirrored_without_calls", "q := i > j;", "q := j < i;", False),
    _pair("negated_comparison", "q := NOT (Up(1) > total);", "q := Up(1) <= total;", False),
    _pair("sum_turned", "y := Up(1) + total;", "y := total + Up(1);"),
    _pair("sum_of_two_calls", "y := Up(1) + Up(i);", "y := Up(i) + Up(1);", True),
    _pair("difference_of_two_calls", "y := Up(1) - Up(1);", "y := 0;"),
    _pair("function_form_turned", "y := ADD(Up(1), total);", "y := ADD(total, Up(1));"),
    _pair("function_form_against_operator", "y := Up(1) * total;", "y := MUL(Up(1), total);", False),
    _pair("user_function_like_a_conversion_repeated", "q := RUN_TO_LIMIT(a) AND RUN_TO_LIMIT(a);", "q := RUN_TO_LIMIT(a);"),
    _pair("user_function_like_a_conversion_repeated_or", "q := RUN_TO_LIMIT(a) OR RUN_TO_LIMIT(a);", "q := RUN_TO_LIMIT(a);"),
    _pair("user_function_like_a_conversion_swapped", "q := RUN_TO_LIMIT(a) AND b;", "q := b AND RUN_TO_LIMIT(a);"),
    _pair("user_function_like_a_conversion_sum", "y := INT_TO_BIG(i) + INT_TO_BIG(i);", "y := 2 * INT_TO_BIG(i);"),
    _pair("user_function_like_a_conversion_moved", "y := INT_TO_BIG(i);\nz := total;", "z := total;\ny := INT_TO_BIG(i);"),
    _pair("user_function_like_a_conversion_dropped", "m := INT_TO_BIG(i); y := i;", "y := i;"),
    _pair("conversion_repeated", "y := BOOL_TO_INT(a) + BOOL_TO_INT(a);", "m := BOOL_TO_INT(a); y := m + m;", False),
    _pair("double_negation_of_a_call", "q := NOT NOT Say(a);", "q := Say(a);", False),
    _pair("de_morgan_of_calls", "q := NOT (Say(a) AND Say(b));", "q := NOT Say(a) OR NOT Say(b);", False),
    _pair("de_morgan_of_calls_turned", "q := NOT (Say(a) AND Say(b));", "q := NOT Say(b) OR NOT Say(a);"),
    _pair("xor_of_calls_turned", "q := Say(a) XOR Say(b);", "q := Say(b) XOR Say(a);"),
    _pair("xor_of_call_with_itself", "q := Say(a) XOR Say(a);", "q := FALSE;"),
    _pair("xor_of_calls_moved_not", "q := NOT Say(a) XOR Say(b);", "q := NOT (Say(a) XOR Say(b));", False),
    _pair("equal_operands_dropped_and", "q := Say(a) AND Say(a);", "q := Say(a);", False),
    _pair("equal_operands_dropped_counting", "q := (Up(1) > 3) AND (Up(1) > 3);", "q := Up(1) > 3;"),
    _pair("absorbed_call", "q := a OR (a AND Say(b));", "q := a;"),
    _pair("call_times_zero", "y := Up(1) * 0;", "y := 0;"),
    _pair("call_and_false", "q := FALSE AND Say(a);", "q := FALSE;"),
    _pair("call_or_true", "q := Say(a) OR TRUE;", "q := TRUE;"),
    _pair("flag_read_beside", "q := Say(a) AND flag;", "q := flag AND Say(a);"),
    _pair("inner_if_or_and", "IF a THEN IF Say(b) THEN p := TRUE; END_IF; END_IF;", "IF a AND Say(b) THEN p := TRUE; END_IF;"),
    _pair("inner_if_turned", "IF a THEN IF Say(b) THEN p := TRUE; END_IF; END_IF;", "IF Say(b) THEN IF a THEN p := TRUE; END_IF; END_IF;"),
    _pair("elsif_calls_turned", "IF Say(a) THEN y := 1; ELSIF Say(b) THEN y := 2; END_IF;", "IF Say(b) AND NOT Say(a) THEN y := 2; ELSIF Say(a) THEN y := 1; END_IF;"),
    _pair("elsif_against_nested_else", "IF Say(a) THEN y := 1; ELSIF Say(b) THEN y := 2; END_IF;", "IF Say(a) THEN y := 1; ELSE IF Say(b) THEN y := 2; END_IF; END_IF;", False),
    _pair("arguments_of_a_function_turned", "y := Twice(v := Up(1), w := total);", "y := Twice(w := total, v := Up(1));"),
    _pair("arguments_of_a_function_turned_pure", "y := Twice(v := i, w := j);", "y := Twice(w := j, v := i);", False),
    _pair("arguments_of_a_block_turned", "s(v := Up(1), w := total); y := s.s;", "s(w := total, v := Up(1)); y := s.s;"),
    _pair("arguments_of_a_block_turned_pure", "s(v := i, w := j); y := s.s;", "s(w := j, v := i); y := s.s;", False),
    _pair("argument_reads_a_pin", "s(v := i, w := s.v); y := s.s;", "s(w := s.v, v := i); y := s.s;"),
    _pair("argument_taken_before", "m := Up(1); y := Twice(total, m);", "y := Twice(total, Up(1));"),
    _pair("limit_arguments_turned", "y := MAX(Up(1), total);", "y := MAX(total, Up(1));", False),
    _pair("result_taken_before_or_inside", "m := Up(1); y := total + m;", "y := total + Up(1);"),
    _pair("call_in_an_unused_input", "y := SEL(a, i, Up(1));", "IF a THEN y := Up(1); ELSE y := i; END_IF;"),
    _pair("calls_in_both_inputs", "y := SEL(a, Up(1), Up(2));", "y := SEL(NOT a, Up(2), Up(1));"),
    _pair("case_selector_called_once", "CASE Up(1) OF 1: y := 1; 2: y := 2; END_CASE;", "IF Up(1) = 1 THEN y := 1; ELSIF Up(1) = 2 THEN y := 2; END_IF;"),
    _pair("loop_end_called_once", "m := 0; FOR n := 1 TO Up(1) DO m := m + 1; IF m > 5 THEN EXIT; END_IF; END_FOR; y := total;",
          "m := 0; n := Up(1); y := total;"),
]  # fmt: skip
