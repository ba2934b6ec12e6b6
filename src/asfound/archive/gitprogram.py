"""The git program as an archive uses it: which version, with which settings, and what its complaints mean.

The user's own git does not interfere: global and system configuration, hooks, replacement objects and inherited
``GIT_*`` variables are switched off for every command on an archive. The folder named by the user counts as safe, so
that an archive on a stick or a share, where every file belongs to somebody else, works.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from asfound.model.problem import Problem

OLDEST_GIT = (2, 32)
"""The first version that can be told to ignore the global configuration (GIT_CONFIG_GLOBAL)."""

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


def environment(folder: Path, version: tuple[int, ...]) -> dict[str, str]:
    """Variables that make git work on this folder only, with our settings only."""
    settings = {**SETTINGS, "safe.directory": "*", "core.hooksPath": str(folder / "no-hooks")}
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
        "GIT_NO_REPLACE_OBJECTS": "1",
        "GIT_DIR": str(folder),
        "GIT_COMMON_DIR": str(folder),
        "GIT_OBJECT_DIRECTORY": str(folder / "objects"),
        "GIT_ALTERNATE_OBJECT_DIRECTORIES": "",
        "GIT_NAMESPACE": "",
        "GIT_TERMINAL_PROMPT": "0",
        "GIT_DEFAULT_REF_FORMAT": "files",
        "LC_ALL": "C",
    }


_MEANINGS = (
    ("No space left on device", "the disk is full", "make room on it and try again"),
    ("Out of diskspace", "the disk is full", "make room on it and try again"),
    ("Disk quota exceeded", "the disk quota is used up", "make room and try again"),
    ("Read-only file system", "the disk is read-only", "unlock it, or use a copy of the archive elsewhere"),
    ("insufficient permission", "the archive may not be written", "ask for the right to write there"),
)
"""(words of git or the system, what they mean, what to do)."""


_DAMAGE = "`asfound check` says whether the archive is damaged"


def failed(command: str, said: str, folder: Path) -> Problem:
    """What a person can do about a git command that failed with these words."""
    words = " ".join(said.split()).removeprefix("stderr:").strip(" '")
    for sign, what, advice in _MEANINGS:
        if sign in words:
            return Problem(what, where=str(folder), advice=advice)
    return Problem(f"git {command.replace('_', '-')} failed ({words})", where=str(folder), advice=_DAMAGE)
