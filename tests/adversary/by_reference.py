"""What is passed by reference is read and written by the call."""

from __future__ import annotations

from .case import Case, pair, swapped

POUS = """FUNCTION_BLOCK Bump
VAR_IN_OUT x : INT; END_VAR
x := x + 1;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Load
VAR_INPUT p : INT; END_VAR
VAR_IN_OUT x : INT; END_VAR
x := p;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Deep
VAR_IN_OUT x : INT; END_VAR
VAR h : Bump; END_VAR
h(x := x);
END_FUNCTION_BLOCK
FUNCTION_BLOCK Outer
VAR_EXTERNAL total : INT; END_VAR
VAR h : Bump; END_VAR
h(x := total);
END_FUNCTION_BLOCK
FUNCTION_BLOCK Both
VAR_IN_OUT x : INT; END_VAR
VAR_EXTERNAL total : INT; END_VAR
x := x + 1;
total := total + x;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Latch
VAR_INPUT s : BOOL; END_VAR
VAR_IN_OUT x : BOOL; END_VAR
IF s THEN x := NOT x; END_IF;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Zero
VAR_IN_OUT x : ARRAY[0..3] OF INT; END_VAR
x[0] := x[0] + 1;
END_FUNCTION_BLOCK
FUNCTION Take : INT
VAR_IN_OUT x : INT; END_VAR
Take := x;
x := x + 1;
END_FUNCTION
FUNCTION Above : BOOL
VAR_IN_OUT x : INT; END_VAR
x := x + 1;
Above := x > 3;
END_FUNCTION
FUNCTION Exchange : BOOL
VAR_IN_OUT x : INT; y : INT; END_VAR
VAR t : INT; END_VAR
t := x; x := y; y := t;
Exchange := x > y;
END_FUNCTION
"""
OWN = (
    "f : Bump; g : Bump; l : Load; h : Deep; o : Outer; w : Both; s : Latch; v : Zero; m : INT; n : INT; r : BOOL; "
    "t : BOOL; e : ARRAY[0..3] OF INT;"
)


def _swapped(id: str, first: str, second: str, differs: bool = True) -> Case:
    return swapped(id, first, second, differs, OWN, POUS)


def _pair(id: str, old: str, new: str, differs: bool = True) -> Case:
    return pair(id, old, new, differs, OWN, POUS)


