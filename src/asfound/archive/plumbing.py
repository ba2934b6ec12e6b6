"""Git, as far as an archive needs it: objects in, one branch moved, objects out. Nothing here knows what a record is.

Only plumbing is used (no work tree, no index), in one write order: blobs, trees, commit, branch. The branch is moved
with a compare-and-swap, so that of two writers exactly one wins.

The user's own git does not interfere: global and system configuration, hooks, replacement objects and inherited
``GIT_*`` variables are switched off for every command. The folder named by the user counts as safe, so that an
archive on a stick or a share, where every file belongs to somebody else, works.
"""

from __future__ import annotations

import subprocess
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from asfound.model.problem import Problem

if TYPE_CHECKING:
    from git import Git

OLDEST_GIT = (2, 32)
"""The first version that can be told to ignore the global configuration (GIT_CONFIG_GLOBAL)."""

SETTINGS = {
    "core.fsync": "all",
    "core.autocrlf": "false",
    "core.logAllRefUpdates": "always",
    "gc.auto": "0",
    "receive.denyNonFastForwards": "true",
    "receive.denyDeletes": "true",
    "receive.fsckObjects": "true",
    "transfer.fsckObjects": "true",
}
"""What is written into the configuration of every new archive."""


class Moved(Exception):
    """The branch is not where it was expected: somebody else has moved it, or is moving it now."""


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
    }


def _said(error: bytes) -> str:
    return " ".join(error.decode("utf-8", "replace").split())


