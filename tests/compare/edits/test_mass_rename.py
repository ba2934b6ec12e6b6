"""A whole project in other names: one change for each name, and nothing else; one edit besides is told by itself."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from random import Random

import pytest

import asfound
from asfound.compare.result import Change
from asfound.model.copy import Copy

from .real import condition_negated, names_in_files, spelled_anew
from .test_real_files import FILES, copy_of


def renamed(copy: Copy) -> Copy:
    return spelled_anew(copy, {name.lower(): name for name in names_in_files(copy)})


def causes(old: Copy, new: Copy) -> tuple[list[Change], list[Change]]:
    """Renames, and all else that does not follow from something."""
    told = [c for c in asfound.compare(old, new).changes if c.follows_from is None]
    return [c for c in told if c.kind == "renamed"], [c for c in told if c.kind != "renamed"]


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.stem)
def test_every_name_of_a_real_file_at_once_is_one_change_each(file: Path) -> None:
    copy = copy_of(file)
    renames, others = causes(copy, renamed(copy))
    assert not others, [f"{c.effect} {c.kind} {c.where}: {c.summary}" for c in others]
    told = Counter((c.path, c.edits[0].old) for c in renames)
    assert set(told.values()) == {1}
    declared_elsewhere = [c for c in renames if any(e.field == "unseen global" for e in c.edits)]
    assert {c.effect for c in declared_elsewhere} <= {"undecided"}
    assert {c.effect for c in renames if c not in declared_elsewhere} <= {"equivalent", "documentation"}
    assert {f"{c.edits[0].old}_new" for c in renames} == {c.edits[0].new for c in renames}
    assert {(c.edits[0].old or "").lower() for c in renames} >= {n.lower() for n in names_in_files(copy)}


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.stem)
def test_an_edit_of_a_renamed_file_is_told_beside_the_renames(file: Path) -> None:
    made = condition_negated(copy_of(file), Random(1))
    if made is None:
        pytest.skip("no condition stands in it")
    _, others = causes(copy_of(file), renamed(made.copy))
    assert [c.kind for c in others] == ["changed"], [f"{c.effect} {c.kind} {c.where}: {c.summary}" for c in others]
    assert others[0].effect in made.effects
