"""The history in a hand-over: sound, of one station, and holding the very record that is stated, file by file."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

from asfound.archive import whole
from asfound.archive.archive import Archive
from asfound.archive.content import attached_paths
from asfound.archive.faults import told
from asfound.archive.safe_names import stored_paths
from asfound.evidence import commits, verdict
from asfound.evidence.public import PublicKey
from asfound.evidence.statement import Predicate
from asfound.model.problem import Problem
from asfound.model.record import Record

FOLDERS = ("originals/", "normal/", "attachments/")
"""What a hand-over holds of the record itself."""
_BEGINNINGS = (b"# v2 git bundle\n", b"# v3 git bundle\n")
"""Of a bundle of git (gitformat-bundle(5))."""


class Found(NamedTuple):
    """What was checked, and what is wrong: sentences."""

    checked: list[str]
    faults: list[str]


def look(bundle: Path, said: Predicate, key: PublicKey | None, digests: Mapping[str, str]) -> Found:
    """Check a bundle against a statement, and against ``{path: SHA-256}`` of the files beside it.

    ``key`` is the one that signed the statement. What does not fit is a fault; nothing is raised.
    """
    with whole.scratch() as beside:
        try:
            apart = _apart(bundle, beside)
            with Archive.create(beside / "history.git") as archive:
                archive.unbundle(apart)
                return _looked(archive, bundle.name, said, key, digests)
        except Problem as problem:
            return Found([], [f"{bundle.name}: {problem.what}"])


def _apart(bundle: Path, folder: Path) -> Path:
    """The bundle alone in a folder of ours; a :class:`Problem` when it is none.

    git takes any path for a repository as well, also a file that says where one is, and a folder beside it that is
    called nearly so; and in somebody else's repository the settings are somebody else's. So it gets nothing to look at
    but a file that begins as a bundle does.
    """
    try:
        with bundle.open("rb") as file:
            if file.read(len(_BEGINNINGS[0])) not in _BEGINNINGS:
                raise Problem("is no bundle of git")
        return Path(shutil.copyfile(bundle, folder / bundle.name))
    except OSError as error:
        raise Problem(f"cannot be read ({error.strerror})") from None


def _looked(archive: Archive, name: str, said: Predicate, key: PublicKey | None, digests: Mapping[str, str]) -> Found:
    faults = [f"{name}: {line}" for line in told(archive.check().faults)]
    if archive.stations() != (said.station,):
        faults.append(f"{name} holds {', '.join(archive.stations())}, not {said.station} alone")
    if not faults:
        faults = [line.replace(str(archive.path), name) for line in verdict.differences(said, archive.path)]
    if faults:
        return Found([], faults)
    record = _record(archive, said)
    faults = list(_differing(archive, record, digests))
    whole = [] if faults else [f"{name} is sound and holds this record, with the same files and commit"]
    commit = archive.commit_object(record)
    if fault := commits.fault_of(commit):
        faults.append(f"{name}: {fault}")
        return Found(whole, faults)
    return Found([*whole, _signed(commit, key)], faults)


def _record(archive: Archive, said: Predicate) -> Record:
    records = [entry for _, entry in archive.history(said.station) if isinstance(entry, Record)]
    return next(record for record in records if archive.commit_of(record) == said.commit)


def _differing(archive: Archive, record: Record, digests: Mapping[str, str]) -> Iterator[str]:
    """What is wrong with files of the record in the folder, and with files there that the record does not have."""
    known, more = _recorded(record), dict.fromkeys(path for path in digests if path.startswith(FOLDERS))
    for path, parts in archive.tree(record):
        more.pop(path, None)
        if digests.get(path) != (known[path] if path in known else _digest(parts)):
            yield f"{path} is not the file of the history"
    yield from (f"{path} is not in the history" for path in more)


def _recorded(record: Record) -> Mapping[str, str]:
    """``{path: SHA-256}`` of what ``record.json`` has digests of; the check of the history has compared them."""
    found: dict[str, str] = {}
    for copy in record.copies:
        paths = stored_paths(source.name for source in copy.sources)
        found |= {f"originals/{copy.name}/{paths[source.name]}": source.sha256 for source in copy.sources}
    attached = zip(attached_paths(record.attachments), record.attachments, strict=True)
    return found | {path: source.sha256 for path, source in attached}


def _digest(parts: Iterator[bytes]) -> str:
    own = hashlib.sha256()
    for part in parts:
        own.update(part)
    return own.hexdigest()


def _signed(commit: bytes, key: PublicKey | None) -> str:
    """Who signed the record when it was stored; its signature fits, as far as it can be checked here."""
    found = commits.signature_of(commit)
    if found is None:
        return "the commit is not signed"
    if not commits.checkable(found.armour):
        return "the commit is signed with a kind of key that is not checked here; git can verify it"
    signed = commits.signer_of(commit)
    assert signed is not None
    same = signed == key
    return "the commit is signed with the same key" if same else f"the commit is signed with {signed.fingerprint}"
