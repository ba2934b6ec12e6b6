"""Mending an archive from a second one: objects by their ids, branches by their own logs.

An object comes from the second archive only when its bytes give its id, so what is mended is exactly what was there.
Nothing is thrown away: damaged packs and branch files move to the folder ``damaged`` of the archive; only a damaged
file of a single object is replaced, in one rename. A pack goes aside when each of its objects stands elsewhere. A
branch moves only forward, or to where its own log says it was. Stopped at any instant, it can be run again.

Cost: one check of the whole archive per round, at least two rounds.
"""

from __future__ import annotations

import os
import tempfile
import zlib
from collections.abc import Iterable
from pathlib import Path

from asfound.archive import disk, references
from asfound.archive.checking import Watch, check
from asfound.archive.faults import Checked
from asfound.archive.objects import verified
from asfound.archive.plumbing import Damaged, Plumbing
from asfound.archive.stations import PREFIX
from asfound.archive.storing import LOCK


def repair(git: Plumbing, other: Plumbing, watch: Watch | None = None) -> tuple[Checked, int]:
    """What is still wrong in the end, and how many objects, packs and branches were mended."""
    mended = 0
    with disk.hold(git.folder / LOCK):
        while True:
            checked = check(git, watch)
            wanted = dict.fromkeys(name for fault in checked.faults for name in fault.objects)
            done = _packs(git, other) + _objects(git, other, wanted) if checked.faults else 0
            done += _branches(git, other) if checked.faults else 0
            git.close()  # a running git does not see what has moved
            if not done:
                return checked, mended
            mended += done


def _objects(git: Plumbing, other: Plumbing, wanted: Iterable[str]) -> int:
    return sum(not _is_sound(git, name) and _fetched(git, [other], name) for name in wanted)


def _is_sound(git: Plumbing, name: str) -> bool:
    try:
        verified(git, name)
    except Damaged:
        return False
    return True


def _fetched(git: Plumbing, sources: Iterable[Plumbing], name: str) -> bool:
    """Write the object as a file of its own, from the first source that has it whole."""
    for source in sources:
        try:
            kind, data = verified(source, name)
        except Damaged:
            continue
        _put(git.folder / "objects" / name[:2] / name[2:], b"%s %d\0" % (kind.encode("ascii"), len(data)) + data)
        return True
    return False


def _put(place: Path, data: bytes) -> None:
    """A loose object: header and bytes, deflated (git's own format of one object in one file)."""
    place.parent.mkdir(exist_ok=True)
    handle, temporary = tempfile.mkstemp(prefix="tmp_obj_", dir=place.parent)
    with os.fdopen(handle, "wb") as file:
        file.write(zlib.compress(data))
        file.flush()
        os.fsync(file.fileno())
    Path(temporary).chmod(0o444)
    if place.exists():
        place.chmod(0o644)  # Windows does not replace what is read-only
    disk.rename(Path(temporary), place)
    disk.sync_folders([place.parent, place.parent.parent])


def _packs(git: Plumbing, other: Plumbing) -> int:
    """Take damaged packs apart and put them aside; how many."""
    done = 0
    for index in git.damaged_packs():
        fetched = [_fetched(git, [git, other], name) for name in git.listed(index)]  # all, not up to the first failure
        if fetched and all(fetched):
            for part in index.parent.glob(f"{index.stem}.*"):
                _aside(git, part)
            done += 1
    return done


def _aside(git: Plumbing, path: Path) -> None:
    folder = git.folder / "damaged"
    folder.mkdir(exist_ok=True)
    target, count = folder / path.name, 1
    while target.exists():
        count += 1
        target = folder / f"{path.name}.{count}"
    disk.rename(path, target)
    disk.sync_folders([folder, path.parent])


def _branches(git: Plumbing, other: Plumbing) -> int:
    """Put branches back that are damaged, gone or set back; how many."""
    here, there = references.references(git.folder), references.references(other.folder)
    names = {*here, *references.logged(git.folder, PREFIX), *there}
    done = 0
    for name in sorted(name for name in names if name.startswith(f"refs/heads/{PREFIX}")):
        steps = references.log(git.folder, name)
        if name not in here and not steps:
            continue  # a station that was never here is a matter of sync
        tip = here.get(name, "")
        sound = bool(tip) and (_is_sound(git, tip) or _fetched(git, [other], tip))
        back = bool(steps) and steps[-1].old == tip != steps[-1].new
        wanted = next((t for t in _candidates(steps, there.get(name, "")) if t != tip and _at_hand(git, other, t)), "")
        if wanted and (not sound or back):
            _point(git, name, wanted, tip if sound else "")
            done += 1
    return done


def _candidates(steps: list[references.Step], tip: str) -> list[str]:
    return [steps[-1].new] if steps else [tip] if tip else []


def _at_hand(git: Plumbing, other: Plumbing, commit: str) -> bool:
    return _is_sound(git, commit) or _fetched(git, [other], commit)


def _point(git: Plumbing, reference: str, commit: str, old: str) -> None:
    place = git.folder / reference
    if not old and place.exists():
        _aside(git, place)
    git.move(reference.removeprefix("refs/heads/"), commit, old, "mended by asfound check")
