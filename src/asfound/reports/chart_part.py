"""The part of a sequential chart that a change is about: a step, its actions, and the transitions that leave it.

Drawn as a list, which works for every chart: the step is a box (an initial one has double sides), its actions stand
beside it with qualifier and time, and each transition that leaves it is a bar with the number in which it is tried,
the steps it leads to, and its condition. Steps elsewhere are named, not drawn. Cost: linear in the step's actions and
transitions. Known weakness: a change of the whole chart's shape is told in words and text only.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from asfound.analysis.leaves import name_of
from asfound.compare.result import Change
from asfound.language.readable import expression
from asfound.language.readable import statements as printed
from asfound.model.copy import Copy
from asfound.model.program import Association, Chart, Step, Transition
from asfound.model.visible import visible
from asfound.reports.drawing import Box, Drawing, Key, Marks, Rail, Shape, Sign, Text, Wire, cells
from asfound.reports.words import visible_lines

WIDTH = 44
"""Columns of a condition before it goes on in a new line."""


class Part(NamedTuple):
    """A step with the transitions that leave it, in the order in which they are tried."""

    step: Step
    leaving: tuple[Transition, ...]


def parts(change: Change, old: Copy | None, new: Copy | None) -> tuple[Part | None, Part | None] | None:
    """Both sides of a change of a step, an action or a transition; None when it is about something else.

    None too when a side that has a text does not have that step (it was renamed): then the text says it all.
    """
    if change.area != "logic" or len(change.path) not in (2, 3) or old is None or new is None:
        return None
    kind, _, name = change.path[1].partition(":")
    if kind not in ("step", "transition") or (len(change.path) == 3 and not change.path[2].startswith("action:")):
        return None
    before, after = (_part(_chart(copy, change.path[0]), kind, name) for copy in (old, new))
    lacking = (change.before is not None and before is None) or (change.after is not None and after is None)
    return None if lacking or not (before or after) else (before, after)


def _chart(copy: Copy, owner: str) -> Chart | None:
    for pou in copy.program.pous:
        if pou.name.lower() == owner.lower():
            return next((body.chart for body in pou.bodies if body.chart is not None), None)
    return None


def _part(chart: Chart | None, kind: str, name: str) -> Part | None:
    if chart is None:
        return None
    if kind == "transition":
        name = next((t.sources[0] for t in chart.transitions if name_of(t) == name and t.sources), "")
    step = next((s for s in chart.steps if s.name.lower() == name.lower()), None)
    if step is None:
        return None
    folded = step.name.lower()
    return Part(step, tuple(t for t in chart.transitions if folded in (s.lower() for s in t.sources)))


def marks(before: Part | None, after: Part | None) -> tuple[Marks, Marks]:
    """What differs between the sides; nothing when there is but one."""
    if before is None or after is None:
        return {}, {}
    old, new = dict(_said(before)), dict(_said(after))
    changed: dict[Key, Sign] = {key: "~" for key in old if key in new and old[key] != new[key]}
    return changed | {key: "-" for key in old if key not in new}, changed | {key: "+" for key in new if key not in old}


def _said(part: Part) -> Iterator[tuple[Key, str]]:
    yield ("step",), f"{part.step.name} {part.step.initial}"
    for action in part.step.actions:
        yield ("action", action.action.lower()), _qualifier(action) + _indicator(action)
    for number, transition in enumerate(part.leaving, 1):
        yield _key(transition), f"{number} {' '.join(_condition(transition))}"


def _key(transition: Transition) -> Key:
    return ("transition", *(name.lower() for name in transition.targets), "from", *sorted(transition.sources))


def layout(part: Part) -> Drawing:
    """The drawing of one side."""
    name = visible(part.step.name)
    right = max(cells(name) + 6, 12)
    keys: tuple[Key, ...] = (("step",),)
    shapes: list[Shape] = [Box(1, 0, right, 2, name, keys=keys)]
    if part.step.initial:
        shapes.insert(0, Box(0, 0, right + 1, 2, "", keys=keys))
    width, bottom = right, 2
    for number, action in enumerate(part.step.actions):
        end, found = _action(action, right, 2 * number, first=number == 0)
        shapes += found
        width, bottom = max(width, end), max(bottom, 2 + 2 * number)
    row, centre = bottom + 1, 5
    last = 0
    for number, transition in enumerate(part.leaving, 1):
        lines = _lines(transition, number, part.step)
        shapes += _transition(lines, _key(transition), centre, row)
        width, last = max(width, centre + 5 + max(map(cells, lines))), row
        row += len(lines) + 1
    if last:
        shapes.insert(0, Wire(centre, 1, centre, last))
    return Drawing(width + 3, row - 1, tuple(shapes), "\n".join(text for _, text in _said(part)))


def _action(action: Association, left: int, row: int, *, first: bool) -> tuple[int, list[Shape]]:
    keys: tuple[Key, ...] = (("action", action.action.lower()),)
    qualifier, name = _qualifier(action), visible(action.action) + _indicator(action)
    start = left + 3
    middle, end = start + cells(qualifier) + 6, start + cells(qualifier) + cells(name) + 12
    lead = [Wire(left, row + 1, start, row + 1)] if first else []
    return end, [
        *lead,
        Box(start, row, middle, row + 2, qualifier, keys=keys),
        Box(middle, row, end, row + 2, name, keys=keys),
    ]


def _qualifier(action: Association) -> str:
    return visible(f"{action.qualifier} {action.duration}".strip())


def _indicator(action: Association) -> str:
    return f" ({visible(action.indicator)})" if action.indicator else ""


def _transition(lines: list[str], key: Key, centre: int, row: int) -> list[Shape]:
    bar: list[Shape] = [Wire(centre, row, centre + 3, row), Rail(centre + 2, row, row, keys=(key,))]
    texts = [
        Text(centre + 5, row + n, line, "start", "value", keys=(key,) if not n else ()) for n, line in enumerate(lines)
    ]
    return [*bar, *texts]


def _lines(transition: Transition, number: int, step: Step) -> list[str]:
    """Where it leads, together with which other steps, and its condition."""
    others = [visible(name) for name in transition.sources if name.lower() != step.name.lower()]
    together = f" (together with {', '.join(others)})" if others else ""
    return [f"{number} to {', '.join(map(visible, transition.targets))}{together}", *_condition(transition)]


def _condition(transition: Transition) -> list[str]:
    text = visible_lines(printed(transition.statements)) if transition.statements else []
    whole = textwrap.wrap(visible(expression(transition.condition)), WIDTH, break_long_words=False)
    return [*text, *(f"  {line}" for line in whole)]


def both(change: Change, old: Copy | None, new: Copy | None) -> list[tuple[str, Drawing, Marks]]:
    """The drawings of a change with their captions, or nothing."""
    found = parts(change, old, new)
    if found is None:
        return []
    sides: Mapping[str, Part | None] = {"Before": found[0], "Now": found[1]}
    signs = marks(*found)
    return [(name, layout(part), signs[n]) for n, (name, part) in enumerate(sides.items()) if part is not None]
