"""Changes inside of a block or function that is called: its arguments by reference may be one variable, or a global."""

from __future__ import annotations

from .case import Case, program

OWN = "f : Fb; g : Fb; m : INT; n : INT; r : BOOL; e : ARRAY[0..3] OF INT;"
TWO = "VAR_IN_OUT x : INT; y : INT; END_VAR"
ONE_AND_GLOBAL = "VAR_IN_OUT x : INT; END_VAR VAR_EXTERNAL total : INT; END_VAR"
WITH_INPUT = "VAR_INPUT v : INT; END_VAR VAR_IN_OUT x : INT; END_VAR"
PLAIN = "VAR_INPUT v : INT; b : BOOL; END_VAR VAR_OUTPUT o : INT; END_VAR VAR s : INT; END_VAR"


def _block(id: str, declared: str, old: str, new: str, call: str, differs: bool = True) -> Case:
    texts = [f"FUNCTION_BLOCK Fb {declared}\n{body}\nEND_FUNCTION_BLOCK\n" for body in (old, new)]
    return Case(f"inside_{id}", program(call, OWN, texts[0]), program(call, OWN, texts[1]), differs)


def _function(id: str, declared: str, old: str, new: str, call: str, differs: bool = True) -> Case:
    own = OWN.replace("f : Fb; g : Fb; ", "")
    texts = [f"FUNCTION Fn : INT {declared}\n{body}\nEND_FUNCTION\n" for body in (old, new)]
    return Case(f"inside_{id}", program(call, own, texts[0]), program(call, own, texts[1]), differs)


def _called(id: str, declared: str, body: str, old: str, new: str, differs: bool = True) -> Case:
    block = f"FUNCTION_BLOCK Fb {declared}\n{body}\nEND_FUNCTION_BLOCK\n"
    return Case(f"inside_{id}", program(old, OWN, block), program(new, OWN, block), differs)


