"""The terminal: standard output and error that never fail on a character, files we write, progress."""

from __future__ import annotations

import io
import os
import re
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from asfound.model.visible import visible, without_password

if TYPE_CHECKING:
    from rich.console import Console

PIPED_WIDTH = 120
"""Columns when nobody looks, so that what is piped does not depend on a window."""


def prepare() -> None:
    """UTF-8 with plain line ends into files and pipes; on a terminal its own encoding, with ``?`` for the rest."""
    # Streams that the caller has closed are missing altogether; what was asked for is done all the same.
    if sys.stdout is None:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            if stream.isatty():
                stream.reconfigure(errors="replace")
            else:
                stream.reconfigure(encoding="utf-8", errors="replace", newline="\n")


def say(text: str) -> None:
    """A line of the answer, on standard output."""
    sys.stdout.write(visible(without_password(text)) + "\n")


def note(text: str) -> None:
    """A remark for the person, on standard error."""
    sys.stderr.write(visible(without_password(text)) + "\n")


def shown(text: str) -> str:
    """Whole documents as standard output may have them: into a file or pipe untouched.

    On a terminal whatever would act there is spelled ``\\uXXXX``, which leaves JSON what it is.
    """
    if not sys.stdout.isatty():
        return text
    return "".join(sign if sign in "\n\t" or visible(sign) == sign else _spelled(sign) for sign in text)


def _spelled(sign: str) -> str:
    pair = sign.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{pair[at : at + 4]}" for at in range(0, len(pair), 4))


def console() -> Console:
    """Where reports are printed; colours only on a terminal, and not with NO_COLOR."""
    from rich.console import Console

    width = None if sys.stdout.isatty() else PIPED_WIDTH
    return Console(file=sys.stdout, highlight=False, markup=False, emoji=False, width=width)


def deliver(text: str, to: str) -> None:
    """Write to a file, or to standard output for ``-``."""
    if to == "-":
        sys.stdout.write(shown(text))
        return
    deliver_bytes(text.encode("utf-8"), Path(to))


_DESCRIPTOR = re.compile(r"(?:/dev|/proc/self)/fd/([0-9]{1,6})")
"""What a shell passes for ``>(command)``, and how to name an open file on Linux."""


def descriptor(to: str) -> int | None:
    """The open file that a name such as ``/dev/stdout`` stands for; None for the name of an ordinary file."""
    if sys.platform == "win32":
        return None
    if to in ("/dev/stdout", "/dev/stderr"):
        return 1 if to == "/dev/stdout" else 2
    found = _DESCRIPTOR.fullmatch(to)
    return int(found[1]) if found else None


def is_file(to: str) -> bool:
    """Whether something to write is a file of its own: no standard output, open file or null device."""
    return to != "-" and descriptor(to) is None and os.path.normcase(to) != os.path.normcase(os.devnull)


def deliver_bytes(data: bytes, to: Path) -> None:
    """Write a report, whole or not at all; :class:`Problem` when it cannot be, or would replace somebody's file."""
    from asfound.archive import whole
    from asfound.cli import replacing

    try:
        if not is_file(str(to)):
            _pour(data, str(to))
            return
        replacing.refuse(to)
        whole.write(to, data, replace=True)
    except OSError as error:
        raise whole.refused(error, to, "choose another file") from None


def _pour(data: bytes, to: str) -> None:
    """Into what is open already: after all that was said, and never beginning it anew."""
    sys.stdout.flush()
    number = descriptor(to)
    handle = os.open(to, os.O_WRONLY) if number is None else os.dup(number)
    with os.fdopen(handle, "wb") as file:
        file.write(data)


LONG = 3_000_000
"""Bytes whose reading takes some seconds."""


@contextmanager
def progress(what: str, total: int, *, size: int = 0, quiet: bool = False) -> Iterator[Callable[[str], None] | None]:
    """A bar on standard error while files are read; nothing (None) when nobody looks or the work is short.

    ``total`` is how many there are, ``size`` their bytes.
    """
    if size >= LONG:
        what = f"{what} ({size / 1e6:.0f} MB)"
    if quiet or (total < 4 and size < LONG) or not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    # Refreshed by hand: a thread that does it would be in the way when other processes are started (a fork).
    with Progress(console=Console(stderr=True), transient=True, auto_refresh=False) as bar:
        task = bar.add_task(what, total=total)
        bar.refresh()
        yield lambda name: bar.update(task, advance=1, refresh=True)
