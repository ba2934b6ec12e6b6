"""A branch that cannot be mended, set aside: it keeps its commits under another name and is no station any more.

Whoever took in records that no command can read (from another laptop, before they were checked on the way) can store
and exchange the station again: a sound line comes back with the next sync, or a new one begins. Nothing is deleted;
plain git shows what was set aside, with what only the log of the branch knew. A file of a branch that points to nothing
goes to the folder ``damaged``.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.archive import disk, premises, record_lines, references
from asfound.archive.damaged_folder import set_aside as moved
from asfound.archive.packed import ASIDE
from asfound.archive.plumbing import Damaged, Plumbing
from asfound.archive.safe_names import unescape
from asfound.archive.stations import PREFIX, branch
from asfound.archive.storing import LOCK
from asfound.model.problem import Problem, command


def is_aside(reference: str) -> bool:
    """Whether a reference is that of a branch that was set aside."""
    return reference.startswith(ASIDE)


def aside_from(reference: str) -> str:
    """The station it was the branch of, as its name spells it.

    >>> aside_from("refs/aside/stations/booster-1/0123456789ab")
    'booster-1'
    """
    return unescape(reference.removeprefix(f"{ASIDE}{PREFIX}").rpartition("/")[0])


def set_aside(git: Plumbing, station: str) -> str:
    """Set the branch of a station aside; what it is called now. A :class:`Problem` when there is none."""
    premises.refuse(git.folder, str(git.folder))
    with disk.hold(git.folder / LOCK):
        there = references.references(git.folder)
        logged = references.logged(git.folder, PREFIX)
        wanted = (f"refs/heads/{PREFIX}{station}", f"refs/heads/{branch(station)}")
        name = next((each for each in wanted if each in there or each in logged), "")
        if not name or not references.well_named(name):
            advice = f"{command('check', git.folder)} names the branches it finds fault with"
            raise Problem(f"there is no branch of a station {station}", where=str(git.folder), advice=advice)
        tip = there.get(name, "") if _is_there(git, there.get(name, "")) else ""
        more = [_aside(git, name, commit) for commit in _also(git, name, tip)]
        return _renamed(git, name, tip) if tip else [*more, _put_away(git, name)][0]


def _also(git: Plumbing, name: str, tip: str) -> Iterator[str]:
    """Ends of what was stored in the branch and does not lie before its tip: its log knows it, or nothing at all does.

    Without a name of its own it would count as left behind by a killed store once the log has gone.
    """
    known = [commit for step in reversed(references.log(git.folder, name)) for commit in (step.new, step.old)]
    if not tip:
        known += [
            commit for commit, kind in git.unreachable().items() if kind == "commit" and _belongs(git, commit, name)
        ]
        known.sort(key=lambda commit: -len(_before(git, commit)))
    seen = _before(git, tip) if tip else set()
    for commit in known:
        if commit not in seen and _is_there(git, commit):
            yield commit
            seen |= _before(git, commit)


def _before(git: Plumbing, commit: str) -> set[str]:
    """A commit and all before it, as far as they are there."""
    try:
        return {each for each, *_ in git.history(commit)}
    except Problem:
        return {commit}


def _belongs(git: Plumbing, commit: str, name: str) -> bool:
    try:
        return f"refs/heads/{branch(record_lines.at(git, commit).station)}" == name
    except Problem:
        return False


def _aside(git: Plumbing, name: str, commit: str) -> str:
    new = f"{ASIDE}{name.removeprefix('refs/heads/')}/{commit[:12]}"
    git.name({new: commit}, "set aside")
    return new


def _is_there(git: Plumbing, tip: str) -> bool:
    try:
        return bool(tip) and git.object(tip)[0] == "commit"
    except Damaged:
        return False


def _renamed(git: Plumbing, name: str, tip: str) -> str:
    new = f"{ASIDE}{name.removeprefix('refs/heads/')}/{tip[:12]}"
    git.rename(name, new, tip)
    return new


def _put_away(git: Plumbing, name: str) -> str:
    places = [path for path in (git.folder / name, git.folder / "logs" / name) if path.exists() or path.is_symlink()]
    for path in places:
        last = moved(git.folder, path)
    return last.relative_to(git.folder).as_posix()
