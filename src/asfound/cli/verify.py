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
    unsigned: Annotated[bool, typer.Option("--unsigned", help="Accept that nobody signed.")] = False,
    quiet: QuietOption = False,
) -> None:
    """Check a statement or a hand-over; say what is proved.

    And what is not. Exit 1 when something is wrong, or nobody signed.
    """
    if unsigned and signers is not None:
        raise Problem("--unsigned and --signers contradict each other", advice="leave one of them out")
    found = _verdict(what, _allowed(signers), against)
    open_ = () if found.vouched or unsigned or found.faults else (_NOBODY,)
    for line in (*found.faults, *open_):
        streams.say(f"! {line}")
    if not quiet:
        for line in found.checked:
            streams.say(f"+ {line}")
    streams.say(found.sentence)
    raise typer.Exit(DIFFERS if found.faults or open_ else DONE)


_NOBODY = "nobody signed it; --unsigned accepts that"


def _verdict(what: Path, allowed: list[Allowed] | None, against: Path | None) -> Verdict:
    from asfound.evidence import files, verdict
    from asfound.reports.statement import text

    if files.kind(what) == "folder":
        from asfound.evidence.folder import Checking

        return Checking(what, allowed, text).run(against)
    if what.suffix == ".zip":
        raise Problem("is packed", where=str(what), advice="unpack it and name the folder")
    return verdict.of_statement(what, allowed, text, against)


def _allowed(path: Path | None) -> list[Allowed] | None:
    from asfound.evidence import files, signers

    if path is None:
        return None
    data = files.read(path, files.MAX_SIGNERS, advice="name a file of signers")
    try:
        return signers.parse(data.decode("utf-8"), str(path))
    except UnicodeDecodeError:
        raise Problem("is no UTF-8", where=str(path), advice="name a file of signers") from None


command = verify
