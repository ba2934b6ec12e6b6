"""Sums and differences of durations: what every resolution agrees on, and what it does not."""

from __future__ import annotations

from .case import Case, pair

OWN = "e AT %ID8 : TIME; f AT %ID12 : TIME; o AT %QD8 : TIME; m : TIME; n : TIME;"


def _pair(id: str, old: str, new: str, differs: bool | None = True) -> Case:
    return pair(f"duration_{id}", old, new, differs, OWN)


CASES = [
    _pair("sum_of_constants", "q := e > T#500ms + T#1s;", "q := e > T#1500ms;", False),
    _pair("difference_of_constants_by_name", "q := e > SUB_TIME(T#500ms, T#0s);", "q := e > T#500ms;", False),
    _pair("another_difference", "q := e > SUB_TIME(T#10s, T#0s);", "q := e > SUB_TIME(T#10s, T#9s);"),
    _pair("only_if_asked", "IF a THEN m := SUB_TIME(T#500ms, T#0s); END_IF; o := MAX(m, T#100ms);",
          "IF NOT a THEN m := SUB_TIME(T#500ms, T#0s); END_IF; o := MAX(m, T#100ms);"),
    _pair("operands_of_a_difference", "q := e - f > T#1s;", "q := f - e > T#1s;"),
    _pair("another_limit_of_a_sum", "q := e + f > T#1s;", "q := e + f > T#2s;"),
    _pair("added_by_name", "o := e + f;", "o := ADD_TIME(e, f);", False),
    _pair("added_the_other_way_around", "o := e + f;", "o := f + e;", False),
    _pair("added_in_another_order", "o := e + f + T#1s;", "o := T#1s + f + e;", None),
    _pair("added_twice", "o := e + T#1s + T#1s;", "o := e + T#2s;", None),
    _pair("halves_of_a_millisecond", "o := e + T#0.5ms + T#0.5ms;", "o := e + T#1ms;", None),
    _pair("half_a_millisecond_by_a_variable", "m := T#0.5ms; o := e + m + m;", "o := e + T#1ms;", None),
    _pair("half_a_millisecond_by_choice", "o := SEL(a, e, T#0.5ms) + T#0.5ms;", "o := SEL(a, e + T#0.5ms, T#1ms);", None),
    _pair("subtracted_and_added", "o := e - f + f;", "o := e;", None),
    _pair("both_sides_of_a_comparison", "q := e + T#1s > f + T#1s;", "q := e > f;", None),
    _pair("moved_to_the_other_side", "q := e > f + T#1s;", "q := e - T#1s > f;", None),
]  # fmt: skip
