"""All pairs, by id."""

from __future__ import annotations

from . import (
    aliasing,
    blocks,
    by_reference,
    control,
    declared,
    durations,
    functions,
    inside,
    order,
    partial,
    reals,
    widths,
)
from .case import Case

ALL: dict[str, Case] = {}
for _module in (
    by_reference,
    aliasing,
    partial,
    order,
    widths,
    reals,
    control,
    blocks,
    functions,
    declared,
    inside,
    durations,
):
    for _case in _module.CASES:
        assert _case.id not in ALL, _case.id
        ALL[_case.id] = _case
