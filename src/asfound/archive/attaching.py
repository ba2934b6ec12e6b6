"""Files stored as they are beside the copies: a maker's own archive, a photo. Of any size; read once, part by part."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from pathlib import Path

from asfound.archive.plumbing import Piece
from asfound.model.copy import Source
from asfound.model.problem import Problem
from asfound.readers.reading import missing

_RIGHT = "close the program that holds it, or ask for the right to read it"

PART = 2**20
"""Bytes held at a time."""


class Attachment:
    """A file on its way into the archive; its digest is that of the bytes that git got, in the same pass."""

    def __init__(self, path: Path) -> None:
        if path.is_dir():
            raise Problem("is a folder", where=str(path), advice="pack it into one file, or name its files")
        if not path.is_file():
            raise missing(path)
        self._path, self._digest = path, hashlib.sha256()
        try:
            with path.open("rb"):
                self._size = path.stat().st_size
        except OSError as error:
            raise Problem(f"cannot be read ({error.strerror})", where=str(path), advice=_RIGHT) from None

    def piece(self) -> Piece:
        """Size and bytes; a :class:`Problem` when the file changes meanwhile."""
        return self._size, self._parts()

    def _parts(self) -> Iterator[bytes]:
        left = self._size
        try:
            with self._path.open("rb") as file:
                while part := file.read(min(PART, left) or 1):
                    left -= len(part)
                    if left < 0:
                        break
                    self._digest.update(part)
                    yield part
        except OSError as error:
            raise Problem(f"cannot be read ({error.strerror})", where=str(self._path), advice=_RIGHT) from None
        if left:
            raise Problem("changed while it was read", where=str(self._path), advice="close the program that writes it")

    @property
    def source(self) -> Source:
        """What is written into the record, once the bytes have been read."""
        return Source(self._path.name, self._digest.hexdigest(), self._size, "")


def attachments(paths: Sequence[Path]) -> list[Attachment]:
    """All of them, or a :class:`Problem` before anything is read."""
    names = [path.name for path in paths]
    for name in names:
        if names.count(name) > 1:
            raise Problem("is the name of two attachments", where=name, advice="rename one of them")
    return [Attachment(path) for path in paths]
