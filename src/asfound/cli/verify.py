"""``asfound verify``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import streams
from asfound.cli.options import QuietOption, example
from asfound.model.problem import DIFFERS, DONE, Problem

if TYPE_CHECKING:
    from asfound.evidence.signers import Allowed
    from asfound.evidence.verdict import Verdict

EXAMPLE = example("verify booster-1-3.txt --signers signers --against plant.git")


def verify(
    what: Annotated[Path, typer.Argument(metavar="FILE|FOLDER", help="A file of a statement, or a hand-over.")],
    signers: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option(metavar="FILE", help="Keys you trust, as lines of an allowed signers file of OpenSSH."),
    ] = None,
    against: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option(metavar="ARCHIVE", help="Also compare with this archive."),
    ] = None,
    quiet: QuietOption = False,
) -> None:
    """Check a statement or a hand-over; say what is proved.

    And what is not. Exit 1 when something is wrong.
    """
    found = _verdict(what, _allowed(signers), against)
    for line in found.faults:
        streams.say(f"! {line}")
    if not quiet:
        for line in found.checked:
            streams.say(f"+ {line}")
    streams.say(found.sentence)
    raise typer.Exit(DIFFERS if found.faults else DONE)


def _verdict(what: Path, allowed: list[Allowed] | None, against: Path | None) -> Verdict:
    from asfound.evidence import verdict
    from asfound.reports.statement import text

    if what.is_dir():
        from asfound.evidence.folder import Checking

        return Checking(what, allowed, text).run(against)
    if what.suffix == ".zip":
        raise Problem("is packed", where=str(what), advice="unpack it and name the folder")
    return verdict.of_statement(what, allowed, text, against)


def _allowed(path: Path | None) -> list[Allowed] | None:
    from asfound.evidence import signers

    if path is None:
        return None
    try:
        return signers.parse(path.read_text(encoding="utf-8"), str(path))
    except (OSError, UnicodeDecodeError) as error:
        raise Problem(f"cannot be read ({error})", where=str(path), advice="name a file of signers") from None


command = verify
