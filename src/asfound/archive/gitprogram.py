"""The git program as an archive uses it: which version, with which settings, and what its complaints mean.

The user's own git does not interfere: global and system configuration, hooks, replacement objects, grafts, shallow
ends and inherited ``GIT_*`` variables are switched off for every command on an archive. Nor does the archive decide:
git may reach nothing by any protocol (so it fetches no missing object by itself), and an archive whose configuration
says more than :mod:`.premises` allows is never given to git. The folder named by the user counts as safe, so that an
archive on a stick or a share, where every file belongs to somebody else, works.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
from collections.abc import Mapping, MutableMapping
from pathlib import Path
from typing import Any

from asfound.model.problem import Problem

OLDEST_GIT = (2, 32)
"""The first version that can be told to ignore the global configuration (GIT_CONFIG_GLOBAL). Nothing below depends on
a later one: GIT_NO_LAZY_FETCH (2.45) only says once more what the allowed protocols say already."""

SETTINGS = {
    "core.fsync": "all",
    "core.fsyncMethod": "fsync",
    "core.autocrlf": "false",
    "core.bigFileThreshold": "100m",
    "core.logAllRefUpdates": "always",
    "gc.auto": "0",
    "gc.reflogExpire": "never",
    "gc.reflogExpireUnreachable": "never",
    "receive.denyNonFastForwards": "true",
    "receive.denyDeletes": "true",
    "receive.fsckObjects": "true",
    "transfer.fsckObjects": "true",
}
"""What is written into the configuration of every new archive.

``core.bigFileThreshold``: attachments beyond it are never held in memory to look for similar ones; exports, which
profit from that, are smaller. The log of a branch is kept for ever, for `asfound check` looks there.
"""


NOTHING, FILES, NETWORK = "none", "file", "git:http:https:ssh"
"""Protocols by which git may reach something (GIT_ALLOW_PROTOCOL): for all that stays in an archive, for a folder or a
bundle, for another computer. ``ext`` and helpers of any other name run commands and are never allowed."""

OURS_ALONE = {
    "core.fsmonitor": "false",
    "core.alternateRefsCommand": "true",
    "protocol.allow": "never",
    "fetch.recurseSubmodules": "false",
    "submodule.recurse": "false",
    "maintenance.auto": "false",
    "receive.autogc": "false",
    "core.commitGraph": "false",
    "core.multiPackIndex": "false",
}
"""Said again in every command, so that even a configuration changed after it was looked at starts nothing. And what
only makes git faster is not asked: a damaged graph of commits can hide records from git without its noticing."""

_OF_TRANSPORT = ("GIT_SSH", "GIT_SSH_COMMAND", "GIT_SSH_VARIANT", "GIT_ASKPASS", "GIT_PROXY_COMMAND", "GIT_EXEC_PATH")
_OF_TRANSPORT_TOO = ("GIT_HTTP_", "GIT_SSL_", "GIT_TRACE", "GIT_CURL_", "GIT_PYTHON_")
"""Variables of git that choose no repository and no content: how a person reaches other computers, and tracing."""


def of_repository(name: str) -> bool:
    """Whether a variable is one by which git is told what a repository consists of, or where it is.

    >>> of_repository("GIT_SHALLOW_FILE"), of_repository("GIT_SSH_COMMAND"), of_repository("PATH")
    (True, False, False)
    """
    return name.startswith("GIT_") and name not in _OF_TRANSPORT and not name.startswith(_OF_TRANSPORT_TOO)


def forget_repository(variables: MutableMapping[str, str]) -> None:
    """Take out of the variables of this process what another git has put there for a repository of its own."""
    for name in [name for name in variables if of_repository(name.upper())]:
        del variables[name]


def search_path() -> str:
    """The PATH without what is relative: git works in the folder of an archive, and nothing of that is a program."""
    return os.pathsep.join(filter(os.path.isabs, os.environ.get("PATH", os.defpath).split(os.pathsep)))


def program() -> str:
    """The git program, never one that lies in the current folder (where Windows would look first)."""
    if sys.platform != "win32":
        return shutil.which("git", path=search_path()) or "git"
    found = (Path(folder) / "git.exe" for folder in search_path().split(os.pathsep) if folder)
    return next((str(path) for path in found if path.is_file()), "git.exe")


def options(settings: Mapping[str, str]) -> list[str]:
    """Settings as words of a command of git, where no file can say otherwise.

    >>> options({"core.fsmonitor": "false"})
    ['-c', 'core.fsmonitor=false']
    """
    return [word for key, value in settings.items() for word in ("-c", f"{key}={value}")]


_ID = re.compile(r"[0-9a-f]{40}")


def commit_id(word: str) -> str:
    """The id of an object that a git has told us; a :class:`Problem` for anything else, which could be an option."""
    if not _ID.fullmatch(word):
        raise Problem(f"git gave {word[:80]!r} instead of the id of an object", advice=_DAMAGE)
    return word


def git_module() -> Any:
    """The GitPython package; a missing or old git program is the user's to mend."""
    try:
        import git
    except ImportError:
        raise Problem("git was not found", advice="install git and make sure that it is on the PATH") from None
    version = git.Git().version_info
    if tuple(version[:2]) < OLDEST_GIT:
        shown = ".".join(map(str, version))
        raise Problem(f"git {shown} is too old", advice=f"install git {'.'.join(map(str, OLDEST_GIT))} or newer")
    return git


