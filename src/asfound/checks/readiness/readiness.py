"""The document that ``asfound ready --json`` prints, and everything a report of it is made from."""

from __future__ import annotations

from typing import Literal as Choice

from asfound.checks.readiness.losses import Loss, losses
from asfound.checks.readiness.situation import Purpose, Situation
from asfound.checks.readiness.station_toml import Levels
from asfound.checks.readiness.table import Line, judge, reasons, verdict
from asfound.compare.result import Change
from asfound.model.logic import Node

SCHEMA = "asfound/readiness/1"


class Readiness(Node, frozen=True, omit_defaults=False):
    """``reasons`` are the checks that stand in the way; ``understood`` says that somebody confirmed the cautions.

    ``changes`` are those of a download. ``settings`` are the levels that differ from the usual ones.
    """

    schema: str
    station: str
    purpose: Purpose
    day: str
    verdict: Choice["ready", "not ready"]
    reasons: tuple[str, ...]
    understood: bool
    cautions: tuple[str, ...]
    checks: tuple[Line, ...]
    losses: tuple[Loss, ...]
    changes: tuple[Change, ...]
    settings: dict[str, str]
    limits: tuple[str, ...]


def readiness(
    s: Situation, station: str, levels: Levels, cautions: tuple[str, ...], *, understood: bool = False
) -> Readiness:
    """The judgement of a situation."""
    lines = judge(s, levels)
    found = s.new.comparison if s.new else None
    return Readiness(
        schema=SCHEMA,
        station=station,
        purpose=s.purpose,
        day=s.today,
        verdict=verdict(lines, understood=understood),
        reasons=reasons(lines),
        understood=understood,
        cautions=cautions,
        checks=lines,
        losses=losses(s),
        changes=found.changes if found else (),
        settings=dict(sorted(levels.items())),
        limits=tuple(dict.fromkeys((*s.limits(), *(found.limits if found else ())))),
    )
