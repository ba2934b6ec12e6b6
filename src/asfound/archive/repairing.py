"""Mending an archive: what stands beside the records from the archive itself, objects and branches also from a second.

* constants (folders, ``HEAD``, ``config``) are written anew, and what must not be there moves aside;
* what git derives is made anew (indexes of packs) or removed (what only makes git faster);
* an object comes from the second archive only when its bytes give its id, so what is mended is exactly what was there;
* a branch moves only forward, or to where its own log says it was; one that has no log here takes the end that the
  second archive knows, if that is a record of this very station;
* a clone has no logs: branches that it lost end where its records do (:mod:`.orphans`);
* logs and ``packed-refs`` are mended from what stands in them twice (:mod:`.logs`, :mod:`.packed`).

In the end what killed processes left behind is removed (:mod:`.leftovers`), if all else is sound.

Nothing else is thrown away: damaged packs, logs, settings and branch files move to the folder ``damaged``;
only a damaged file of a single object is replaced, in one rename. A pack goes aside when each of its objects stands
elsewhere. Stopped at any instant, it can be run again. A round after which the same is wrong as before is the last.

Cost: one check of the whole archive per round, at least two rounds when something is wrong.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
import zlib
from collections.abc import Iterable
from functools import partial
from pathlib import Path

from asfound.archive import derived, disk, foundations, leftovers, logs, orphans, packed, references
from asfound.archive.checking import Signed, Watch, check, coming, refuse_gone
from asfound.archive.damaged_folder import set_aside
from asfound.archive.faults import Checked
from asfound.archive.git_objects import verified
from asfound.archive.orphans import are_lost
from asfound.archive.packed import ASIDE
from asfound.archive.plumbing import Damaged, Plumbing
from asfound.archive.record_lines import at
from asfound.archive.stations import PREFIX, branch
from asfound.archive.storing import LOCK
from asfound.model.problem import Problem
from asfound.readers.reading import MAX_FILE

ROUNDS = 9
"""More than that never helped: objects name objects that are missing too, a folder at a time at worst."""


def repair(
    git: Plumbing, other: Plumbing | None, watch: Watch | None = None, signed: Signed | None = None
) -> tuple[Checked, int]:
    """What is still wrong in the end, and how many pieces were mended."""
    foundations.own(git.folder)
    with disk.hold(git.folder / LOCK):
        refuse_gone(git.folder)
        mended = foundations.put_back(git.folder) + _packed(git, other)
        before = None
        for _ in range(ROUNDS):
            checked = check(git, watch, signed=signed)
            if not checked.faults or checked.faults == before:
                break
            done = _round(git, other, checked)
            refuse_gone(git.folder)
            git.close()  # a running git does not see what has moved
            mended, before = mended + done, checked.faults
        if not checked.faults and checked.left:
            mended += leftovers.remove(git).total
            left = leftovers.find(git)
            checked = checked._replace(left=left.total, left_size=left.size)
    return checked, mended


def _round(git: Plumbing, other: Plumbing | None, checked: Checked) -> int:
    wanted = dict.fromkeys(name for fault in checked.faults for name in fault.objects)
    done = derived.drop(git) + derived.index(git) + _packs(git, other) + _objects(git, other, wanted)
    return done + _orphans(git) + _references(git, other) + _logs(git)


def _sources(git: Plumbing, other: Plumbing | None) -> list[Plumbing]:
    return [git, other] if other else [git]


def _objects(git: Plumbing, other: Plumbing | None, wanted: Iterable[str]) -> int:
    return sum(_object(git, other, name) for name in wanted)


def _object(git: Plumbing, other: Plumbing | None, name: str) -> bool:
    """Cut off what a file has behind the end of its object, or bring the object from the second archive."""
    place = git.folder / "objects" / name[:2] / name[2:]
    if data := _in_front(place, name):
        _put(place, data)
        return True
    return other is not None and not _is_sound(git, name) and _fetched(git, [other], name)


def _in_front(place: Path, name: str) -> bytes:
    """The object that a file holds, whole, in front of other bytes; nothing when it is not so."""
    stream, parts, size = zlib.decompressobj(), list[bytes](), 0
    try:
        with place.open("rb") as file:
            while not stream.eof and size <= MAX_FILE and (part := file.read(2**16)):
                parts.append(stream.decompress(part))
                size += len(parts[-1])
            more = stream.eof and (stream.unused_data or file.read(1))
    except (OSError, zlib.error):
        return b""
    data = b"".join(parts) if more else b""
    return data if hashlib.sha1(data, usedforsecurity=False).hexdigest() == name else b""


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


def _packs(git: Plumbing, other: Plumbing | None) -> int:
    """Take damaged packs apart and put them aside; how many."""
    done = 0
    for index in git.damaged_packs():
        names = git.listed(index)
        if not names:  # nor could one be made anew: git can read nothing of it
            for part in index.parent.glob(f"{index.stem}.*"):
                set_aside(git.folder, part)
            done += 1
            continue
        fetched = [_fetched(git, _sources(git, other), name) for name in names]  # all, not up to the first failure
        if fetched and all(fetched):
            for part in index.parent.glob(f"{index.stem}.*"):
                set_aside(git.folder, part)
            done += 1
    return done


def _references(git: Plumbing, other: Plumbing | None) -> int:
    """Put branches back that are damaged, gone or set back; how many files and branches."""
    there = references.references(other.folder) if other else {}
    ended = _ended(git)
    done = _packed(git, other)
    here = references.references(git.folder)
    known = {*here, *ended}
    known.update(orphans.hollow(git, known))
    for name in sorted(known):
        if name.startswith(f"refs/heads/{PREFIX}") and references.well_named(name):
            done += _branch(git, other, name, here.get(name, ""), there.get(name, ""))
    return done


def _packed(git: Plumbing, other: Plumbing | None) -> int:
    there = references.references(other.folder) if other else {}
    return packed.mend(git.folder, partial(_station_of, _sources(git, other)), {**there, **_ended(git)})


def _ended(git: Plumbing) -> dict[str, str]:
    """Where each branch was moved last, as its log says."""
    return {name: moves[-1].new for name in references.logged(git.folder, PREFIX) if (moves := _log(git, name))}


def _log(git: Plumbing, name: str) -> list[references.Step]:
    return references.log(git.folder, name)


def _branch(git: Plumbing, other: Plumbing | None, name: str, tip: str, theirs: str) -> bool:
    """Put one branch back; whether it was not where it belongs. One that was never here is a matter of sync."""
    steps = _log(git, name)
    sound = bool(tip) and _at_hand(git, other, tip)
    back = bool(steps) and steps[-1].old == tip != steps[-1].new
    wanted = steps[-1].new if steps else theirs
    if not sound:
        wanted = _furthest(git, other, name, wanted, theirs)
    if not wanted or wanted == tip or not (back or not sound) or not _at_hand(git, other, wanted):
        return False
    if _station_of(_sources(git, other), wanted) != name:
        return False
    _point(git, name, wanted, tip if sound else "")
    return True


def _furthest(git: Plumbing, other: Plumbing | None, name: str, end: str, theirs: str) -> str:
    """The furthest record on top of ``end``: the power cut that emptied a branch may have cut its log short as well.

    What is here counts only when there is nothing wrong with it, for it may be what a sync has refused.
    """
    best, longest = end, 0
    here = (commit for commit, kind in git.unreachable().items() if kind == "commit")
    options = [(git, commit) for commit in here if _station_of([git], commit) == name]
    for source, commit in options + ([(other, theirs)] if other and theirs else []):
        before = _up_to(source, commit)
        further = (not end or end in before) and len(before) > longest
        if further and (source is other or not coming(git, name.removeprefix("refs/heads/"), commit, end)):
            best, longest = commit, len(before)
    return best


def _up_to(git: Plumbing, commit: str) -> set[str]:
    """A commit and all before it; nothing when one of them is not there."""
    try:
        return {each for each, *_ in git.history(commit)}
    except Problem:
        return set()


def _station_of(sources: Iterable[Plumbing], commit: str) -> str:
    """The full name of the branch that the record at a commit belongs to; nothing when it is no sound record."""
    for git in sources:
        try:
            verified(git, commit)
            return f"refs/heads/{branch(at(git, commit).station)}"
        except (Damaged, Problem):
            continue
    return ""


def _at_hand(git: Plumbing, other: Plumbing | None, commit: str) -> bool:
    return _is_sound(git, commit) or (other is not None and _fetched(git, [other], commit))


def _point(git: Plumbing, reference: str, commit: str, old: str) -> None:
    place = git.folder / reference
    if not old and (place.exists() or place.is_symlink()):
        set_aside(git.folder, place)
    line = reference.removeprefix("refs/heads/")
    git.move(line, commit, old or git.tip(line), "mended by asfound check")  # an older end may stand in packed-refs


def _orphans(git: Plumbing) -> int:
    """Give the records of a clone that lost its branches theirs back; what is not one sound line gets another name.

    All in one step: afterwards there are logs, and what they do not know would count as left behind.
    """
    found = leftovers.find(git).orphans if are_lost(git) else {}
    names: dict[str, str] = {}
    for name, ends in found.items():
        line = name.removeprefix("refs/heads/")
        if len(ends) == 1 and not coming(git, line, ends[0], ""):
            names[name] = ends[0]
        else:
            names |= {f"{ASIDE}{line}/{end[:12]}": end for end in ends}
    for place in (git.folder / name for name in found):
        if os.path.lexists(place):
            set_aside(git.folder, place)
    if names:
        git.name(names, "mended by asfound check")
    return len(found)


def _logs(git: Plumbing) -> int:
    """Write logs anew whose lines do not hang together; how many."""
    tips, sound, done = references.references(git.folder), partial(_is_sound, git), 0
    for name in references.logged(git.folder, PREFIX):
        foreign = partial(_is_of_another, git, name)
        done += logs.mend(git.folder, name, tips.get(name, ""), sound, foreign)
    return done


def _is_of_another(git: Plumbing, name: str, commit: str) -> bool:
    return _station_of([git], commit) not in ("", name)
