"""Files that a command writes: never over what it reads, never into an archive, never two into one, never unasked over
a file that is none of ours.

Asked for every command before it begins, so that nothing is half done when the answer is no.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from asfound.cli import replacing, streams
from asfound.cli.reference import is_archive
from asfound.model.problem import Problem

REPORTS = ("json", "html", "pdf", "markdown", "sarif")
OUTPUTS = (*REPORTS, "to")
"""Parameters that name a file to write; ``-`` is standard output. A ``to`` that is a folder has rules of its own."""

_HANDED_OVER = ("SHA256SUMS", "statement.json")


def refuse_overwriting(parameters: Mapping[str, object], command: str = "") -> list[replacing.Agreed]:
    """Raise Problem where a file to write is one of those to read, lies among them, or is a part of an archive.

    ``parameters`` are those of one command, by name; every text among them that names something on the disk and is
    no file to write counts as read. Where a report would replace a file that is none of ours, a person is asked; what
    they agreed to lose is returned.
    """
    named = {name: str(value) for name, value in parameters.items() if name in OUTPUTS and value is not None}
    outputs = [Path(value) for value in named.values() if streams.is_file(value)]
    inputs = [path for name, value in parameters.items() if name not in OUTPUTS for path in _paths(value)]
    seen: dict[Path, Path] = {}
    for output in outputs:
        place = output.resolve()
        if place in seen:
            raise Problem("is named for two reports", where=str(output), advice="name a file for each")
        seen[place] = output
        _refuse(output, place, inputs)
    reports = [Path(v) for n, v in named.items() if streams.is_file(v) and (n in REPORTS or command == "checklist")]
    return [agreed for report in reports for agreed in replacing.ask(report)]


def _refuse(output: Path, place: Path, inputs: list[Path]) -> None:
    archive = next((folder for folder in place.parents if is_archive(folder)), None)
    if archive is not None:
        raise Problem("lies in an archive", where=str(output), advice="write it somewhere else")
    if all((place.parent / part).is_file() for part in _HANDED_OVER):
        raise Problem("lies in a hand-over, which would be broken", where=str(output), advice="write it somewhere else")
    if not output.is_file():
        return
    for given in inputs:
        if given.is_file() and given.samefile(output):
            raise Problem(
                "is read by this command and would be lost", where=str(output), advice="write to another file"
            )
        if given.is_dir() and given.resolve() in place.parents:
            said = f"is part of {given}, which is read, and would be lost"
            raise Problem(said, where=str(output), advice="write to a file outside of it")


def _paths(value: object) -> Iterator[Path]:
    """What a parameter names on the disk."""
    if isinstance(value, (list, tuple)):
        for each in value:
            yield from _paths(each)
    elif isinstance(value, (str, Path)) and str(value):
        try:
            if Path(value).exists():
                yield Path(value)
        except (OSError, ValueError):
            return
