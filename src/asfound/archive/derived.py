"""What git keeps beside the records and could make anew: indexes of packs, and files that only make it faster.

A damaged index hides objects that are whole; a damaged graph or bitmap makes git answer wrongly. An index is made
anew from its pack, which carries its own digest; the rest is removed, for git does without; ``git gc`` makes it
again.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from asfound.archive import disk
from asfound.archive.damaged_folder import set_aside
from asfound.archive.plumbing import Plumbing

_FASTER = ("info/commit-graph", "info/commit-graphs", "pack/multi-pack-index*", "pack/*.rev", "pack/*.bitmap")


def drop(git: Plumbing) -> int:
    """Remove what only makes git faster; how many files and folders."""
    objects = git.folder / "objects"
    found = [path for pattern in _FASTER for path in objects.glob(pattern)]
    for path in found:
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        else:
            path.chmod(0o644)  # Windows does not remove what is read-only
            path.unlink()
    disk.sync_folders([objects / "info", objects / "pack"])
    return len(found)


def index(git: Plumbing) -> int:
    """Make the index of each sound pack anew whose own is damaged or missing; how many."""
    packs = sorted((git.folder / "objects" / "pack").glob("pack-*.pack"))
    return sum(_indexed(git, pack) for pack in packs if not git.verifies(pack.with_suffix(".idx")))


def _indexed(git: Plumbing, pack: Path) -> bool:
    made = pack.with_name(f".asfound-{pack.stem}.idx")
    place = pack.with_suffix(".idx")
    if not git.index_pack(pack, made):
        made.unlink(missing_ok=True)
        return False
    disk.sync_files([made])
    if place.is_symlink() or place.exists():
        if disk.digest(place) == disk.digest(made):  # it is the pack that does not verify
            made.unlink()
            return False
        set_aside(git.folder, place)
    disk.rename(made, place)
    disk.sync_folder(pack.parent)
    return True
