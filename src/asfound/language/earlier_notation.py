"""Whether two normal forms tell the same, where one was written in the notation of an earlier version.

Both are read and written again in the notation of now, without what only one of them may have: where a wire comes from,
its number in an instruction list, and the notation in what no reader followed. Cost: that of reading both.
Reading is lenient (a remark between declarations, the order of rows), so whatever is not in the notation of before has
to stand word for word in both.
Known weakness: a wire in what no reader followed was told by its number, which tells nothing about where it comes from.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from typing import Any

from msgspec import MsgspecError
from msgspec.structs import replace

from asfound.language import printer
from asfound.language.documents import NORMAL, parse_program
from asfound.language.normal import normal_form, read_normal_form
from asfound.language.parser import parse_statements
from asfound.language.readable import plain
from asfound.language.statement_printer import statements
from asfound.language.walk import rewrite
from asfound.language.wires import numbered
from asfound.model.copy import Copy
from asfound.model.logic import Temporary
from asfound.model.problem import Problem
from asfound.model.program import ALTERNATIVES, BESIDE, Body, Extension
from asfound.model.tree import Walk

_TOLD = Walk[Body | Extension](Body, Extension)
_SIGNS = re.compile(
    r"(?<!\w)_v\d|(?<!\w)(?:[SR]|REF|\?)= |(?:\{|\$7B;)(?:when|call|doubt|name|body|network|text|literal|"
    r"direct|label)\b|\{(?:reference|attempt)\}"
)
"""What a line of before holds when it is told otherwise now; pragmas also because those of extensions are words now."""
_REFERRED = re.compile(r"^( *(?:IF .* THEN )?)(.*?) (REF|\?)= ", re.MULTILINE)
_SAID = {"REF": "reference", "?": "attempt"}


def means_the_same(files: Mapping[str, str], now: Mapping[str, str]) -> bool:
    """Whether a normal form of an earlier version tells the same as one of now; False where it cannot be read."""
    if files.keys() != now.keys() or not all(_only_notation(path, files[path], now[path]) for path in files):
        return False
    try:
        first, second = (normal_form(_of_now(read_normal_form(each))) for each in (files, now))
    except (Problem, ValueError, MsgspecError, RecursionError):
        return False
    return first == second


def _only_notation(path: str, before: str, now: str) -> bool:
    """Whether each line that only the earlier text has is one that is written in another way now."""
    if before == now or (path != "program/project.json" and not path.endswith(".st")):
        return before == now
    gone = Counter(before.splitlines()) - Counter(now.splitlines())
    return bool(gone) and all(_SIGNS.search(line) for line in gone)


def _of_now(copy: Copy) -> Copy:
    bare: Copy = rewrite(copy, lambda e: Temporary(e.number) if isinstance(e, Temporary) else None)
    told: Copy = _told(bare)
    return told


def _told(node: Any) -> Any:
    node = _TOLD.rebuilt(node, _told)
    if isinstance(node, Body) and node.statements:  # wires were numbered as they were made, not as they appear
        return replace(node, statements=numbered(node.statements))
    return replace(node, text=_text(node)) if isinstance(node, Extension) else node


def _text(found: Extension) -> str:
    """What no reader followed, for people; it was told in the notation of the normal form."""
    if found.text.startswith("{body "):
        pou = parse_program(f"{NORMAL}\nPROGRAM P\n{found.text}\nEND_PROGRAM\n", "", dialect=True).pous[0]
        return plain("".join(map(printer.body, pou.bodies))).strip()
    if found.path == BESIDE:
        return plain(statements(parse_statements(found.text, dialect=True))).strip()
    if found.path == "action/body":  # in words already, with the operators of before
        return plain(_REFERRED.sub(lambda f: f"{f[1]}{{{_SAID[f[3]]}}} {f[2]} := ", found.text))
    return plain(found.text) if found.path.startswith(ALTERNATIVES.partition("{")[0]) else found.text