ABSENT = ("no-hooks", "no-grafts", "no-index")
"""Names in an archive where git is told that there are hooks, grafts and an index; :mod:`.premises` sees to it that
nothing is there."""


def nothing(name: str, folder: Path) -> str:
    """A path at which nobody can put anything, where the system has one: below a file that is a device.

    (Not for the index: git goes on without one only where the folder exists.)
    """
    return str(folder / name) if sys.platform == "win32" else f"/dev/null/{name}"


def environment(folder: Path, version: tuple[int, ...]) -> dict[str, str]:
    """Variables that make git work on this folder only, with our settings only."""
    settings = {**SETTINGS, **OURS_ALONE, "safe.directory": "*", "core.hooksPath": nothing("no-hooks", folder)}
    settings |= {"core.packedGitWindowSize": "16m", "core.packedGitLimit": "64m"}  # of a pack mapped at a time
    if version < (2, 36):  # later versions warn about it; core.fsync took its place
        settings["core.fsyncObjectFiles"] = "true"
    numbered = {f"GIT_CONFIG_KEY_{at}": key for at, key in enumerate(settings)}
    numbered |= {f"GIT_CONFIG_VALUE_{at}": value for at, value in enumerate(settings.values())}
    return numbered | {
        "GIT_CONFIG_COUNT": str(len(settings)),
        "GIT_CONFIG_PARAMETERS": "",
        "GIT_CONFIG_GLOBAL": "/dev/null",
        "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_ALLOW_PROTOCOL": NOTHING,
        "GIT_NO_LAZY_FETCH": "1",
        "GIT_NO_REPLACE_OBJECTS": "1",
        "GIT_REPLACE_REF_BASE": "refs/replace/",
        "GIT_GRAFT_FILE": nothing("no-grafts", folder),
        "GIT_SHALLOW_FILE": "",
        "GIT_INDEX_FILE": str(folder / ABSENT[-1]),
        "GIT_PREFIX": "",
        "GIT_DIR": str(folder),
        "GIT_COMMON_DIR": str(folder),
        "GIT_OBJECT_DIRECTORY": str(folder / "objects"),
        "GIT_ALTERNATE_OBJECT_DIRECTORIES": "",
        "GIT_NAMESPACE": "",
        "GIT_TERMINAL_PROMPT": "0",
        "GIT_DEFAULT_REF_FORMAT": "files",
        "LC_ALL": "C",
        "PATH": search_path(),
    }


_MEANINGS = (
    ("No space left on device", "the disk is full", "make room on it and try again"),
    ("Out of diskspace", "the disk is full", "make room on it and try again"),
    ("Disk quota exceeded", "the disk quota is used up", "make room and try again"),
    ("Read-only file system", "the disk is read-only", "unlock it, or use a copy of the archive elsewhere"),
    ("insufficient permission", "the archive may not be written", "ask for the right to write there"),
)
"""(words of git or the system, what they mean, what to do)."""


def of_disk(problem: Problem) -> bool:
    """Whether a problem is one of the disk, which no other station would be spared."""
    return any(problem.what == what for _, what, _ in _MEANINGS)


_DAMAGE = "`asfound check` says whether the archive is damaged"


def failed(command: str, said: str, folder: Path) -> Problem:
    """What a person can do about a git command that failed with these words."""
    words = " ".join(said.split()).removeprefix("stderr:").strip(" '")
    for sign, what, advice in _MEANINGS:
        if sign in words:
            return Problem(what, where=str(folder), advice=advice)
    return Problem(f"git {command.replace('_', '-')} failed ({words})", where=str(folder), advice=_DAMAGE)
