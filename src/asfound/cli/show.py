"""``asfound show``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from asfound.cli import loading, streams
from asfound.cli.options import ArchiveOption, JsonOption, ProfileOption, QuietOption, Reference, example

if TYPE_CHECKING:
    from asfound.model.copy import Copy

EXAMPLE = example("show plant.git:booster-1@2:card")


def show(
    ref: Reference,
    json: JsonOption = None,
    archive: ArchiveOption = None,
    profile: ProfileOption = None,
    quiet: QuietOption = False,
) -> None:
    """Print all that was understood of a copy, as text."""
    loaded = loading.load(ref, archive, profile, quiet=quiet)
    if not quiet:
        loading.say_about(loaded)
    if json is None:
        _print(loaded.copy)
        return
    import msgspec

    from asfound.language.listing import as_json

    document = msgspec.json.format(msgspec.json.encode(as_json(loaded.copy)), indent=2).decode("utf-8")
    streams.deliver(document + "\n", json)


def for_people(copy: Copy, before: str = "", after: str = "") -> str:
    """All files of the normal form, each below a line with its path, without what only makes their code exact.

    ``before`` and ``after`` stand around that line. Tables and JSON stay as they are: a brace in there is a comment's.
    """
    from asfound.language.normal import normal_form
    from asfound.language.readable import plain

    files = ((path, plain(text) if path.endswith(".st") else text) for path, text in normal_form(copy).items())
    return "".join(f"{before}(* ==== {path} ==== *){after}\n{streams.shown(text)}\n" for path, text in files)


def _print(copy: Copy) -> None:
    bold, usual = ("\x1b[1m", "\x1b[0m") if streams.console().color_system else ("", "")
    sys.stdout.write(for_people(copy, bold, usual))


command = show
