"""What the shell offers when Tab is pressed: stations and copies of an archive, and the words an option takes.

Typer brings the scripts of the shells (``--install-completion``) and asks the functions here. They read names from the
folder of an archive and never start git, so that an answer costs about as much as ``asfound --version``.

Bash takes a word apart at every colon and @ (its COMP_WORDBREAKS) and replaces only the last part. So the parts of a
reference are put together again before it is read, and what stands before the last part is cut off the answers.

Only names of letters, digits, blanks and ``- _ . /`` are offered: nothing that a shell would act on comes from an
archive or a folder. Whatever goes wrong, nothing is offered; a person who is typing wants no message.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import typer

from asfound.cli import reference

QUESTION = "_ASFOUND_COMPLETE"
"""The variable with which a shell asks: complete_bash, complete_zsh, source_fish, ..."""

MOST = 500
"""Entries of a folder that are looked at."""

COPIES, MOMENTS = ("running", "card", "office"), ("as-found", "as-left", "routine")
"""As in :mod:`asfound.model.copy`, which loads more than a waiting person should wait for."""

_BREAKS = frozenset(":@")


def words(*known: str) -> Callable[[str], list[str]]:
    """Offers the words an option takes."""

    def offered(incomplete: str) -> list[str]:
        return [word for word in known if word.startswith(incomplete)]

    return offered


def references(ctx: typer.Context, incomplete: str) -> list[str]:
    """Stations, then their moments and copies; files too where a reference may still become one."""
    with contextlib.suppress(OSError, ValueError):
        where, rest = _divided(incomplete)
        if where:
            return [f"{where}:{each}" for each in _records(Path(where), rest)]
        found = [*_of_default(ctx, rest), *_of_archives_here(incomplete)]
        return [*found, *_entries(incomplete)] if found else []
    return []


def stations(ctx: typer.Context, incomplete: str) -> list[str]:
    """For ``[ARCHIVE] STATION``: the stations of the archive that stands before, else as :func:`references`."""
    first = ctx.params.get("first")
    if not first:
        return references(ctx, incomplete)
    with contextlib.suppress(OSError, ValueError):
        return [name for name in _stations(Path(first)) if name.startswith(incomplete)]
    return []


def _divided(text: str) -> tuple[str, str]:
    where, rest = reference.divided(text)
    return (where, rest) if where and reference.is_archive(Path(where)) else ("", text)


def _of_default(ctx: typer.Context, text: str) -> list[str]:
    archive = ctx.params.get("archive") or os.environ.get(reference.VARIABLE)
    return _records(Path(archive), text) if archive else []


def _records(archive: Path, text: str) -> list[str]:
    """What can follow: a station; after it moments and copies."""
    station, at, selector = text.partition("@")
    record, colon, copy = text.partition(":")
    if colon:
        return [f"{record}:{name}" for name in COPIES if name.startswith(copy)]
    if at:
        return [f"{station}@{moment}" for moment in MOMENTS if moment.startswith(selector)]
    names = [name for name in _stations(archive) if name.startswith(text)]
    if names != [text]:
        return names
    return [text, *(f"{text}@{moment}" for moment in MOMENTS), *(f"{text}:{name}" for name in COPIES)]


def _stations(archive: Path) -> list[str]:
    from asfound.archive.stations import branches_on_disk

    return [name for name in branches_on_disk(archive) if _harmless(name)]


def _of_archives_here(text: str) -> list[str]:
    archives = [entry for entry in _entries(text) if reference.is_archive(Path(entry))]
    return [f"{archive}:{name}" for archive in archives for name in _stations(Path(archive))]


def _entries(text: str) -> list[str]:
    """Paths that begin like this."""
    folder, slash, start = text.rpartition("/")
    with os.scandir(f"{folder}{slash}" or ".") as found:
        names = [entry.name for _, entry in zip(range(MOST), found, strict=False)]
    shown = (name for name in sorted(names) if name.startswith(start) and not name.startswith("."))
    return [f"{folder}{slash}{name}" for name in shown if _harmless(name)]


def _harmless(name: str) -> bool:
    return all(sign.isalnum() or sign in " -_." for sign in name)


def answer(app: Any) -> None:
    """Answer the question of a shell and end the process."""
    before = _put_together() if os.environ[QUESTION] == "complete_bash" else None
    said = io.StringIO()
    try:
        with contextlib.redirect_stdout(said), contextlib.redirect_stderr(io.StringIO()):
            app(prog_name="asfound")
        code: Any = 0
    except SystemExit as ended:
        code = ended.code
    except Exception:
        if os.environ.get("ASFOUND_DEBUG") == "1":
            raise
        code = 1
    text = said.getvalue()
    sys.stdout.write(text if before is None else "".join(_for_bash(text, before)))
    sys.exit(code)


def _put_together() -> str:
    """Join what bash took apart in COMP_WORDS; what of the last word stands before the part that bash replaces."""
    parts = os.environ.get("COMP_WORDS", "").split("\n")
    with contextlib.suppress(ValueError):
        parts = parts[: int(os.environ.get("COMP_CWORD", "")) + 1]
    whole: list[str] = []
    before, open_end = "", False
    for part in parts:
        breaks = bool(part) and _BREAKS.issuperset(part)
        if whole and part and (breaks or open_end):
            whole[-1] += part
            before = whole[-1] if breaks else before
        else:
            whole.append(part)
            before = ""
        open_end = breaks
    os.environ["COMP_WORDS"], os.environ["COMP_CWORD"] = "\n".join(whole), str(len(whole) - 1)
    return before


def _for_bash(text: str, before: str) -> Iterator[str]:
    plain = before.replace("\\ ", " ")
    for line in text.splitlines(keepends=True):
        yield line.removeprefix(plain).replace(" ", "\\ ")
