"""Data of an export that nobody interprets: compared as text, always undecided."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from asfound.analysis.places import Place
from asfound.compare.changes import Kind, change
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit
from asfound.language.readable import plain
from asfound.model.program import Extension


def compare_extensions(place: Place, old: Sequence[Extension], new: Sequence[Extension]) -> list[Change]:
    """At most one change per owner; the details name every path."""
    before, after = Counter(map(_key, old)), Counter(map(_key, new))
    if before == after:
        return []
    left, right = sorted((before - after).elements()), sorted((after - before).elements())
    kinds = {(k[0], k[1]) for k in left} & {(k[0], k[1]) for k in right}
    found = {(_named(k), "changed") for k in (*left, *right) if k[:2] in kinds}
    found |= {(_named(k), "removed") for k in left if k[:2] not in kinds}
    found |= {(_named(k), "added") for k in right if k[:2] not in kinds}
    edits = [edit(f"data {what}", of=name) for name, what in sorted(found, key=" ".join)]
    kind: Kind = "changed" if left and right else "added" if right else "removed"
    at = place.down("extension data", "extension")
    texts = _said(left), _said(right)
    return [change("extension", kind, at, texts, f"data that is not interpreted {kind}", edits)]


def _said(keys: Sequence[tuple[str, str, str]]) -> str | None:
    return "\n".join(plain(text) for _, _, text in keys) or None


def _key(extension: Extension) -> tuple[str, str, str]:
    return extension.path, extension.name, extension.text


def _named(key: tuple[str, str, str]) -> str:
    path, name = key[0].replace("text()", "text"), key[1]
    return f"{path} ({name})" if name else path
