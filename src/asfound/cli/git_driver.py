"""``asfound git-driver``: what ``git-setup`` tells git to run; people do not type it."""

from __future__ import annotations

import os
import re
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import streams
from asfound.cli.options import example
from asfound.model.problem import DIFFERS, DONE, Problem

if TYPE_CHECKING:
    from asfound.cli.repository import Repository
    from asfound.model.copy import Copy

EXAMPLE = example("git-driver text program.xml")
HIDDEN = True
_TEMPORARY = re.compile(r"[A-Za-z0-9]{6}_(.+)", re.DOTALL)
"""How git before 2.37 called the files it made for a driver."""


def git_driver(
    task: Annotated[str, typer.Argument(metavar="TASK", help="text, diff or check.")],
    files: Annotated[
        Optional[list[Path]],  # noqa: UP045
        typer.Argument(metavar="FILES", help="text: a file. diff: old, new, and what they are called."),
    ] = None,
) -> None:
    """Run by git, as asfound git-setup says: the normal form of a file, a comparison, a check of what is staged."""
    given = files or []
    if task == "text" and len(given) == 1:
        _text(given[0])
    elif task == "diff" and len(given) in (2, 3):
        _diff(given[0], given[1], str(given[-1]))
    elif task == "check" and not given:
        raise typer.Exit(_check())
    else:
        raise Problem("git-driver is for git", advice="`asfound git-setup` tells git about it")


def _text(file: Path) -> None:
    """All that was understood; a file that cannot be read as it is, after a line that says so. Git needs an answer."""
    from asfound.cli.loading import means
    from asfound.cli.show import for_people
    from asfound.readers.reading import content, read_files
    from asfound.readers.single_files import Parts

    try:
        data = content(file)
    except Problem as problem:
        if not file.is_file():
            raise
        streams.say(f"(* not read by asfound, sha256 {_digest(file)}: {problem.what} *)")
        return
    if not data:
        return
    files = [(_name(file), data)]
    try:
        shown = for_people(read_files(files, parts=Parts(means(files)))).encode("utf-8", "surrogatepass")
    except Problem as problem:
        shown = f"(* not read by asfound, shown as it is: {problem.what} *)\n".encode() + data
    sys.stdout.flush()
    sys.stdout.buffer.write(shown)


def _digest(file: Path) -> str:
    """What tells one file that is too large to be read from another."""
    import hashlib

    try:
        with file.open("rb") as opened:
            return hashlib.file_digest(opened, "sha256").hexdigest()
    except OSError as error:
        raise Problem(f"cannot be read ({error.strerror})", where=str(file), advice="ask for the right to") from None


def _name(file: Path) -> str:
    """The name of the export, without what git adds: the name must not differ from one run to the next."""
    name = os.fsencode(file.name).decode("utf-8", "backslashreplace")
    old_style = _TEMPORARY.fullmatch(name)
    in_temporary = file.resolve().parent == Path(tempfile.gettempdir()).resolve()
    return old_style[1] if old_style and in_temporary else name


def _diff(old: Path, new: Path, name: str) -> None:
    from asfound.compare.comparison import compare
    from asfound.reports import terminal

    comparison = compare(_side(old), _side(new), old_reference=f"{name} (old)", new_reference=f"{name} (new)")
    streams.say(name)
    terminal.write(comparison, streams.console())


def _side(file: Path) -> Copy:
    """What is in a file; nothing for the null device, which stands for a file that is not there."""
    from asfound.model.copy import Copy
    from asfound.readers.reading import content, read

    return Copy() if str(file) in ("/dev/null", os.devnull) else read(content(file), _name(file))


def _check() -> int:
    """Read what is staged; name each export that cannot be read."""
    from asfound.cli.repository import Repository

    repository = Repository(Path())
    refused = [(name, problem) for name in repository.staged() if (problem := _refusal(repository, name))]
    for name, problem in refused:
        streams.note(f"{name}: {problem}")
    if refused:
        last = repository.path("info/attributes")
        streams.note(
            f"nothing is committed: export again; for a file that is none add `NAME !diff` below all of {last}"
        )
    return DIFFERS if refused else DONE


def _refusal(repository: Repository, name: str) -> Problem | None:
    """Why a staged export cannot be read, with the profiles that are staged beside it; None when it can."""
    from asfound.readers.reading import read_files

    profiles = [path for path in repository.beside(name, ".toml") if path != name]
    try:
        read_files([(path.rpartition("/")[2], repository.data(path)) for path in (name, *profiles)])
    except Problem as problem:
        return problem
    return None


command = git_driver
