"""Text for people: as the normal form has it, without what only makes the normal form exact.

The normal form tells a name that is no identifier, a wire without a name and data without syntax in pragmas (see
pragmas.py). In a report a name stands as it is, a wire is what it comes from (``SR5.Q``), the rest is a comment.
Nothing reads this back. Cost: nothing where no pragma stands, else linear.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from asfound.language import pragmas, statement_printer
from asfound.language.pragmas import Pragma
from asfound.language.tokens import tokens
from asfound.model.logic import Expression, Statement

_BLOCK = re.compile(r"^ *\{block of [^{}\n]*\}\n", re.MULTILINE)
_GONE = re.compile(r"^[ \t]*\x00[ \t]*\n|[ \t]*\x00", re.MULTILINE)
_LANGUAGES = {
    "LD": "ladder diagram",
    "FBD": "function block diagram",
    "ST": "structured text",
    "IL": "instruction list",
    "SFC": "sequential function chart",
    "": "no code",
}


def expression(e: Expression) -> str:
    """Text of an expression.

    >>> from asfound.model.logic import Operation, Temporary, Variable
    >>> expression(Operation("AND", (Variable("Pump 1"), Temporary(1, "LT.OUT"))))
    'Pump 1 AND LT.OUT'
    """
    return plain(statement_printer.expression(e))


def statements(sequence: Sequence[Statement], indent: int = 0) -> str:
    """Text of statements, each line ended; the type of a block is what its declaration says."""
    found = statement_printer.statements(sequence, indent)
    return plain(_BLOCK.sub("", found)) if "{" in found else found


def plain(text: str) -> str:
    """Text of the normal form with each pragma of ours in words; comments, strings and other pragmas stay.

    >>> plain('{body LD}\\n{network title="Pump"}\\n  {name "Pump 1"} := a;\\n')
    '(* ladder diagram *)\\n(* network: Pump *)\\n  Pump 1 := a;\\n'
    """
    if "{" not in text:
        return text
    pieces: list[str] = []
    at = 0
    for token in tokens(text):
        ours = pragmas.parse(token.text) if token.kind == "PRAGMA" else None
        if ours is not None:
            pieces += [text[at : token.start], _words(ours)]
            at = token.end
    return _GONE.sub("", "".join((*pieces, text[at:])))


def _words(found: Pragma) -> str:
    if found.word in _INLINE:
        return _INLINE[found.word](found)
    said = _COMMENTS.get(found.word, _as_it_is)(found)
    return f"(* {said.replace('*)', '* )').strip()} *)" if said.strip() else "\0"


def _as_it_is(found: Pragma) -> str:
    return " ".join((*found.values, *(f"{key}: {value}" for key, value in found.named)))


def _network(found: Pragma) -> str:
    label = found.get("label")
    told = [text for text in (f"label {label}" if label else "", found.get("title"), found.get("comment")) if text]
    return f"network: {'; '.join(told)}" if told else "network"


def _extension(found: Pragma) -> str:
    return ": ".join(part for part in (found.get("path"), plain(found.get("text") or "")) if part)


def _wire(found: Pragma) -> str:
    """A wire in a statement has a number and where it comes from; what lists it for the normal form is left out."""
    number, *origin = found.values
    return origin[0] if origin else f"wire {number}"


_INLINE: dict[str, Callable[[Pragma], str]] = {
    **dict.fromkeys(("name", "literal", "direct", "text", "verbatim", "pragma", "modifier"), lambda p: p.value),
    "label": lambda p: f"{p.value}:",
    "wire": lambda p: _wire(p) if p.value.isdecimal() else "\0",
    "when": lambda p: "\0",
}
_COMMENTS: dict[str, Callable[[Pragma], str]] = {
    **dict.fromkeys(("normal", "chart"), lambda p: ""),
    "body": lambda p: _LANGUAGES.get(p.value, p.value),
    "network": _network,
    "order": lambda p: f"statements run in the order {_as_it_is(p)}",
    "leftover": lambda p: f"without effect: {p.value}",
    "condition": lambda p: "condition",
    "extension": _extension,
    "namespace": lambda p: f"namespace {p.value}",
    "globals": lambda p: " ".join(
        w for w in ("global variables", p.value, p.get("scope") and f"of {p.get('scope')}") if w
    ),
    "scope": lambda p: f"of {p.value}",
    "setting": lambda p: " = ".join(p.values),
    "macro": lambda p: "macro step",
    "block": lambda p: f"block {_as_it_is(p)}",
    "compilers": lambda p: f"compilers {_as_it_is(p)}",
    "doubt": lambda p: f"compilers differ: {p.value}",
    "reference": lambda p: "assignment of a reference",
    "attempt": lambda p: "assignment attempt",
}