class Plumbing:
    """One open bare repository. Close it in the end: a helper process of git stays open for reading."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        if (self.folder / ".git").exists():
            raise Problem(
                "is a git repository with a work tree, not an archive", where=str(folder), advice="name the bare one"
            )
        if not all((self.folder / part).exists() for part in ("HEAD", "config", "objects", "refs")):
            raise Problem("is not an archive", where=str(folder), advice="`asfound init` makes one; check the name")
        module = git_module()
        self._failure: type[Exception] = module.GitCommandError
        self._git: Git = module.Git(str(self.folder))
        self._git.update_environment(**environment(self.folder, tuple(self._git.version_info)))

    def close(self) -> None:
        """End the helper process."""
        self._git.clear_cache()

    # --- in ---------------------------------------------------------------------------------------------------

    def blobs(self, contents: Iterable[bytes]) -> list[str]:
        """Store the bytes, each as one blob, in one go; their ids in the same order."""
        process = self._git.fast_import("--quiet", "--done", istream=subprocess.PIPE, as_process=True)
        ids = []
        try:
            for mark, data in enumerate(contents, 1):
                process.stdin.write(b"blob\nmark :%d\ndata %d\n" % (mark, len(data)))
                process.stdin.write(data)
                process.stdin.write(b"\nget-mark :%d\n" % mark)
                process.stdin.flush()
                ids.append(process.stdout.readline().decode("ascii").strip())
            _, said = process.communicate(b"done\n")
        except BrokenPipeError:
            said = process.stderr.read()
        if process.wait() or not all(ids):
            raise Problem(
                f"git fast-import failed ({_said(said)})", where=str(self.folder), advice="nothing was stored"
            )
        return ids

    def tree(self, files: Mapping[str, str]) -> str:
        """Store the trees for ``{path: blob id}``, the deepest first; the id of the topmost."""
        levels: dict[int, dict[str, dict[str, str]]] = {0: {"": {}}}
        for path, blob in files.items():
            self._enter(levels, path, f"100644 blob {blob}")
        top = ""
        for depth in sorted(levels, reverse=True):
            folders = levels[depth]
            for folder, tree in zip(folders, self._make_trees(folders.values()), strict=True):
                if depth:
                    self._enter(levels, folder, f"040000 tree {tree}")
                top = tree
        return top

    @staticmethod
    def _enter(levels: dict[int, dict[str, dict[str, str]]], path: str, what: str) -> None:
        folder, _, name = path.rpartition("/")
        depth = folder.count("/") + 1 if folder else 0
        for above in range(depth):  # a folder that holds only folders must exist on its level as well
            levels.setdefault(above, {}).setdefault("/".join(folder.split("/")[:above]), {})
        levels.setdefault(depth, {}).setdefault(folder, {})[name] = what

    def _make_trees(self, folders: Iterable[Mapping[str, str]]) -> list[str]:
        text = "".join(
            "".join(f"{what}\t{name}\0" for name, what in sorted(entries.items())) + "\0" for entries in folders
        )
        return self._fed(text.encode("utf-8"), "mktree", "--batch", "-z").split()

    def _fed(self, data: bytes, command: str, *arguments: str) -> str:
        process = getattr(self._git, command)(*arguments, istream=subprocess.PIPE, as_process=True)
        out, error = process.communicate(data)
        if process.returncode:
            raise Problem(f"git {command.replace('_', '-')} failed ({_said(error)})", where=str(self.folder))
        return str(out.decode("utf-8"))

    def commit(self, tree: str, parents: Iterable[str], message: str, person: str, email: str, seconds: str) -> str:
        """Store a commit; ``seconds`` is a git date, ``1767225600 +0100``. The id."""
        who = {
            f"GIT_{role}_{key}": value
            for role in ("AUTHOR", "COMMITTER")
            for key, value in (("NAME", person), ("EMAIL", email), ("DATE", seconds))
        }
        options = [option for parent in parents for option in ("-p", parent)]
        with self._git.custom_environment(**who):
            return self._fed(message.encode("utf-8"), "commit_tree", *options, tree).strip()

    def move(self, branch: str, new: str, old: str, reason: str) -> None:
        """Let the branch go from ``old`` (empty: no such branch yet) to ``new``, or raise :class:`Moved`."""
        try:
            self._git.update_ref("-m", reason, f"refs/heads/{branch}", new, old or "0" * len(new))
        except self._failure as error:
            raise Moved(str(getattr(error, "stderr", error))) from None

    def lock(self, branch: str) -> Path:
        """The file that exists while somebody moves the branch, or after such a process was killed."""
        return self.folder / "refs" / "heads" / f"{branch}.lock"

    def configure(self, settings: Mapping[str, str]) -> None:
        """Write settings into the repository's own configuration."""
        for key, value in settings.items():
            self._run("config", "--file", str(self.folder / "config"), key, value)

    def configure_once(self, settings: Mapping[str, str]) -> None:
        """Write the settings if the last of them is not there (a clone does not bring them along)."""
        if not self.setting(list(settings)[-1]):
            self.configure(settings)

    def setting(self, key: str) -> str:
        """A setting of the repository's own configuration, or empty."""
        try:
            return str(self._git.config("--file", str(self.folder / "config"), "--get", key))
        except self._failure:
            return ""

    # --- out --------------------------------------------------------------------------------------------------

    def branches(self, prefix: str) -> dict[str, str]:
        """``{branch: commit id}`` of all branches below ``prefix``, sorted by name."""
        lines = self._run("for_each_ref", "--format=%(objectname) %(refname)", f"refs/heads/{prefix}").splitlines()
        pairs = (line.split(" ", 1) for line in lines)
        return dict(sorted((name.removeprefix("refs/heads/"), commit) for commit, name in pairs))

    def tip(self, branch: str) -> str:
        """The commit that the branch points to, or empty."""
        return self.branches(branch).get(branch, "")

    def history(self, commit: str) -> list[str]:
        """The commit and all before it on its own line, oldest first."""
        return self._run("rev_list", "--first-parent", "--reverse", commit).split()

    def file(self, commit: str, path: str) -> bytes:
        """Bytes of one file of a commit; a :class:`Problem` when it is missing or damaged."""
        return self._bytes(f"{commit}:{path}", path)

    def files(self, commit: str, folder: str) -> Iterator[tuple[str, bytes]]:
        """``(path below the folder, bytes)`` of every file in it, sorted by path; nothing when it does not exist."""
        listing = str(self._run("ls_tree", "-r", "-z", "--full-tree", commit, folder))
        entries = (entry.partition("\t") for entry in listing.split("\0") if entry)
        for path, what in sorted((path, what) for what, _, path in entries):
            yield path.removeprefix(f"{folder}/"), self._bytes(what.split()[2], path)

    def _run(self, command: str, *arguments: str) -> str:
        try:
            return str(getattr(self._git, command)(*arguments))
        except self._failure as error:
            said = str(getattr(error, "stderr", error)).strip().removeprefix("stderr:").strip(" '\n")
            raise Problem(f"git {command.replace('_', '-')} failed ({said})", where=str(self.folder)) from None

    def _bytes(self, blob: str, path: str) -> bytes:
        """Content of an object; git is asked again from the start after it met a damaged one."""
        try:
            return bytes(self._git.get_object_data(blob)[3])
        except (ValueError, IndexError, OSError):
            self._git.clear_cache()
            raise Problem(
                f"{path} is missing or damaged (git object {blob})",
                where=str(self.folder),
                advice="fetch it from another copy of the archive",
            ) from None
