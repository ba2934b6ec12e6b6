"""What must be so in the folder of an archive before git is let near it.

The files of a git repository decide what git runs and where it looks: a configuration can name programs (hooks, file
system monitors, transports), send git elsewhere for missing objects, or bring in other files; ``commondir`` puts
another repository in its place; ``alternates`` lends the objects of another one; ``shallow`` and ``grafts`` hide what
was stored before. So whoever prepared a stick could run programs on the laptop that opens it, or show a false history.

An archive needs none of that. Its ``HEAD`` is one constant line, its ``config`` holds what :mod:`.configuration`
lists and nothing else, and the other files do not exist. Anything else is refused at every opening; ``asfound check``
names it, and with ``--mend`` sets the file aside in the folder ``damaged`` and writes our own. That is safe whoever
made the archive: afterwards none of it is in force. It also mends a ``HEAD`` or ``config`` that a power cut has emptied
or altered.

What is not seen: a file that somebody changes between this look and the next command of git. What would run programs
is therefore said again in each command (:mod:`.gitprogram`).
"""

from __future__ import annotations

import os
import re
import stat
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

from asfound.archive import configuration, disk, packed
from asfound.archive.configuration import FORMAT, MARK
from asfound.archive.damaged_folder import FOLDER
from asfound.archive.folders import is_link
from asfound.archive.gitprogram import ABSENT
from asfound.archive.references import LARGEST
from asfound.model.problem import Problem, command

HEAD = "ref: refs/heads/main\n"
_HEAD = re.compile(rb"ref: refs/heads/[\w./-]+\n?")
FOLDERS = ("objects", "refs", "refs/heads", "objects/pack", "objects/info")
"""Folders of their own, none of them a link to one of another repository."""
_NEEDED = FOLDERS[:2]
_NEVER = {
    ".git": "is another repository, which git takes instead of the archive around it",
    "commondir": "puts another repository in its place",
    "config.worktree": "is a second configuration",
    "shallow": "hides the records before it",
    "info/grafts": "puts other records before a record",
    "objects/info/alternates": "lends the objects of another folder, so that this is no copy of them",
    "objects/info/http-alternates": "lends the objects of another place",
    **dict.fromkeys(ABSENT, "stands where git is told that there is nothing"),
}
"""Files that git would obey; an archive has none of them."""
_PLACES = ("remotes/", "branches/")
"""Folders of files, each named like an address that git replaces by another one (older than ``remote.*.url``)."""


class Odd(NamedTuple):
    """A file of the archive that is not as it must be, and what about it."""

    file: str
    what: str


def odd(folder: Path) -> list[Odd]:
    """Everything that is not as it must be, without running git on the folder; nothing when all is."""
    found = [Odd(name, what) for name in FOLDERS if (what := _no_folder(folder / name, name in _NEEDED))]
    found += [Odd(name, what) for name, what in _NEVER.items() if os.path.lexists(folder / name)]
    if not _HEAD.fullmatch(disk.plain(folder / "HEAD", configuration.LONGEST) or b""):
        found.append(Odd("HEAD", "is not what an archive has there"))
    found += [Odd("packed-refs", f"holds the line {line[:60]!r}, which is no branch") for line in packed.unread(folder)]
    if hidden := packed.disorder(folder):
        found.append(Odd("packed-refs", f"names {hidden[:60]!r} twice or out of order, which hides records"))
    if os.path.lexists(folder / "packed-refs") and disk.plain(folder / "packed-refs", LARGEST) is None:
        found.append(Odd("packed-refs", f"is no plain file of up to {LARGEST:,} bytes"))
    found += [Odd("config", what) for what in _configured(folder / "config")]
    named = {each.file for each in found}
    return found + [each for each in strange(folder) if each.file not in named]


def refuse(folder: Path, where: str) -> None:
    """A :class:`Problem` when anything in the folder is not as it must be."""
    for file, what in odd(folder):
        advice = f"{command('check', where, '--mend')} sets it aside and writes what asfound needs"
        raise Problem(f"its file {file} {what}", where=where, advice=advice)


def _no_folder(path: Path, needed: bool) -> str:
    """What is wrong with what should be a folder, or nothing."""
    if not os.path.lexists(path):
        return "is missing" if needed else ""
    return "" if _is(path, stat.S_ISDIR) else "is no folder of its own"


def strange(folder: Path) -> list[Odd]:
    """What is neither a plain file nor a folder, and files by which git knows other places, by name.

    A link lets git read and write outside of the archive, a pipe keeps it waiting for ever. Cost: one listing of each
    folder, 0.6 s for 240,000 files.
    """
    found, waiting = list[Odd](), [(str(folder), "")]
    while waiting:
        here, above = waiting.pop()
        places = above.startswith(_PLACES)
        for entry in _listed(here):
            if entry.is_file(follow_symlinks=False):
                if places:
                    found.append(Odd(above + entry.name, "names another place, to which git would go"))
            elif entry.is_dir(follow_symlinks=False) and not _is_junction(entry):
                waiting += [(entry.path, f"{above}{entry.name}/")] if above or entry.name != FOLDER else []
            elif os.path.lexists(entry.path):
                found.append(Odd(above + entry.name, "is no file or folder of its own (a link, a pipe or a device)"))
    return sorted(found)


def _is_junction(entry: os.DirEntry[str]) -> bool:
    return sys.platform == "win32" and is_link(entry.stat(follow_symlinks=False))


def _listed(folder: str) -> list[os.DirEntry[str]]:
    """What is in a folder; nothing when it cannot be listed, which git says itself."""
    try:
        with os.scandir(folder) as entries:
            return list(entries)
    except OSError:
        return []


def _is(path: Path, kind: Callable[[int], bool]) -> bool:
    """Whether there is such a thing itself, not a link to one."""
    try:
        return kind(path.lstat().st_mode)
    except OSError:
        return False


def _configured(path: Path) -> Iterator[str]:
    """What is wrong with the configuration."""
    settings = configuration.settings_of(path)
    if settings is None:
        yield "cannot be read as the configuration of an archive"
        return
    for key, value in settings:
        if said := configuration.objection(key, value):
            yield said
    if dict(settings).get(MARK, FORMAT) != FORMAT and configuration.described(path.parent):
        yield f"names another format than the description, which says {FORMAT}"
    for key in ("core.repositoryformatversion", "core.bare"):
        if key not in dict(settings):
            yield f"does not set {key}"
