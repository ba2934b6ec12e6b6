"""The reference of the commands in README.md, made from what ``--help`` says.

``python tests/reference.py`` writes it into README.md; ``tests/test_docs.py`` compares.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from typer.main import get_command

from asfound.cli.main import GROUPS, app
from asfound.cli.options import ANYTHING, RECORD

README = Path(__file__).parents[1] / "README.md"
BEGIN, END = "<!-- python tests/reference.py -->\n", "<!-- end -->\n"
COMMON = ("--archive", "--profile", "--json", "--html", "--paper", "--key", "--since", "--new", "--on", "--quiet")
"""Options that mean the same wherever they stand: told once."""
KNOWN = (ANYTHING, RECORD, "Only when --archive is not used.", "Where the record goes.", "Where the note goes.")
"""Arguments that need no words beside their names."""


def reference() -> str:
    """All commands, group by group; in each its synopsis, what it does, its own options and an example."""
    commands = get_command(app).commands  # type: ignore[attr-defined]
    lines = [f"REF is {ANYTHING} Options that mean the same wherever --help shows them:"]
    lines += _aligned(dict(_common(commands)))
    for task, modules in GROUPS.items():
        lines += ["", task.upper()]
        for module in modules:
            command = commands[module.command.__name__.replace("_", "-")]
            if not command.hidden:
                lines += _entry(command)
    return "\n".join(["```text", *lines, "```", ""])


def _common(commands: dict[str, Any]) -> Iterator[tuple[str, str]]:
    params = [param for each in commands.values() for param in each.params]
    for word in COMMON:
        yield next((_names(param), param.help) for param in params if word in param.opts)


def _names(param: Any) -> str:
    """``-q, --quiet`` or ``--moment MOMENT`` or the name of an argument."""
    if param.param_type_name == "argument":
        return str(param.metavar)
    names = ", ".join(sorted(param.opts, key=len))
    return names if param.is_flag else f"{names} {param.metavar}"


def _entry(command: Any) -> Iterator[str]:
    arguments = [param for param in command.params if param.param_type_name == "argument"]
    synopsis = " ".join(_names(param) if param.required else f"[{_names(param)}]" for param in arguments)
    yield f"asfound {command.name} {synopsis}".rstrip() + f" - {command.get_short_help_str(1000)}"
    own: dict[str, str] = {}
    for param in command.params:
        if "--help" in param.opts or set(param.opts) & set(COMMON) or param.help in KNOWN:
            continue
        own[_names(param)] = param.help.removesuffix(".") + (
            " (required)" if param.required and "-" in param.opts[0] else ""
        )
    yield from _aligned(own)
    yield "  e.g. " + command.epilog.rpartition("\n")[2].strip()


def _aligned(texts: dict[str, str]) -> list[str]:
    width = max(map(len, texts), default=0)
    return [f"  {name:{width}}  {text.removesuffix('.')}" for name, text in texts.items()]


def written(text: str) -> str:
    """The README with the reference as it has to be."""
    before, _, rest = text.partition(BEGIN)
    return before + BEGIN + reference() + END + rest.partition(END)[2]


if __name__ == "__main__":
    README.write_text(written(README.read_text(encoding="utf-8")), encoding="utf-8")
