"""``station.toml``: what is stated of a station, and which checks are mandatory, advised or off for it.

What is stated and how is told in :mod:`asfound.archive.stated`.

::

    schema = "asfound/station/1"
    name = "booster-1"

    [ready.reset]
    battery = "mandatory"
    documentation = "off"
"""

from __future__ import annotations

from typing import Annotated

import msgspec

from asfound.archive.content import STATION_SCHEMA
from asfound.archive.stated import ADVICE, Stated, document
from asfound.archive.stations import branch
from asfound.checks.readiness.situation import PURPOSES, Purpose
from asfound.checks.readiness.table import NAMES, Level
from asfound.model.logic import Node
from asfound.model.problem import Problem

Levels = Annotated[dict[str, Level], msgspec.Meta(extra_json_schema={"propertyNames": {"enum": list(NAMES)}})]


class Ready(Node, frozen=True):
    """Levels by the name of the check, for each purpose; a check that is not named keeps its own."""

    reset: Levels = msgspec.field(default_factory=dict)
    download: Levels = msgspec.field(default_factory=dict)
    firmware: Levels = msgspec.field(default_factory=dict)
    battery: Levels = msgspec.field(default_factory=dict)

    def of(self, purpose: Purpose) -> Levels:
        """Levels for one purpose."""
        found: Levels = getattr(self, purpose)
        return found


class Station(Stated, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The document ``station.toml`` of a record."""

    schema: str
    name: str
    ready: Ready = Ready()


def read(data: bytes, where: str) -> Station:
    """The settings of a station; a :class:`Problem` that names what is unknown."""
    try:
        found = msgspec.convert(document(data, where), Station)
    except msgspec.ValidationError as error:
        tables = ", ".join(f"[{table}]" for table in ADVICE)
        advice = f"it may hold schema, name, a table [ready.PURPOSE] for {', '.join(PURPOSES)}, and {tables}"
        raise Problem(f"cannot be understood ({error})", where=where, advice=advice) from None
    if found.schema != STATION_SCHEMA:
        raise Problem(f"has the schema {found.schema}", where=where, advice=f'write schema = "{STATION_SCHEMA}"')
    for purpose in PURPOSES:
        for name in found.ready.of(purpose):
            if name not in NAMES:
                advice = f"the checks are {', '.join(NAMES)}"
                raise Problem(f"[ready.{purpose}] names the unknown check '{name}'", where=where, advice=advice)
    return found


def read_for(data: bytes, station: str, where: str) -> Station:
    """The settings; a :class:`Problem` unless they can be read and name this station."""
    found = read(data, where)
    if branch(found.name) != branch(station):
        raise Problem(f"is for the station '{found.name}'", where=where, advice=f'write name = "{station}"')
    return found
