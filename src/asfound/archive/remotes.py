"""Another archive, on this computer or far away, as git reaches it: which branches it has, fetching, sending.

On the way to another computer the user's own git configuration counts (proxies, keys, passwords, names for hosts); to
a folder, a share or a stick it does not. Hooks, tags, pruning and force are switched off either way. What the other
side says of itself never counts: a folder must keep the same :mod:`.premises` as the archive, the commands of git that
run in it get our settings (``--upload-pack``, ``--receive-pack``), and another computer is reached by the protocols of
:mod:`.gitprogram` only.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Mapping
from contextlib import AbstractContextManager, ExitStack, nullcontext
from pathlib import Path

from asfound.archive import disk, premises, whole
from asfound.archive.creating import looks_like_archive
from asfound.archive.gitprogram import (
    FILES,
    NETWORK,
    OURS_ALONE,
    SETTINGS,
    commit_id,
    environment,
    failed,
    git_module,
    of_disk,
    of_repository,
    options,
    program,
)
from asfound.archive.leftovers import WORK
from asfound.archive.stations import PREFIX
from asfound.model.problem import Problem

_ADDRESS = re.compile(r"[a-z][a-z0-9+.-]*://|[^/\\]{2,}:", re.I)


def located(text: str, archive: Path) -> str:
    """What a person calls the other archive, as git understands it: an address, or the full path of a folder.

    A folder that is no archive (a stick) stands for the archive of the same name in it.
    """
    path = Path(text)
    if path.is_dir():
        if not _is_bare(path):
            path = path / archive.name
        if not path.exists():
            raise Problem("holds no archive", where=text, advice=f"`asfound init {path}` makes one there")
        if not _is_bare(path):
            raise Problem("is not an archive", where=str(path), advice="name another folder")
        if path.resolve() == archive.resolve():
            raise Problem("is the archive itself", where=text, advice="name the other one")
        return str(path.resolve())
    if not _ADDRESS.match(text):
        raise Problem("does not exist", where=text, advice="connect the disk, or make an archive with `asfound init`")
    return text


def _is_bare(path: Path) -> bool:
    return looks_like_archive(path) or all((path / part).exists() for part in ("HEAD", "objects", "refs"))


def _place(address: str) -> Path:
    """The folder behind an address, if it is one. (Of ``file://HOST/PATH`` git does not take HOST for a folder.)"""
    if not address.startswith("file:///"):
        return Path(address)
    from urllib.request import url2pathname

    return Path(url2pathname(address.removeprefix("file://")))


class Remote(AbstractContextManager["Remote"]):
    """Another archive as seen from the one at ``folder``. ``objects`` is where fetched objects go."""

    def __init__(self, folder: Path, address: str, objects: Path | None = None) -> None:
        self._program = program()
        self._folder, self.address = folder.resolve(), address
        self.place = _place(address)
        self.is_near = self.place.is_dir()
        if self.is_near:
            premises.refuse(self.place, str(self.place))
        self._stack = ExitStack()
        self._scratch = self._stack.enter_context(whole.scratch())
        try:
            self._environment = self._surroundings(tuple(git_module().Git().version_info), objects)
        except BaseException:
            self._stack.close()
            raise

    def _surroundings(self, version: tuple[int, ...], objects: Path | None) -> dict[str, str]:
        ours = environment(self._folder, version)
        if objects:
            ours["GIT_OBJECT_DIRECTORY"] = str(objects)
        ours["GIT_ALLOW_PROTOCOL"] = FILES if self.is_near else NETWORK
        if self.is_near:  # what runs there gets no GIT_CONFIG_COUNT, but reads this file
            config = self._scratch / "config"
            config.write_text(_config({**SETTINGS, "safe.directory": "*"}), encoding="utf-8")
            ours["GIT_CONFIG_GLOBAL"] = str(config)
        else:
            for name in ("GIT_CONFIG_GLOBAL", "GIT_CONFIG_NOSYSTEM"):
                ours.pop(name)
            if sys.stdin is not None and sys.stdin.isatty():
                ours.pop("GIT_TERMINAL_PROMPT")
        return {name: value for name, value in os.environ.items() if not of_repository(name)} | ours

    def _there(self, service: str) -> list[str]:
        """How git starts its other half in a folder: with our settings, whatever is configured there.

        Another computer decides for itself what it runs; some take no other words than the name of the service.
        """
        if not self.is_near:
            return []
        words = [Path(self._program).as_posix(), *options({**OURS_ALONE, "core.hooksPath": str(self._scratch)})]
        return [f"--{service}={shlex.join([*words, service])}"]

    def __exit__(self, *error: object) -> None:
        self._stack.close()

    def at_work(self) -> AbstractContextManager[None]:
        """Keep others from taking for left-overs what is on its way into a folder."""
        return disk.at_work(self.place / WORK) if self.is_near else nullcontext()

    def _run(self, command: str, *words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [self._program, command, *words],
            env=self._environment,
            capture_output=True,
            check=False,
            encoding="utf-8",
            errors="surrogateescape",
        )

    def _checked(self, command: str, *words: str) -> str:
        done = self._run(command, *words)
        if done.returncode:
            raise self._unreachable(command, done.stderr)
        return done.stdout

    def _unreachable(self, command: str, said: str) -> Problem:
        where = self.place if command == "push" and self.is_near else self._folder
        problem = failed(command, said, where)
        if "failed (" in problem.what:
            words = " ".join(said.encode("utf-8", "replace").decode("utf-8").split())
            return Problem(
                f"could not be reached ({words})",
                where=self.address,
                advice="run the same command again; what has arrived is kept",
            )
        return problem

    def tips(self) -> dict[str, str]:
        """``{branch: commit}`` of its stations, sorted."""
        start = f"refs/heads/{PREFIX}"  # git gives names too that only end like this
        words = ("--refs", *self._there("upload-pack"), "--", self.address, f"{start}*")
        lines = (line.split("\t", 1) for line in self._checked("ls-remote", *words).split("\n") if line)
        pairs = [(commit, name) for commit, name in lines if name.startswith(start)]
        return dict(sorted((name.removeprefix("refs/heads/"), commit_id(commit)) for commit, name in pairs))

    def _refuse_unwritable(self) -> None:
        """A :class:`Problem` when nothing can be written there; git only says that it could not unpack."""
        try:
            with tempfile.TemporaryFile(dir=self.place / "objects") as file:
                file.write(bytes(4096))
        except OSError as error:
            raise whole.refused(error, self.place, "use a copy of the archive elsewhere") from None

    def fetch(self, branches: Iterable[str]) -> None:
        """Bring everything of these branches; no reference is written."""
        how = ("--no-write-fetch-head", "--no-tags", "--no-prune", "--no-auto-gc", "--no-recurse-submodules", "-q")
        there = self._there("upload-pack")
        self._checked("fetch", *how, *there, "--", self.address, *(f"refs/heads/{branch}" for branch in branches))

    def send(self, tips: Mapping[str, str]) -> dict[str, str]:
        """Move its branches forward; ``{branch: reason}`` for those it refused."""
        how = ("--porcelain", "--no-verify", "--no-follow-tags", "--recurse-submodules=no", "--no-signed", "-q")
        targets = {f"refs/heads/{branch}": branch for branch in tips}
        there = self._there("receive-pack")
        done = self._run("push", *how, *there, "--", self.address, *(f"{tips[b]}:{r}" for r, b in targets.items()))
        refused = {}
        for line in done.stdout.split("\n"):
            sign, _, rest = line.partition("\t")
            where, _, reason = rest.partition("\t")
            if sign == "!" and where.partition(":")[2] in targets:
                refused[targets[where.partition(":")[2]]] = reason
        if done.returncode and self.is_near:
            self._refuse_unwritable()
        if done.returncode and (not refused or of_disk(self._unreachable("push", done.stderr))):
            raise self._unreachable("push", done.stderr)
        return refused


def _config(settings: Mapping[str, str]) -> str:
    quoted = ((key.split(".", 1), value.replace("\\", "\\\\").replace('"', '\\"')) for key, value in settings.items())
    return "".join(f'[{section}]\n\t{name} = "{value}"\n' for (section, name), value in quoted)
