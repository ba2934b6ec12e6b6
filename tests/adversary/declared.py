"""What declarations alone do: first values, subranges, retained and temporary variables, results never written."""

from __future__ import annotations

from .case import Case, pair, program

FUNCTIONS = """FUNCTION Maybe : INT
VAR_INPUT v : INT; END_VAR
VAR n : INT := 3; END_VAR
n := n + 1;
IF v > 5 THEN Maybe := n; END_IF;
END_FUNCTION
FUNCTION Fixed : INT
VAR_INPUT v : INT := 7; END_VAR
Fixed := v;
END_FUNCTION
FUNCTION_BLOCK Kept
VAR_INPUT v : INT := 7; END_VAR
VAR_OUTPUT o : INT; END_VAR
VAR n : INT := 3; END_VAR
VAR_TEMP t : INT := 2; END_VAR
n := n + 1;
t := t + 1;
o := v + n * t;
END_FUNCTION_BLOCK
"""


def _own(id: str, old: str, new: str, body: str, differs: bool = True, before: str = "") -> Case:
    """The same body under other declarations."""
    return Case(f"declared_{id}", program(body, old, before), program(body, new, before), differs)


def _pair(id: str, old: str, new: str, differs: bool, own: str, before: str = FUNCTIONS) -> Case:
    return pair(f"declared_{id}", old, new, differs, own, before)


def _globals(id: str, old: str, new: str, body: str, differs: bool = True) -> Case:
    return Case(f"declared_{id}", program(body, globals=old), program(body, globals=new), differs)


