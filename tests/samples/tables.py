"""Write tag tables, value lists and force lists: semicolons, UTF-8, one header line."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from samples.plant import Station


def _table(header: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text, delimiter=";", lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue().encode("utf-8")


def tags(station: Station, comments: bool) -> bytes:
    """The tag table; an upload has no comments and sorts by address."""
    found = station.tags if comments else sorted(station.tags, key=lambda tag: tag.address)
    rows = ((tag.name, tag.address, tag.type, tag.comment if comments else "") for tag in found)
    return _table(("Name", "Address", "Type", "Comment"), rows)


def values(station: Station) -> bytes:
    """Actual values read from the running controller."""
    rows = ((v.name, v.actual, v.initial, v.unit, v.comment) for v in station.values)
    return _table(("Name", "Actual", "Initial", "Unit", "Comment"), rows)


def forces(station: Station) -> bytes:
    """Variables that are forced in the running controller; only the header when there is none."""
    rows = ((f.name, f.address, f.value, f.comment) for f in station.forces)
    return _table(("Name", "Address", "Forced value", "Comment"), rows)
