"""Files back onto a disk: each written beside its place, synced, renamed, read again and checked."""

from __future__ import annotations

import os
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

from asfound.archive import disk
from asfound.archive.names import folded, stored_paths
from asfound.model.copy import Source
from asfound.model.problem import Problem


class Restored(NamedTuple):
    """``name`` is what the file was called, ``path`` where it is; ``renamed`` when the disk cannot hold the name."""

    name: str
    path: Path
    renamed: bool


File = tuple[str, Callable[[], Iterable[bytes]]]
"""A name, and what gives the bytes, part by part and each time anew."""


class _Planned(NamedTuple):
    name: str
    path: Path
    renamed: bool
    parts: Callable[[], Iterable[bytes]]


def write(files: Sequence[File], sources: Sequence[Source], folder: Path) -> list[Restored]:
    """Write the files below ``folder`` that are not there yet, and check every one of them."""
    digests = {source.name: source.sha256 for source in sources}
    plan = _plan(files, folder)
    for file in plan:
        if not file.path.exists():
            _write(file.path, file.parts())
        if disk.digest(file.path) != digests[file.name]:
            raise Problem(
                "does not read back as it was stored", where=str(file.path), advice="check the disk and try again"
            )
    return [Restored(file.name, file.path, file.renamed) for file in plan]


def _plan(files: Sequence[File], folder: Path) -> list[_Planned]:
    """Exact names where the file system can hold them and no two would meet, else the safe ones of the archive."""
    safe = stored_paths(name for name, _ in files)
    meeting = _meeting([name for name, _ in files])
    if meeting and _tells_case(folder):
        meeting = {name for name in meeting if any(above in safe for above in _above(name))}
    shown = {
        name: name if name not in meeting and all(map(_possible, name.split("/"))) else safe[name] for name in safe
    }
    if len(set(shown.values())) < len(shown):  # an exact name spelt like the safe one of another
        shown = safe
    return [_Planned(n, folder.joinpath(*shown[n].split("/")), shown[n] != n, parts) for n, parts in files]


def _meeting(names: Sequence[str]) -> set[str]:
    """Names that some file system takes for another one, or that lie below a file."""
    count = Counter(map(folded, names))
    return {name for name in names if count[folded(name)] > 1 or any(a in count for a in _above(folded(name)))}


def _above(name: str) -> list[str]:
    return [name[:at] for at, sign in enumerate(name) if sign == "/"]


def _possible(part: str) -> bool:
    """Whether a file or folder can have this name here (never ``..`` or nothing, which would lead elsewhere)."""
    if part in ("", ".", "..") or "\0" in part:
        return False
    if sys.platform == "win32":
        return stored_paths([part])[part] == part or (part.startswith(".") and part != ".git")
    return len(os.fsencode(part)) <= 255 and part.lower() != ".git"


def _tells_case(folder: Path) -> bool:
    """Whether the file system under ``folder`` (or the nearest existing one above it) tells ``a`` from ``A``."""
    while not folder.is_dir():
        folder = folder.parent
    with tempfile.NamedTemporaryFile(prefix=".asfound-case", dir=folder) as probe:
        path = Path(probe.name)
        return not path.with_name(path.name.swapcase()).exists()


def refuse_replacing(files: Sequence[File], sources: Sequence[Source], folder: Path) -> None:
    """A :class:`Problem` when one of the files would replace a different one, or leave ``folder`` through a link."""
    digests = {source.name: source.sha256 for source in sources}
    for file in _plan(files, folder):
        _refuse_replacing(file, digests[file.name], folder)


def _refuse_replacing(file: _Planned, digest: str, folder: Path) -> None:
    if not file.path.parent.resolve().is_relative_to(folder.resolve()):
        raise Problem("is reached through a link that leads elsewhere", where=str(file.path), advice="remove the link")
    if (file.path.exists() or file.path.is_symlink()) and (not file.path.is_file() or disk.digest(file.path) != digest):
        raise Problem("exists with another content", where=str(file.path), advice="restore to an empty folder")


def _write(path: Path, parts: Iterable[bytes]) -> None:
    """Temporary file in the same folder, sync, rename, sync the folder."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(prefix=".asfound-", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.writelines(parts)
                file.flush()
                os.fsync(file.fileno())
            Path(temporary).chmod(0o666 & ~_umask())
            disk.rename(Path(temporary), path)
        except BaseException:
            Path(temporary).unlink(missing_ok=True)
            raise
        disk.sync_folder(path.parent)
    except OSError as error:
        raise Problem(
            f"cannot be written ({error.strerror})", where=str(path), advice="choose another folder"
        ) from None


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
