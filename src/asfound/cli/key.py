"""``asfound key``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from asfound.cli import streams
from asfound.cli.options import example
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from asfound.evidence.public import PublicKey

EXAMPLE = example('key new visits --by "Bert <bert@example.org>"')


def key(
    action: Annotated[str, typer.Argument(metavar="new|show", help="Make a key, or show whose line it has.")],
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The private key; FILE.pub is the public one.")],
    by: Annotated[str, typer.Option(metavar="NAME", help="Whose key it is (else the user.name of git).")] = "",
) -> None:
    """Make a key to sign with, or show how others recognise one.

    An Ed25519 key of OpenSSH, protected by a passphrase.
    """
    from asfound.archive import people
    from asfound.evidence import signers

    person = people.stating(by)
    if action == "new":
        public = _made(file, signers.identity(person))
    elif action == "show":
        public = _public(file)
    else:
        raise Problem(f"'{action}' is nothing to do with a key", advice="write new or show")
    streams.say(f"Fingerprint: {public.fingerprint}")
    streams.say("Who checks a signature needs this line in a file of signers; tell the fingerprint by another way:")
    streams.say(signers.line(person, public).rstrip())


def _made(file: Path, comment: str) -> PublicKey:
    """A new key; of one that is there without its ``.pub`` the public half, for which nothing has to be asked."""
    from asfound.evidence import keys

    public = keys.completed(file, comment)
    if public is not None:
        streams.say(f"{file} was there already, made earlier with its own passphrase, and {file}.pub was missing.")
        streams.say(f"Made {file}.pub (give it to anybody) from it; {file} is as it was (keep it to yourself).")
        return public
    keys.refuse_existing(file)
    public = keys.generate(file, comment, _passphrase())
    streams.say(f"Made {file} (keep it to yourself) and {file}.pub (give it to anybody).")
    return public


def _public(file: Path) -> PublicKey:
    """From the ``.pub``, or out of the private key itself."""
    from asfound.evidence import keys

    for path in (Path(f"{file}.pub"), file):
        if path.is_file():
            return keys.public_of(path)
    raise Problem("there is no public key", where=f"{file}.pub", advice="name the .pub file")


def _passphrase() -> str:
    """Asked for twice; empty only when the person says so by pressing Enter."""
    first: str = typer.prompt("Passphrase (empty for none)", default="", hide_input=True, show_default=False, err=True)
    again: str = typer.prompt("The same again", default="", hide_input=True, show_default=False, err=True)
    if first != again:
        raise Problem("the two passphrases differ", advice="start again; no key was made")
    if not first:
        streams.note("warning: without a passphrase, whoever has the file can sign in your name")
    return first


command = key
