"""An ordinary git repository of somebody's exports: its settings, its staged files."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from asfound.model.problem import Problem

DRIVER = "asfound"


class Repository:
    """The repository a folder belongs to. Raises :class:`Problem` when there is none."""

    def __init__(self, folder: Path) -> None:
        from asfound.archive.gitprogram import git_module

        self._module = git_module()
        if not folder.is_dir():
            raise Problem("is no folder", where=str(folder), advice="name a folder of a git repository")
        self._git = self._module.Git(str(folder))
        if self._text("rev-parse", "--is-inside-work-tree") != "true":
            raise Problem("has no work tree", where=str(folder), advice="name a clone; an archive shows rungs anyway")
        self.folder = Path(self._text("rev-parse", "--show-toplevel"))
        self._git = self._module.Git(str(self.folder))

    def path(self, name: str) -> Path:
        """Where git keeps a file of its own, such as ``hooks/pre-commit``; core.hooksPath is respected."""
        return self.folder / self._text("rev-parse", "--git-path", name)

    def owns(self, file: Path) -> bool:
        """Whether a file serves this repository only: it lies in its folder of git, and not in the work tree."""
        home = self.folder / self._text("rev-parse", "--git-common-dir")
        return file.resolve().is_relative_to(home.resolve())

    def set(self, name: str, value: str) -> None:
        """Write a setting of this repository."""
        self._run("config", "--local", "--replace-all", name, value)

    def staged(self) -> list[str]:
        """Paths of the files to be committed that the driver is for, from the top folder, with ``/``."""
        names = self._listed("diff", "--cached", "--name-only", "--no-renames", "--diff-filter=ACMT", "-z")
        return [name for name in names if self._driver(name) == DRIVER]

    def beside(self, name: str, suffix: str) -> list[str]:
        """Files of the index in the folder of another one, with this suffix."""
        folder = name.rpartition("/")[0]
        paths = self._listed("ls-files", "--cached", "-z", "--", f":(literal){folder}" if folder else ".")
        return [path for path in paths if path.rpartition("/")[0] == folder and path.lower().endswith(suffix)]

    def data(self, name: str) -> bytes:
        """The bytes of a file as they are staged."""
        found: bytes = self._run("cat-file", "blob", f":0:{name}")  # without a stage `1:x` is another thing
        return found

    def _driver(self, name: str) -> str:
        fields = self._listed("check-attr", "-z", "diff", "--", name)
        return fields[2] if len(fields) > 2 else ""

    def _listed(self, *words: str) -> list[str]:
        raw: bytes = self._run(*words)
        return [part.decode("utf-8", "surrogateescape") for part in raw.split(b"\0") if part]

    def _text(self, *words: str) -> str:
        raw: bytes = self._run(*words)
        return raw.decode("utf-8", "surrogateescape").rstrip("\r\n")

    def _run(self, *words: str) -> Any:
        try:
            return self._git.execute(["git", *words], stdout_as_string=False, strip_newline_in_stdout=False)
        except self._module.GitCommandError as error:
            said = " ".join(str(error.stderr).removeprefix("\n  stderr:").split()).strip(" '")
            where = str(getattr(self, "folder", self._git.working_dir))
            raise Problem(
                f"git {words[0]} failed ({said})", where=where, advice="`git init` makes a repository"
            ) from None
