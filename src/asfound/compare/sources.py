"""Files that no reader understood: nothing is known about them but their bytes."""

from __future__ import annotations

from asfound.compare.changes import Kind, change
from asfound.compare.places import Place
from asfound.compare.result import Change
from asfound.model.copy import Copy, Source


def compare_sources(old: Copy, new: Copy) -> list[Change]:
    """One undecided change per file whose bytes differ."""
    before, after = _unread(old), _unread(new)
    same = {s.sha256 for s in before} & {s.sha256 for s in after}
    before, after = ([s for s in files if s.sha256 not in same] for files in (before, after))
    if len(before) == len(after) == 1:
        return [_file("changed", after[0], before[0], after[0])]
    names = {s.name: s for s in before}
    changes = [_file("changed", s, names.pop(s.name), s) for s in after if s.name in names]
    changes += [_file("removed", s, s, None) for s in names.values()]
    known = {s.name for s in before}
    return changes + [_file("added", s, None, s) for s in after if s.name not in known]


def _unread(copy: Copy) -> list[Source]:
    return sorted((s for s in copy.sources if not s.format), key=lambda s: (s.name, s.sha256))


def _file(kind: Kind, named: Source, old: Source | None, new: Source | None) -> Change:
    at = Place(f"file {named.name}", (f"file:{named.name}",))
    said = f"file {named.name} {kind}; no reader understands it"
    texts = (old.sha256 if old else None, new.sha256 if new else None)
    return change("document", kind, "undecided", at, texts[0], texts[1], said, (said,))
