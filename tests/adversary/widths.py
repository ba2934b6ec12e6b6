"""The width in which a calculation is made, and what is lost when it is stored."""

from __future__ import annotations

from .case import Case, pair

OWN = (
    "m : INT; n : INT; l : DINT; h : DINT; u : UINT; v : UINT; s : SINT; t : SINT; x : BYTE; w : WORD; g : LINT; "
    "f : USINT; r : REAL; dw : DWORD;"
)
START = "l := i; h := j; u := INT_TO_UINT(i); v := INT_TO_UINT(j); s := INT_TO_SINT(i); t := INT_TO_SINT(j); w := INT_TO_WORD(i); x := INT_TO_BYTE(i);\n"


def _pair(id: str, old: str, new: str, differs: bool = True) -> Case:
    return pair(f"width_{id}", START + old, START + new, differs, OWN)


CASES = [
    _pair("sum_compared_or_function", "q := i + j > 100;", "q := ADD(i, j) > 100;"),
    _pair("sum_compared_or_stored", "q := i + j > 100;", "m := i + j; q := m > 100;"),
    _pair("sum_stored_either_way", "y := i + j;", "y := ADD(i, j);", False),
    _pair("difference_compared_or_function", "q := i - j > 0;", "q := SUB(i, j) > 0;"),
    _pair("difference_against_comparison", "q := i - j > 0;", "q := i > j;"),
    _pair("product_compared_or_function", "q := i * j > 100;", "q := MUL(i, j) > 100;"),
    _pair("product_halved_or_stored", "y := i * j / 2;", "m := i * j; y := m / 2;"),
    _pair("sum_halved_or_stored", "y := (i + j) / 2;", "m := i + j; y := m / 2;"),
    _pair("sum_halved_apart", "y := (i + j) / 2;", "y := i / 2 + j / 2;"),
    _pair("sum_minus_back", "y := i + j - j;", "y := i;", False),
    _pair("sum_minus_back_compared", "q := i + j - j = i;", "q := TRUE;", False),
    _pair("sum_of_three_grouped", "y := i + j + k;", "y := i + (j + k);", False),
    _pair("sum_of_three_compared", "q := i + j + k > 0;", "q := i + (j + k) > 0;", False),
    _pair("sum_of_three_turned", "y := i + j + k;", "y := k + j + i;", False),
    _pair("product_then_quotient", "y := i * 10 / 10;", "y := i;"),
    _pair("quotient_then_product", "y := i / 10 * 10;", "y := i;"),
    _pair("quotient_then_product_as_mod", "y := i / 10 * 10;", "y := i - i MOD 10;", False),
    _pair("wide_variable_narrowed_late", "l := i + j; q := l > 100;", "m := i + j; q := m > 100;"),
    _pair("wide_sum_of_int", "l := i + j; y := DINT_TO_INT(l);", "y := i + j;", False),
    _pair("wide_sum_converted_first", "l := INT_TO_DINT(i) + INT_TO_DINT(j); q := l > 100;", "l := i + j; q := l > 100;"),
    _pair("wide_sum_both_ways", "q := l + h > 100;", "q := h + l > 100;", False),
    _pair("wide_sum_against_function", "q := l + h > 100;", "q := ADD(l, h) > 100;", False),
    _pair("typed_literal_widens", "q := i + DINT#1 > 0;", "q := i + 1 > 0;"),
    _pair("typed_literal_same_type", "y := i + INT#1;", "y := i + 1;", False),
    _pair("plus_one_greater", "q := i + 1 > i;", "q := TRUE;"),
    _pair("minus_zero", "y := 0 - (0 - i);", "y := i;", False),
    _pair("negated_twice", "y := -(-i);", "y := i;", False),
    _pair("abs_of_negative", "y := ABS(i);", "IF i < 0 THEN y := -i; ELSE y := i; END_IF;", False),
    _pair("abs_not_negative", "q := ABS(i) >= 0;", "q := TRUE;"),
    _pair("unsigned_difference", "q := u - v > 0;", "q := u <> v;"),
    _pair("unsigned_difference_function", "q := u - v > 100;", "q := SUB(u, v) > 100;"),
    _pair("unsigned_below_zero", "q := u < 0;", "q := FALSE;", False),
    _pair("byte_shifted_out", "w := SHL(x, 4); y := WORD_TO_INT(w);", "w := x; w := SHL(w, 4); y := WORD_TO_INT(w);"),
    _pair("byte_masked", "w := w AND 16#00FF; y := WORD_TO_INT(w);", "x := WORD_TO_BYTE(w); w := x; y := WORD_TO_INT(w);", False),
    _pair("small_sum_stored", "s := s + t; q := s > 100;", "q := s + t > 100;"),
    _pair("small_sum_in_int", "y := s + t;", "m := s; n := t; y := m + n;"),
    _pair("narrow_and_back", "m := SINT_TO_INT(INT_TO_SINT(i)); y := m;", "y := i;"),
    _pair("wide_and_back", "y := DINT_TO_INT(INT_TO_DINT(i));", "y := i;", False),
    _pair("signed_or_unsigned_compare", "q := i < j;", "q := u < v;"),
    _pair("signed_or_unsigned_equal", "q := i = j;", "q := u = v;", False),
    _pair("signed_or_unsigned_divided", "y := i / 2;", "y := UINT_TO_INT(u / 2);"),
    _pair("halved_or_shifted", "y := i / 2;", "w := SHR(INT_TO_WORD(i), 1); y := WORD_TO_INT(w);"),
    _pair("doubled_or_shifted", "y := i * 2;", "w := SHL(INT_TO_WORD(i), 1); y := WORD_TO_INT(w);", False),
    _pair("doubled_or_added", "y := i * 2;", "y := i + i;", False),
    _pair("distributed", "y := (i + j) * 2;", "y := i * 2 + j * 2;", False),
    _pair("distributed_and_compared", "q := (i + j) * 2 > 10;", "q := i + j > 5;"),
    _pair("both_sides_of_comparison", "q := i + 5 > j + 5;", "q := i > j;"),
    _pair("moved_to_the_other_side", "q := i + 5 > j;", "q := i > j - 5;"),
    _pair("not_of_word_or_int", "w := NOT w; y := WORD_TO_INT(w);", "y := -1 - i;", False),
    _pair("mod_of_negative", "y := i MOD 8;", "w := INT_TO_WORD(i) AND 16#0007; y := WORD_TO_INT(w);"),
    _pair("max_of_sums", "y := MAX(i + j, 0);", "m := i + j; y := MAX(m, 0);"),
    _pair("counter_limit_later", "m := m + 1; IF m > 32767 THEN m := 0; END_IF; y := m;", "m := m + 1; y := m;", False),
    _pair("counter_limit_inside", "m := i; IF m + 1 > 32767 THEN m := 0; ELSE m := m + 1; END_IF; y := m;", "m := i; m := m + 1; y := m;"),
    _pair("time_product", "q := i * 1000 > j;", "l := INT_TO_DINT(i) * 1000; q := l > j;"),
]  # fmt: skip
