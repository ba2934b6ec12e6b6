"""What killed processes left behind: unfinished files, locks of git, objects that no record uses.

They do no harm but take room, up to the size of what was being stored. A check counts them; mending removes them, once
everything else is sound (the objects of a lost branch are no left-overs) and nobody is at work in the archive. Whoever
stores or exchanges holds a lock of the kernel for as long (:func:`.disk.at_work`), so that a process that lives is
never taken for a killed one. A plain ``git push`` from elsewhere holds none. So only what two looks call left behind
is removed, with a pause in between that is far longer than git needs from putting objects in place to moving the
branch; and the folder in which git keeps what arrives stays for :data:`YOUNG`, like everything where the disk knows no
locks. Weakness: a push that brings again the very objects that are being removed at that instant.
"""

from __future__ import annotations

import shutil
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from asfound.archive import disk, orphans
from asfound.archive.plumbing import Plumbing

YOUNG = 86_400.0
"""Seconds before a file counts as left behind where nobody can tell who is at work."""
PAUSE = 3.0
"""Seconds between two looks."""
_ARRIVING = ("incoming-", "tmp_objdir-")
WORK = "asfound.work"
"""The file that is locked by all who are at work; it holds nothing and stays."""
_UNFINISHED = (
    ".asfound-*",
    "*.lock",
    "fast_import_crash_*",
    "gc.pid",
    "refs/**/*.lock",
    "info/*.lock",
    "objects/tmp_*",
    "objects/incoming-*",
    "objects/info/*.lock",
    "objects/info/commit-graphs/*.lock",
    "objects/info/tmp_*",
    "objects/pack/tmp_*",
    "objects/pack/.tmp-*",
    "objects/pack/.asfound-*",
    "objects/pack/*.lock",
    "objects/??/tmp_*",
    "objects/??/.asfound-*",
    "refs/**/.asfound-*",
    "logs/**/.asfound-*",
)
"""Where git and we write what is renamed in the end."""
_OURS = ("asfound.lock", WORK)


class Leftovers(NamedTuple):
    """Unfinished files (or folders) and locks, objects that no record uses, and the bytes of both.

    ``orphans`` are ends of records that no branch leads to, by branch; nothing of them is a left-over.
    """

    files: tuple[Path, ...]
    objects: tuple[Path, ...]
    size: int
    orphans: dict[str, list[str]] = {}  # noqa: RUF012

    @property
    def total(self) -> int:
        """How many files there are of both kinds."""
        return len(self.files) + len(self.objects)


NONE = Leftovers((), (), 0)


def find(git: Plumbing) -> Leftovers:
    """Everything that was left behind; nothing of it is in use unless somebody is at work."""
    files = tuple(sorted({path for pattern in _UNFINISHED for path in git.folder.glob(pattern)} - _kept(git.folder)))
    unused = git.unreachable()
    lost = orphans.orphans(git, unused) if unused else {}
    kept = orphans.objects(git, (end for ends in lost.values() for end in ends))
    objects = tuple(_unused(git, unused.keys() - kept)) if unused and kept is not None else ()
    return Leftovers(files, objects, sum(map(_size, (*files, *objects))), lost)


def _kept(folder: Path) -> set[Path]:
    return {folder / name for name in _OURS}


def _unused(git: Plumbing, unused: set[str]) -> Iterator[Path]:
    """Files of single objects, and of packs that hold nothing but such objects."""
    objects = git.folder / "objects"
    yield from (path for name in sorted(unused) if (path := objects / name[:2] / name[2:]).is_file())
    for index in sorted((objects / "pack").glob("pack-*.idx")):
        names = git.listed(index)
        if names and unused.issuperset(names):
            yield from sorted(index.parent.glob(f"{index.stem}.*"), key=lambda part: part != index)


def _size(path: Path) -> int:
    try:
        if path.is_dir() and not path.is_symlink():
            return sum(each.lstat().st_size for each in path.rglob("*") if not each.is_dir())
        return path.lstat().st_size
    except OSError:
        return 0


def remove(git: Plumbing) -> Leftovers:
    """Remove them while nobody is at work; what was removed (nothing when somebody is)."""
    with disk.alone(git.folder / WORK) as known:
        if known is None:
            return NONE
        first = find(git)
        if not first.total:
            return first
        time.sleep(PAUSE)
        git.close()
        found = find(git)
        git.close()
        twice = {*first.files, *first.objects}
        old = [path for path in (*found.files, *found.objects) if path in twice and _is_old(path, known)]
        size = sum(map(_size, old))
        for path in old:
            _remove(path)
    files, objects = (tuple(path for path in kind if path in set(old)) for kind in (found.files, found.objects))
    return Leftovers(files, objects, size)


def _is_old(path: Path, known: bool) -> bool:
    """Old enough where nobody can tell who is at work; what arrives by a push of plain git always is such."""
    sure = known and not path.name.startswith(_ARRIVING)
    return sure or _age(path) <= time.time() - YOUNG


def _age(path: Path) -> float:
    try:
        return path.lstat().st_mtime
    except OSError:
        return 0.0


def _remove(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path, ignore_errors=True)
        return
    try:
        path.chmod(0o644)  # Windows does not remove what is read-only
        path.unlink()
    except OSError:
        return
