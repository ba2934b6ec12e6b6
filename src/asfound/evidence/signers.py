"""Whose key is which: the ``allowed signers`` file of OpenSSH (ssh-keygen(1), ALLOWED SIGNERS).

The first field of a line is a list of patterns there (ssh_config(5), PATTERNS): ``!ada`` means anybody but her, ``*``
anybody at all. Here a line names persons, one or several with commas between them; patterns are refused, in the list of
namespaces too, so that nobody counts who is not named. Lines end where OpenSSH ends them, with LF.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from asfound.evidence.public import KIND, PublicKey, from_line
from asfound.evidence.sshsig import GIT, NAMESPACE
from asfound.model.problem import Problem

_LINE = re.compile(
    rf'(?P<who>"[^"]*"|[^\s"]+)[ \t]+(?:(?P<options>(?:[^\s"]|"[^"]*")+)[ \t]+)?'
    rf"(?P<key>{KIND}[ \t]+[A-Za-z0-9+/=]+)(?:[ \t].*)?",
    re.ASCII,
)
_OTHER = re.compile(rf"\s(?!{KIND}\s)(ssh-|ecdsa-|sk-)\S+\s+AAAA")
_NAMESPACES = re.compile(r'namespaces="([^"]*)"', re.I)
_PATTERN = re.compile(r"[*?!]")
_ADDRESS = re.compile(r"<([\w.+%=&'/{}^~|$`-]+@[\w.-]+|[\w.+@%-]+)>")


class Allowed(NamedTuple):
    """A key, who holds it, and for what it may sign (empty: everything)."""

    who: str
    public: PublicKey
    namespaces: tuple[str, ...]


def identity(person: str) -> str:
    """A person as OpenSSH can name one: the address if there is one, else the name without blanks.

    It can stand in a line of a file of signers, and behind the option of a command when it is quoted.

    >>> identity("Ada Lind <ada@example.org>"), identity("Bert (service)")
    ('ada@example.org', 'Bert-service')
    """
    address = _ADDRESS.search(person)
    if address and address[1][0] not in "-#":  # an option of a command, a remark in a file
        return address[1]
    return re.sub(r"[^\w.@+-]+", "-", person).strip("-") or "signer"


def line(person: str, public: PublicKey) -> str:
    """The line of an allowed signers file for a person's key: statements and commits only."""
    return f'{identity(person)} namespaces="{NAMESPACE},{GIT}" {public.line}\n'


def parse(text: str, where: str = "") -> list[Allowed]:
    """The Ed25519 keys of an allowed signers file; a :class:`Problem` for what could change their meaning."""
    found: list[Allowed] = []
    for number, written in enumerate(text.split("\n"), 1):
        stripped = written.removesuffix("\r").strip(" \t")
        if stripped and not stripped.startswith("#"):
            found += _allowed(stripped, f"{where}, line {number}" if where else f"line {number}")
    return found


def _allowed(text: str, where: str) -> Sequence[Allowed]:
    if not (match := _LINE.fullmatch(text)):
        if _OTHER.search(text):
            return ()  # another kind of key, which signs nothing here
        raise Problem(
            "is no line of an allowed signers file", where=where, advice='write: NAME namespaces="asfound" KEY'
        )
    options = match["options"] or ""
    namespaces = _NAMESPACES.fullmatch(options)
    if options and not namespaces:
        advice = 'only namespaces="..." is understood here; `ssh-keygen -Y verify` knows the others'
        raise Problem(f"has the option {options}", where=where, advice=advice)
    names = tuple(namespaces[1].split(",")) if namespaces else ()
    who = match["who"].strip('"')
    for listed in (who, *names):
        if _PATTERN.search(listed):
            advice = "write the name itself; `ssh-keygen -Y verify` knows patterns"
            raise Problem(f"has the pattern {listed}, which names nobody", where=where, advice=advice)
    return (Allowed(" or ".join(filter(None, who.split(","))), from_line(match["key"], where), names),)


def holder(allowed: Sequence[Allowed], public: PublicKey, namespace: str) -> str:
    """Who holds the key and may sign for this purpose with it, or nothing."""
    for one in allowed:
        if one.public == public and (not one.namespaces or namespace in one.namespaces):
            return one.who
    return ""
