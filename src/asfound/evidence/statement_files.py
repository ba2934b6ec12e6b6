"""The files of a statement, and how they hang together.

``NAME.json`` is the in-toto statement, ``NAME.txt`` the same for people; the last line of the text is the SHA-256 of
the JSON. Signed, there are also ``NAME.dsse.json`` (the envelope around exactly the JSON) and ``NAME.txt.sig`` (the SSH
signature of the text).
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

import asfound
from asfound.evidence import envelope, sshsig
from asfound.evidence.keys import Signer
from asfound.evidence.public import PublicKey
from asfound.evidence.signers import Allowed
from asfound.evidence.statement import Statement, written
from asfound.evidence.statement_fields import read
from asfound.model.problem import Problem

JSON, TEXT, ENVELOPE, SIGNATURE = ".json", ".txt", ".dsse.json", ".txt.sig"
SUFFIXES = (ENVELOPE, SIGNATURE, JSON, TEXT)
"""The longer ones before those they end with."""
_TOGETHER = "keep the files of a statement together"
_ALTERED = "one of them was altered"


def documents(name: str, statement: Statement, text: str, signer: Signer | None) -> dict[str, bytes]:
    """``{file name: bytes}`` of a statement; ``text`` is what :mod:`asfound.reports.statement` says."""
    data, words = written(statement), text.encode("utf-8")
    files = {name + JSON: data, name + TEXT: words}
    if signer is not None:
        files[name + ENVELOPE] = envelope.seal(signer, data)
        files[name + SIGNATURE] = sshsig.sign(signer, sshsig.NAMESPACE, words).encode("ascii")
    return files


class Checked(NamedTuple):
    """A statement whose files fit each other, and the key that signed them (None: nobody did)."""

    statement: Statement
    key: PublicKey | None


Text = Callable[[Statement], str]
"""What writes the text of a statement again."""


def name_of(file: str) -> str:
    """What the files of a statement are called, from the name of one of them; a :class:`Problem` for any other name.

    >>> name_of("booster-1-3.dsse.json"), name_of("booster-1-3.txt")
    ('booster-1-3', 'booster-1-3')
    """
    for suffix in SUFFIXES:
        if file.endswith(suffix):
            return file.removesuffix(suffix)
    raise Problem(
        "is no file of a statement",
        where=file,
        advice=f"they end with {', '.join(sorted(SUFFIXES))}; `asfound attest` writes them",
    )


def check(name: str, files: Mapping[str, bytes], allowed: Sequence[Allowed], text: Text) -> Checked:
    """Check the files of a statement against each other; a :class:`Problem` names the one that does not fit.

    A text counts only when ``text`` writes the same from the JSON, or, where another version wrote it, when it has its
    own signature, by the key of the envelope. So a text and a JSON never vouch for each other merely by lying together.
    """
    if name + JSON not in files:
        if name + ENVELOPE not in files:
            raise Problem("is missing", where=name + JSON, advice=_TOGETHER)
        files = {**files, name + JSON: envelope.opened(files[name + ENVELOPE], name + ENVELOPE)[0]}
    data = files[name + JSON]
    statement = read(data, name + JSON)
    if name + TEXT in files:
        _fits(files[name + TEXT], data, name + TEXT)
        _told(name, files, statement, text)
    _whole(name, files)
    return Checked(statement, _key(name, files, data, allowed))


def _told(name: str, files: Mapping[str, bytes], statement: Statement, text: Text) -> None:
    """A :class:`Problem` when nothing shows that the text says what the JSON says."""
    version = statement.predicate.stated_with
    if text(statement).encode("utf-8", "surrogatepass") == files[name + TEXT]:
        return
    if version == asfound.__version__:
        raise Problem("does not say what the JSON beside it says", where=name + TEXT, advice=_ALTERED)
    if name + SIGNATURE not in files:
        what = (
            f"was written by asfound {version} and has no signature, so nothing shows that it says what the JSON says"
        )
        raise Problem(what, where=name + TEXT, advice="read the JSON instead, or check it with that version")


def _whole(name: str, files: Mapping[str, bytes]) -> None:
    """A :class:`Problem` when one of the two signatures was taken away and what it was about is still there."""
    for there, gone, about in ((ENVELOPE, SIGNATURE, TEXT), (SIGNATURE, ENVELOPE, JSON)):
        if name + there in files and name + gone not in files and name + about in files:
            what = f"is missing, but {name + there} is there: signed statements have both"
            raise Problem(what, where=name + gone, advice=_TOGETHER)


def _fits(words: bytes, data: bytes, where: str) -> None:
    last = words.rstrip(b"\n").rpartition(b"\n")[2].decode("ascii", "replace")
    if last != hashlib.sha256(data).hexdigest():
        raise Problem("is about another statement than the JSON beside it", where=where, advice=_ALTERED)


def _key(name: str, files: Mapping[str, bytes], data: bytes, allowed: Sequence[Allowed]) -> PublicKey | None:
    """The one key that signed both forms, or the one that is there."""
    sealed, signature = files.get(name + ENVELOPE), files.get(name + SIGNATURE)
    key = None
    if signature is not None:
        if name + TEXT not in files:
            raise Problem("is missing, but its signature is there", where=name + TEXT, advice=_TOGETHER)
        words = signature.decode("utf-8", "replace")
        key = sshsig.verify(words, sshsig.NAMESPACE, files[name + TEXT], name + SIGNATURE)
    if sealed is None:
        return key
    key = key or _known(sealed, allowed, name + ENVELOPE)
    if envelope.verify(sealed, key, name + ENVELOPE) != data:
        raise Problem("holds another statement than the JSON beside it", where=name + ENVELOPE, advice=_ALTERED)
    return key


def _known(sealed: bytes, allowed: Sequence[Allowed], where: str) -> PublicKey:
    """The key of an envelope that stands alone; it names its key by the fingerprint only."""
    names = [one.keyid for one in envelope.opened(sealed, where)[1]]
    for one in allowed:
        if one.public.fingerprint in names:
            return one.public
    advice = "name the file with the keys of those who may sign with --signers"
    raise Problem(f"was signed with the key {', '.join(names)}, which is not known here", where=where, advice=advice)
