"""The configuration of an archive: what it may say, how it is read without being obeyed, and how it is written.

git itself reads the file for us (``git config --file``, outside of any repository, without what it includes), so that
both understand it alike; that runs nothing. It is written as a whole, beside its place and renamed: two who store in a
fresh clone at once do not meet in a lock of git, and a lock that a killed git has left there is in nobody's way.
"""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

from asfound.archive import disk, whole
from asfound.archive.gitprogram import SETTINGS, nothing, of_repository, program
from asfound.model.problem import Problem

FILE = "config"
FORMAT = "1"
MARK = "asfound.format"
_DESCRIPTION = b"Records of programmable controllers, one branch per station (asfound archive, format 1).\n"
"""Names the format a second time, so that a damaged configuration does not look like one of a later version."""
FORMAT_SETTING = {**SETTINGS, MARK: FORMAT}
LONGEST = 65_536
"""Bytes of ``HEAD`` or ``config``; ours have a few hundred."""
_BOOLEAN = re.compile(r"true|false")
_OF_THE_DISK = ("core.filemode", "core.ignorecase", "core.precomposeunicode", "core.symlinks")
"""What git finds out about the disk when it makes a repository."""
_SHARED = ("core.sharedrepository", re.compile(r"umask|group|all|world|everybody|true|false|0?[0-7]{3,4}"))
"""Who else on a server may write; it only changes rights of files."""
_FIXED = {"core.repositoryformatversion": "0", "core.bare": "true", **{k.lower(): v for k, v in SETTINGS.items()}}
_REMOTE = re.compile(r"remote\.[A-Za-z0-9_-]+\.(url|fetch|mirror|tagopt)")
_ADDRESS = re.compile(r"(?![a-z0-9+.-]+::|-).*", re.DOTALL)
"""A clone remembers where it came from. No command of ours uses that name, and no such name can be an address."""


def settings_of(path: Path) -> list[tuple[str, str]] | None:
    """``(key, value)`` as git reads them, in order; None when git cannot read the file."""
    data = disk.plain(path, LONGEST)
    if data is None or b"\0" in data:
        return None
    words = [program(), "config", "--file", str(path.absolute()), "--no-includes", "--null", "--list"]
    variables = {name: value for name, value in os.environ.items() if not of_repository(name)}
    nowhere = nothing("no-repository", path.parent)
    variables |= {"GIT_DIR": nowhere, "GIT_CONFIG_NOSYSTEM": "1", "GIT_CONFIG_GLOBAL": "/dev/null", "LC_ALL": "C"}
    try:
        done = subprocess.run(words, env=variables, capture_output=True, check=False, cwd=path.anchor or None)
    except OSError:
        raise Problem("git was not found", advice="install git and make sure that it is on the PATH") from None
    if done.returncode:
        return None
    entries = done.stdout.decode("utf-8", "surrogateescape").split("\0")[:-1]
    return [(key, value) for key, _, value in (entry.partition("\n") for entry in entries)]


def objection(key: str, value: str) -> str:
    """What is wrong with one setting, or nothing."""
    allowed = _FIXED.get(key)
    if allowed is not None:
        return "" if value == allowed else f"sets {key} to {value!r} instead of {allowed}"
    if key in _OF_THE_DISK:
        return "" if _BOOLEAN.fullmatch(value) else f"sets {key} to {value!r} instead of true or false"
    if key == _SHARED[0]:
        return "" if _SHARED[1].fullmatch(value) else f"sets {key} to {value!r}"
    if key == MARK:
        return "" if re.fullmatch(r"[1-9][0-9]{0,8}", value) else f"names the format {value!r}"
    if _REMOTE.fullmatch(key) and _ADDRESS.fullmatch(value):
        return ""
    return f"sets {key}, which asfound never writes and git would obey"


def written(path: Path) -> str:
    """Our configuration as the text of the file, with what may stay of the one that stands there."""
    kept = [(key, value) for key, value in settings_of(path) or () if not objection(key, value)]
    own = {"core.repositoryformatversion": "0", "core.filemode": "false" if os.name == "nt" else "true"}
    own |= {"core.bare": "true"} | {key: value for key, value in kept if key in (*_OF_THE_DISK, _SHARED[0])}
    own |= FORMAT_SETTING
    lines: list[str] = []
    section = ""
    for key, value in [*own.items(), *((k, v) for k, v in kept if k.startswith("remote."))]:
        head, _, name = key.rpartition(".")
        if head != section:
            first, _, second = head.partition(".")
            lines.append(f'[{first} "{second}"]' if second else f"[{first}]")
            section = head
        lines.append(f"\t{name} = {_quoted(value)}")
    return "\n".join(lines) + "\n"


def _quoted(value: str) -> str:
    """A value as git reads it back (git-config(1), Syntax).

    >>> _quoted("100m"), _quoted('a "b";')
    ('100m', '"a \\\\"b\\\\";"')
    """
    if re.fullmatch(r"[\w./:+*-]*", value):
        return value
    escaped = value.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t")
    return f'"{escaped}"'


def write(folder: Path) -> None:
    """Put our configuration in the place of what stands there."""
    place = folder / FILE
    whole.replace(place, written(place).encode("utf-8", "surrogateescape"))
    whole.replace(folder / "description", _DESCRIPTION)


def described(folder: Path) -> bool:
    """Whether the description says that this is an archive of our format, whatever the configuration says."""
    return disk.plain(folder / "description", LONGEST) == _DESCRIPTION


def complete(folder: Path) -> None:
    """Write it if our mark is not there: a clone does not bring it along. Under the lock of the archive."""
    if not dict(settings_of(folder / FILE) or ()).get(MARK):
        write(folder)
