"""An archive opened for a command, and what a person must know of it whatever they asked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from asfound.cli import streams
from asfound.model.problem import command

if TYPE_CHECKING:
    from asfound.archive.archive import Archive


def opened(path: Path, processes: int = 1) -> Archive:
    """The archive; branches that are gone although their logs know them are named."""
    from asfound.archive.archive import Archive
    from asfound.archive.safe_names import unescape

    archive = Archive.open(path, processes=processes)
    for name in archive.lost():
        advice = f"{command('check', path, '--mend')} puts it back"
        streams.note(f"warning: {path}: the branch of {unescape(name)} is gone, although its log knows it; {advice}")
    return archive
