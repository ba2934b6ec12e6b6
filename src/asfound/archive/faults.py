"""What a check of an archive has found, in words: where, what, and which git objects are to blame."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from asfound.model.visible import visible


class Fault(NamedTuple):
    """One damage. ``station`` is empty for the archive as a whole, ``record`` (after the ``@``) for a whole station.

    ``objects`` are the ids of git objects that would mend it.
    """

    station: str
    record: str
    file: str
    what: str
    objects: tuple[str, ...] = ()


class Checked(NamedTuple):
    """How much was looked at, what is wrong (``faults``) and what is right but worth knowing (``remarks``).

    ``left`` are files that killed processes left behind, ``left_size`` their bytes; they are counted when nothing is
    wrong. Not ``whole``: git could not be let near the archive, and no record was looked at.
    """

    stations: int
    records: int
    files: int
    size: int
    faults: tuple[Fault, ...]
    remarks: tuple[Fault, ...]
    left: int = 0
    left_size: int = 0
    whole: bool = True


def told(faults: Iterable[Fault]) -> list[str]:
    """A line for each fault; the same one in several records of a station is told once, with all their names."""
    groups: dict[tuple[str, str, str], list[str]] = {}
    for fault in faults:
        groups.setdefault((fault.station, fault.file, fault.what), []).append(fault.record)
    return [_line(station, records, file, what) for (station, file, what), records in groups.items()]


def _line(station: str, records: Sequence[str], file: str, what: str) -> str:
    name = f"{station}@{', @'.join(_runs(records))}" if any(records) else station
    return visible(": ".join(part for part in (name, file, what) if part))


def _runs(records: Sequence[str]) -> list[str]:
    """Three or more numbers in a row as one: ``1 to 40``."""
    names = list(dict.fromkeys(records))
    runs: list[list[str]] = []
    for name in names:
        before = runs[-1][-1] if runs else ""
        if name.isdecimal() and before.isdecimal() and int(name) == int(before) + 1:
            runs[-1].append(name)
        else:
            runs.append([name])
    return [word for run in runs for word in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else run)]


def ids(text: str) -> list[str]:
    """Ids of git objects in a text, also those written as the path of a file."""
    return re.findall(r"\b[0-9a-f]{40}\b", re.sub(r"\b([0-9a-f]{2})[/\\]([0-9a-f]{38})\b", r"\1\2", text))