CASES = [
    _block("two_by_reference_are_one", TWO, "x := 1; y := 2;", "y := 2; x := 1;", "f(x := m, y := m); z := m;"),
    _block("two_by_reference_are_two", TWO, "x := 1; y := 2;", "y := 2; x := 1;", "f(x := m, y := n); z := m; y := n;", False),
    _block("two_by_reference_read_after_write", TWO, "x := 1; y := y + 1;", "y := y + 1; x := 1;", "f(x := m, y := m); z := m;"),
    _block("two_by_reference_value_kept", TWO, "x := 5; y := 7; x := x + 1;", "y := 7; x := 6;", "f(x := m, y := m); z := m;"),
    _block("two_by_reference_exchange", TWO, "x := x + y; y := x - y; x := x - y;", "x := x; y := y;", "m := i; f(x := m, y := m); z := m;"),
    _block("by_reference_is_the_global", ONE_AND_GLOBAL, "x := 1; total := 2;", "total := 2; x := 1;", "f(x := total); z := total;"),
    _block("by_reference_is_not_the_global", ONE_AND_GLOBAL, "x := 1; total := 2;", "total := 2; x := 1;", "f(x := m); z := total; y := m;", False),
    _block("by_reference_is_the_global_kept", ONE_AND_GLOBAL, "total := 3; x := 4; total := total + 1;", "x := 4; total := 4;", "f(x := total); z := total;"),
    _block("by_reference_is_the_global_condition", ONE_AND_GLOBAL, "IF total > 3 THEN x := 0; END_IF; IF total <= 3 THEN x := x + 1; END_IF;",
           "IF total > 3 THEN x := 0; ELSE x := x + 1; END_IF;", "f(x := total); z := total;"),
    _block("by_reference_is_an_element", WITH_INPUT, "x := v; x := x + 1;", "x := v + 1;", "f(v := i, x := e[1]); z := e[1];", False),
    _block("by_reference_read_twice", WITH_INPUT, "x := x + v; x := x + v;", "x := x + 2 * v;", "f(v := i, x := m); z := m;", False),
    _block("by_reference_two_elements_at_indexes", TWO, "x := 1; y := 2;", "y := 2; x := 1;", "m := LIMIT(0, i, 3); n := LIMIT(0, j, 3); f(x := e[m], y := e[n]); z := e[m];"),
    _block("global_is_input_by_value", "VAR_INPUT v : INT; END_VAR VAR_EXTERNAL total : INT; END_VAR VAR_OUTPUT o : INT; END_VAR",
           "total := 0; o := v;", "o := v; total := 0;", "f(v := total); y := f.o;", False),
    _block("global_is_output_by_value", "VAR_INPUT v : INT; END_VAR VAR_EXTERNAL total : INT; END_VAR VAR_OUTPUT o : INT; END_VAR",
           "total := v; o := v + 1;", "o := v + 1; total := v;", "f(v := i, o => total);", False),
    _block("state_starts_otherwise", PLAIN, "s := s + v; o := s;", "o := s; s := s + v;", "f(v := i); y := f.o;"),
    _block("state_order", PLAIN, "o := s; s := v;", "s := v; o := s;", "f(v := i); y := f.o;"),
    _block("output_kept_or_not", PLAIN, "IF b THEN o := v; END_IF;", "IF b THEN o := v; ELSE o := 0; END_IF;", "f(v := i, b := a); y := f.o;"),
    _block("output_by_two_ways", PLAIN, "IF b THEN o := v; ELSE o := 0; END_IF;", "o := SEL(b, 0, v);", "f(v := i, b := a); y := f.o;", False),
    _block("input_written_inside", PLAIN, "v := v + 1; o := v;", "o := v + 1;", "f(v := i); f(b := a); y := f.o;"),
    _block("input_written_inside_always_given", PLAIN, "v := v + 1; o := v;", "o := v + 1;", "f(v := i, b := a); y := f.o;", False),
    _block("return_inside", PLAIN, "IF b THEN RETURN; END_IF; o := v;", "IF NOT b THEN o := v; END_IF;", "f(v := i, b := a); y := f.o; z := j;", False),
    _block("guard_inside", PLAIN, "IF v <> 0 THEN IF 10 / v > 2 THEN o := 1; END_IF; END_IF;", "IF (10 / v > 2) AND (v <> 0) THEN o := 1; END_IF;", "f(v := i); y := f.o;"),
    _function("function_result_not_written", "VAR_INPUT v : INT; END_VAR", "IF v > 3 THEN Fn := v; END_IF;", "IF v > 3 THEN Fn := v; ELSE Fn := 0; END_IF;", "y := Fn(i);", False),
    _function("function_result_read", "VAR_INPUT v : INT; END_VAR", "Fn := v; Fn := Fn + 1;", "Fn := v + 1;", "y := Fn(i);", False),
    _function("function_result_counts_on", "VAR_INPUT v : INT; END_VAR", "Fn := Fn + v;", "Fn := v;", "y := Fn(i);", False),
    _function("function_local_starts_anew", "VAR_INPUT v : INT; END_VAR VAR s : INT := 2; END_VAR", "s := s + v; Fn := s;", "Fn := 2 + v;", "y := Fn(i);", False),
    _function("function_local_starts_otherwise", "VAR_INPUT v : INT; END_VAR VAR s : INT := 2; END_VAR", "s := s + v; Fn := s;", "Fn := v;", "y := Fn(i);"),
    _function("function_writes_by_reference_before_or_after", "VAR_IN_OUT x : INT; END_VAR", "Fn := x; x := x + 1;", "x := x + 1; Fn := x;", "m := i; y := Fn(m);"),
    _function("function_writes_by_reference_the_result_variable", "VAR_IN_OUT x : INT; END_VAR", "Fn := 3; x := 4;", "x := 4; Fn := 3;", "y := Fn(y);", False),
    _function("function_by_reference_is_the_global", ONE_AND_GLOBAL, "x := 1; total := 2; Fn := x;", "total := 2; x := 1; Fn := 1;", "y := Fn(total);"),
    _called("result_assigned_to_its_argument", ONE_AND_GLOBAL, "x := x + 1; total := total + x;", "total := i; f(x := total); y := total;", "total := 2 * (i + 1); y := total;", False),
    _called("two_calls_share_a_global", ONE_AND_GLOBAL, "x := x + total; total := total + 1;", "f(x := m); g(x := n); y := n - m;", "g(x := n); f(x := m); y := n - m;"),
    _called("argument_rebound_between_calls", TWO, "x := y;", "f(x := m, y := i); f(x := n, y := j); y := m; z := n;".replace("y := i", "y := k_").replace("y := j)", "y := l_)").replace("k_", "e[0]").replace("l_", "e[1]"),
            "f(x := n, y := e[1]); f(x := m, y := e[0]); y := m; z := n;", False),
]  # fmt: skip
