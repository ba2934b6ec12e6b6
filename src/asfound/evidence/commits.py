"""The signature in the header of a git commit (gitformat-signature(5))."""

from __future__ import annotations

from asfound.evidence import sshsig
from asfound.evidence.public import PublicKey

_HEADER = b"gpgsig "


def signer_of(commit: bytes, where: str = "") -> PublicKey | None:
    """The key that signed a commit; None when nobody did, a :class:`Problem` when the signature does not fit."""
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
    return sshsig.verify(text, sshsig.GIT, b"\n".join(kept) + blank + message, where)
