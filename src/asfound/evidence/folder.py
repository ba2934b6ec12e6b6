"""Checking a folder that was handed over: sums, signatures, statement, history, and each against the others."""

from __future__ import annotations

import hashlib
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from asfound.archive import disk
from asfound.archive.archive import Archive
from asfound.archive.faults import told
from asfound.archive.names import unescape
from asfound.evidence import commits, documents, sshsig, sums, verdict
from asfound.evidence.handover import HISTORY, SIGNATURE, SIGNERS, STATEMENT
from asfound.evidence.public import PublicKey
from asfound.evidence.signers import Allowed
from asfound.evidence.signers import parse as parse_signers
from asfound.evidence.statement import Predicate
from asfound.evidence.verdict import Text, Verdict
from asfound.language.normal import digest as digest_of
from asfound.model.problem import Problem
from asfound.model.record import Record

_NAME = "name a folder that was handed over; `asfound handover` writes one"


class Checking:
    """One check of one folder; what was found is collected in ``checked`` and ``faults``."""

    def __init__(self, folder: Path, allowed: Sequence[Allowed] | None, text: Text) -> None:
        self._folder, self._allowed, self._text = folder, allowed, text
        self.checked: list[str] = []
        self.faults: list[str] = []

    def run(self, against: Path | None = None) -> Verdict:
        """Check everything; what does not fit is a fault. A :class:`Problem` when this is no hand-over."""
        names = list(sums.files(self._folder))
        if sums.NAME not in names:
            raise Problem(f"holds no {sums.NAME}", where=str(self._folder), advice=_NAME)
        digests = self._sums(names)
        key = self._signature(names)
        statement = self._statement(names, key)
        if statement is not None:
            self._files(statement, digests)
            self._history(statement, key, digests)
            if against is not None:
                found = verdict.differences(statement, against)
                self._said(found, f"{against} holds this record, with the same digests and commit")
        if self.faults or statement is None:
            return verdict.failed(self.checked, self.faults)
        sentence = verdict.sentence(statement, key, self._allowed, history=True)
        return Verdict(tuple(self.checked), (), sentence)

    def _said(self, faults: Sequence[str], checked: str) -> None:
        self.faults += faults
        if not faults:
            self.checked.append(checked)

    def _sums(self, names: Sequence[str]) -> dict[str, str]:
        """The digests of what is there, compared with the list."""
        found = {n: disk.digest(self._folder / n) for n in names if not (self._folder / n).is_symlink()}
        faults = [f"{name} is a link, not a file" for name in names if name not in found]
        try:
            listed = sums.parse((self._folder / sums.NAME).read_bytes())
        except Problem as problem:
            self.faults += [*faults, str(problem)]
            return found
        for name, digest in listed.items():
            if name not in names:
                faults.append(f"{name} is missing")
            elif found.get(name) != digest:
                faults.append(f"{name} was altered: its digest is not that of {sums.NAME}")
        known = {*listed, sums.NAME, SIGNATURE}
        faults += [f"{name} does not belong here: {sums.NAME} does not name it" for name in names if name not in known]
        self._said(faults, f"all {len(listed)} files are those of {sums.NAME}, and no others are there")
        return found

    def _signature(self, names: Sequence[str]) -> PublicKey | None:
        """The key that signed the sums."""
        if SIGNATURE not in names:
            self.faults += verdict.signer_faults(None, self._allowed)
            if not self.faults:
                self.checked.append(f"{sums.NAME} is not signed")
            return None
        try:
            words = (self._folder / SIGNATURE).read_bytes().decode("utf-8", "replace")
            data = (self._folder / sums.NAME).read_bytes()
            key = sshsig.verify(words, sshsig.NAMESPACE, data, SIGNATURE)
            inside = parse_signers((self._folder / SIGNERS).read_text("utf-8", "replace"), SIGNERS)
        except (Problem, OSError) as problem:
            self.faults.append(str(problem))
            return None
        faults = verdict.signer_faults(key, self._allowed)
        if self._allowed is None and not any(one.public == key for one in inside):
            faults.append(f"{sums.NAME} was signed with the key {key.fingerprint}, which is not in {SIGNERS}")
        self._said(faults, f"{sums.NAME} is signed with the key {key.fingerprint}")
        return key

    def _statement(self, names: Sequence[str], key: PublicKey | None) -> Predicate | None:
        """The statement, signed with the same key as the sums."""
        parts = [STATEMENT + suffix for suffix in documents.SUFFIXES if STATEMENT + suffix in names]
        try:
            files = {name: (self._folder / name).read_bytes() for name in parts}
            found = documents.check(STATEMENT, files, self._allowed or (), self._text)
        except Problem as problem:
            self.faults.append(str(problem))
            return None
        faults = [] if found.key == key else ["the statement and the sums are not signed with the same key"]
        self._said(faults, "the statement fits, as text and as JSON" + (", signed with the same key" if key else ""))
        return found.statement.predicate

    def _files(self, said: Predicate, digests: dict[str, str]) -> None:
        """The originals and normal forms against the statement."""
        stated = {file.path: file.sha256 for copy in said.copies for file in copy.files}
        stated |= {file.path: file.sha256 for file in said.attachments}
        faults = [f"{path} is not the file that was stated" for path in stated if digests.get(path) != stated[path]]
        there = [name for name in digests if name.startswith(("originals/", "attachments/"))]
        faults += [f"{name} is not in the statement" for name in there if name not in stated]
        for copy in said.copies:
            folder = f"normal/{copy.name}/"
            texts = {
                unescape(name.removeprefix(folder)): self._folder.joinpath(name)
                .read_bytes()
                .decode("utf-8", "surrogatepass")
                for name in digests
                if name.startswith(folder)
            }
            if digest_of(texts) != copy.normal_sha256:
                faults.append(f"{folder} is not the normal form that was stated")
        self._said(faults, f"the {len(stated)} originals and the normal forms are those of the statement")

    def _history(self, said: Predicate, key: PublicKey | None, digests: Mapping[str, str]) -> None:
        """The history of records: sound, and holding this very record."""
        with tempfile.TemporaryDirectory(prefix="asfound-verify-") as beside:
            try:
                with Archive.create(Path(beside) / "history.git") as archive:
                    archive.unbundle(self._folder / HISTORY)
                    self._sound(archive, said, key, digests)
            except Problem as problem:
                self.faults.append(f"{HISTORY}: {problem.what}")

    def _sound(self, archive: Archive, said: Predicate, key: PublicKey | None, digests: Mapping[str, str]) -> None:
        faults = [f"{HISTORY}: {line}" for line in told(archive.check().faults)]
        if archive.stations() != (said.station,):
            faults.append(f"{HISTORY} holds {', '.join(archive.stations())}, not {said.station} alone")
        if not faults:
            faults = [line.replace(str(archive.path), HISTORY) for line in verdict.differences(said, archive.path)]
        record = None if faults else _record(archive, said)
        if record is not None:
            faults = [f"{path} is not the file of the history" for path in _differing(archive, record, digests)]
        self._said(faults, f"{HISTORY} is sound and holds this record, with the same files and commit")
        if record is not None:
            signed = commits.signer_of(archive.commit_object(record), f"commit {said.commit}")
            other = f"the commit is signed with the key {signed.fingerprint}" if signed else "the commit is not signed"
            self.checked.append("the commit is signed with the same key" if signed and signed == key else other)


def _record(archive: Archive, said: Predicate) -> Record:
    records = [entry for _, entry in archive.history(said.station) if isinstance(entry, Record)]
    return next(record for record in records if archive.commit_of(record) == said.commit)


def _differing(archive: Archive, record: Record, digests: Mapping[str, str]) -> Iterator[str]:
    """Paths of files of the record that are not the same in the folder."""
    for path, parts in archive.tree(record):
        own = hashlib.sha256()
        for part in parts:
            own.update(part)
        if digests.get(path) != own.hexdigest():
            yield path
