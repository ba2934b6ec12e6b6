"""Making an archive, and telling one from any other repository."""

from __future__ import annotations

import tempfile
from pathlib import Path

from asfound.archive import disk
from asfound.archive.gitprogram import SETTINGS, environment, git_module
from asfound.archive.plumbing import Plumbing
from asfound.archive.stations import PREFIX
from asfound.model.problem import Problem, command

FORMAT = "1"
FORMAT_SETTING = {**SETTINGS, "asfound.format": FORMAT}
_DESCRIPTION = "Records of programmable controllers, one branch per station (asfound archive, format 1).\n"


NEW = "`asfound init` with a new name makes one"


def create(path: Path) -> None:
    """A new archive: built in a folder beside ``path``, then moved into place with one rename."""
    if path.exists() and (not path.is_dir() or any(path.iterdir())):
        if path.is_dir() and looks_like_archive(path):
            advice = f"{command('store', path, 'STATION')} ... makes a record in it"
            raise Problem("is an archive already", where=str(path), advice=advice)
        raise Problem("exists and is not empty", where=str(path), advice="choose a new name for the archive")
    module, path = git_module(), path.absolute()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".asfound-init-", dir=path.parent) as beside:
            new = Path(beside) / "archive"
            _build(module, new)
            if path.is_dir():
                path.rmdir()
            disk.patiently(lambda: new.rename(path))
        disk.sync_folder(path.parent)
    except OSError as error:
        raise Problem(f"cannot be made ({error.strerror})", where=str(path), advice="choose another folder") from None


def _build(module: object, folder: Path) -> None:
    folder.mkdir()
    git = module.Git(str(folder))  # type: ignore[attr-defined]
    git.update_environment(**environment(folder, tuple(git.version_info)))
    options = ("--quiet", "--bare", "--template=", "--initial-branch=main", "--object-format=sha1")
    try:
        git.init(*options)
    except module.GitCommandError as error:  # type: ignore[attr-defined]
        raise Problem(
            f"git init failed ({' '.join(error.stderr.split())})",
            where=str(folder),
            advice="check that `git --version` works",
        ) from None
    (folder / "description").write_text(_DESCRIPTION, encoding="utf-8", newline="\n")
    plumbing = Plumbing(folder)
    plumbing.configure(FORMAT_SETTING)
    plumbing.close()
    disk.sync_files(path for path in folder.rglob("*") if path.is_file())
    disk.sync_folders([folder, *(path for path in folder.rglob("*") if path.is_dir())])


def refuse_format(plumbing: Plumbing, where: str) -> None:
    """A :class:`Problem` unless the repository has our mark, or (a clone has no mark) our branches."""
    if not refuse_newer(plumbing, where) and not plumbing.branches(PREFIX):
        raise Problem("is a git repository but not an archive", where=where, advice=NEW)


def refuse_newer(plumbing: Plumbing, where: str) -> str:
    """The mark of the format, or a :class:`Problem` when it is a later one."""
    mark = plumbing.setting("asfound.format")
    if mark not in ("", FORMAT):
        raise Problem(f"is an archive of format {mark}, newer than this asfound", where=where, advice="update asfound")
    return mark


def looks_like_archive(path: Path) -> bool:
    """Whether a folder is a bare git repository that holds records or was made to; reads no more than two files."""
    if not all((path / part).exists() for part in ("HEAD", "objects", "refs", "config")):
        return False
    if (path / "refs" / "heads" / PREFIX).is_dir():
        return True
    texts = (
        file.read_text("utf-8", "replace") for name in ("config", "packed-refs") if (file := path / name).is_file()
    )
    return any("[asfound]" in text or f"refs/heads/{PREFIX}" in text for text in texts)
