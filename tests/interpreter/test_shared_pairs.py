"""Pairs that an independent compiler has run (../shared/pairs, see its README): does the interpreter say the same?

Those with charts are left out: the interpreter has none.
"""

from __future__ import annotations

from pathlib import Path

import pytest

import asfound
from adversary.judging import first_difference

PAIRS = Path(__file__).parents[3] / "shared" / "pairs"
ALIKE = """cycles/counter_block_or_own_counting cycles/differs_only_in_a_state_never_reached cycles/latch_as_state
cycles/off_delay_by_on_delay cycles/states_renumbered cycles/toggle_edge_block_or_memory once/empty_resource_added
once/methods_in_another_order""".split()
APART = """cycles/counter_one_short cycles/latch_as_state_start_wins cycles/on_delay_preset_changed
cycles/states_renumbered_one_wrong cycles/toggle_memory_written_too_early once/conversion_beside_inverted_contact
once/guarded_division_swapped once/locals_became_globals once/mirrored_comparison_with_a_writing_call
once/moved_past_a_block_that_writes_by_reference once/moved_past_a_call_by_reference once/real_condition_plain_case
once/selector_inverted_around_move once/statement_moved_with_its_comment once/sum_compared_or_narrowed_first
once/unknown_function_beside_contact once/unknown_function_only once/user_function_named_like_a_conversion
once/words_numbered_by_byte once/words_numbered_by_word""".split()


@pytest.mark.skipif(not PAIRS.is_dir(), reason="../shared is not here")
@pytest.mark.parametrize(("name", "apart"), [(n, n in APART) for n in sorted(ALIKE + APART)])
def test_pair(name: str, apart: bool) -> None:
    old, new = ((PAIRS / f"{name}.{side}.st").read_text() for side in ("old", "new"))
    copies = [asfound.read(text.encode(), "pair.st") for text in (old, new)]
    found = first_difference(copies[0], copies[1], (old, new), runs=24, cycles=150 if name.startswith("cycles") else 6)
    assert (found is not None) == apart, str(found)
