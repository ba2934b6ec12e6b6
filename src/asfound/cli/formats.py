"""``asfound formats``."""

from __future__ import annotations

from typing import Annotated

import typer

from asfound.cli import streams
from asfound.cli.options import example

EXAMPLE = example("formats --noise")


def formats(
    noise: Annotated[bool, typer.Option("--noise", help="List what is left out of comparisons.")] = False,
) -> None:
    """List the formats that are read."""
    from asfound.readers.registry import readers

    for at, reader in enumerate(readers()):
        if at:
            streams.say("")
        streams.say(f"{reader.name}: {reader.title}")
        streams.say(f"  standard  {reader.standard}")
        streams.say(f"  files     {' '.join(reader.suffixes)}, recognised by content")
        streams.say(f"  holds     {reader.holds}")
        if noise:
            for reason in dict.fromkeys(entry.reason for entry in reader.noise):
                streams.say(f"  noise     {reason}")


command = formats
