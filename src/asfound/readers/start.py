"""Start values as program documents write them."""

from __future__ import annotations

from asfound.language.literals import canonical


def start_value(text: str, type: str) -> str:
    """Canonical spelling of the start value of a variable of that type.

    Exporters write a string with or without its quotes, and importers add them (observed in public files). Text with a
    quote of its own inside is left as it is written, since nobody knows what an importer makes of it.

    >>> start_value("abc", "STRING[80]"), start_value("'abc'", "STRING"), start_value("1", "BOOL")
    ("'abc'", "'abc'", 'TRUE')
    """
    quote = _quote(type)
    if quote and text and "'" not in text and '"' not in text:
        return f"{quote}{text}{quote}"
    return canonical(text, type)


def _quote(type: str) -> str:
    word = type.upper().partition("[")[0].partition("(")[0].strip()
    return {"STRING": "'", "WSTRING": '"'}.get(word, "")
