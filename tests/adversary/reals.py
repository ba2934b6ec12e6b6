"""REAL: rounding depends on order, on the precision kept, and on what is stored in between."""

from __future__ import annotations

from .case import Case, pair

OWN = "r : REAL; s : REAL; t : REAL; u : REAL; o : LREAL; m : INT; n : INT;"
START = "r := INT_TO_REAL(i) / 7.0; s := INT_TO_REAL(j) * 3000.1; t := INT_TO_REAL(k) / 3.0;\n"
OUT = "\nq := u > 0.5; y := REAL_TO_INT(u / 100.0); z := REAL_TO_INT(u * 100.0);"


def _pair(id: str, old: str, new: str, differs: bool | None = True) -> Case:
    own = f"VAR {OWN} END_VAR\nVAR_OUTPUT x : REAL; END_VAR\n"
    return pair(f"real_{id}", START + old, START + new, differs, own)


CASES = [
    _pair("sum_grouped", "x := r + s + t;", "x := r + (s + t);"),
    _pair("sum_turned", "x := r + s;", "x := s + r;", False),
    _pair("sum_of_three_turned", "x := r + s + t;", "x := t + s + r;"),
    _pair("product_grouped", "x := r * s * t;", "x := r * (s * t);"),
    _pair("product_turned", "x := r * s;", "x := s * r;", False),
    _pair("sum_through_a_variable", "x := r + s + t;", "u := s + t; x := r + u;"),
    _pair("sum_through_a_variable_in_order", "x := r + s + t;", "u := r + s; x := u + t;"),
    _pair("product_through_a_variable", "x := r * s * t;", "u := s * t; x := r * u;"),
    _pair("product_through_a_variable_in_order", "x := r * s * t;", "u := r * s; x := u * t;"),
    _pair("sum_through_a_wide_variable", "u := r + s; x := u + t;", "o := r + s; x := LREAL_TO_REAL(o + t);"),
    _pair("sum_function_grouped", "x := ADD(r, s, t);", "x := ADD(r, ADD(s, t));"),
    _pair("sum_function_turned", "x := ADD(r, s, t);", "x := ADD(t, s, r);"),
    _pair("sum_function_or_operator", "x := r + s + t;", "x := ADD(r, s, t);"),
    _pair("distributed", "x := (r + s) * t;", "x := r * t + s * t;"),
    _pair("divided_or_multiplied", "x := r / 10.0;", "x := r * 0.1;"),
    _pair("divided_by_two_or_multiplied", "x := r / 2.0;", "x := r * 0.5;", False),
    _pair("nearly_equal_constants", "x := r * 0.1;", "x := r * 0.10000001;"),
    _pair("nearly_equal_constants_compared", "r := INT_TO_REAL(i) / 10.0; q := r >= 0.1;", "r := INT_TO_REAL(i) / 10.0; q := r >= 0.100000002;"),
    _pair("nearly_equal_sum", "o := 0.1 + 0.2; q := o > 0.3;", "o := 0.3; q := o > 0.3;"),
    _pair("equal_constants", "x := r * 1.5;", "x := r * 1.50;", False),
    _pair("plus_and_minus", "x := r + s - s;", "x := r;"),
    _pair("plus_zero", "x := r + 0.0;", "x := r;", False),
    _pair("compared_by_difference", "q := r - s > 0.0;", "q := r > s;", False),
    _pair("compared_scaled", "q := r * 10.0 > 5.0;", "q := r > 0.5;", None),
    _pair("compared_negated", "q := NOT (r > s);", "q := r <= s;", False),
    _pair("compared_mirrored", "q := r > s;", "q := s < r;", False),
    _pair("limit_of_sum", "x := MAX(r + s, 0.0);", "u := r + s; x := MAX(u, 0.0);", False),
    _pair("accumulated_apart", "u := u + r; u := u + s; x := u;", "u := u + (r + s); x := u;"),
    _pair("accumulated_turned", "u := u + r; u := u + s; x := u;", "u := u + s; u := u + r; x := u;"),
    _pair("rounded_before_or_after", "y := REAL_TO_INT(r) + REAL_TO_INT(t);", "y := REAL_TO_INT(r + t);"),
    _pair("rounded_or_truncated", "y := REAL_TO_INT(r);", "y := DINT_TO_INT(TRUNC(r));"),
    _pair("converted_and_back", "y := REAL_TO_INT(INT_TO_REAL(i));", "y := i;", False),
    _pair("whole_product", "y := i * 2;", "y := REAL_TO_INT(INT_TO_REAL(i) * 2.0);"),
    _pair("square_root_of_square", "x := SQRT(r * r);", "x := ABS(r);", None),
    _pair("stored_and_used", "u := r / 3.0; x := u * 3.0;", "x := r / 3.0 * 3.0;"),
    _pair("threshold_through_a_variable", "u := r * 0.1; q := u > 0.5;", "q := r * 0.1 > 0.5;", None),
]  # fmt: skip
