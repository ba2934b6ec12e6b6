"""What every page shares: one file that opens offline, asks for nothing and works without JavaScript."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.resources import files

from asfound.reports.cards import text

_POLICY = "default-src 'none'; style-src 'unsafe-inline'"


def page(name: str, body: str, *, skip: tuple[str, str], sheets: tuple[str, ...] = ("report.css",)) -> str:
    """The whole page; ``skip`` is the id that the first link leads to, and its words; ``sheets`` are styles of ours."""
    style = "".join((files("asfound.reports") / sheet).read_text(encoding="utf-8") for sheet in sheets)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="generator" content="asfound">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n'
        f"<title>{text(name)}</title>\n<style>\n{style}</style>\n</head>\n<body>\n"
        f'<a class="skip" href="#{skip[0]}">{skip[1]}</a>\n'
        f"<main>\n{body}</main>\n</body>\n</html>\n"
    )


def listed(items: Iterable[str]) -> str:
    """A list of texts."""
    return f"<ul>{''.join(f'<li>{text(item)}</li>' for item in items)}</ul>"


def table(heads: Iterable[str], rows: Iterable[Iterable[str]], name: str) -> str:
    """A table of texts that scrolls by itself where the page is narrow."""
    top = "".join(f'<th scope="col">{text(head)}</th>' for head in heads)
    body = "".join(f"<tr>{''.join(f'<td>{text(cell)}</td>' for cell in row)}</tr>" for row in rows)
    return (
        f'<div class="sheet" tabindex="0" role="group" aria-label="{text(name)}"><table><thead><tr>{top}</tr></thead>'
        f"<tbody>{body}</tbody></table></div>"
    )


def cautions(items: Iterable[str]) -> str:
    """The section no report goes without."""
    return f'<section class="cautions"><h2>Before anybody works on the machine</h2>{listed(items)}</section>\n'
