"""The folder ``damaged`` of an archive: where files go that are wrong, so that nothing is thrown away."""

from __future__ import annotations

from pathlib import Path

from asfound.archive import disk

FOLDER = "damaged"


def set_aside(folder: Path, path: Path) -> Path:
    """Move a file into the folder ``damaged``, under a name that is free; where it is now."""
    target = free(folder, path.name)
    disk.rename(path, target)
    disk.sync_folders([target.parent, path.parent])
    return target


def free(folder: Path, name: str) -> Path:
    """A place in it that nothing has taken."""
    aside = folder / FOLDER
    aside.mkdir(exist_ok=True)
    target, count = aside / name, 1
    while target.is_symlink() or target.exists():
        count += 1
        target = aside / f"{name}.{count}"
    return target
