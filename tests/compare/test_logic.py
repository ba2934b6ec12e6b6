"""Every field of which the code makes an edit is a row of the table of words; comments are for people alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from asfound.compare.wording import phrases
from asfound.compare.wording.logic import LOGIC
from asfound.compare.wording.phrases import FIELDS, edit, phrase

_MADE = re.compile(r"""\b(?:edit|one_sided_edit|differs|note_of)\(\s*"([a-z][a-z ]*)"[,)]""")
FOLDER = Path(phrases.__file__).parents[1]
FILES = sorted(p for p in FOLDER.rglob("*.py") if p.parent.name != "wording")


@pytest.mark.parametrize("name", [path.relative_to(FOLDER).as_posix() for path in FILES])
def test_every_field_that_is_made_has_words(name: str) -> None:
    made = set(_MADE.findall((FOLDER / name).read_text(encoding="utf-8")))
    assert made - FIELDS.keys() == set()


def test_many_fields_are_seen() -> None:
    made = {field for path in FILES for field in _MADE.findall(path.read_text(encoding="utf-8"))}
    assert len(made) > 100 and "comments moved" in made


@pytest.mark.parametrize("what", ["comment", "drawn"])
def test_what_became_of_a_comment_is_said_with_its_text(what: str) -> None:
    for kind, sides in (("removed", ("text", None)), ("added", (None, "text")), ("moved", (None, "text"))):
        said = edit(f"{what} {kind}", *sides)
        assert said.effect == "documentation"
        assert phrase(said).endswith(f"{kind}: text")


def test_comments_that_moved_are_documentation() -> None:
    assert (LOGIC["comments moved"].effect, phrase(edit("comments moved"))) == ("documentation", "comments moved")
