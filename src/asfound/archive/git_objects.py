"""Objects of an archive, each verified against its own id; each object is read once, whatever refers to it.

A git object is trusted when the SHA-1 of its header and bytes is its id. Cost: one read per object; big blobs are
streamed.
"""

from __future__ import annotations

import hashlib
import itertools
import re
from collections.abc import Mapping
from typing import NamedTuple

from asfound.archive.plumbing import MAX_FILE, Damaged, Plumbing, TooLarge

BIG = 16 * 2**20
"""Bytes beyond which a blob is streamed instead of read whole."""
MISSING, ALTERED = "is missing or cannot be read", "is damaged"
_ONCE = {"tree", "parent", "author", "committer"}
_PERSON = re.compile(r"(.*) <(.*)> (\d+) ([+-]\d{4})")


class Blob(NamedTuple):
    """What is known of the bytes of a file: their SHA-256 and their number."""

    sha256: str
    size: int


class Commit(NamedTuple):
    """A commit taken apart; ``person``, ``seconds`` and ``zone`` are the author's."""

    tree: str
    parents: tuple[str, ...]
    person: str
    address: str
    seconds: int
    zone: str
    message: str


class Objects:
    """Verified objects of one archive. ``bad`` collects the ids of those that are missing or damaged."""

    def __init__(self, git: Plumbing) -> None:
        self._git = git
        self._blobs: dict[str, Blob] = {}
        self._trees: dict[str, dict[str, str]] = {}
        self.bad: dict[str, str] = {}

    def _object(self, name: str, kind: str) -> bytes:
        if name in self.bad:
            raise Damaged
        try:
            found, data = verified(self._git, name)
        except Damaged as damaged:
            raise self._blame(name, str(damaged)) from None
        if found != kind:
            raise self._blame(name, f"is a {found} instead of a {kind}")
        return data

    def _blame(self, name: str, what: str) -> Damaged:
        self.bad[name] = what
        return Damaged(what)

    def commit(self, name: str) -> Commit:
        """A commit, or :class:`Damaged`.

        What names its tree and its parents stands in front, where git reads it; a parent named further down would be
        one for us and none for git.
        """
        text = self.raw(name).decode("utf-8", "replace")
        head, _, message = text.partition("\n\n")
        first, *lines = head.split("\n")
        parents = list(itertools.takewhile(lambda line: line.startswith("parent "), lines))
        after = [line.partition(" ")[0] for line in lines[len(parents) :]]
        if not first.startswith("tree ") or after[:2] != ["author", "committer"] or {*after[2:]} & _ONCE:
            raise self._blame(name, "is not written as git writes commits")
        author = _PERSON.fullmatch(lines[len(parents)].removeprefix("author "))
        who = (author[1], author[2], int(author[3]), author[4]) if author else ("", "", -1, "")
        return Commit(first[5:], tuple(line[7:] for line in parents), *who, message)

    def tree(self, name: str) -> Mapping[str, str]:
        """``{name: mode and id}`` of one folder, or :class:`Damaged`."""
        if name not in self._trees:
            try:
                self._trees[name] = _entries(self._object(name, "tree"))
            except ValueError:  # its bytes give its id, and are no folder all the same
                raise self._blame(name, "is no folder") from None
        return self._trees[name]

    def raw(self, name: str) -> bytes:
        """The bytes of a commit, its signature included, or :class:`Damaged`."""
        return self._object(name, "commit")

    def data(self, name: str) -> bytes:
        """The bytes of a file, or :class:`Damaged`."""
        return self._object(name, "blob")

    def blob(self, name: str) -> Blob:
        """Digest and size of a file, or :class:`Damaged`."""
        if name in self.bad:
            raise Damaged
        if name not in self._blobs:
            self._blobs[name] = self._streamed(name) if self._size(name) > BIG else self._read(name)
        return self._blobs[name]

    def _size(self, name: str) -> int:
        try:
            return self._git.size(name)
        except Damaged:
            raise self._blame(name, MISSING) from None

    def _read(self, name: str) -> Blob:
        data = self._object(name, "blob")
        return Blob(hashlib.sha256(data).hexdigest(), len(data))

    def _streamed(self, name: str) -> Blob:
        size, total = self._size(name), 0
        own, digest = hashlib.sha1(b"blob %d\0" % size, usedforsecurity=False), hashlib.sha256()
        try:
            for part in self._git.stream(name):
                own.update(part)
                digest.update(part)
                total += len(part)
        except Damaged:
            total = -1
        if total != size or own.hexdigest() != name:
            raise self._blame(name, ALTERED)
        return Blob(digest.hexdigest(), size)


def _entries(data: bytes) -> dict[str, str]:
    """``{name: mode and id}`` of a folder as git keeps it; a :class:`ValueError` when it is none."""
    entries, at = dict[str, str](), 0
    while at < len(data):
        blank, end = data.index(b" ", at), data.index(b"\0", at)
        name = data[blank + 1 : end].decode("utf-8", "surrogateescape")
        entries[name] = f"{data[at:blank].decode('ascii')} {data[end + 1 : end + 21].hex()}"
        at = end + 21
    return entries


def verified(git: Plumbing, name: str) -> tuple[str, bytes]:
    """Type and bytes of an object whose bytes give its id, or :class:`Damaged` with what is wrong."""
    try:
        kind, data = git.object(name)
    except TooLarge:
        raise Damaged(f"holds more than {MAX_FILE:,} bytes") from None
    except Damaged:
        raise Damaged(MISSING) from None
    head = b"%s %d\0" % (kind.encode("ascii"), len(data))
    own = hashlib.sha1(head, usedforsecurity=False)
    own.update(data)
    if own.hexdigest() != name:
        raise Damaged(ALTERED)
    return kind, data
