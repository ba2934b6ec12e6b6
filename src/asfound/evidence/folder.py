"""Checking a folder that was handed over: sums, signatures, statement, history, and each against the others.

Every file is read once, and nothing but plain files is opened. What proves what: the list of sums every byte; its
signature the list; the statement the originals; the history, compared with the statement, all files of the record.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from asfound.evidence import files, history, sshsig, statement_files, sums, verdict
from asfound.evidence.public import PublicKey
from asfound.evidence.signers import Allowed
from asfound.evidence.signers import parse as parse_signers
from asfound.evidence.statement import Predicate
from asfound.evidence.statement_files import Text
from asfound.evidence.verdict import Verdict
from asfound.model.problem import Problem

_NAME = "name a folder that was handed over; `asfound handover` writes one"
HISTORY, SIGNERS, SIGNATURE = "history.bundle", "signers", f"{sums.NAME}.sig"
STATEMENT = "statement"
"""What the files of the statement are called."""
_SIGNED = (SIGNATURE, SIGNERS, STATEMENT + statement_files.ENVELOPE, STATEMENT + statement_files.SIGNATURE)
"""What only a signed hand-over has: all of it, or none."""
_KEPT = {
    **{STATEMENT + suffix: files.MAX_STATEMENT for suffix in statement_files.SUFFIXES},
    sums.NAME: files.MAX_STATEMENT,
    SIGNATURE: files.MAX_SMALL,
    SIGNERS: files.MAX_SIGNERS,
}
"""What is looked into, and how many bytes of it at most."""


class Checking:
    """One check of one folder; what was found is collected in ``checked`` and ``faults``."""

    def __init__(self, folder: Path, allowed: Sequence[Allowed] | None, text: Text) -> None:
        self._folder, self._allowed, self._text = folder, allowed, text
        self._taken = files.take(folder, lambda name: _KEPT.get(name, 0))
        self.checked: list[str] = []
        self.faults: list[str] = []

    def run(self, against: Path | None = None) -> Verdict:
        """Check everything; what does not fit is a fault. A :class:`Problem` when this is no hand-over."""
        if sums.NAME not in self._taken.digests and sums.NAME not in self._taken.odd:
            raise Problem(f"holds no {sums.NAME}", where=str(self._folder), advice=_NAME)
        key, statement = self.held_together()
        if statement is not None:
            self._files(statement)
            self._history(statement, key)
            if against is not None:
                found = verdict.differences(statement, against)
                self._said(found, f"{against} holds this record, with the same digests and commit")
        if self.faults or statement is None:
            return verdict.failed(self.checked, self.faults)
        begins = "" if key else verdict.unsigned(self._pages(), "this hand-over")
        sentence = begins + verdict.sentence(statement, key, self._allowed, history=True)
        return Verdict(tuple(self.checked), (), sentence, key is not None)

    def held_together(self) -> tuple[PublicKey | None, Predicate | None]:
        """Check sums, signatures and statement: who signed, and what is stated when that can be relied on."""
        self._sums()
        key = self._signature()
        return key, self._statement(key)

    def _said(self, faults: Sequence[str], checked: str) -> None:
        self.faults += faults
        if not faults:
            self.checked.append(checked)

    def _sums(self) -> None:
        """The digests of what is there, compared with the list."""
        found, odd = self._taken.digests, self._taken.odd
        faults = [f"{name} {what}" for name, what in odd.items()]
        if sums.NAME in odd:
            self.faults += faults
            return
        try:
            listed = sums.parse(self._taken.kept[sums.NAME])
        except Problem as problem:
            self.faults += [*faults, str(problem)]
            return
        for name, digest in listed.items():
            if name not in found and name not in odd:
                faults.append(f"{name} is missing")
            elif found.get(name, digest) != digest:
                faults.append(f"{name} was altered: its digest is not that of {sums.NAME}")
        known = {*listed, sums.NAME, SIGNATURE}
        faults += [f"{name} does not belong here: {sums.NAME} does not name it" for name in found if name not in known]
        self._said(faults, f"all {len(listed)} files are those of {sums.NAME}, and no others are there")

    def _signature(self) -> PublicKey | None:
        """The key that signed the sums."""
        there = [name for name in _SIGNED if name in self._taken.kept]
        if not there:
            self.faults += verdict.signer_faults(None, self._allowed)
            return None
        if gone := [name for name in _SIGNED if name not in there and name not in self._taken.odd]:
            self.faults.append(f"{', '.join(gone)} missing, but {', '.join(there)} there: a signature was taken away")
        if SIGNATURE not in there or sums.NAME not in self._taken.kept:
            return None
        try:
            words, data = self._taken.kept[SIGNATURE].decode("utf-8", "replace"), self._taken.kept[sums.NAME]
            key = sshsig.verify(words, sshsig.NAMESPACE, data, SIGNATURE)
            inside = parse_signers(self._taken.kept.get(SIGNERS, b"").decode("utf-8", "replace"), SIGNERS)
        except Problem as problem:
            self.faults.append(str(problem))
            return None
        faults = verdict.signer_faults(key, self._allowed)
        if self._allowed is None and not any(one.public == key for one in inside):
            faults.append(f"{sums.NAME} was signed with the key {key.fingerprint}, which is not in {SIGNERS}")
        self._said(faults, f"{sums.NAME} is signed with the key {key.fingerprint}")
        return key

    def _statement(self, key: PublicKey | None) -> Predicate | None:
        """The statement, signed with the same key as the sums."""
        parts = [STATEMENT + suffix for suffix in statement_files.SUFFIXES]
        if any(name in self._taken.odd for name in parts):
            return None  # told already
        try:
            there = {name: self._taken.kept[name] for name in parts if name in self._taken.kept}
            found = statement_files.check(STATEMENT, there, self._allowed or (), self._text)
        except Problem as problem:
            self.faults.append(str(problem))
            return None
        faults = [] if found.key == key else ["the statement and the sums are not signed with the same key"]
        self._said(faults, "the statement fits, as text and as JSON" + (", signed with the same key" if key else ""))
        return found.statement.predicate

    def _files(self, said: Predicate) -> None:
        """The originals and attachments against the statement; the normal forms follow from the history."""
        digests = self._taken.digests
        stated = {file.path: file.sha256 for copy in said.copies for file in copy.files}
        stated |= {file.path: file.sha256 for file in said.attachments}
        faults = [f"{path} is not the file that was stated" for path in stated if digests.get(path) != stated[path]]
        there = [name for name in digests if name.startswith(("originals/", "attachments/"))]
        faults += [f"{name} is not in the statement" for name in there if name not in stated]
        self._said(faults, f"the {len(stated)} originals are those of the statement")

    def _pages(self) -> list[str]:
        """Files that only a signature could vouch for: what people read, and what was made for them."""
        parts = [STATEMENT + suffix for suffix in statement_files.SUFFIXES]
        proved = {sums.NAME, HISTORY, "record.json", "station.toml", *parts}
        return [name for name in self._taken.digests if name not in proved and not name.startswith(history.FOLDERS)]

    def _history(self, said: Predicate, key: PublicKey | None) -> None:
        """The history of records: sound, and holding this very record."""
        if HISTORY in self._taken.digests:
            found = history.look(self._folder / HISTORY, said, key, self._taken.digests)
            self.faults += found.faults
            self.checked += found.checked
        elif HISTORY not in self._taken.odd:
            self.faults.append(f"{HISTORY} is missing, and with it all records")
