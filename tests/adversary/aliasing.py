"""One place under two names."""

from __future__ import annotations

from .case import Case, pair, swapped

TYPES = """TYPE
  Pair : STRUCT x : INT; y : INT; END_STRUCT;
  Nest : STRUCT u : Pair; n : INT; END_STRUCT;
END_TYPE
FUNCTION_BLOCK Setter
VAR_EXTERNAL total : INT; END_VAR
VAR_INPUT v : INT; END_VAR
total := v;
END_FUNCTION_BLOCK
FUNCTION Count : INT
VAR_INPUT v : INT; END_VAR
VAR_EXTERNAL total : INT; END_VAR
total := total + v;
Count := total;
END_FUNCTION
FUNCTION Get : INT
VAR_INPUT v : INT; END_VAR
VAR_EXTERNAL total : INT; END_VAR
Get := total + v;
END_FUNCTION
"""
OWN = (
    "lamp AT %QX8.0 : BOOL; lamps AT %QB8 : BYTE; wide AT %QW8 : WORD; mark AT %MX8.1 : BOOL; marks AT %MB8 : BYTE; "
    "s : Setter; u : Pair; v : Pair; w : Nest; e : ARRAY[0..3] OF INT; f : ARRAY[0..3] OF INT; m : INT; n : INT; "
    "bits : WORD;"
)


def _swapped(id: str, first: str, second: str, differs: bool = True) -> Case:
    return swapped(f"alias_{id}", first, second, differs, OWN, TYPES)


def _pair(id: str, old: str, new: str, differs: bool = True) -> Case:
    return pair(f"alias_{id}", old, new, differs, OWN, TYPES)


CASES = [
    _swapped("bit_and_its_byte", "lamp := a;", "lamps := 16#02;"),
    _swapped("byte_and_its_word", "lamps := 16#55;", "wide := 16#0F0F;"),
    _swapped("bit_and_another_bit_of_the_byte", "lamp := a;", "lamps.1 := b;", False),
    _swapped("bit_by_name_and_by_number", "lamp := a;", "lamps.0 := b;"),
    _swapped("direct_address_and_name", "%QX0.0 := a;", "q := b;"),
    _swapped("direct_byte_and_name", "%QB0 := 16#01;", "q := b;"),
    _swapped("marker_bit_read_after_byte", "marks := 16#02;", "q := mark;"),
    _swapped("word_written_then_bit_read", "wide := 16#0100;", "q := %QX9.0;"),
    _swapped("bits_of_one_word", "bits.3 := a;", "q := bits.3;"),
    _swapped("bits_of_one_word_apart", "bits.3 := a;", "q := bits.4;", False),
    _pair("word_then_its_bit", "bits := 16#0008; bits.3 := a; q := bits.3;", "bits.3 := a; bits := 16#0008; q := bits.3;"),
    _pair("bits_by_mask_or_by_bit", "bits := 16#00FF; bits := bits AND 16#FFF7; q := bits.3;",
          "bits := 16#00FF; bits.3 := FALSE; q := bits.3;", False),
    _swapped("block_writes_global", "s(v := i);", "y := total;"),
    _swapped("block_writes_global_that_is_written", "s(v := i);", "total := j;"),
    _swapped("function_writes_global", "m := Count(i);", "y := total;"),
    _swapped("function_reads_global", "total := i;", "y := Get(j);"),
    _swapped("two_functions_that_count", "y := Count(i);", "z := Count(j);"),
    _swapped("two_functions_that_only_read", "y := Get(i);", "z := Get(j);", False),
    _pair("call_dropped_result_unused", "m := Count(1); y := i;", "y := i;"),
    _pair("pure_call_dropped_result_unused", "m := Get(1); y := i;", "m := 0; y := i;", False),
    _pair("call_repeated", "m := Count(1); y := m + m;", "y := Count(1) + Count(1);"),
    _pair("pure_call_repeated", "m := Get(1); y := m + m;", "y := Get(1) + Get(1);", False),
    _swapped("structure_copied_then_member", "u.x := i; v := u;", "u.x := j; y := v.x;"),
    _pair("structure_copy_and_member", "v := u; u.x := i; y := v.x;", "u.x := i; v := u; y := v.x;"),
    _swapped("members_apart", "u.x := i; y := u.x;", "u.y := j; z := u.y;", False),
    _pair("nested_structure_copied", "w.u := u; u.y := i; y := w.u.y;", "u.y := i; w.u := u; y := w.u.y;"),
    _pair("structure_or_its_members", "u.x := i; u.y := j; v := u; y := v.y;", "u.x := i; u.y := j; v.x := u.x; v.y := u.y; y := v.y;", False),
    _pair("structure_or_one_member", "u.x := i; u.y := j; v := u; y := v.y;", "u.x := i; u.y := j; v.x := u.x; y := v.y;"),
    _pair("array_copied_then_element", "e := f; f[1] := i; y := e[1];", "f[1] := i; e := f; y := e[1];"),
    _pair("element_at_two_indexes", "IF i = 1 THEN e[i] := 5; END_IF; e[1] := 7; y := e[1];", "e[1] := 7; IF i = 1 THEN e[i] := 5; END_IF; y := e[1];"),
    _swapped("elements_at_constant_indexes", "e[0] := i;", "e[1] := j; y := e[1];", False),
    _pair("element_at_limited_index", "m := LIMIT(0, i, 3); n := LIMIT(0, j, 3); e[m] := 5; e[n] := 7; y := e[m];",
          "m := LIMIT(0, i, 3); n := LIMIT(0, j, 3); e[n] := 7; e[m] := 5; y := e[m];"),
    _pair("value_known_over_another_element", "m := LIMIT(0, i, 3); e[1] := 5; e[m] := 7; y := e[1];",
          "m := LIMIT(0, i, 3); e[1] := 5; e[m] := 7; y := 5;"),
    _pair("index_is_the_variable_written", "m := 1; e[1] := 2; m := e[m]; y := m;", "m := 2; e[1] := 2; y := m;", False),
    _swapped("exchange_through_a_third", "m := total; total := other;", "other := m; y := total;"),
    _pair("global_qualified_and_plain", "total := i; y := C.total;".replace("C.", ""), "y := total; total := i;"),
]  # fmt: skip
