"""The facts of a comparison, a line each, and the files in which they are kept."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from asfound.compare.result import Change, Comparison, Edit

KEPT = Path(__file__).parent / "kept"


def facts(found: Comparison) -> str:
    """Every fact about a pair but those of the two sides."""
    lines = [found.verdict, *(f"  limit {each}" for each in found.limits)]
    lines += [line for change in found.changes for line in _change(change)]
    return "\n".join(line.replace("\n", " ~ ").rstrip() for line in lines)


def _change(change: Change) -> Iterator[str]:
    follows = f" after {change.follows_from}" if change.follows_from else ""
    case = f" with a case of the {change.witness.moment}" if change.witness is not None else ""
    yield f"  {change.id} {change.effect} {change.area} {change.kind} {' / '.join(change.path)}{follows}{case}"
    yield f"    - {change.before}"
    yield f"    + {change.after}"
    if change.reach or change.names or change.subject:
        yield f"    of {change.subject} {', '.join(change.names)} -> {', '.join(change.reach)}"
    for edit in change.edits:
        yield from _edit(edit, "    ")


def _edit(edit: Edit, indent: str) -> Iterator[str]:
    whose = f" [{edit.owner}]" if edit.owner else ""
    yield f"{indent}{edit.field} {edit.of}{whose}: {edit.old} -> {edit.new} ({edit.effect})"
    for each in edit.inner:
        yield from _edit(each, indent + "  ")


def kept() -> dict[tuple[str, str], str]:
    """The answers by file and pair."""
    found = {}
    for file in KEPT.glob("*.txt"):
        for block in f"\n{file.read_text(encoding='utf-8')}".split("\n== ")[1:]:
            id, _, text = block.partition("\n")
            found[file.stem, id] = text.rstrip("\n")
    return found
