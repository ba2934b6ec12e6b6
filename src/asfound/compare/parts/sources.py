"""Files that no reader understood: nothing is known about them but their bytes."""

from __future__ import annotations

from asfound.analysis.places import Place
from asfound.compare.changes import Kind, change
from asfound.compare.pairing.by_name import by_name
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit
from asfound.model.copy import Copy, Source


def compare_sources(old: Copy, new: Copy) -> list[Change]:
    """One undecided change per file whose bytes differ; the same bytes under another name are documentation."""
    before, after = _unread(old), _unread(new)
    same = {(s.name, s.sha256) for s in before} & {(s.name, s.sha256) for s in after}
    before, after = ([s for s in files if (s.name, s.sha256) not in same] for files in (before, after))
    found = by_name(before, after, lambda s: s.sha256)
    changes = [_renamed(a, b) for a, b, _ in found.pairs]
    left, come = list(found.removed), list(found.added)
    if len(left) == len(come) == 1:
        return [*changes, _file("changed", come[0], left[0], come[0])]
    names = {s.name: s for s in left}
    changes += [_file("changed", s, names.pop(s.name), s) for s in come if s.name in names]
    changes += [_file("removed", s, s, None) for s in names.values()]
    known = {s.name for s in left}
    return changes + [_file("added", s, None, s) for s in come if s.name not in known]


def _renamed(old: Source, new: Source) -> Change:
    at = Place(f"file {new.name}", (f"file:{new.name}",))
    texts = old.name, new.name
    return change("document", "renamed", at, texts, "", [edit("file name", *texts)])


def _unread(copy: Copy) -> list[Source]:
    return sorted((s for s in copy.sources if not s.format), key=lambda s: (s.name, s.sha256))


def _file(kind: Kind, named: Source, old: Source | None, new: Source | None) -> Change:
    at = Place(f"file {named.name}", (f"file:{named.name}",))
    names, texts = ([getattr(s, what) if s else None for s in (old, new)] for what in ("name", "sha256"))
    return change("document", kind, at, (texts[0], texts[1]), "", [edit("file", *names)])
