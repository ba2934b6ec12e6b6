"""A statement as text for people: what is signed with an SSH key, and read aloud if need be.

Whatever the fields hold, each line begins as it should: all of them are made visible, and what goes on in a second line
goes on behind blanks. So no name, note or number can forge a line of it (what a person types afterwards takes the
commit from here).
"""

from __future__ import annotations

import hashlib
import textwrap
from collections.abc import Iterable, Iterator

from msgspec import UNSET

from asfound.evidence.statement import Compared, File, Statement, written
from asfound.model.visible import visible
from asfound.reports.words import EFFECT_WORDS, tally, verdict

WIDTH = 100


def text(statement: Statement) -> str:
    """The whole text; its last line holds the digest of the statement in JSON, so that signing one signs both."""
    return "\n".join(_lines(statement)) + "\n"


def _lines(statement: Statement) -> Iterator[str]:
    said = statement.predicate
    yield "STATEMENT ON THE PROGRAM OF A CONTROLLER"
    yield ""
    if said.caution is not UNSET:  # not told from the copies: a text counts when it is written again from the JSON
        yield from (*_wrapped(said.caution), "")
    yield f"Station   {visible(said.station)}"
    yield visible(f"Record    {said.record} ({said.moment})")
    yield visible(f"Stored    {said.time} by {said.person}, with asfound {said.stored_with}")
    yield visible(f"Commit    {said.commit}")
    yield visible(f"Stated    {said.stated_time} by {said.stated_by}, with asfound {said.stated_with}")
    for word, remark in (("Note", said.note), ("Clock", said.clock)):
        if remark:
            yield from _wrapped(f"{word.ljust(10)}{remark}", 0, 10)
    for line in said.panel.lines() if said.panel else ():
        yield from _wrapped(f"Panel     {line}", 0, 10)
    if said.brings_back is not UNSET:
        yield from _wrapped(f"Program   What brings it back: {said.brings_back.told()}", 0, 10)
    for copy in said.copies:
        yield from ("", f"The copy '{visible(copy.name)}'")
        yield from _files(copy.files)
        yield f"  {visible(copy.normal_sha256)}  normal form"
    if said.attachments:
        yield from ("", "Attachments")
        yield from _files(said.attachments)
    yield ""
    if said.compared is None:
        yield "This record was not compared with an earlier one."
    else:
        yield from _comparison(said.compared)
    yield ""
    yield from _wrapped(said.proved)  # the same words in every statement
    yield from _wrapped(said.not_proved)
    yield ""
    yield "The same statement for machines (JSON) has the SHA-256"
    yield hashlib.sha256(written(statement)).hexdigest()


def _files(files: Iterable[File]) -> Iterator[str]:
    for file in files:
        called = "" if file.path.endswith(f"/{file.name}") else f" (called {file.name})"
        yield visible(f"  {file.sha256}  {file.path}, {file.size} bytes{called}")


def _comparison(found: Compared) -> Iterator[str]:
    earlier = found.earlier
    yield from _wrapped(
        f"Compared with record {earlier.record} ({earlier.moment}), stored {earlier.time} by "
        f"{earlier.person}, commit {earlier.commit}; the copy '{found.copy}' of both.",
        0,
        2,
    )
    yield verdict(found)
    if found.changes:
        yield tally(found)
    for change in found.changes:
        yield from _wrapped(f"{change.id}. [{EFFECT_WORDS[change.effect]}] {change.where}: {change.summary}", 2, 5)
    if found.limits:
        yield "What this comparison cannot vouch for:"
        for limit in found.limits:
            yield from _wrapped(f"- {limit}", 2, 4)


def _wrapped(words: str, indent: int = 0, hang: int = 0) -> list[str]:
    return textwrap.wrap(
        visible(words),
        WIDTH,
        initial_indent=" " * indent,
        subsequent_indent=" " * max(indent, hang),
        break_long_words=False,
        break_on_hyphens=False,
    )