CALLS = {
    "block": ("f(x := {});", "{}"), "loading_block": ("l(p := i, x := {});", "{}"), "nested_block": ("h(x := {});", "{}"),
    "function": ("n := Take(x := {});", "{}"), "function_by_position": ("n := Take({});", "{}"),
    "function_as_statement": ("Take(x := {});", "{}"),
    "block_in_if": ("IF a THEN f(x := {}); END_IF;", "{}"),
    "block_in_both_branches": ("IF a THEN f(x := {0}); ELSE g(x := {0}); END_IF;", "{}"),
    "function_in_condition": ("IF Above(x := {}) THEN p := b; END_IF;", "{}"),
    "function_in_case": ("CASE i OF 1: f(x := {0}); 2, 3: l(p := 7, x := {0}); END_CASE;", "{}"),
    "block_in_loop": ("FOR n := 1 TO 2 DO f(x := {}); END_FOR;", "{}"),
}  # fmt: skip
TARGETS = {"local": "m", "global": "total", "element": "e[2]", "output": "z"}
MOVED = [
    _swapped(f"moved_past_{call}_{target}", text[0].format(place), f"y := {place};")
    for call, text in CALLS.items()
    for target, place in TARGETS.items()
    if target in ("local", "global") or call in ("block", "function", "loading_block")
]
CASES = [
    *MOVED,
    _swapped("moved_past_block_element_at_index", "IF k >= 0 AND_THEN_ k < 4 THEN f(x := e[k]); END_IF;".replace(
        "k >= 0 AND_THEN_ k < 4", "k = 2"), "y := e[2];"),
    _swapped("moved_past_block_that_passes_a_global_on", "o();", "y := total;"),
    _swapped("moved_past_block_that_writes_global_beside", "w(x := m);", "y := total;"),
    _swapped("moved_past_block_argument_is_the_global_it_uses", "w(x := total);", "y := total;"),
    _swapped("moved_past_whole_array_passed", "v(x := e);", "y := e[0];"),
    _swapped("moved_past_whole_global_array_passed", "v(x := list);", "y := list[0];"),
    _swapped("moved_past_array_other_element_is_untouched", "v(x := e);", "y := e[3];", False),
    _swapped("moved_past_block_that_writes_an_output", "s(s := a, x := q);", "p := q;"),
    _pair("two_blocks_on_one_variable_swapped", "l(p := i, x := m); f(x := m); y := m;", "f(x := m); l(p := i, x := m); y := m;"),
    _swapped("two_blocks_on_two_variables_swapped", "f(x := m); y := m;", "g(x := n); z := n;", False),
    _swapped("same_call_twice_in_the_other_order", "f(x := m);", "g(x := m);\ny := m;"),
    _swapped("two_writers_of_an_output", "s(s := a, x := q);", "q := b;"),
    _swapped("second_writer_of_a_global", "o();", "total := i;"),
    _swapped("write_before_or_after_in_out", "m := i;", "f(x := m);\ny := m;"),
    _pair("write_before_a_block_removed", "m := 5; f(x := m); y := m;", "f(x := m); y := m;"),
    _pair("write_before_a_loading_block_removed", "m := 5; l(p := i, x := m); y := m;", "l(p := i, x := m); y := m;", False),
    _pair("write_seems_dead_before_block", "total := 5; o(); y := total;", "o(); y := total;"),
    _pair("value_kept_over_a_call", "m := i; f(x := m); y := m;", "m := i; f(x := m); y := i;"),
    _pair("value_kept_over_a_function", "m := i; n := Take(m); y := m;", "m := i; n := Take(m); y := i;"),
    _pair("result_against_variable", "m := i; y := Take(m);", "m := i; n := Take(m); y := m;"),
    _pair("result_taken_then_stored", "m := i; y := Take(m); z := m;", "m := i; n := Take(m); y := n; z := m;", False),
    _pair("call_removed_result_unused", "m := i; n := Take(m); y := m;", "m := i; n := i; y := m;"),
    _pair("call_moved_into_a_branch", "f(x := m); IF a THEN y := m; END_IF;", "IF a THEN f(x := m); y := m; END_IF;"),
    _pair("call_moved_out_of_both_branches", "IF a THEN f(x := m); y := m; ELSE f(x := m); z := m; END_IF;",
          "f(x := m); IF a THEN y := m; ELSE z := m; END_IF;", False),
    _pair("call_moved_out_over_its_condition", "IF m > 3 THEN f(x := m); y := 1; ELSE f(x := m); y := 2; END_IF;",
          "f(x := m); IF m > 3 THEN y := 1; ELSE y := 2; END_IF;"),
    _pair("condition_asked_again_after_call", "IF m < 3 THEN f(x := m); y := 1; ELSE f(x := m); y := 2; END_IF;",
          "IF m < 3 THEN f(x := m); END_IF; IF NOT (m < 3) THEN f(x := m); y := 2; ELSE y := 1; END_IF;"),
    _pair("exchange_of_one_and_the_same", "m := i; r := Exchange(m, m); y := m;", "m := i; y := m;", False),
    _pair("exchange_arguments_swapped", "m := i; n := j; q := Exchange(m, n); y := m;",
          "m := i; n := j; q := Exchange(n, m); y := m;"),
    _pair("exchange_twice_is_nothing", "m := i; n := j; r := Exchange(m, n); r := Exchange(m, n); y := m; z := n;",
          "m := i; n := j; y := m; z := n;", False),
    _pair("exchange_with_a_global", "r := Exchange(total, m); y := total;", "y := total; r := Exchange(total, m);"),
    _pair("in_out_of_a_global_against_external", "w(x := total); y := total;", "total := total + 1; total := total + total; y := total;",
          False),
    _pair("in_out_of_a_global_as_if_apart", "w(x := total); y := total;", "m := total + 1; total := total + m; y := total;"),
    _pair("two_conditions_swapped_with_writes", "q := Above(m) AND Above(n); y := m; z := n;",
          "q := Above(n) AND Above(m); y := m; z := n;"),
    _pair("or_of_writing_calls_swapped", "q := Above(m) OR a;\ny := m;", "q := a OR Above(m);\ny := m;"),
    _pair("and_of_writing_call_first_or_last", "q := a AND Above(m);\ny := m;", "q := Above(m) AND a;\ny := m;"),
    _pair("nested_if_against_and_with_a_write", "IF a THEN IF Above(m) THEN y := 1; END_IF; END_IF; z := m;",
          "IF a AND Above(m) THEN y := 1; END_IF; z := m;"),
    _pair("element_of_changed_index", "m := 1; e[m] := i; f(x := m); y := e[1];", "m := 1; f(x := m); e[m] := i; y := e[1];"),
    _pair("index_moved_past_the_call", "m := a_; e[1] := i; f(x := m); y := e[m];".replace("a_", "0"),
          "m := 0; e[1] := i; y := e[m]; f(x := m);"),
]  # fmt: skip
