"""``asfound git-setup``: an ordinary git repository of exports shows rungs.

It writes four things, all of them local to the repository and none of them tracked: the driver ``diff.asfound``, the
tool ``difftool.asfound``, lines in ``info/attributes`` that say for which files, and a pre-commit hook. Run again it
writes the same. Commands are written for the shell that git uses everywhere (its own on Windows), with an absolute
path, and with ``-P``: nothing in the repository can stand in for a module of ours.
"""

from __future__ import annotations

import shlex
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import streams
from asfound.cli.options import example
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from asfound.cli.repository import Repository

EXAMPLE = example("git-setup exports/")
PLAIN = (".toml", ".txt")
"""Suffixes of formats that are mostly something else; ``--for`` takes them in."""
BEGIN, END = "# asfound begin", "# asfound end"
HOOK = "#!/bin/sh\n# Written by asfound git-setup: refuse an export that cannot be read.\n"
HEADS = r"^(\(\* ==== .*|(NETWORK|FUNCTION|FUNCTION_BLOCK|PROGRAM|STEP|TRANSITION|ACTION|METHOD|TYPE|VAR_GLOBAL).*)$"
"""Lines of the normal form that git writes above a hunk."""
_RIGHT = "ask for the right to write there"


def git_setup(
    repository: Annotated[Path, typer.Argument(metavar="REPOSITORY", help="A folder of a git repository.")] = Path(),
    patterns: Annotated[
        Optional[list[str]],  # noqa: UP045
        typer.Option("--for", metavar="PATTERN", help="Only files like this, as in .gitattributes (may be repeated)."),
    ] = None,
) -> None:
    """Make git diff, log -p and blame show rungs.

    And refuse a commit of an export that cannot be read.
    """
    from asfound.cli.repository import Repository

    chosen = patterns or usual_patterns()
    for pattern in chosen:
        _refuse_pattern(pattern)
    found = Repository(repository)
    attributes = found.path("info/attributes")
    if not found.owns(attributes):
        raise Problem("is reached by a link that leads elsewhere", where=str(attributes), advice="remove the link")
    _configure(found)
    _write_between(attributes, [f"{pattern} diff=asfound" for pattern in chosen])
    streams.say(f"git diff, log -p and blame show rungs in {' '.join(chosen)} ({attributes})")
    streams.say("git difftool --tool=asfound compares with effects")
    _hook(found)


def usual_patterns() -> list[str]:
    """``*.xml`` and so on: what the readers read."""
    from asfound.readers.registry import readers

    return sorted({f"*{suffix}" for reader in readers() for suffix in reader.suffixes if suffix not in PLAIN})


def shell_command(*words: str) -> str:
    """A command line of ours for git's shell, which takes ``C:/Program Files/...`` with forward slashes."""
    python = Path(sys.executable).as_posix()
    return " ".join((shlex.quote(python), "-P", "-m", "asfound", "git-driver", *words))


def _refuse_pattern(pattern: str) -> None:
    if not pattern or pattern.startswith(("#", "!", '"', "[")) or any(sign.isspace() for sign in pattern):
        raise Problem(f"'{pattern}' is no pattern", advice="write one such as '*.xml' or 'exports/**', without blanks")


def _configure(found: Repository) -> None:
    found.set("diff.asfound.textconv", shell_command("text", "--"))
    found.set("diff.asfound.xfuncname", HEADS)
    found.set("difftool.asfound.cmd", shell_command("diff", "--", '"$LOCAL"', '"$REMOTE"', '"$MERGED"'))
    found.set("difftool.asfound.prompt", "false")


def _write_between(file: Path, lines: list[str]) -> None:
    """Replace our lines in a file, or add them; whatever else stands there stays."""
    text = _text(file, "surrogateescape")
    before, begin, rest = text.partition(f"{BEGIN}\n")
    after = rest.partition(f"{END}\n")[2] if begin else ""
    if before and not before.endswith("\n"):
        before += "\n"
    _write(file, f"{before}{BEGIN}\n" + "".join(f"{line}\n" for line in lines) + f"{END}\n{after}")


def _text(file: Path, errors: str) -> str:
    """What stands in a file of git; nothing when there is none. A :class:`Problem` for a pipe or a folder."""
    if not file.exists():
        return ""
    if not file.is_file():
        raise Problem("is no file", where=str(file), advice="remove it")
    try:
        return file.read_text(encoding="utf-8", errors=errors)
    except OSError as error:
        raise Problem(f"cannot be read ({error.strerror})", where=str(file), advice=_RIGHT) from None


def _write(file: Path, text: str, mode: int = 0o666) -> None:
    from asfound.archive import whole

    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        whole.write(file, text.encode("utf-8", "surrogateescape"), replace=True, mode=mode)
    except OSError as error:
        raise whole.refused(error, file, _RIGHT) from None


def _hook(found: Repository) -> None:
    """The hook, unless there is one already, or it would serve other repositories too."""
    hook = found.path("hooks/pre-commit")
    line = shell_command("check")
    text = _text(hook, "replace")
    if (text and not text.startswith(HOOK)) or not found.owns(hook):
        if "asfound git-driver check" not in text:
            streams.note(f"{hook} is not touched; add this line to it: {line} || exit 1")
        return
    _write(hook, f"{HOOK}exec {line}\n", 0o777)
    hook.chmod(0o755)  # of one that is replaced the mode stays
    streams.say(f"a commit of an export that cannot be read is refused ({hook})")


command = git_setup
