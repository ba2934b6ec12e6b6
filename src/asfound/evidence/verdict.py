"""What a check of evidence comes to: what was looked at, what is wrong, and one sentence on what that proves."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

from asfound.evidence import documents
from asfound.evidence.public import PublicKey
from asfound.evidence.signers import Allowed, holder
from asfound.evidence.sshsig import NAMESPACE
from asfound.evidence.statement import Predicate, Statement
from asfound.model.problem import Problem
from asfound.model.visible import visible

Text = Callable[[Statement], str]


class Verdict(NamedTuple):
    """``checked`` and ``faults`` are sentences; any fault means that nothing is proved."""

    checked: tuple[str, ...]
    faults: tuple[str, ...]
    sentence: str


def of_statement(path: Path, allowed: Sequence[Allowed] | None, text: Text, against: Path | None = None) -> Verdict:
    """Check the files of a statement, one of which is ``path``.

    What does not fit is a fault of the verdict; a :class:`Problem` only when ``path`` is none of them or unreadable.
    """
    name = documents.name_of(path.name)
    files = {
        name + suffix: data
        for suffix in documents.SUFFIXES
        if (data := _bytes(path.with_name(name + suffix), needed=path.name == name + suffix)) is not None
    }
    try:
        statement, key = documents.check(name, files, allowed or (), text)
    except Problem as problem:
        return failed((), [str(problem)])
    said = statement.predicate
    checked = [f"{', '.join(files)} belong together"]
    faults = signer_faults(key, allowed)
    if key is not None and not faults:
        checked.append(f"signed with the key {key.fingerprint}{_held(key, allowed)}")
    if against is not None:
        faults += differences(said, against)
        checked += [] if faults else [f"{against} holds this record, with the same digests and commit"]
    if faults:
        return failed(checked, faults)
    return Verdict(tuple(checked), (), sentence(said, key, allowed, history=against is not None))


def _bytes(path: Path, *, needed: bool) -> bytes | None:
    if not path.exists() and not needed:
        return None
    try:
        return path.read_bytes()
    except OSError as error:
        raise Problem(f"cannot be read ({error.strerror})", where=str(path), advice="check the name") from None


def failed(checked: Sequence[str], faults: Sequence[str]) -> Verdict:
    """The verdict when something is wrong."""
    return Verdict(tuple(checked), tuple(faults), "Nothing is proved: what is marked with ! does not hold.")


def signer_faults(key: PublicKey | None, allowed: Sequence[Allowed] | None) -> list[str]:
    """What is wrong with who signed, given the keys that the person who checks trusts."""
    if allowed is None:
        return []
    if key is None:
        return ["nobody signed it, but a signature by one of the signers is asked for"]
    if not holder(allowed, key, NAMESPACE):
        return [f"signed with the key {key.fingerprint}, which is none of the signers"]
    return []


def _held(key: PublicKey, allowed: Sequence[Allowed] | None) -> str:
    return f" of {visible(holder(allowed, key, NAMESPACE))}" if allowed is not None else ""


def differences(said: Predicate, archive: Path) -> list[str]:
    """Where an archive does not hold what a statement says."""
    from asfound.archive.archive import Archive
    from asfound.model.record import Record

    with Archive.open(archive) as opened:
        if said.station not in opened.stations():
            return [f"{archive} has no station {visible(said.station)}"]
        records = [entry for _, entry in opened.history(said.station) if isinstance(entry, Record)]
        found = next((record for record in records if opened.commit_of(record) == said.commit), None)
    if found is None:
        return [f"{archive} holds no record with the commit {said.commit}; its history was replaced"]
    stated = [(f.name, f.sha256, f.size) for c in said.copies for f in c.files]
    stated += [(f.name, f.sha256, f.size) for f in said.attachments]
    there = [(s.name, s.sha256, s.size) for c in found.copies for s in c.sources]
    there += [(s.name, s.sha256, s.size) for s in found.attachments]
    about = [(each.moment, each.time, each.person, each.note, each.panel) for each in (said, found)]
    normal = [(c.name, c.normal_sha256) for c in said.copies], [(c.name, c.normal_sha256) for c in found.copies]
    same = stated == there and about[0] == about[1] and normal[0] == normal[1]
    return [] if same else [f"record {said.record} of {archive} is not what was stated"]


def sentence(said: Predicate, key: PublicKey | None, allowed: Sequence[Allowed] | None, *, history: bool) -> str:
    """What is proved and what is not."""
    record = f"record {said.record} ({said.moment}) of {visible(said.station)}, stored {said.time}"
    if key is None:
        proved = f"the files agree with each other about {record}"
        open_ = "who wrote them, for nobody signed"
    elif allowed is None:
        proved = f"the holder of the key {key.fingerprint} stated {record}"
        open_ = "whose key that is (compare the fingerprint with what that person tells you, or use --signers)"
    else:
        proved = f"{visible(holder(allowed, key, NAMESPACE))} stated {record}"
        open_ = ""
    kept = ", and the history holds that record unaltered" if history else ""
    rest = "that the exports came from the controller and are complete, and the times (the word of "
    person = f"{visible(said.person)})"
    return f"Proved: {proved}{kept}. Not proved: {f'{open_}; ' if open_ else ''}{rest}{person}."
