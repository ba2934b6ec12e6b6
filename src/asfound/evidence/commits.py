"""The signature in the header of a git commit (gitformat-signature(5))."""

from __future__ import annotations

from typing import NamedTuple

from asfound.evidence import sshsig
from asfound.evidence.public import PublicKey
from asfound.model.problem import Problem

_HEADER = b"gpgsig "
_FOREIGN = tuple(f"-----BEGIN {kind}-----" for kind in ("PGP SIGNATURE", "PGP MESSAGE", "SIGNED MESSAGE"))
"""How signatures of OpenPGP and X.509 begin (git, gpg-interface.c)."""


class Signed(NamedTuple):
    """A signature as it stands in a commit, and the bytes that it is about."""

    armour: str
    payload: bytes


def signer_of(commit: bytes, where: str = "") -> PublicKey | None:
    """The key that signed a commit; None when nobody did, a :class:`Problem` when the signature does not fit."""
    found = signature_of(commit)
    return None if found is None else sshsig.verify(found.armour, sshsig.GIT, found.payload, where)


def fault_of(commit: bytes) -> str:
    """What is wrong with the signature of a commit (its bytes, without git's own header): a sentence without a stop.

    Nothing where nobody signed, or the signature fits. Nothing either where it is of a kind that is not checked here
    (OpenPGP, X.509, a key that is not Ed25519): plain git signs with those too, and knows how to verify them.
    """
    found = signature_of(commit)
    if found is None or not checkable(found.armour):
        return ""
    try:
        sshsig.verify(found.armour, sshsig.GIT, found.payload)
    except Problem as problem:
        return f"the signature of its commit does not hold ({problem.what})"
    return ""


def checkable(armour: str) -> bool:
    """Whether a signature is of the kind that is made here: of SSH, with an Ed25519 key, or too damaged to tell."""
    return not armour.startswith(_FOREIGN) and sshsig.is_ours(armour)


def signature_of(commit: bytes) -> Signed | None:
    """The signature of a commit, taken out of it; None when there is none."""
    head, blank, message = commit.partition(b"\n\n")
    kept: list[bytes] = []
    armour: list[bytes] = []
    inside = False
    for line in head.split(b"\n"):
        inside = line.startswith(_HEADER) or (inside and line.startswith(b" "))
        if inside:
            armour.append(line.removeprefix(_HEADER) if line.startswith(_HEADER) else line[1:])
        else:
            kept.append(line)
    if not armour:
        return None
    text = b"\n".join(armour).decode("utf-8", "replace") + "\n"
    return Signed(text, b"\n".join(kept) + blank + message)
