"""What a check of evidence comes to: what was looked at, what is wrong, and one sentence on what that proves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from msgspec import UNSET

from asfound.evidence import files, statement_files
from asfound.evidence.public import PublicKey
from asfound.evidence.signers import Allowed, holder
from asfound.evidence.sshsig import NAMESPACE
from asfound.evidence.statement import Earlier, Predicate, caution
from asfound.evidence.statement_files import Text
from asfound.model.problem import Problem
from asfound.model.record import Record
from asfound.model.station import BringsBack
from asfound.model.visible import visible

if TYPE_CHECKING:
    from asfound.archive.archive import Archive


class Verdict(NamedTuple):
    """``checked`` and ``faults`` are sentences; any fault means that nothing is proved.

    ``vouched`` is whether somebody or something stands for what people read in it: a signature, or an archive.
    """

    checked: tuple[str, ...]
    faults: tuple[str, ...]
    sentence: str
    vouched: bool = True


def of_statement(path: Path, allowed: Sequence[Allowed] | None, text: Text, against: Path | None = None) -> Verdict:
    """Check the files of a statement, one of which is ``path``.

    What does not fit is a fault of the verdict; a :class:`Problem` only when ``path`` is none of them or unreadable.
    """
    name = statement_files.name_of(path.name)
    found = {
        name + suffix: data
        for suffix in statement_files.SUFFIXES
        if (data := _bytes(path.with_name(name + suffix), needed=path.name == name + suffix)) is not None
    }
    try:
        statement, key = statement_files.check(name, found, allowed or (), text)
    except Problem as problem:
        return failed((), [str(problem)])
    said = statement.predicate
    checked = [f"{', '.join(found)} belong together"]
    faults = signer_faults(key, allowed)
    if key is not None and not faults:
        checked.append(f"signed with the key {key.fingerprint}{_held(key, allowed)}")
    if against is not None:
        faults += differences(said, against)
        checked += [] if faults else [f"{against} holds this record, with the same digests and commit"]
    if faults:
        return failed(checked, faults)
    vouched = key is not None or against is not None
    begins = "" if vouched else unsigned(list(found), "this statement")
    ends = sentence(said, key, allowed, history=against is not None)
    return Verdict(tuple(checked), (), begins + ends, vouched)


def _bytes(path: Path, *, needed: bool) -> bytes | None:
    if not needed and files.kind(path) == "nothing":
        return None
    return files.read(path, files.MAX_STATEMENT)


def unsigned(names: Sequence[str], what: str) -> str:
    """The beginning of the sentence when nobody signed: which files nobody vouches for."""
    return f"Nobody vouches for {', '.join(names)}: nobody signed {what}, so anybody could have written them. "


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

    with Archive.open(archive) as opened:
        if said.station not in opened.stations():
            return [f"{archive} has no station {said.station}"]
        records = [entry for _, entry in opened.history(said.station) if isinstance(entry, Record)]
        by_commit = {opened.commit_of(record): record for record in records}
        known = (_stated(opened, record) for record in reversed(records))
        stated = said.brings_back is UNSET or said.brings_back in known
    found = by_commit.get(said.commit)
    if found is None:
        return [f"{archive} holds no record with the commit {said.commit}; its history was replaced"]
    faults = [] if _same(said, found) else [f"record {said.record} of {archive} is not what was stated"]
    if not stated:
        faults.append(f"{archive} never stated what is said here to bring the program back")
    if said.compared and not _same_earlier(said.compared.earlier, by_commit):
        faults.append(f"the earlier record {said.compared.earlier.record} of {archive} is not the one that was stated")
    return faults


def _stated(archive: Archive, record: Record) -> BringsBack | None:
    """What is stated with a record to bring the program back; None when that cannot be understood."""
    try:
        return archive.equipment(record.station, record).brings_back
    except Problem:
        return None


def _same(said: Predicate, found: Record) -> bool:
    stated = [(f.name, f.sha256, f.size) for c in said.copies for f in c.files]
    stated += [(f.name, f.sha256, f.size) for f in said.attachments]
    there = [(s.name, s.sha256, s.size) for c in found.copies for s in c.sources]
    there += [(s.name, s.sha256, s.size) for s in found.attachments]
    about = [(each.moment, each.time, each.person, each.note, each.clock, each.panel) for each in (said, found)]
    copies = [[(copy.name, copy.normal_sha256) for copy in each.copies] for each in (said, found)]
    named = _is_called(said.record, said.commit, found) and said.stored_with == found.tool_version
    return named and stated == there and about[0] == about[1] and copies[0] == copies[1]


def _is_called(label: str, commit: str, record: Record) -> bool:
    """Whether a record can be called that: its number, and the beginning of its commit where it needs one."""
    number, _, start = label.partition(".")
    return number == str(record.number) and commit.startswith(start)


def _same_earlier(said: Earlier, by_commit: Mapping[str, Record]) -> bool:
    found = by_commit.get(said.commit)
    about = [(each.moment, each.time, each.person) for each in (said, found) if each is not None]
    return found is not None and about[0] == about[1] and _is_called(said.record, said.commit, found)


def sentence(said: Predicate, key: PublicKey | None, allowed: Sequence[Allowed] | None, *, history: bool) -> str:
    """What is proved and what is not."""
    record = f"record {said.record} ({said.moment}) of {visible(said.station)}, stored {said.time}"
    if key is None:
        proved = f"the files agree with each other about {record}"
        open_ = "who wrote them, for nobody signed" + (" (nor what they say of changes)" if said.compared else "")
    elif allowed is None:
        proved = f"the holder of the key {key.fingerprint} stated {record}"
        open_ = "whose key that is (compare the fingerprint with what that person tells you, or use --signers)"
    else:
        proved = f"{visible(holder(allowed, key, NAMESPACE))} stated {record}"
        open_ = ""
    kept = ", and the history holds that record unaltered" if history else ""
    rest = "that the exports came from the controller and are complete, and the times (the word of "
    person = f"{visible(said.person)})"
    first = f"{caution(said)} " if caution(said) else ""
    return f"{first}Proved: {proved}{kept}. Not proved: {f'{open_}; ' if open_ else ''}{rest}{person}."
