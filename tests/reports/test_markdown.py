"""Markdown: readable, the same at every run, and nothing of an export acts in it."""

from __future__ import annotations

import markdown_it
import pytest

from asfound.reports import markdown
from asfound.reports.words import CAUTIONS

from .sample import CHANGES, comparison


def test_it_starts_with_the_verdict_and_ends_with_the_cautions() -> None:
    lines = markdown.write(comparison()).splitlines()
    assert lines[0] == markdown.MARK
    assert lines[1].startswith("### The machine may act differently")
    assert all(f"- {caution}" in lines for caution in CAUTIONS)
    assert lines[-1].startswith("Normal forms: `")


def test_every_change_is_there() -> None:
    text = markdown.write(comparison())
    for change in comparison().changes:
        assert f"{change.id}\\. " in text


def test_a_changed_rung_is_drawn_in_a_difference() -> None:
    text = markdown.write(comparison((CHANGES[0],)))
    fence = text.partition("```diff\n")[2].partition("\n```")[0]
    assert {line[:1] for line in fence.splitlines()} <= {"+", "-", " "}
    assert "+ " in fence


@pytest.mark.parametrize(
    "odd",
    [
        "@everyone #12 https://example.org",
        "`code` ``x``",
        "</details><script>",
        "| a | b |\n# head",
        "**b** [l](u)",
        "`",
    ],
)
def test_nothing_of_an_export_acts(odd: str) -> None:
    change = {**CHANGES[0], "where": odd, "summary": odd, "details": (odd,), "before": odd, "after": f"{odd} ```\nx"}
    tokens = markdown_it.MarkdownIt("commonmark").parse(
        markdown.write(comparison((change,))).removeprefix(markdown.MARK)
    )
    inline = [child for token in tokens for child in token.children or ()]
    kinds = {token.type for token in [*tokens, *inline]}
    assert not kinds & {"html_block", "html_inline", "link_open", "image", "autolink"}
    words = odd.replace("\n", " ")
    visible = [token.content for token in [*tokens, *inline] if token.type in ("code_inline", "fence")]
    assert any(words.split()[0] in content for content in visible)
    plain = "".join(token.content for token in inline if token.type == "text")
    assert "@everyone" not in plain and "example.org" not in plain


def test_a_code_span_shows_any_text() -> None:
    assert markdown.code("a") == "`a`"
    assert markdown.code("a`b``c") == "```a`b``c```"
    assert markdown.code("`") == "`` ` ``"


def test_of_many_changes_the_rest_is_one_line_each() -> None:
    many = tuple({**CHANGES[0], "where": f"PumpControl / rung {n}"} for n in range(1, 100))
    text = markdown.write(comparison(many))
    assert text.count("```diff") == markdown.MOST
    assert "99\\. " in text
