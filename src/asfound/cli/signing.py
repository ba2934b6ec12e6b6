"""Keys and statements as several commands need them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.model.problem import Problem

if TYPE_CHECKING:
    from asfound.evidence.keys import Signer

KeyOption = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Option("--key", metavar="FILE", help="Sign with this SSH key (its .pub when ssh-agent holds the key)."),
]
SinceOption = Annotated[
    str, typer.Option("--since", metavar="SELECTOR", help="Compare with this record (else the last as left before).")
]
ByOption = Annotated[str, typer.Option("--by", metavar="NAME", help="Who states it (else the user.name of git).")]
UNSIGNED = "not signed: anybody could have written it; --key FILE signs it"


def signer(key: Path | None) -> Signer | None:
    """Load the key, asking for its passphrase; None when no key is named."""
    from asfound.evidence import keys

    return None if key is None else keys.load(key, lambda: _asked(key))


def commits(key: Path | None) -> Callable[[bytes], str] | None:
    """What signs the commits of records; None when no key is named."""
    from asfound.evidence import sshsig

    one = signer(key)
    return None if one is None else partial(sshsig.sign, one, sshsig.GIT)


def _asked(key: Path) -> str:
    return str(typer.prompt(f"Passphrase of {key}", hide_input=True, err=True))


def write_new(folder: Path, files: dict[str, bytes]) -> None:
    """Write files that do not exist yet; none of them when one does."""
    for name in files:
        if (folder / name).exists():
            raise Problem("exists", where=str(folder / name), advice="choose another folder with --to")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in files.items():
            (folder / name).write_bytes(data)
    except OSError as error:
        raise Problem(
            f"cannot be written ({error.strerror})", where=str(folder), advice="choose another folder"
        ) from None
