from __future__ import annotations

import itertools
import re
from html.parser import HTMLParser
from importlib.resources import files

import pytest

from asfound.compare.result import Comparison
from asfound.reports import html

from .sample import CHANGES, NEW, OLD, comparison, reaching

VOID = {"meta", "link", "br", "img", "input", "hr"}
HOSTILE = "</title></style></svg><script>alert(1)</script><img src=x onerror='a()'>\"&'"


def page(made: Comparison | None = None) -> str:
    return html.write(made or comparison(), OLD, NEW, title="Booster station 1")


class Outline(HTMLParser):
    """Elements, ids, links and headings; fails on an end tag that closes nothing."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.feed(text)
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def values(self, name: str) -> list[str]:
        return [value or "" for key, value in self.attributes if key == name]


def test_page_is_well_formed_and_its_links_lead_somewhere() -> None:
    found = Outline(page())
    ids = found.values("id")
    assert len(ids) == len(set(ids))
    assert all(target[1:] in ids for target in found.values("href"))
    assert all(label in ids for value in found.values("aria-labelledby") for label in value.split())
    assert found.values("lang") == ["en"]
    assert found.tags.count("main") == found.tags.count("h1") == 1


def test_headings_never_skip_a_level() -> None:
    levels = [int(tag[1]) for tag in Outline(page()).tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


def test_page_asks_for_nothing() -> None:
    text = page()
    assert set(re.findall(r"https?://[^\s\"'<]*", text)) == {"http://www.w3.org/2000/svg"}
    assert not re.search(r"<script|<link|<img|<iframe|@import|url\(|\bsrc=|\bon\w+=", text)
    assert "default-src 'none'" in text


def test_page_says_it_all_in_words() -> None:
    text = page()
    for words in (
        "The machine may act differently: 8 changes of behaviour.",
        "What this comparison cannot vouch for",
        "its code is not part of the export",
        "Isolate and lock out",
        "This report gives no permission",
        "b" * 64,
        OLD.sources[0].sha256,
        "WANTED renamed to DEMAND in 14 places.",
    ):
        assert words in text


def test_only_causes_are_listed_under_what_matters() -> None:
    matters = page().partition("What matters")[2].partition("</section>")[0]
    assert re.findall(r"#change-(\d+)", matters) == ["1", "2", "3", "4", "5", "7", "11", "6", "10"], (
        "undecided ones last"
    )
    assert "1 more follows from these" in matters


def test_changed_rungs_are_drawn_before_and_now_with_marks() -> None:
    card = page().partition('id="change-1"')[2].partition("</article>")[0]
    assert card.count("<svg") == 2
    before, _, now = card.partition("<figcaption>Now")
    assert "mark-" not in before
    assert re.findall(r'<g class="mark-added">.*?</g>', now)[0].count("BYPASS") == 1
    assert "<td>FALSE</td><td>TRUE</td>" in card


def test_structured_text_is_shown_as_text() -> None:
    change = {**CHANGES[0], "path": ("PumpControl", "statement:3")}
    card = page(comparison((change,))).partition('id="change-1"')[2].partition("</article>")[0]
    assert "<svg" not in card and "<mark>" in card


def test_without_copies_the_page_is_still_whole() -> None:
    Outline(html.write(comparison(), None, None))
    Outline(html.write(comparison((), "identical"), None, None))


@pytest.mark.parametrize("area", ["logic", "tag", "extension"])
def test_names_from_exports_cannot_inject(area: str) -> None:
    change = {
        **CHANGES[0],
        "area": area,
        "where": HOSTILE,
        "path": (HOSTILE, "network:1"),
        "summary": HOSTILE,
        "details": (HOSTILE + "!",),
        "before": f'Q := {{name "{HOSTILE}"}};' if area == "logic" else HOSTILE,
        "after": HOSTILE,
        **reaching(HOSTILE),
        "witness": None,
    }
    text = html.write(comparison((change,)), OLD, NEW, title=HOSTILE)
    assert "<script" not in text and "<img" not in text
    Outline(text)


def test_a_null_character_does_not_reach_the_page() -> None:
    change = {**CHANGES[0], "where": "a\x00b\x1b", "before": "\x00", "after": "\x07\x0b"}
    assert not re.search(r"[\x00-\x08\x0b-\x1f]", page(comparison((change,))))


# --- colours: WCAG 2.2 success criterion 1.4.3, contrast of at least 4.5 ---


def _palettes() -> list[dict[str, str]]:
    css = (files("asfound.reports") / "report.css").read_text(encoding="utf-8")
    blocks = re.findall(r":root \{([^}]*--ink[^}]*)\}", css)
    first = dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{3,6})", blocks[0]))
    return [{**first, **dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{3,6})", block))} for block in blocks[:3]]


def _luminance(colour: str) -> float:
    digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    r, g, b = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def _contrast(one: str, other: str) -> float:
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("palette", _palettes(), ids=["light", "dark", "print"])
def test_contrast(palette: dict[str, str]) -> None:
    pairs = [
        (text, ground)
        for text in ("ink", "soft", "accent", "added", "removed", "changed")
        for ground in ("paper", "sheet", "faint")
    ]
    pairs += [
        ("added", "added-ground"),
        ("removed", "removed-ground"),
        ("ink", "added-ground"),
        ("ink", "removed-ground"),
    ]
    pairs += [("on-strong", "strong")]
    weak = {pair: _contrast(palette[pair[0]], palette[pair[1]]) for pair in pairs}
    assert {pair: round(ratio, 2) for pair, ratio in weak.items() if ratio < 4.5} == {}
