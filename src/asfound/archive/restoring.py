"""Files back onto a disk: each written beside its place, synced, renamed, read again and checked.

Nothing of a record is trusted with where it goes. A copy has one of the names there are, each part of a file name is
one that the disk can hold or its safe spelling, and the folders below the one a person named are opened one by one
without following a link: one that stands there, or is put there meanwhile, ends the restore.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import stat
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

from asfound.archive import whole
from asfound.archive.folders import Folder, is_link, opened
from asfound.archive.safe_names import folded, stored_paths
from asfound.model.copy import COPY_NAMES, Source
from asfound.model.problem import Problem

ATTACHMENTS = "attachments"
_AGAIN = "check the disk and try again"
_EMPTY = "restore to an empty folder"


class Restored(NamedTuple):
    """``name`` is what the file was called, ``path`` where it is; ``renamed`` when the disk cannot hold the name."""

    name: str
    path: Path
    renamed: bool


File = tuple[str, Callable[[], Iterable[bytes]]]
"""A name, and what gives the bytes, part by part and each time anew."""


class _Planned(NamedTuple):
    """``parts`` are the folders below the one a person named, beginning with the copy; ``last`` is in the last one."""

    name: str
    parts: tuple[str, ...]
    last: str
    renamed: bool
    data: Callable[[], Iterable[bytes]]


def write(files: Sequence[File], sources: Sequence[Source], to: Path, copy: str) -> list[Restored]:
    """Write the files of a copy below ``to/copy`` that are not there yet, and check every one of them."""
    digests = {source.name: source.sha256 for source in sources}
    plan = _plan(files, to, copy)
    try:
        to.mkdir(parents=True, exist_ok=True)
        for parts, group in groupby(plan, lambda file: file.parts):
            with _entered(to, parts, make=True) as folder:
                assert folder is not None
                _write(folder, list(group), digests)
    except OSError as error:
        raise whole.refused(error, to / copy, "choose another folder") from None
    return [Restored(file.name, to.joinpath(*file.parts, file.last), file.renamed) for file in plan]


def _write(folder: Folder, files: Sequence[_Planned], digests: dict[str, str]) -> None:
    """Write the files of one folder, and read each of them again."""
    with whole.beside(folder) as beside:
        for file in files:
            path = folder.path / file.last
            try:
                if folder.stat(file.last) is None:
                    beside.put(beside.write(file.data()), file.last, sync=False)
                same = _digest(folder, file.last) == digests[file.name]
            except FileExistsError:  # since the look
                same = False
            except OSError as error:
                raise whole.refused(error, path, "choose another folder") from None
            if not same:
                raise Problem("does not read back as it was stored", where=str(path), advice=_AGAIN)
    folder.sync()


def refuse_replacing(files: Sequence[File], sources: Sequence[Source], to: Path, copy: str) -> None:
    """A :class:`Problem` when one of the files would replace something different, or would leave ``to``."""
    digests = {source.name: source.sha256 for source in sources}
    try:
        for parts, group in groupby(_plan(files, to, copy), lambda file: file.parts):
            with _entered(to, parts, make=False) as folder:
                if folder is not None:
                    for file in group:
                        _refuse_replacing(folder, file, digests[file.name])
    except OSError as error:
        raise Problem(
            f"cannot be looked at ({error.strerror})", where=str(to / copy), advice="choose another folder"
        ) from None


def _refuse_replacing(folder: Folder, file: _Planned, digest: str) -> None:
    found, where = folder.stat(file.last), folder.path / file.last
    if found is None:
        return
    _refuse_link(found, where)
    if not stat.S_ISREG(found.st_mode) or _digest(folder, file.last) != digest:
        raise Problem("exists with another content", where=str(where), advice=_EMPTY)


def _refuse_link(found: os.stat_result, where: Path) -> None:
    if is_link(found):
        raise Problem("is a link that leads elsewhere", where=str(where), advice=f"remove the link, or {_EMPTY}")


@contextlib.contextmanager
def _entered(to: Path, parts: Sequence[str], *, make: bool) -> Iterator[Folder | None]:
    """The folder ``to/parts``, each part opened in the one before; None when it is not there and not to be made.

    A :class:`Problem` when one of the parts is a link or a file. ``to`` itself may be reached by links.
    """
    with contextlib.ExitStack() as stack:
        if not make and not to.exists():
            yield None
            return
        folder = stack.enter_context(opened(to))
        for part in parts:
            if make:
                with contextlib.suppress(FileExistsError):
                    folder.make(part)
            found, where = folder.stat(part), folder.path / part
            if found is None:
                if make:  # removed since
                    raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), str(where))
                yield None
                return
            _refuse_link(found, where)
            if not stat.S_ISDIR(found.st_mode):
                raise Problem("is a file where a folder is needed", where=str(where), advice=_EMPTY)
            folder = stack.enter_context(folder.inner(part))
        yield folder


def _digest(folder: Folder, name: str) -> str:
    with os.fdopen(folder.open(name, os.O_RDONLY), "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


# --- names ------------------------------------------------------------------------------------------------------------


def refuse_copy(copy: str) -> None:
    """A :class:`Problem` unless this is what a copy can be called: what a record says would be the name of a folder."""
    if copy not in (*COPY_NAMES, ATTACHMENTS):
        raise Problem(
            f"a record names a copy '{copy}', and none is called so", advice="`asfound check` tells what is damaged"
        )


def _plan(files: Sequence[File], to: Path, copy: str) -> list[_Planned]:
    """Exact names where the file system can hold them and no two would meet, else the safe ones of the archive."""
    refuse_copy(copy)
    safe = stored_paths(name for name, _ in files)
    meeting = _meeting([name for name, _ in files])
    if meeting and _tells_case(to):
        meeting = {name for name in meeting if any(above in safe for above in _above(name))}
    shown = {
        name: name if name not in meeting and all(map(_possible, name.split("/"))) else safe[name] for name in safe
    }
    if len(set(shown.values())) < len(shown):  # an exact name spelt like the safe one of another
        shown = safe
    parts = {name: tuple(path.split("/")) for name, path in shown.items()}
    return [_Planned(n, (copy, *parts[n][:-1]), parts[n][-1], shown[n] != n, data) for n, data in files]


def _meeting(names: Sequence[str]) -> set[str]:
    """Names that some file system takes for another one, or that lie below a file."""
    count = Counter(map(folded, names))
    return {name for name in names if count[folded(name)] > 1 or any(a in count for a in _above(folded(name)))}


def _above(name: str) -> list[str]:
    return [name[:at] for at, sign in enumerate(name) if sign == "/"]


def _possible(part: str) -> bool:
    """Whether a file or folder can have this name here (never ``..`` or nothing, which would lead elsewhere)."""
    if part in ("", ".", "..") or "\0" in part or whole.NAME.fullmatch(part):
        return False
    if sys.platform == "win32":
        return stored_paths([part])[part] == part or (part.startswith(".") and part != ".git")
    return len(os.fsencode(part)) <= 255 and part.lower() != ".git"


def _tells_case(folder: Path) -> bool:
    """Whether the file system under ``folder`` (or the nearest existing one above it) tells ``a`` from ``A``."""
    while not folder.is_dir():
        folder = folder.parent
    try:
        with whole.among(folder) as beside:
            return beside.inner.stat(beside.write(()).swapcase()) is None
    except OSError as error:
        raise whole.refused(error, folder, "choose another folder") from None
