"""The names of the normal form in a tree: those that :mod:`asfound.language.paths` made, which are safe everywhere.

Records stored before that was so have them escaped once more (``F%25C3%25B6rderband.st``). Which it is cannot be told
by the names alone, but the digest of the normal form covers them.
"""

from __future__ import annotations

from collections.abc import Mapping

from asfound.archive.safe_names import unescape


def names_as_stored(files: Mapping[str, str], sha256: str) -> dict[str, str]:
    """The normal form, ``{name: text}``, out of the files below its folder. Cost: a digest over them.

    Texts that do not give the digest are damaged; they come with the names of the usual spelling.
    """
    from asfound.language.normal import digest

    plain = dict(files)
    if not any("%" in path for path in files) or digest(plain) == sha256:
        return plain
    escaped_twice = {unescape(path): text for path, text in files.items()}
    return escaped_twice if digest(escaped_twice) == sha256 else plain
