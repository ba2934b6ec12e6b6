"""SHA256SUMS: one line per file, as ``sha256sum`` writes it and checks it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from asfound.model.problem import Problem

NAME = "SHA256SUMS"
_LINE = re.compile(r"([0-9a-f]{64})  ([^\\\r\n]+)")


def text(digests: Mapping[str, str]) -> str:
    """Lines sorted by path; paths have ``/`` between folders, and neither a backslash nor a line break."""
    return "".join(f"{digest}  {path}\n" for path, digest in sorted(digests.items()))


def parse(data: bytes) -> dict[str, str]:
    """``{path: digest}``; a :class:`Problem` unless every byte is as :func:`text` writes it."""
    try:
        written = data.decode("utf-8")
    except UnicodeDecodeError:
        raise Problem("is no list of sums", where=NAME, advice="it was altered") from None
    matches = [match for line in written.split("\n")[:-1] if (match := _LINE.fullmatch(line))]
    digests = {match[2]: match[1] for match in matches}
    if text(digests) != written:
        raise Problem("is not in the form in which it is written", where=NAME, advice="it was altered")
    return digests


def files(folder: Path) -> Iterator[str]:
    """Paths of everything below a folder that is no folder itself, links included."""
    for path in sorted(folder.rglob("*")):
        if path.is_symlink() or not path.is_dir():
            yield path.relative_to(folder).as_posix()
