"""Putting the files of a statement into a folder: all of them, and the text last.

So a set with its text is complete and never replaced. One without was left by a killed run, and the next run replaces
it, if each of its files is a part of a statement about the very same record; else nothing is touched.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Mapping
from pathlib import Path

from asfound.archive import whole
from asfound.archive.folders import Folder
from asfound.evidence import envelope, sshsig
from asfound.evidence.statement import Predicate
from asfound.evidence.statement_fields import read
from asfound.evidence.statement_files import ENVELOPE, JSON, SIGNATURE, TEXT
from asfound.model.problem import Problem

ORDER = (SIGNATURE, ENVELOPE, JSON, TEXT)
"""In which the files get their names."""
_MOST = 50_000_000
"""Bytes of a file that is looked at."""


def place(folder: Path, name: str, files: Mapping[str, bytes]) -> None:
    """Write the files of one statement, ``{file name: bytes}``, all or none; a :class:`Problem` when they exist."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with whole.among(folder) as beside:
            made = {name + each: beside.write((files[name + each],)) for each in ORDER if name + each in files}
            _clear(beside.folder, name, files)
            _put(beside, made)
    except FileExistsError as error:
        raise _exists(error.filename or folder) from None
    except OSError as error:
        raise whole.refused(error, folder, "choose another folder") from None


def _put(beside: whole.Beside, made: Mapping[str, str]) -> None:
    done: list[str] = []
    try:
        for name, inner in made.items():
            beside.put(inner, name)
            done.append(name)
    except BaseException:
        for name in done:
            beside.folder.remove(name)
        raise


def _clear(folder: Folder, name: str, files: Mapping[str, bytes]) -> None:
    """Remove what a killed run left of this statement; a :class:`Problem` for anything else that has such a name."""
    there = [name + suffix for suffix in (JSON, TEXT, ENVELOPE, SIGNATURE) if folder.stat(name + suffix) is not None]
    about = _about(read(files[name + JSON]).predicate)
    if name + TEXT in there:
        raise _exists(folder.path / there[0])
    for file in there:
        if not _is_left(folder, file, about):
            raise _exists(folder.path / file)
    for file in there:
        folder.remove(file)


def _is_left(folder: Folder, file: str, about: tuple[str, ...]) -> bool:
    """Whether a file is whole and a part of a statement about this record, or a signature of ours."""
    found = folder.stat(file)
    if found is None or not stat.S_ISREG(found.st_mode) or found.st_size > _MOST:
        return False
    try:
        with os.fdopen(folder.open(file, os.O_RDONLY), "rb") as opened:
            data = opened.read()
        if file.endswith(SIGNATURE):
            return sshsig.parse(data.decode("utf-8", "replace")).namespace == sshsig.NAMESPACE
        if file.endswith(ENVELOPE):
            data = envelope.opened(data)[0]
        return _about(read(data).predicate) == about
    except (Problem, OSError):
        return False


def _about(said: Predicate) -> tuple[str, ...]:
    return said.station, said.record, said.commit


def _exists(path: Path | str) -> Problem:
    return Problem("exists", where=str(path), advice="choose another folder with --to")
