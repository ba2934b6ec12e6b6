"""The archive: records of stations in a bare git repository.

What it promises, in the order of importance (each promise has a test of that name in tests/archive/):

* **bytes come back**: what was stored must be restored byte for byte, under its own name wherever the disk can hold
  it, or not at all with a message. Every file is checked against the sha256 in its record when it is read.
* **a crash leaves old or new**: at whatever instant a store ends, by kill, full disk or loss of power, the station
  must have either all its earlier records or those and the new one. Write order: blobs, trees, commit (each synced
  by git), their folders (synced by us), then the branch, by compare-and-swap, then its folder. Before that nothing
  refers to what was written. A creation is one rename of a folder whose files are synced.
* **a killed process blocks nobody**: the lock it may leave beside a branch is removed by the next store, which waits
  ten seconds to see that nobody uses it (see :mod:`.disk`).
* **a full, read-only or busy disk is one sentence**: the store fails, the archive is as it was. A file that another
  program holds open is tried again for half a minute.
* **no branch is begun anew**: where the log of a branch, or what is left of its file, knows that it was there, nothing
  is stored until it is put back; every command names it.
* **a stranger's archive is only data**: nothing in it decides what runs or where git goes (see :mod:`.premises`); each
  field of a record is looked at when it is read (see :mod:`.validity`).
* **nothing is lost when two store at once**: they take turns, and the branch only moves from the tip that was read;
  if a plain git was faster, the record is built again on top of its commit.
* **nothing is rewritten**: no function here moves a branch backwards, deletes or rewrites anything; new archives tell
  git to refuse the same from others (receive.denyNonFastForwards, receive.denyDeletes).
* **damage is named**: :meth:`Archive.check` finds every flipped bit, missing object, altered branch or record, foreign
  reference and wrong parent, and names station, record and file; :meth:`Archive.repair` mends from a second archive
  what can be mended, and from the archive itself what stands beside the records; with bytes whose digest is right or
  not at all. Checking writes nothing.
* **two laptops lose nothing**: :meth:`Archive.sync` only adds, and only what a check finds sound; a bad station stops
  no other one. Stations stored apart keep both lines of records, joined by a record that says so; numbers stay as
  they were written, and ``STATION@N`` never silently means another record (see :mod:`.lines`). After any order of
  pairwise syncs all archives hold the same. An interrupted sync goes on.
* **a later version reads it**: records stay as they were stored. What is compared is read again from the originals by
  the version at hand, which says so when it is another one; tests/golden holds an archive of each version.
* **bad input leaves the archive untouched**: everything given is read to its end before the first object is written.
* **the same input gives the same tree**: the tree of a record depends on its content, moment, person, note, number
  and time only; no clock, locale, hash order or configuration of the user's git.
* **plain git can read it**: ``git log stations/x``, ``git show stations/x:record.json``, ``git diff`` and ``git fsck``
  work without asfound.
* names from exports should stay readable, and must never lead out of their folder (see :mod:`.names`).

What is NOT detected: somebody who can write to the archive can replace a whole branch by another consistent one
(``git push --force`` locally, editing refs); only a statement signed and kept elsewhere shows that. A disk that lies
about syncing can lose the newest records. Damage of objects is found when they are read, or by ``git fsck --full``.
A killed store leaves unused objects (up to the size of what was being stored); the check counts them, and mending
removes them (see :mod:`.leftovers`).

Layout: one branch ``stations/NAME`` per station, one commit per record, and in its tree ``station.toml``,
``record.json``, ``originals/COPY/FILE``, ``normal/COPY/...`` and ``attachments/FILE``. Cost of a store: one sync per
new object, pack and folder, about ten short git processes; it depends on nothing but what is stored. Exports are held
in memory (they have to be read); attachments never are.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path

from msgspec.structs import replace

import asfound
from asfound.archive import disk, orphans, premises, record_lines, references, restoring
from asfound.archive.adding import Pending, add
from asfound.archive.attaching import attachments
from asfound.archive.checking import Signed, check
from asfound.archive.content import (
    attached_paths,
    checked_moment,
    prepare,
    record_of,
    renewed,
)
from asfound.archive.creating import create, looks_like_archive, refuse_format, refuse_newer
from asfound.archive.faults import Checked
from asfound.archive.joining import NotKept, not_kept
from asfound.archive.leftovers import WORK
from asfound.archive.normalnames import names_as_stored
from asfound.archive.people import git_date, name_and_address
from asfound.archive.plumbing import Plumbing, Sign
from asfound.archive.record_lines import Entry, Joined
from asfound.archive.remembered_exchanges import Elsewhere, elsewhere, remember
from asfound.archive.remotes import located
from asfound.archive.repairing import repair
from asfound.archive.safe_names import unescape
from asfound.archive.selecting import admitted, select
from asfound.archive.setting_aside import set_aside
from asfound.archive.stated import stated
from asfound.archive.stations import PREFIX, branch, checked, instead
from asfound.archive.syncing import Exchanged, Means, preview, sync
from asfound.model.copy import COPY_NAMES, Copy
from asfound.model.panel import Panel
from asfound.model.problem import Problem, command
from asfound.model.record import Join, Record, StoredCopy
from asfound.model.station import Equipment
from asfound.readers import single_files as reading
from asfound.readers.reading import read_files
from asfound.readers.single_files import Files, Parts, Watch


class Archive:
    """An open archive; use it in a ``with`` or call :meth:`close`. Not for several threads at once.

    Every method raises :class:`Problem` when something is not there (station, record, copy), is damaged, or the disk or
    git refuses; a failed call has changed nothing.

    >>> import tempfile
    >>> from datetime import UTC
    >>> with tempfile.TemporaryDirectory() as folder, Archive.create(Path(folder) / "plant.git") as archive:
    ...     upload = [("main.st", b"PROGRAM Main VAR a, b : BOOL; END_VAR a := b; END_PROGRAM")]
    ...     time = datetime(2026, 3, 31, 8, 0, tzinfo=UTC)
    ...     record = archive.store("booster-1", "as-found", {"running": upload}, person="Ada", time=time)
    ...     same = archive.files(archive.record("booster-1", "as-found"), "running") == upload
    ...     record.number, record.time, archive.stations(), same
    (1, '2026-03-31T08:00:00+00:00', ('booster-1',), True)
    """

    def __init__(self, plumbing: Plumbing, processes: int = 1) -> None:
        self._git, self._processes = plumbing, processes
        self._known: dict[str, tuple[Entry | Joined, ...]] = {}
        self.apart = True
        """Whether the last exchange that was remembered was with an archive that shares no files with this one."""

    @classmethod
    def create(cls, path: Path | str) -> Archive:
        """A new, empty archive at ``path``, which must not exist or be an empty folder."""
        create(Path(path))
        return cls.open(path)

    @classmethod
    def open(cls, path: Path | str, *, damaged: bool = False, processes: int = 1) -> Archive:
        """The archive at ``path``, or a :class:`Problem` when there is none.

        ``processes`` is how many may read and check at once; a program that passes more than one must be importable
        (``if __name__ == "__main__":``), for each of them starts by importing it on some systems.
        ``damaged`` opens one whose branches cannot even be listed, for :meth:`check` and :meth:`repair`.
        """
        folder = Path(path)
        if not folder.exists():
            raise Problem(
                "does not exist", where=str(path), advice=f"check the name; {command('init', path)} makes an archive"
            )
        damaged = damaged and looks_like_archive(folder)
        plumbing = Plumbing(folder, damaged=damaged)
        try:
            if damaged:
                refuse_newer(plumbing, str(path))
            else:
                refuse_format(plumbing, str(path))
        except Problem:
            plumbing.close()
            raise
        return cls(plumbing, processes)

    @property
    def path(self) -> Path:
        """Where the archive is."""
        return self._git.folder

    def close(self) -> None:
        """End the helper process of git."""
        self._git.close()

    def __enter__(self) -> Archive:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()

    # --- store ------------------------------------------------------------------------------------------------

    def store(
        self,
        station: str,
        moment: str,
        copies: Mapping[str, Files],
        *,
        note: str = "",
        person: str,
        time: datetime,
        attach: Sequence[Path] = (),
        panel: Panel | None = None,
        settings: bytes = b"",
        watch: Watch | None = None,
        sign: Sign | None = None,
        again: bool = True,
    ) -> Record:
        """Add a record to a station (a new one comes into being) and return it.

        ``copies`` gives ``(file name, bytes)`` pairs for each of ``running``, ``card`` and ``office``; ``person`` is
        ``NAME`` or ``NAME <ADDRESS>``, and ``time`` must have a zone. Raises :class:`Problem` when any of it cannot be.
        Nothing is written before all of it has been read and understood. ``attach`` names files of any size to store as
        they are. ``sign`` makes the signature of its commit, in the form of git's SSH signatures. ``panel`` is what a
        person saw; ``settings`` a new ``station.toml``, which later records keep. Unless ``again``, nothing is added
        when the latest record with each of the copies holds the same bytes already: :class:`Held` names it.
        """
        checked(station), checked_moment(moment), name_and_address(person), git_date(time)
        if not copies and panel is None and not settings:
            raise Problem("there is no copy to store", advice="give at least one of running, card, office")
        if bad := next((sign for sign in note if sign == "\0" or "\ud800" <= sign <= "\udfff"), ""):
            what = "a NUL character" if bad == "\0" else "bytes that are no UTF-8"
            raise Problem(f"the note holds {what}", advice="remove it" if bad == "\0" else "write it again")
        unknown = sorted(set(copies) - set(COPY_NAMES))
        names = [name for name in (*COPY_NAMES, *unknown) if name in copies]
        attached = attachments(attach)
        parts = Parts(reading.Means(processes=self._processes))
        watch = watch if not parts.prepare([file for name in names for file in copies[name]], watch) else None
        contents = [prepare(name, copies[name], watch, parts) for name in names]
        record = partial(
            record_of, moment=moment, contents=contents, note=note.strip(), person=person, time=time, panel=panel
        )
        again = again or panel is not None or bool(settings or attached)
        pending = Pending(station, contents, attached, record, settings, sign, again)
        return add(self._git, pending, lambda: self.records(station))

    # --- look up ----------------------------------------------------------------------------------------------

    def stations(self) -> tuple[str, ...]:
        """Names of all stations, sorted as people do (case does not count)."""
        names = (self._station(*found) for found in self._git.branches(PREFIX).items())
        return tuple(sorted(names, key=lambda name: (name.casefold(), name)))

    def _station(self, line: str, tip: str) -> str:
        """The name as its records spell it; as its branch does where they cannot be read (the check says why)."""
        try:
            return record_lines.at(self._git, tip).station
        except Problem:
            return unescape(line.removeprefix(PREFIX))

    def records(self, station: str) -> tuple[Record, ...]:
        """All records of a station, in the order of :mod:`.lines`; joining ones are left out."""
        return tuple(entry.record for entry in self._entries(station))

    def record(self, station: str, selector: str = "", copy: str = "") -> Record:
        """The latest record with the copy among those that a selector admits: see :meth:`admitted`."""
        return select(
            self._entries(station), selector, f"station {station}", copy, command("history", self.path, station)
        ).record

    def admitted(self, station: str, selector: str = "") -> tuple[tuple[str, Record], ...]:
        """The records of ``N`` or ``N.ID``, ``YYYY-MM-DD``, a moment, or all, each after what it is called."""
        every = self._entries(station)
        found = admitted(every, selector, f"station {station}", command("history", self.path, station))
        names = record_lines.labels(every)
        return tuple((names[entry.commit], entry.record) for entry in found)

    def settings(self, station: str, record: Record | None = None) -> bytes:
        """``station.toml`` as it stands, or as it stood with a record."""
        self._entries(station)
        return self._git.file(self._commit(record) if record else self._git.tip(branch(station)), "station.toml")

    def equipment(self, station: str, record: Record | None = None) -> Equipment:
        """What its ``station.toml`` states of the controller; a :class:`Problem` when it cannot be understood."""
        return stated(self.settings(station, record), f"station.toml of {station}").equipment

    def history(self, station: str) -> tuple[tuple[str, Record | Join], ...]:
        """All records in order, joining ones too, each after what it is called behind the ``@`` (a join: nothing)."""
        names = record_lines.labels(self._entries(station))
        return tuple((names.get(found.commit, ""), found[1]) for found in self._history(station))

    def not_kept(self, join: Join) -> NotKept | None:
        """The settings of the station that a joining record did not keep, None when none were lost from sight."""
        earlier, later = join.lines
        return not_kept(self._git, earlier.commit, later.commit)

    def _entries(self, station: str) -> tuple[Entry, ...]:
        return tuple(found for found in self._history(station) if isinstance(found, Entry))

    def _history(self, station: str) -> tuple[Entry | Joined, ...]:
        checked(station)
        tip = self._git.tip(branch(station))
        if not tip:
            orphans.refuse_lost(self._git, branch(station))
            raise Problem(
                f"station {station} not found",
                where=str(self.path),
                advice=instead(station, self.stations(), self.path),
            )
        if tip not in self._known:
            self._known[tip] = record_lines.read(self._git, tip)
        return self._known[tip]

    def commit_of(self, record: Record) -> str:
        """The id of a record's commit."""
        return self._commit(record)

    def tree(self, record: Record) -> Iterator[tuple[str, Iterator[bytes]]]:
        """Everything a record consists of: each file under its path in the git tree, part by part."""
        for path, blob in self._git.listing(self._commit(record)).items():
            yield path, self._git.parts(blob, path)

    def bundle(self, station: str, to: Path) -> None:
        """Write the history of one station, and of no other, into a file that ``git clone`` reads."""
        self._history(station)
        self._git.bundle(branch(station), to)

    def unbundle(self, file: Path) -> None:
        """Take the histories in such a file into this archive, which must have none of these stations."""
        self._git.unbundle(file, PREFIX)

    def commit_object(self, record: Record) -> bytes:
        """The bytes of a record's commit, its signature included."""
        return self._git.object(self._commit(record))[1]

    def _commit(self, record: Record) -> str:
        for entry in self._entries(record.station):
            if entry.record == record:
                return entry.commit
        listing = command("history", self.path, record.station)
        what = f"station {record.station} has no such record {record.number}"
        raise Problem(what, where=str(self.path), advice=f"{listing} lists its records")

    # --- read -------------------------------------------------------------------------------------------------

    def files(self, record: Record, copy: str) -> list[tuple[str, bytes]]:
        """``(name, bytes)`` of the originals of one copy, sorted by name.

        Each is checked against the sha256 in its record; a :class:`Problem` names the first that differs.
        """
        stored = self._stored(record, copy)
        found = {unescape(p): data for p, data in self._git.files(self._commit(record), f"originals/{copy}")}
        where = f"{self.path}, record {record.number} of {record.station}, copy {copy}"
        for source in stored.sources:
            if hashlib.sha256(found.get(source.name, b"")).hexdigest() != source.sha256 or source.name not in found:
                raise Problem(
                    f"{source.name} is not what was stored",
                    where=where,
                    advice=f"{command('check', self.path, '--from', 'OTHER')} mends it from another archive",
                )
        return [(source.name, found[source.name]) for source in stored.sources]

    def copy(self, record: Record, copy: str, watch: Watch | None = None, parts: Parts | None = None) -> Copy:
        """One copy, read again from its originals (so an old record profits from what readers have learnt).

        How words are counted is taken from ``station.toml`` as it stands: it is true of every record of the station.
        """
        read = read_files(self.files(record, copy), where=f"copy {copy}", watch=watch, parts=parts)
        read = read if record.tool_version == asfound.__version__ else renewed(record, copy, read)
        try:
            numbering = stated(self.settings(record.station), f"station.toml of {record.station}").addresses.words
        except Problem as problem:  # the copy is whole without it
            return replace(read, limits=(*read.limits, str(problem).rstrip(".")))
        return replace(read, words=numbering) if numbering else read

    def normal(self, record: Record, copy: str) -> dict[str, str]:
        """The normal form as it was stored, ``{name: text}`` sorted by name."""
        stored = self._stored(record, copy)
        found = self._git.files(self._commit(record), f"normal/{copy}")
        texts = {path: data.decode("utf-8", "surrogatepass") for path, data in found}
        return dict(sorted(names_as_stored(texts, stored.normal_sha256).items()))

    @staticmethod
    def _stored(record: Record, copy: str) -> StoredCopy:
        for stored in record.copies:
            if stored.name == copy:
                return stored
        there = ", ".join(stored.name for stored in record.copies) or "none"
        where = f"record {record.number} of station {record.station}"
        raise Problem(f"there is no copy '{copy}'", where=where, advice=f"it holds {there}")

    def restore(self, record: Record, to: Path | str, copies: Iterable[str] = ()) -> list[restoring.Restored]:
        """Write the originals to ``to/COPY/FILE``, checked after writing; all copies and attachments if none is named.

        A file that is already there must be identical, else nothing at all is written.
        """
        names = list(copies) or [stored.name for stored in record.copies]
        for name in names:
            restoring.refuse_copy(name)
        plans = [(name, self._stored(record, name).sources, self._held(record, name)) for name in names]
        if not copies and record.attachments:
            plans.append((restoring.ATTACHMENTS, record.attachments, self._streamed(record)))
        for name, sources, files in plans:
            restoring.refuse_replacing(files, sources, Path(to), name)
        return [done for name, sources, files in plans for done in restoring.write(files, sources, Path(to), name)]

    def _held(self, record: Record, copy: str) -> list[restoring.File]:
        return [(name, partial(iter, (data,))) for name, data in self.files(record, copy)]

    def _streamed(self, record: Record) -> list[restoring.File]:
        commit, paths = self._commit(record), attached_paths(record.attachments)
        return [
            (source.name, partial(self._git.streamed, f"{commit}:{path}", path))
            for source, path in zip(record.attachments, paths, strict=True)
        ]

    # --- look after it --------------------------------------------------------------------------------------------

    def count(self) -> int:
        """Number of stations, damaged ones too."""
        return len(references.references(self.path))

    def check(self, watch: Watch | None = None, signed: Signed | None = None) -> Checked:
        """Compare everything in the archive with everything that vouches for it; changes nothing.

        ``signed`` says of the bytes of a commit what is wrong with its signature (nothing when it fits or has none);
        :func:`asfound.evidence.commits.fault_of` does.
        """
        return check(self._git, watch, self._processes, signed)

    def set_aside(self, station: str) -> str:
        """Give the branch of a station, which cannot be mended, another name; what it is called now."""
        return set_aside(self._git, station)

    def lost(self) -> dict[str, str]:
        """Branches that are gone or damaged although files or logs know them: the branch and the last commit known."""
        return {name.removeprefix(f"refs/heads/{PREFIX}"): commit for name, commit in orphans.lost(self._git).items()}

    def repair(
        self, other: Archive | None = None, watch: Watch | None = None, signed: Signed | None = None
    ) -> tuple[Checked, int]:
        """Mend what can be mended, from this archive itself and from a second one.

        What is wrong in the end, and how much was mended.
        """
        if other is not None:
            premises.refuse(other.path, str(other.path))
        return repair(self._git, other._git if other else None, watch, signed)

    def sync(
        self,
        other: str,
        watch: Watch | None = None,
        *,
        dry_run: bool = False,
        time: datetime | None = None,
        signed: Signed | None = None,
    ) -> tuple[Exchanged, ...]:
        """Exchange all records with another archive (an address of git, or a folder); what moved or would move.

        With a ``time`` the exchange is remembered, for :meth:`elsewhere`. A station with which something is wrong is
        not exchanged, and says why. ``signed`` is as for :meth:`check`.
        """
        means = Means(self._processes, signed)
        address = located(other, self.path)
        if dry_run:
            return preview(self._git, address, watch, means)
        with disk.at_work(self.path / WORK):
            moved = sync(self._git, address, watch, means)
        if time is not None:
            self.apart = remember(self._git, address, time)
        return moved

    def elsewhere(self, station: str) -> Elsewhere | None:
        """The other archive that holds most of a station as far as remembered, and which records it lacks."""
        checked(station)
        return elsewhere(self._git, station, self._entries(station))
