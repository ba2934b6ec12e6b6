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


def normal_text(copy: Copy) -> str:
    """The files of the normal form one after the other, each below a line with its path."""
    from asfound.language.normal import normal_form

    return "".join(f"(* ==== {path} ==== *)\n{text}\n" for path, text in normal_form(copy).items())


def _print(copy: Copy) -> None:
    """The same for people: what only makes the normal form exact is left out or said in words."""
    from asfound.language.normal import normal_form
    from asfound.language.readable import plain

    bold, usual = ("\x1b[1m", "\x1b[0m") if streams.console().color_system else ("", "")
    for path, text in normal_form(copy).items():
        said = plain(text) if path.endswith(".st") else text
        sys.stdout.write(f"{bold}(* ==== {path} ==== *){usual}\n{streams.shown(said)}\n")


command = show
