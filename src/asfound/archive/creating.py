"""Making an archive, and telling one from any other repository."""

from __future__ import annotations

from pathlib import Path

from asfound.archive import configuration, disk, whole
from asfound.archive.configuration import FORMAT, MARK
from asfound.archive.gitprogram import environment, git_module
from asfound.archive.plumbing import Plumbing
from asfound.archive.references import LARGEST
from asfound.archive.stations import PREFIX
from asfound.model.problem import Problem, command

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
        with whole.among(path.parent) as beside:
            new = beside.fresh()
            _build(module, new)
            beside.put_folder(new.name, path.name)
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
    configuration.write(folder)


def refuse_format(plumbing: Plumbing, where: str) -> None:
    """A :class:`Problem` unless the repository has our mark, or (a clone has no mark) our branches."""
    if not refuse_newer(plumbing, where) and not plumbing.branches(PREFIX):
        raise Problem("is a git repository but not an archive", where=where, advice=NEW)


def refuse_newer(plumbing: Plumbing, where: str) -> str:
    """The mark of the format, or a :class:`Problem` when it is a later one."""
    mark = plumbing.setting(MARK)
    if mark.isdecimal() and mark != FORMAT and not configuration.described(plumbing.folder):
        raise Problem(f"is an archive of format {mark}, newer than this asfound", where=where, advice="update asfound")
    return mark


def looks_like_archive(path: Path) -> bool:
    """Whether a folder is a bare git repository that holds records or was made to; reads no more than three files.

    One whose ``HEAD`` or ``config`` is damaged or gone counts too, so that it can be named and mended.
    """
    if not (path / "objects").is_dir():
        return False
    if any((path / above / "heads" / PREFIX).is_dir() for above in ("refs", "logs/refs")):
        return True
    if configuration.described(path):
        return True
    texts = (disk.plain(path / name, LARGEST) or b"" for name in ("config", "packed-refs"))
    return any(b"[asfound]" in text or f"refs/heads/{PREFIX}".encode() in text for text in texts)
