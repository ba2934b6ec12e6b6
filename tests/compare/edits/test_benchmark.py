"""How many edits are found, and how much of what is said is about an edit: over many plants, one and several at a time.

Recall: share of the edits of which the comparison says what has to be said (place, kind, effect, words). Precision:
share of what is said that belongs to an edit. The plants are drawn from seeds, so a figure can be taken again.
"""

from __future__ import annotations

import random
import re

import pytest

from asfound.compare.comparison import compare
from asfound.compare.result import Change

from .kinds import EDITS, RENAMES, Edit
from .plant import TEMPLATE, filled, names, read, written

SEEDS = (1, 2, 3)


def edited(template: str, edit: Edit) -> str:
    """The template with an edit made."""
    for old, new in edit.parts:
        assert template.count(old) == 1, (edit.name, old, template.count(old))
        template = template.replace(old, new)
    return template


def spelled(chosen: dict[str, str], template: str) -> dict[str, str]:
    """Names for everything a template holds: new ones for what an edit brings, upper case for ``@x_UPPER``."""
    return {
        **{key: f"new_{key}" for key in re.findall(r"@(\w+)", template)},
        **{f"{key}_UPPER": name.swapcase() for key, name in chosen.items()},
        **chosen,
    }


def says(change: Change, edit: Edit, chosen: dict[str, str]) -> bool:
    """Does a change say all that has to be said of an edit?"""
    told = "\n".join((change.summary, *change.details))
    place = written(edit.where, chosen).casefold()
    return (
        (change.area, change.kind, change.effect) == (edit.area, edit.kind, edit.effect)
        and place in f"{change.where} {' '.join(change.path)}".casefold()
        and written(edit.words, chosen).casefold() in told.casefold()
    )


def judged(seed: int, *edits: Edit) -> tuple[list[Edit], list[Change]]:
    """Edits that nothing is said of, and changes that belong to no edit."""
    template = filled(TEMPLATE, seed)
    after = template
    for edit in edits:
        after = edited(after, edit)
    chosen = spelled(names(TEMPLATE, seed), after)
    changes = compare(read(written(template, chosen)), read(written(after, chosen))).changes
    missed = [edit for edit in edits if not any(says(c, edit, chosen) for c in changes)]
    stray = [c for c in changes if c.follows_from is None and not any(says(c, edit, chosen) for edit in edits)]
    return missed, stray


def test_there_are_enough_kinds_in_all_five_languages() -> None:
    assert len({edit.name for edit in EDITS}) == len(EDITS) >= 60
    assert {"LD", "FBD", "ST", "IL", "SFC"} <= {edit.language for edit in EDITS}


@pytest.mark.parametrize("edit", EDITS, ids=lambda edit: f"{edit.language}: {edit.name}")
@pytest.mark.parametrize("seed", SEEDS)
def test_one_edit_is_found_and_nothing_else_is_said(seed: int, edit: Edit) -> None:
    missed, stray = judged(seed, edit)
    assert not missed, [f"{c.effect} {c.kind} {c.where}: {c.summary} {c.details}" for c in stray]
    assert not stray, [f"{c.effect} {c.kind} {c.where}: {c.summary}" for c in stray]


@pytest.mark.parametrize("name", RENAMES)
@pytest.mark.parametrize("seed", SEEDS)
def test_a_name_written_anew_everywhere_is_one_change(seed: int, name: str) -> None:
    template = filled(TEMPLATE, seed)
    chosen = names(TEMPLATE, seed)
    new = {**chosen, name: f"Other_{name}"}
    changes = compare(read(written(template, chosen)), read(written(template, new))).changes
    causes = [c for c in changes if c.follows_from is None]
    assert [c.kind for c in causes] == ["renamed"], [f"{c.kind} {c.where}: {c.summary}" for c in causes]
    assert f"{chosen[name]} renamed to Other_{name}" in causes[0].summary


@pytest.mark.parametrize("seed", range(10, 20))
def test_several_edits_at_once(seed: int) -> None:
    """Three edits drawn from different POUs; they may not hide each other."""
    rng = random.Random(seed)
    chosen: list[Edit] = []
    for edit in rng.sample(EDITS, len(EDITS)):
        if edit.where not in {e.where for e in chosen} and edit.language not in {e.language for e in chosen}:
            chosen.append(edit)
    missed, stray = judged(seed, *chosen[:4])
    assert not missed, [edit.name for edit in missed]
    assert not stray, [f"{c.effect} {c.kind} {c.where}: {c.summary}" for c in stray]
