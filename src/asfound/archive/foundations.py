"""Putting back what an archive stands on: the folders, ``HEAD``, ``config``, and no file that git must not obey.

These are constants, so no second archive is needed. What stood there moves to the folder ``damaged`` of the archive.
Objects that a stranger's ``alternates`` lent are copied in first, so that the archive is whole afterwards.
"""

from __future__ import annotations

from pathlib import Path

from asfound.archive import configuration, disk, premises, whole
from asfound.archive.damaged_folder import FOLDER, free, set_aside
from asfound.archive.plumbing import Plumbing
from asfound.archive.references import LARGEST
from asfound.archive.storing import LOCK
from asfound.model.problem import Problem

_ALTERNATES = "objects/info/alternates"


def put_back(folder: Path) -> int:
    """Mend all that :func:`.premises.odd` names; how many files and folders that were."""
    names = list(dict.fromkeys(found.file for found in premises.odd(folder)))
    for name in sorted(names, key=lambda name: name == _ALTERNATES):  # last: git must be able to work
        if name == _ALTERNATES:
            _take_over(folder)
        _put_back(folder, name)
    return len(set(names) - {"packed-refs"})


def _put_back(folder: Path, name: str) -> None:
    place = folder / name
    if name == "config":
        if kept := disk.plain(place, configuration.LONGEST):
            whole.replace(free(folder, name), kept)
        elif place.is_symlink() or place.exists():
            set_aside(folder, place)
        configuration.write(folder)
        return
    if name == "packed-refs" and disk.plain(place, LARGEST) is not None:
        return  # with the branches, once git can work
    if place.is_symlink() or place.exists():
        set_aside(folder, place)
    if name == "HEAD":
        whole.replace(place, premises.HEAD.encode("ascii"))
    elif name in premises.FOLDERS or (name.startswith("objects/") and len(name) == len("objects/00")):
        (place / "heads" if name == "refs" else place).mkdir(parents=True, exist_ok=True)
        disk.sync_folders([place.parent])


def own(folder: Path) -> None:
    """See to it that what mending itself writes to is no link: the lock, and the folder where things go."""
    for name in (FOLDER, LOCK):
        if (link := folder / name).is_symlink():
            moved = folder / f".asfound-{name}"
            disk.rename(link, moved)
            disk.rename(moved, free(folder, name))


def _take_over(folder: Path) -> None:
    """Copy in what is lent; what cannot be copied is named by the check that follows."""
    git = Plumbing(folder, damaged=True)
    try:
        git.repack()
    except Problem:
        return
    finally:
        git.close()
