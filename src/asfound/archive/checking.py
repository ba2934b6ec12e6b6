"""The inspection of a whole archive: everything in it is read, and compared with everything that vouches for it.

For every branch: each commit, tree and file against its own id; each original and attachment against the digest in its
record; the stored normal form against the digest in its record, and against what the originals give when read again;
person, time and number in the record against the commit; the number against the records before it; one parent for a
record, two for a joining one, whose files must be those of one of its lines; the branch against its own log, which
shows a branch that was set back or rewritten here. Then ``git fsck`` looks at all that no record refers to.

Cost: every object is read once; every different set of originals is read by the readers once. Weakness: a branch
that was rewritten consistently in another archive, or here together with its log, is not seen; only a statement
signed and kept elsewhere shows that.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import NamedTuple, TypeAlias

import asfound
from asfound.archive import leftovers, orphans, premises, references
from asfound.archive.content import message_of
from asfound.archive.faults import Checked, Fault, ids
from asfound.archive.git_objects import Commit, Objects
from asfound.archive.joining import differs
from asfound.archive.people import git_date, name_and_address
from asfound.archive.plumbing import Damaged, Plumbing
from asfound.archive.record_check import Contents
from asfound.archive.record_lines import Entry, labels
from asfound.archive.safe_names import unescape
from asfound.archive.setting_aside import aside_from, is_aside
from asfound.archive.stations import PREFIX, branch
from asfound.model.problem import Problem
from asfound.model.record import Join, Record
from asfound.readers.cores import spread

Watch = Callable[[str], None]
Signed = Callable[[bytes], str]
"""What is wrong with the signature in a commit, given its bytes; nothing when it fits or there is none."""
_Found: TypeAlias = Record | Join | None
_Branch: TypeAlias = tuple[str, str]
"""Its full name and the commit it points at (nothing when it is damaged or gone)."""
_OURS = f"refs/heads/{PREFIX}"


def check(git: Plumbing, watch: Watch | None = None, processes: int = 1, signed: Signed | None = None) -> Checked:
    """Look at everything. ``watch`` is told each station once it has been looked at; ``signed`` looks at signatures.

    A :class:`Problem` when the archive goes away meanwhile, instead of a fault for each thing that is no longer there.
    """
    try:
        checked = _checked(git, watch, processes, signed)
    except (OSError, Problem):
        refuse_gone(git.folder)
        raise
    if checked.faults:
        refuse_gone(git.folder)
    return checked


def refuse_gone(folder: Path) -> None:
    """A :class:`Problem` when there is nothing left of an archive: a share that is away, a stick pulled out."""
    if not any((folder / name).exists() for name in ("objects", "refs", "HEAD")):
        advice = "check the disk or share and run the check again"
        raise Problem("went away while it was read", where=str(folder), advice=advice)


def _checked(git: Plumbing, watch: Watch | None, processes: int, signed: Signed | None) -> Checked:
    if wrong := premises.odd(git.folder):  # git cannot be let near it
        return Checked(0, 0, 0, 0, tuple(Fault("", "", file, what) for file, what in wrong), (), whole=False)
    found = references.references(git.folder)
    for reference in references.logged(git.folder, PREFIX):
        if references.log(git.folder, reference):
            found.setdefault(reference, "")
    found |= dict.fromkeys(orphans.hollow(git, found), "")
    foreign = [
        Fault("", "", name, "is no branch of a station and does not belong here")
        for name in sorted(found)
        if not (name.startswith(_OURS) and references.well_named(name)) and not is_aside(name)
    ]
    stations = [(n, t) for n, t in sorted(found.items()) if n.startswith(_OURS) and references.well_named(n)]
    looked = []
    for group in spread(partial(_looked, git.folder, signed), _shares(stations, processes), processes):
        looked.append(group)
        if watch:
            for name in group.names:
                watch(name)
    faults = [fault for group in looked for fault in group.faults] + foreign
    bad = {name for group in looked for name in group.bad}
    faults += _unexplained(git, faults, bad)
    files = {blob: size for group in looked for blob, size in group.files.items()}
    aside = [Fault(aside_from(name), "", name, "was set aside") for name in sorted(found) if is_aside(name)]
    remarks = (*(remark for group in looked for remark in group.remarks), *aside)
    count = sum(group.stations for group in looked), sum(group.records for group in looked)
    left = leftovers.find(git)
    for name in left.orphans.keys() - found.keys():
        station = unescape(name.removeprefix(_OURS))
        if orphans.are_lost(git):
            faults.append(Fault(station, "", name, "the branch is gone, but records of it are there"))
        else:
            what = "records that no branch leads to are there (refused in an exchange, or the branch was lost)"
            remarks = (*remarks, Fault(station, "", name, what))
    if faults:  # what a lost branch held looks unused
        left = leftovers.NONE
    return Checked(*count, len(files), sum(files.values()), tuple(faults), remarks, left.total, left.size)


def _shares(stations: list[_Branch], processes: int) -> list[list[_Branch]]:
    """Neighbours together, four shares for each process, so that none waits long for the last one."""
    size = max(1, -(-len(stations) // (4 * processes))) if processes > 1 else len(stations) or 1
    return [stations[at : at + size] for at in range(0, len(stations), size)]


def _looked(folder: Path, signed: Signed | None, branches: list[_Branch]) -> _Looked:
    """What is found in some stations, with git processes of its own."""
    git = Plumbing(folder, damaged=True)  # it has been looked at
    try:
        return _Check(git, signed).run(branches)
    finally:
        git.close()


def coming(git: Plumbing, line: str, tip: str, have: str, signed: Signed | None = None) -> tuple[Fault, ...]:
    """What is wrong with the records up to ``tip`` that ``have`` (nothing when empty) does not have.

    The same look as at what is stored, before the branch ``line`` may point to them. Cost: one read of each new object.
    """
    looker = _Check(git, signed)
    station = unescape(line.removeprefix(PREFIX))
    try:
        if (kind := git.object(tip)[0]) != "commit":
            return (Fault(station, "", "", f"its branch ends at a {kind} instead of a commit"),)
        new = [commit for commit, *_ in reversed(git.beyond(tip, have))]
    except Damaged:
        return (Fault(station, "", "", "the end of its branch is missing or cannot be read"),)
    except Problem as problem:
        return (Fault(station, "", "", problem.what),)
    return looker.new(line, new)


def _unexplained(git: Plumbing, faults: list[Fault], bad: set[str]) -> Iterator[Fault]:
    """What git complains about beyond what has been found already."""
    known = {*bad, *(name for fault in faults for name in fault.objects)}
    for line in git.inspect():
        names = ids(line)
        foreign = any(fault.file and fault.file in line for fault in faults)
        follows = known and line.lstrip().startswith(("to ", "broken link", "error: inflate"))
        if not (foreign or follows or line.startswith("notice: ") or set(names) & known):
            yield Fault("", "", "", f"git fsck says: {line.strip()}", tuple(names))


class _Looked(NamedTuple):
    """``files`` are sizes by blob id, ``bad`` ids of objects that are missing or damaged."""

    stations: int
    records: int
    names: tuple[str, ...]
    files: dict[str, int]
    bad: tuple[str, ...]
    faults: tuple[Fault, ...]
    remarks: tuple[Fault, ...]


class _Check:
    def __init__(self, git: Plumbing, signed: Signed | None = None) -> None:
        self._git, self._signed = git, signed
        self._objects = Objects(git)
        self._contents = Contents(self._objects)
        self._faults: list[Fault] = []
        self._names: list[str] = []
        self._stations = self._records = 0

    def run(self, branches: list[_Branch]) -> _Looked:
        for reference, tip in branches:
            self._station(reference, tip)
        return _Looked(
            self._stations,
            self._records,
            tuple(self._names),
            self._contents.sizes,
            tuple(self._objects.bad),
            tuple(self._faults),
            tuple(self._contents.remarks),
        )

    def _station(self, reference: str, tip: str) -> None:
        name = reference.removeprefix(_OURS)
        steps = references.log(self._git.folder, reference)
        if not tip:
            last = (steps[-1].new,) if steps else ()
            self._faults.append(Fault(name, "", reference, "the branch is damaged or gone", last))
            return
        commits = self._reachable(name, tip)
        entries = {commit: self._contents.entry(found, commit) for commit, found in commits.items()}
        self._stations += 1
        self._records += sum(isinstance(entry, Record) for entry in entries.values())
        self._look(name, reference, list(commits), commits, entries)
        known = next((e.station for e in entries.values() if e), name)
        if all(parent in commits for found in commits.values() for parent in found.parents) and commits:
            self._faults += _set_back(known, tip, steps, commits, self._contents)
        self._names.append(known)

    def new(self, line: str, new: list[str]) -> tuple[Fault, ...]:
        """Look at some commits of one branch only; what they stand on counts as looked at."""
        name, commits, entries = unescape(line.removeprefix(PREFIX)), dict[str, Commit](), dict[str, _Found]()
        for commit in new:
            try:
                commits[commit] = self._objects.commit(commit)
                for parent in commits[commit].parents:
                    commits.setdefault(parent, self._objects.commit(parent))
            except Damaged:
                return (Fault(name, "", "", f"a commit {'; '.join(self._objects.bad.values())}"),)
        entries = {commit: self._contents.entry(found, commit) for commit, found in commits.items()}
        self._look(name, f"refs/heads/{line}", new, commits, entries)
        return tuple(self._faults)

    def _look(
        self,
        name: str,
        reference: str,
        new: Sequence[str],
        commits: Mapping[str, Commit],
        entries: Mapping[str, _Found],
    ) -> None:
        """Everything about each of the commits ``new``, with others that they stand on at hand."""
        names = labels([Entry(commit, entry) for commit, entry in entries.items() if isinstance(entry, Record)])
        for commit in new:
            found, entry = commits[commit], entries[commit]
            shown = entry.station if entry else name
            label = names.get(commit, "" if isinstance(entry, Join) else _number(found))
            self._faults += self._contents.faults(shown, label, found, entry, [commits.get(p) for p in found.parents])
            if entry:
                wrong = list(_lineage(label, found, entry, entries, reference))
                if isinstance(entry, Join) and not wrong and (said := differs(self._git, commit, entry, found.message)):
                    wrong.append(Fault(shown, label, "record.json", said))
                self._faults += wrong
            if self._signed and (said := self._signed(self._objects.raw(commit))):
                self._faults.append(Fault(shown, label, "", f"its signature: {said}"))

    def _reachable(self, name: str, tip: str) -> dict[str, Commit]:
        """All commits up to the tip, parents first; a fault for each that is not there."""
        found: dict[str, Commit] = {}
        waiting, after = [(tip, "")], dict[str, str]()
        while waiting:
            commit, child = waiting.pop()
            if commit in found or commit in after:
                continue
            try:
                found[commit] = self._objects.commit(commit)
                waiting += [(parent, _number(found[commit])) for parent in found[commit].parents]
            except Damaged:
                after[commit] = child
                label = str(int(child) - 1) if child.isdecimal() and int(child) > 1 else ""
                what = f"its commit {commit[:12]} {self._objects.bad[commit]}; what was stored before cannot be seen"
                self._faults.append(Fault(name, label, "", what, (commit,)))
        return _parents_first(found, tip)


def _parents_first(found: dict[str, Commit], tip: str) -> dict[str, Commit]:
    order: dict[str, Commit] = {}
    stack = [(tip, False)]
    while stack:
        commit, ready = stack.pop()
        if commit not in found or commit in order:
            continue
        if ready:
            order[commit] = found[commit]
        else:
            stack += [(commit, True), *((parent, False) for parent in found[commit].parents)]
    return order


def _number(commit: Commit) -> str:
    """The number that the message of a commit gives its record, or nothing."""
    lines = [line for line in commit.message.split("\n") if line.startswith("Record: ")]
    return lines[-1].removeprefix("Record: ") if lines else ""


def _lineage(
    label: str, commit: Commit, entry: Record | Join, entries: Mapping[str, _Found], reference: str
) -> Iterator[Fault]:
    """Whether a record says the same as its commit and follows on what was before."""

    def fault(what: str) -> Fault:
        return Fault(entry.station, label, "record.json", what)

    if f"refs/heads/{branch(entry.station)}" != reference:
        yield fault(f"it belongs to another station than its branch {reference}")
    before = [found.number for parent in commit.parents if (found := entries.get(parent))]
    if isinstance(entry, Join):
        if len(commit.parents) != 2 or tuple(line.commit for line in entry.lines) != commit.parents:
            yield fault("a joining record whose commit joins something else")
        elif len(before) == 2 and entry.number != max(before):
            yield fault(f"it says that the last number is {entry.number}, but it is {max(before)}")
        return
    if len(commit.parents) > 1:
        yield fault(f"an ordinary record with {len(commit.parents)} parents; it can have only one")
    elif len(before) == len(commit.parents) and entry.number != max(before, default=0) + 1:
        yield fault(f"it has the number {entry.number} after record {max(before, default=0)}")
    yield from map(fault, _disagreements(commit, entry))


def _disagreements(commit: Commit, record: Record) -> Iterator[str]:
    from datetime import datetime

    try:
        person, date = name_and_address(record.person), git_date(datetime.fromisoformat(record.time))
    except (Problem, ValueError):
        yield "its person or time cannot be read"
        return
    if person != (commit.person, commit.address):
        yield f"it names {record.person}, its commit {commit.person}"
    if date != f"{commit.seconds} {commit.zone}":
        yield f"it has the time {record.time}, its commit {commit.seconds} {commit.zone}"
    if _number(commit) != str(record.number):
        yield f"it has the number {record.number}, the message of its commit {_number(commit) or 'none'}"
    elif record.tool_version == asfound.__version__ and commit.message != message_of(record):
        yield "the message of its commit says something else than the record"


def _set_back(
    station: str, tip: str, steps: list[references.Step], commits: Container[str], contents: Contents
) -> Iterator[Fault]:
    """What the log of a branch knows that the branch does not."""
    if steps and steps[-1].old == tip != steps[-1].new:
        last = steps.pop().new
        what = f"stored as {last[:12]}, but the branch ends before it (set back, or stopped in that instant)"
        yield Fault(station, contents.named(last), "", what)
    for step in steps:
        if step.new not in commits:
            what = f"stored as {step.new[:12]}, but no longer in the history; the branch was set back or rewritten"
            yield Fault(station, contents.named(step.new), "", what)
