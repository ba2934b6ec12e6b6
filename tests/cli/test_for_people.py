"""What show prints and git shows: braces in a table or in JSON are somebody's text."""

from __future__ import annotations

from pathlib import Path

import pytest
from stored_visit import Run


@pytest.mark.parametrize("comment", ["{when} closed", "{body} of the valve", '{text "x"}'])
@pytest.mark.parametrize("words", [("show",), ("git-driver", "text")])
def test_a_comment_of_a_tag_stays(run: Run, words: tuple[str, ...], comment: str, tmp_path: Path) -> None:
    table = tmp_path / "tags.csv"
    quoted = comment.replace('"', '""')
    table.write_text(f'Name;Address;Type;Comment\nLamp;%QX0.1;BOOL;"{quoted}"\n', encoding="utf-8")
    done = run(*words, table)
    assert done.exit_code == 0, done.output
    assert quoted in done.output
