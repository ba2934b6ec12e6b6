"""What hides a change in a TC6 export, most dangerous first, and the tests that hold it.

Source: measured over 126 public files and their histories. Numbers 30 and 33 concern a comparer: elements are never
paired by their number, and no text lying beside an export is trusted.

1 step code only in extension data: extension_data.step_code_that_is_named_only_in_extension_data
2 standard place empty: extension_data.everything_in_extension_data_while_the_standard_place_is_empty
3 real cycle in the task settings: extension_data.the_real_cycle_of_a_task_stands_in_its_settings
4 order by rows or by file: order.moving_a_rung_is_behaviour_when_it_then_reads_an_old_value
4 order by rows or by file: order.reordering_the_file_is_doubted_when_statements_share_a_variable
4 order by rows or by file: order.rows_less_than_ten_apart_run_from_left_to_right
5 a comment opened or closed: texts.a_comment_edit_that_closes_a_comment
6 device data marked discard: extension_data.data_marked_discard_may_hold_the_device
7 unknown parts skipped: extension_data.what_nobody_knows_is_kept
7 unknown parts skipped: extension_data.an_unknown_kind_of_pou_is_kept
8 code of a block: extension_data.code_of_an_execute_block_stands_only_in_extension_data
9 inline code in braces: texts.inline_code_in_braces_is_no_pragma
10 modifiers: modifier_meanings.modifiers_of_a_coil
10 modifiers: modifier_meanings.modifiers_of_a_contact
10 modifiers: modifier_meanings.modifiers_of_pins
10 modifiers: modifier_meanings.modifiers_of_variables
10 modifiers: modifier_meanings.negated_ends_of_a_variable_that_is_read_and_written
10 modifiers: modifier_meanings.a_negated_condition
11 several wires into one point: wires.several_wires_into_one_point_are_or
12 the pin a wire comes from: wires.the_pin_a_wire_comes_from
13 jumps, labels, returns: order.jumps_labels_and_returns
14 alternatives: charts.the_order_of_alternatives
14 alternatives: charts.order_of_alternatives_that_differ_in_nothing_else
14 alternatives: charts.simultaneous_or_selection
15 convergences: charts.a_jump_drawn_into_a_convergence_is_no_predecessor
15 convergences: charts.a_convergence_of_steps_followed_by_a_transition
16 a coil as source: wires.a_coil_passes_on_its_input
17 EN: wires.enable_guards_an_output_variable_and_no_coil
18 a block nobody asks for: order.a_function_block_without_a_wired_output_runs_last
19 open inputs: wires.losing_one_wire_of_a_function
19 open inputs: wires.losing_one_wire_of_a_function_block
20 declarations: declarations.what_a_declaration_says
21 orders with a meaning: declarations.orders_that_have_a_meaning
21 orders with a meaning: declarations.bounds_of_an_array
22 libraries: extension_data.libraries_and_settings_of_charts
23 addresses bound elsewhere: declarations.addresses_that_are_bound_elsewhere_are_a_limit
24 tasks: declarations.what_runs_a_program
24 tasks: declarations.an_export_without_tasks_says_so
25 feedback: order.where_a_feedback_loop_is_cut_depends_on_the_order_of_sinks
26 a value read late: order.a_value_taken_before_its_inputs_change_stays_where_it_was
27 step names in expressions: charts.step_names_are_used_in_expressions
28 an action of another POU: charts.an_action_of_another_pou_keeps_its_name
29 case of names and strings: texts.case_of_names_and_of_strings
30 recycled numbers: order.recycled_numbers
31 order of operands: wires.sorted_operands_only_where_the_order_says_nothing
32 double writes: order.two_writes_of_one_variable_keep_their_order
33 a stale text beside the export: ladder_oracle
34 where bodies lie: texts.bodies_behind_a_comment_and_several_bodies
34 where bodies lie: texts.two_pous_and_two_actions_with_one_name
34 where bodies lie: texts.an_empty_body_with_actions_full_of_logic
35 namespaces: extension_data.payloads_without_a_namespace_and_other_prefixes
36 white space: texts.white_space_inside_strings_is_kept
36 white space: false_alarms.padded_documentation
37 numbers: false_alarms.numbers_of_64_bits_and_action_numbers
38 a wire without a pin name: wires.a_wire_without_a_pin_name_never_means_eno
39 written defaults: false_alarms.an_execution_order_of_zero_and_written_defaults
39 written defaults: false_alarms.written_defaults_of_charts
40 what cannot be read: texts.what_cannot_be_read_is_never_equal
"""

from __future__ import annotations

import re
from pathlib import Path

HERE = Path(__file__).parent
ROWS = re.findall(r"^(\d+) [^:]+: (\w+)(?:\.(\w+))?$", __doc__ or "", re.MULTILINE)


def test_every_trap_has_a_test_that_exists() -> None:
    assert sorted({int(number) for number, _, _ in ROWS}) == list(range(1, 41))
    for number, file, name in ROWS:
        found = (HERE / f"test_tc6_{file}.py").read_text(encoding="utf-8")
        assert f"def test_{name}" in found, f"{number}: {file}.{name}"
