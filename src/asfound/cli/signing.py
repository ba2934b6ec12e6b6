"""Keys and statements as several commands need them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import completion, loading, opening, reference, streams
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from asfound.archive.archive import Archive
    from asfound.evidence.keys import Signer
    from asfound.evidence.stating import Matter, Stated

KeyOption = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Option("--key", metavar="FILE", help="Sign with this SSH key (its .pub when ssh-agent holds the key)."),
]
SinceOption = Annotated[
    str, typer.Option("--since", metavar="SELECTOR", help="Compare with this record (else the last as left before).")
]
CopyOption = Annotated[
    str,
    typer.Option(
        "--copy",
        metavar="COPY",
        help="What is stated: running, or else card or office, which says nothing about the controller.",
        autocompletion=completion.words(*completion.COPIES),
    ),
]
ByOption = Annotated[str, typer.Option("--by", metavar="NAME", help="Who states it (else the user.name of git).")]


def with_copy(ref: str, found: reference.Stored, copy: str) -> reference.Stored:
    """The reference with the copy of ``--copy``; a :class:`Problem` when there is no such copy, or it names another."""
    if not copy:
        return found
    if copy not in completion.COPIES:
        raise Problem(f"'{copy}' is no copy", advice=f"a copy is one of {', '.join(completion.COPIES)}")
    if found.copy not in ("", copy):
        raise Problem(f"names the copy '{found.copy}', and --copy another", where=ref, advice="leave one of them out")
    return found._replace(copy=copy)


def warn(stated: Stated) -> None:
    """Say, quiet or not, what a statement does not prove at all, and which later records it is not about."""
    from asfound.compare.origins import passed_over
    from asfound.evidence.statement import caution

    for line in passed_over(stated.matter.origins[1], stated.matter.passed):
        streams.note(line)
    if words := caution(stated.statement.predicate):
        streams.note(words)


def signer(key: Path | None) -> Signer | None:
    """Load the key, asking for its passphrase; None when no key is named."""
    from asfound.evidence import keys

    return None if key is None else keys.load(key, lambda: _asked(key))


def commits(key: Path | None) -> Callable[[bytes], str] | None:
    """What signs the commits of records; None when no key is named."""
    from asfound.evidence import sshsig

    one = signer(key)
    return None if one is None else partial(sshsig.sign, one, sshsig.GIT)


@contextmanager
def stated(
    ref: str, found: reference.Stored, since: str, person: str, *, quiet: bool
) -> Iterator[tuple[Archive, Stated]]:
    """What ``person`` states now about the record that ``ref`` names, and the archive it is in, open."""
    from asfound.evidence import stating

    with opening.opened(found.archive) as opened:
        about = stating.matter(opened, found.station, found.selector, found.copy, since)
        with streams.progress(f"Reading {ref}", 4, quiet=quiet) as watch:
            made = stating.state(opened, about, by=person, time=datetime.now().astimezone(), watch=watch)
        yield opened, made


def told(about: Matter) -> str:
    """The record that a statement is about, and the one it was compared with."""
    earlier = loading.described(about.earlier) if about.earlier else "no earlier record"
    return f"{loading.described(about.record)}, compared with {earlier}"


def said(signer: Signer | None) -> str:
    """Who signed."""
    if signer is None:
        return "not signed: anybody could have written it; --key FILE signs it"
    return f"signed with {signer.public.fingerprint}"


def _asked(key: Path) -> str:
    return str(typer.prompt(f"Passphrase of {key}", hide_input=True, err=True))
