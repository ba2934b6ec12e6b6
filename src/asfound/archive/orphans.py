"""Records of stations that have no branch any more: they are never taken for what a killed process left behind.

A clone has no logs and all its branches in one file, ``packed-refs``. When that file is lost, the records are there and
nothing names them. Each record says itself to which station it belongs, so the branches are put back.

In an archive with logs these tell which branches there were, and such records were mostly refused by a sync, or left by
a killed one. But it may be a clone in which only other stations were stored since. So nothing is put back there, and
nothing removed: the check remarks on them.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping

from asfound.archive import record_lines, references
from asfound.archive.plumbing import Plumbing
from asfound.archive.safe_names import unescape
from asfound.archive.stations import PREFIX, branch
from asfound.model.problem import Problem, command

GONE = "its branch is gone, although its log knows it"


def orphans(git: Plumbing, unused: Mapping[str, str]) -> dict[str, list[str]]:
    """``{refs/heads/...: ends of its records}``, the longest first; ``unused`` are kinds of objects by their ids."""
    there, found = git.branches(PREFIX), dict[str, dict[str, list[str]]]()
    for commit in (name for name, kind in unused.items() if kind == "commit"):
        if (line := _line(git, commit)) and line not in there:
            found.setdefault(line, {})[commit] = _history(git, commit)
    return {f"refs/heads/{line}": _ends(before) for line, before in sorted(found.items())}


def are_lost(git: Plumbing) -> bool:
    """Whether such records can only be those of lost branches: there are no logs."""
    return not (git.folder / "logs").is_dir()


def lost(git: Plumbing) -> dict[str, str]:
    """``{refs/heads/...: the last commit its log knows, or nothing}`` of branches that are gone or damaged."""
    present = git.branches(PREFIX)
    gone = references.lost(git.folder, PREFIX, present)
    return gone | dict.fromkeys(hollow(git, {*gone, *(f"refs/heads/{line}" for line in present)}), "")


def refuse_lost(git: Plumbing, line: str) -> None:
    """A :class:`Problem` for a branch that is gone: a new one in its place would hide all its records."""
    if f"refs/heads/{line}" in lost(git):
        advice = f"{command('check', git.folder, '--mend')} puts it back, with --from OTHER also from a copy"
        raise Problem(GONE, where=f"{git.folder}, station {unescape(line.removeprefix(PREFIX))}", advice=advice)


def hollow(git: Plumbing, known: Container[str]) -> list[str]:
    """Full names of branches that are not ``known``, and whose log is there but says nothing, though records are there.

    (A first store that was killed in its last instant may leave an empty log; that is no loss.)
    """
    empty = [name for name in references.logged(git.folder, PREFIX) if name not in known and _is_empty(git, name)]
    if not empty:
        return []
    lines = {_line(git, commit) for commit, kind in git.unreachable().items() if kind == "commit"}
    return [name for name in empty if name.removeprefix("refs/heads/") in lines]


def _is_empty(git: Plumbing, name: str) -> bool:
    return (git.folder / "logs" / name).is_file() and not references.log(git.folder, name)


def objects(git: Plumbing, ends: Iterable[str]) -> set[str] | None:
    """Ids of all objects of these records; None when it cannot be told."""
    try:
        return {name for end in ends for name in git.between(end, "")}
    except Problem:
        return None


def _line(git: Plumbing, commit: str) -> str:
    try:
        return branch(record_lines.at(git, commit).station)
    except Problem:
        return ""


def _history(git: Plumbing, commit: str) -> list[str]:
    try:
        return [each for each, *_ in git.history(commit)]
    except Problem:
        return [commit]


def _ends(before: Mapping[str, list[str]]) -> list[str]:
    inner = {each for commit, commits in before.items() for each in commits if each != commit}
    return sorted(before.keys() - inner, key=lambda commit: (-len(before[commit]), commit))