CASES = [
    _own("output_starts_true_added", "m : INT;", "m : INT; horn AT %QX1.0 : BOOL := TRUE;", "y := i;"),
    _own("output_starts_true_removed", "m : INT; horn AT %QX1.0 : BOOL := TRUE;", "m : INT;", "y := i;"),
    _own("output_starts_true_or_not", "horn AT %QX1.0 : BOOL := TRUE;", "horn AT %QX1.0 : BOOL;", "y := i;"),
    _own("output_word_starts_with_a_value", "horn AT %QW10 : INT := 5;", "horn AT %QW10 : INT := 6;", "y := i;"),
    _own("output_starts_false_added", "m : INT;", "m : INT; horn AT %QX1.0 : BOOL;", "y := i;", False),
    _own("output_starts_true_but_written", "horn AT %QX1.0 : BOOL := TRUE;", "horn AT %QX1.0 : BOOL;", "horn := a;", False),
    _own("output_starts_true_written_later", "horn AT %QX1.0 : BOOL := TRUE;", "horn AT %QX1.0 : BOOL;", "IF a THEN horn := b; END_IF;"),
    _own("marker_starts_true_added", "m : INT;", "m : INT; mark AT %MX1.0 : BOOL := TRUE;", "y := i;"),
    _globals("global_output_starts_true_added", "total : INT;", "total : INT; horn AT %QX1.0 : BOOL := TRUE;", "y := i;"),
    _globals("global_output_starts_true_removed", "total : INT; horn AT %QX1.0 : BOOL := TRUE;", "total : INT;", "y := i;"),
    _own("local_added_unused", "m : INT;", "m : INT; n : INT;", "m := i; y := m;", False),
    _own("local_starts_otherwise_unused", "m : INT := 1;", "m : INT := 2;", "y := i;", False),
    _own("local_starts_otherwise_written_first", "m : INT := 1;", "m : INT := 2;", "m := i; y := m;", False),
    _own("local_starts_otherwise_read_first", "m : INT := 1;", "m : INT := 2;", "y := m; m := i;"),
    _own("local_starts_otherwise_counted", "m : INT := 1;", "m : INT := 2;", "m := m + 1; y := m;"),
    _own("local_starts_otherwise_in_a_branch", "m : INT := 1;", "m : INT := 2;", "IF a THEN m := i; END_IF; y := m;"),
    _own("constant_changed", "VAR CONSTANT lim : INT := 5; END_VAR", "VAR CONSTANT lim : INT := 6; END_VAR", "q := i > lim;"),
    _own("constant_changed_unused", "VAR CONSTANT lim : INT := 5; END_VAR", "VAR CONSTANT lim : INT := 6; END_VAR", "q := i > 5;", False),
    _own("subrange_or_its_base", "m : INT (0..10);", "m : INT;", "m := i; y := m;"),
    _own("subrange_wider", "m : INT (0..10);", "m : INT (0..20);", "m := i; y := m;"),
    _own("subrange_starts_at_its_low_end", "m : INT (3..10);", "m : INT;", "y := m; IF a THEN m := 5; END_IF;"),
    _own("subrange_never_left", "m : INT (0..10);", "m : INT (0..20);", "m := LIMIT(0, i, 10); y := m;", False),
    _own("subrange_of_a_type", "m : Small;", "m : INT;", "m := i; y := m;", True, "TYPE Small : INT (0..10); END_TYPE\n"),
    _own("retained_or_not", "VAR RETAIN m : INT; END_VAR", "VAR m : INT; END_VAR", "m := m + 1; y := m;"),
    _own("retained_or_not_written_first", "VAR RETAIN m : INT; END_VAR", "VAR m : INT; END_VAR", "m := i; y := m;", False),
    _own("retained_timer_counter", "VAR RETAIN n : CTU; END_VAR", "VAR n : CTU; END_VAR", "n(CU := a, PV := 3); y := n.CV;"),
    _own("temporary_or_local", "VAR_TEMP m : INT; END_VAR", "VAR m : INT; END_VAR", "m := m + 1; y := m;"),
    _own("temporary_or_local_written_first", "VAR_TEMP m : INT; END_VAR", "VAR m : INT; END_VAR", "m := i; y := m;", False),
    _own("temporary_starts_otherwise", "VAR_TEMP m : INT := 1; END_VAR", "VAR_TEMP m : INT := 2; END_VAR", "m := m + i; y := m;"),
    _own("int_or_dint_local", "m : INT;", "m : DINT;", "m := i + 1; q := m > 5;"),
    _own("int_or_dint_local_fits", "m : INT;", "m : DINT;", "m := i; q := m > 5;", False),
    _own("int_or_uint_local", "m : INT;", "m : UINT;", "m := INT_TO_UINT(i); q := m > 5;"),
    _own("array_longer", "e : ARRAY[0..3] OF INT;", "e : ARRAY[0..4] OF INT;", "IF i >= 0 THEN IF i < 6 THEN e[i] := 1; END_IF; END_IF; y := e[0];"),
    _own("array_starts_otherwise", "e : ARRAY[0..3] OF INT := [1, 2];", "e : ARRAY[0..3] OF INT := [1, 3];", "y := e[1];"),
    _own("array_starts_written_out", "e : ARRAY[0..3] OF INT := [2(1), 2(0)];", "e : ARRAY[0..3] OF INT := [1, 1, 0, 0];", "y := e[1] + e[2];", False),
    _own("timer_preset_in_declaration", "t : TON := (PT := T#5s);", "t : TON := (PT := T#8s);", "t(IN := a); q := t.Q;"),
    _own("timer_preset_in_declaration_overwritten", "t : TON := (PT := T#5s);", "t : TON := (PT := T#8s);", "t(IN := a, PT := T#3s); q := t.Q;", False),
    _own("enumeration_order", "m : Mode;", "m : Mode;", "y := i; IF a THEN m := HAND; END_IF; IF m = HAND THEN z := 1; END_IF;", False, "TYPE Mode : (OFF, HAND); END_TYPE\n"),
    _pair("result_not_always_written", "y := Maybe(i);", "IF i > 5 THEN y := 4; ELSE y := 0; END_IF;", False, "m : INT;"),
    _pair("result_not_always_written_keeps", "y := Maybe(i);", "IF i > 5 THEN y := 4; END_IF;", True, "m : INT;"),
    _pair("function_local_starts_anew", "m := Maybe(9); y := Maybe(9);", "m := Maybe(9); y := 5;", True, "m : INT;"),
    _pair("function_local_starts_anew_same", "m := Maybe(9); y := Maybe(9);", "m := Maybe(9); y := 4;", False, "m : INT;"),
    _pair("function_default_input", "y := Fixed();", "y := Fixed(v := 7);", False, "m : INT;"),
    _pair("function_default_input_other", "y := Fixed();", "y := Fixed(v := 0);", True, "m : INT;"),
    _pair("block_default_input_kept", "f(v := i); f(); y := f.o;", "f(v := i); f(v := 7); y := f.o;", True, "f : Kept;"),
    _pair("block_local_kept_temporary_not", "f(v := 0); f(v := 0); y := f.o;", "f(v := 0); y := f.o;", True, "f : Kept;"),
    _pair("block_default_input_first", "f(); y := f.o;", "f(v := 7); y := f.o;", False, "f : Kept;"),
    _pair("two_instances_or_one", "f(v := 0); g(v := 0); y := f.o;", "f(v := 0); f(v := 0); y := f.o;", True, "f : Kept; g : Kept;"),
]  # fmt: skip
