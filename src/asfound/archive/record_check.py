"""What is inside a record, against what the record says: paths, digests, the normal form and how it is made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import asfound
from asfound.archive.content import DEEPEST, record_from
from asfound.archive.faults import Fault
from asfound.archive.git_objects import Commit, Objects
from asfound.archive.normalnames import names_as_stored
from asfound.archive.plumbing import Damaged
from asfound.archive.safe_names import stored_paths
from asfound.model.copy import Source
from asfound.model.problem import Problem
from asfound.model.record import Join, Record, StoredCopy

_HEADS = ("record.json", "station.toml")
_DEEPEST = 2 * DEEPEST + 20
"""Folders inside each other in a tree: every name of a copy may be split once, and some stand above the copy."""

MOST = 500_000
"""Files and folders in a tree. A few folders that hold each other ten times over would stand for any number."""


class _TooMany(Exception):
    """More than :data:`MOST`."""


class Contents:
    """Looks into the trees of records; what several records share is looked at once."""

    def __init__(self, objects: Objects) -> None:
        self._objects = objects
        self._made: dict[tuple[tuple[str, str], ...], Mapping[str, str] | str] = {}
        self._left = 0
        self.sizes: dict[str, int] = {}
        """Bytes of each different file looked at, by its blob id."""
        self.remarks: list[Fault] = []

    def entry(self, commit: Commit, name: str) -> Record | Join | None:
        """The record of a commit, or None when it cannot be read."""
        try:
            where = self._objects.tree(commit.tree).get("record.json", "").split(" ")[-1]
            return record_from(self._objects.data(where), name) if where else None
        except (Damaged, Problem):
            return None

    def named(self, commit: str) -> str:
        """The number of a record that is no longer in the history, or nothing."""
        try:
            entry = self.entry(self._objects.commit(commit), commit)
        except Damaged:
            return ""
        return str(entry.number) if isinstance(entry, Record) else ""

    def faults(
        self, station: str, label: str, commit: Commit, entry: Record | Join | None, parents: Sequence[Commit | None]
    ) -> Iterator[Fault]:
        """Everything in the tree of one record that is not as the record says."""
        files: dict[str, str] = {}
        self._left = MOST
        try:
            for path, what in self._walk(commit.tree, ""):
                if isinstance(what, tuple):
                    yield Fault(station, label, path, what[0], what[1:])
                else:
                    files[path] = what
        except _TooMany:
            yield Fault(station, label, "", f"it holds more than {MOST:,} files and folders")
            return
        for path, blob in files.items():
            if bad := self._look(blob):
                yield Fault(station, label, path, bad, (blob,))
        sound = {path: blob for path, blob in files.items() if blob not in self._objects.bad}
        if entry is None:
            if files.get("record.json") in (*sound.values(), None):
                yield Fault(station, label, "record.json", "is missing or cannot be understood")
        elif isinstance(entry, Join):
            if not any(parent and self._same(commit.tree, parent.tree) for parent in parents) and all(parents):
                yield Fault(station, label, "", "a joining record that holds other files than the lines it joins")
        else:
            yield from (Fault(station, label, *rest) for rest in self._record(entry, files, sound))
            try:
                yield from self._normal_forms(station, label, entry, files, sound)
            except Damaged:
                yield Fault(station, label, "normal", "could be read once, but not again: the disk is failing")

    def _walk(self, tree: str, folder: str) -> Iterator[tuple[str, str | tuple[str, ...]]]:
        """``(path, blob id)`` of every file; for what is not one or not there, the path and a tuple: words, ids."""
        if folder.count("/") > _DEEPEST:
            yield folder[:80], (f"folders lie more than {_DEEPEST} deep in each other",)
            return
        try:
            entries = self._objects.tree(tree)
        except Damaged:
            yield folder.rstrip("/"), (f"the folder {self._objects.bad[tree]}", tree)
            return
        self._left -= len(entries) + 1
        if self._left < 0:
            raise _TooMany
        for name, what in entries.items():
            mode, _, inner = what.partition(" ")
            if mode == "40000":
                yield from self._walk(inner, f"{folder}{name}/")
            elif mode == "100644":
                yield f"{folder}{name}", inner
            else:
                yield f"{folder}{name}", (f"is no plain file (mode {mode})",)

    def _look(self, blob: str) -> str:
        """What is wrong with a file, or nothing."""
        try:
            self.sizes[blob] = self._objects.blob(blob).size
        except Damaged:
            return self._objects.bad[blob]
        return ""

    def _same(self, one: str, other: str) -> bool:
        """Whether two trees hold the same apart from what says which record it is."""
        try:
            trees = [dict(self._objects.tree(tree)) for tree in (one, other)]
        except Damaged:
            return True
        return len({tuple(sorted((k, v) for k, v in t.items() if k not in _HEADS)) for t in trees}) == 1

    def _record(self, record: Record, files: Mapping[str, str], sound: Mapping[str, str]) -> Iterator[tuple[str, str]]:
        """``(path, what)`` for files that are not those of the record."""
        groups = [(f"originals/{copy.name}", copy.sources) for copy in record.copies]
        expected = set(_HEADS)
        for folder, sources in (*groups, ("attachments", record.attachments)):
            paths = stored_paths(source.name for source in sources)
            for source in sources:
                path = f"{folder}/{paths[source.name]}"
                expected.add(path)
                if path not in files:
                    yield path, "is missing"
                elif path in sound and not self._matches(sound[path], source):
                    yield path, "is not what was stored (its digest is not that of the record)"
        normal = tuple(f"normal/{copy.name}/" for copy in record.copies)
        for path in files:
            if path not in expected and not path.startswith(normal):
                yield path, "is not named in record.json"
        if "station.toml" not in files:
            yield "station.toml", "is missing"

    def _matches(self, blob: str, source: Source) -> bool:
        found = self._objects.blob(blob)
        return found.sha256 == source.sha256 and found.size == source.size

    def _normal_forms(
        self, station: str, label: str, record: Record, files: Mapping[str, str], sound: Mapping[str, str]
    ) -> Iterator[Fault]:
        from asfound.language.normal import digest

        for copy in record.copies:
            folder = f"normal/{copy.name}/"
            if any(path.startswith(folder) and path not in sound for path in files):
                continue  # told already
            texts = {
                path.removeprefix(folder): self._objects.data(blob).decode("utf-8", "surrogatepass")
                for path, blob in sound.items()
                if path.startswith(folder)
            }
            stored = names_as_stored(texts, copy.normal_sha256)
            if digest(stored) != copy.normal_sha256:
                yield Fault(station, label, folder[:-1], "is not the normal form that was stored (its digest differs)")
                continue
            if said := self._reproduced(copy, stored, sound):
                fault = Fault(station, label, folder[:-1], said)
                if record.tool_version == asfound.__version__:
                    yield fault
                else:
                    self.remarks.append(fault._replace(what=f"stored by asfound {record.tool_version}; {said}"))

    def _reproduced(self, copy: StoredCopy, stored: Mapping[str, str], sound: Mapping[str, str]) -> str:
        """How the normal form differs from what this version makes of the originals, or nothing."""
        from asfound.language.earlier_notation import means_the_same

        paths = stored_paths(source.name for source in copy.sources)
        blobs = {source.name: sound.get(f"originals/{copy.name}/{paths[source.name]}", "") for source in copy.sources}
        if not all(blobs.values()):
            return ""  # told already
        key = tuple(sorted(blobs.items()))
        if key not in self._made:
            self._made[key] = self._made_of(blobs)
        made = self._made[key]
        if isinstance(made, str):
            return made
        differing = sorted(name for name in {*made, *stored} if made.get(name) != stored.get(name))
        if differing and means_the_same(stored, made):
            return ""
        shown = ", ".join(differing[:3]) + (f" and {len(differing) - 3} more" if len(differing) > 3 else "")
        version = asfound.__version__
        return f"asfound {version} makes another normal form of the originals: {shown}" if differing else ""

    def _made_of(self, blobs: Mapping[str, str]) -> Mapping[str, str] | str:
        from asfound.language.normal import normal_form
        from asfound.readers.reading import read_files

        try:
            return normal_form(read_files([(name, self._objects.data(blob)) for name, blob in blobs.items()]))
        except Problem as problem:
            return f"asfound {asfound.__version__} cannot read the originals ({problem.what})"
