"""The profiles among the files of a copy, and which file each of them is for."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from pathlib import PurePosixPath

from asfound.model.copy import Finding, Source
from asfound.model.problem import Problem
from asfound.readers.encoding import decode
from asfound.readers.merging import Part
from asfound.readers.reader import Probe
from asfound.readers.tables.headings import classify
from asfound.readers.tables.profile import READER, Profile, is_profile, parse
from asfound.readers.tables.profile_look import is_fixed_width
from asfound.readers.tables.spreadsheet import is_spreadsheet

PROFILE = READER.name


class Profiles:
    """Asked for every file of a copy; :meth:`findings` afterwards names the profiles that fitted none."""

    def __init__(self, files: Sequence[tuple[str, bytes]]) -> None:
        found = [(name, data) for name, data in sorted(files) if is_profile(Probe(data, name))]
        self._profiles: list[tuple[str, Profile]] = [(name, parse(data, name)) for name, data in found]
        self._own = {name for name, _ in found}
        self._used: set[str] = set()

    def part(self, name: str, data: bytes) -> Part | None:
        """The file read with the one profile that is meant for it; None when none is."""
        if not self._profiles or not data or name in self._own or Probe(data, name).root is not None:
            return None
        from asfound.readers.tables import profiled

        fitting = [(title, profile) for title, profile in self._profiles if profiled.fits(data, name, profile)]
        if not fitting:
            return None
        if len(fitting) > 1:
            titles = " and ".join(title for title, _ in fitting)
            raise Problem(
                f"{titles} both fit", where=name, advice='say in each profile which files it is for: files = ["..."]'
            )
        ((title, profile),) = fitting
        self._used.add(title)
        source = Source(
            name=name,
            sha256=hashlib.sha256(data).hexdigest(),
            size=len(data),
            format=profiled.FORMATS[profile.table],
            encoding=profile.encoding or decode(data).encoding,
        )
        return Part(source, profiled.read(data, name, profile))

    def findings(self) -> tuple[Finding, ...]:
        """A warning for each profile that was of no use: its table would be read without it, or not at all."""
        unused = [title for title, _ in self._profiles if title not in self._used]
        return tuple(Finding("warning", title, "the profile fits no file of this copy") for title in unused)


def looks_like_table(data: bytes, name: str) -> bool:
    """Whether a file that nobody knows may be a table: a workbook, or lines of text with one delimiter in each, or with
    columns at fixed places under words that head columns.
    """
    if is_spreadsheet(data, PurePosixPath(name).suffix.lower()):
        return True
    probe = Probe(data, name)
    if probe.root is not None or "\x00" in probe.text:
        return False
    lines = [line for line in probe.text.split("\n")[:20] if line.strip()]
    cut = len(lines) > 1 and any(2 * sum(sign in line for line in lines) > len(lines) for sign in ";\t,|")
    return cut or (is_fixed_width(probe.text) and any(classify(re.split(" {2,}", line.strip())) for line in lines))
