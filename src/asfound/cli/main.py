"""The console entry: the commands, and one place where errors become one sentence and an exit code."""

from __future__ import annotations

import errno
import os
import sys
from typing import Annotated, Any

import typer
from typer.core import TyperCommand, TyperGroup

import asfound
from asfound.archive.gitprogram import forget_repository
from asfound.cli import (
    attest,
    check,
    checklist,
    compare,
    completion,
    demo,
    formats,
    git_driver,
    git_setup,
    handover,
    history,
    init,
    inspect,
    key,
    note,
    outputs,
    profile,
    ready,
    replacing,
    restore,
    show,
    store,
    streams,
    sync,
    verify,
    watch,
    where,
)
from asfound.model.problem import DONE, FAILED, Problem

REPORT_HINT = "please report it with this line; ASFOUND_DEBUG=1 shows where it happened"


GROUPS: dict[str, tuple[Any, ...]] = {
    "To begin": (demo, init),
    "On arrival and on leaving": (store, history, show),
    "What changed, and what hangs on it": (compare, where, inspect),
    "Before a reset or a download": (note, ready, checklist, restore),
    "Proof for the client": (attest, handover, verify, key),
    "Looking after archives": (watch, check, sync),
    "Formats and tables": (formats, profile),
    "In an ordinary git repository": (git_setup, git_driver),
}
"""Each command in the one group, named by a task, in which ``--help`` and the README list it."""

FULL = (errno.ENOSPC, errno.EDQUOT, errno.EIO)
"""What the system says when standard output goes to a disk that is full or broken; files name themselves."""
UNUSABLE = (errno.ENAMETOOLONG, errno.ELOOP, errno.EACCES, errno.EPERM)
"""What the system says to a path of the user's that cannot even be looked at; such errors name the path."""
WHOLE = 1000
"""Characters of a summary in the list of commands: it may wrap, and is never cut short."""


class Command(TyperCommand):
    """One command; what it would write is looked at before it begins."""

    def invoke(self, ctx: Any) -> Any:
        """Run it, unless it would write over what it reads.

        Only what git itself calls, or is for a repository of the user's, hears what another git has set up around it.
        """
        if not (ctx.command.name or "").startswith("git-"):
            forget_repository(os.environ)
        for value in ctx.params.values():
            _refuse_undecodable(value)
        with replacing.agreed(outputs.refuse_overwriting(ctx.params, str(ctx.command.name))):
            return super().invoke(ctx)


class Commands(TyperGroup):
    """Commands in the order of a visit; whatever goes wrong in one of them ends as one sentence and an exit code."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Names in the order in which they were added."""
        return list(self.commands)

    def parse_args(self, ctx: Any, args: list[str]) -> Any:
        """Read the words before the command; installing a completion happens here."""
        try:
            return super().parse_args(ctx, args)
        except typer.Exit as ended:  # of a shell that is not known typer says 1, which means "differs" here
            raise typer.Exit(FAILED if ended.exit_code else DONE) from None
        except OSError as error:
            written = f"{error.filename}: cannot be written ({error.strerror})"
            streams.note(f"{written if error.filename else 'this shell is not supported'}; use --show-completion.")
            raise typer.Exit(FAILED) from None

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """The list of ``--help``: a heading for each task, all summaries in one column."""
        width = max(len(name) for name, command in self.commands.items() if not command.hidden)
        for task, modules in GROUPS.items():
            found = [self.commands[module.command.__name__.replace("_", "-")] for module in modules]
            rows = [(f"{c.name:{width}}", c.get_short_help_str(WHOLE)) for c in found if not c.hidden]
            with formatter.section(task):
                formatter.write_dl(rows)

    def invoke(self, ctx: Any) -> Any:
        """Run the command."""
        try:
            result = super().invoke(ctx)
            sys.stdout.flush()
        except BrokenPipeError:  # the reader of a pipe has gone; nothing is left to say
            sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
            raise typer.Exit(FAILED) from None
        except OSError as error:
            if error.errno in UNUSABLE and error.filename is not None:
                where = os.fsdecode(error.filename)
                what = f"cannot be looked at ({error.strerror})"
                streams.note(str(Problem(what, where=where, advice="check the name, and your right to it")))
                raise typer.Exit(FAILED) from None
            if error.errno not in FULL or error.filename is not None:
                raise
            sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
            streams.note(f"the answer cannot be written ({error.strerror}); make room, or send it somewhere else.")
            raise typer.Exit(FAILED) from None
        except KeyboardInterrupt:
            streams.note("stopped")
            raise typer.Exit(130) from None
        except typer.Abort:  # of a question: interrupted, or nobody is there to answer it
            if sys.stdin.isatty():
                streams.note("stopped")
                raise typer.Exit(130) from None
            streams.note("a question was asked and nobody answered; run the command at a terminal.")
            raise typer.Exit(FAILED) from None
        except Problem as problem:
            streams.note(str(problem))
            raise typer.Exit(FAILED) from None
        except Exception as error:
            if hasattr(error, "exit_code") or os.environ.get("ASFOUND_DEBUG") == "1":
                raise
            raise typer.Exit(_bug(error)) from None
        return result


def _refuse_undecodable(value: object) -> None:
    """Raise Problem for a text with bytes that are no letters: it would end up in what is stored and reported.

    A :class:`Path` may have any name that the system takes.
    """
    if isinstance(value, (list, tuple)):
        for each in value:
            _refuse_undecodable(each)
    elif isinstance(value, str) and any("\ud800" <= sign <= "\udfff" for sign in value):
        shown = os.fsencode(value).decode("utf-8", "backslashreplace")
        raise Problem(
            "is not valid Unicode", where=shown, advice="write it in the letters of this terminal, or rename it"
        )


def _bug(error: Exception) -> int:
    said = " ".join(str(error).split())
    streams.note(f"asfound {asfound.__version__} has a bug ({type(error).__name__}: {said}); {REPORT_HINT}.")
    return FAILED


def _version(wanted: bool) -> None:
    if wanted:
        streams.say(f"asfound {asfound.__version__}")
        raise typer.Exit


app = typer.Typer(
    cls=Commands,
    no_args_is_help=True,
    add_completion=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    epilog="A visit: asfound init, store, compare, and restore when it has to be. Try asfound demo first.",
)


@app.callback()
def _main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
) -> None:
    """Store, compare and prove the program in a programmable controller, from open-format exports."""


for _command in (command for _group in GROUPS.values() for command in _group):
    app.command(cls=Command, epilog=_command.EXAMPLE, hidden=getattr(_command, "HIDDEN", False))(_command.command)


def run() -> None:
    """What the ``asfound`` script calls."""
    streams.prepare()
    if completion.QUESTION in os.environ:
        completion.answer(app)
    try:
        app(prog_name="asfound")
    except Exception as error:  # only with ASFOUND_DEBUG, or a bug outside of any command
        if os.environ.get("ASFOUND_DEBUG") == "1":
            import traceback

            traceback.print_exc()
        sys.exit(_bug(error))


if __name__ == "__main__":
    run()
