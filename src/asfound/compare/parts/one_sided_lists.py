"""Lists that only one of two copies holds: hardware, tags, values, forces. They cannot be compared, and that is said.

A hardware list that is stored for the first time is no plant of added modules, and forces that an older copy does not
list may have been there all the time. So such a list is one undecided change, with everything it holds as details, and
one sentence among the limits. A list that is there and empty (a file with nothing but a heading) is a list: it says
that nothing is forced.
Known weakness: an empty list that is one sheet of a workbook of another kind, or is read with a profile, counts as
none; what the other copy lists is undecided then.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from asfound.analysis.places import Place
from asfound.compare.changes import Area, one_sided_change, one_sided_edit
from asfound.compare.result import Change, Edit
from asfound.compare.wording.phrases import edit
from asfound.model.copy import Copy
from asfound.model.hardware import Hardware


class List(NamedTuple):
    """A kind of list: its name, the reader of a file that is nothing else, and whether a copy has something of it."""

    area: Area
    name: str
    format: str
    filled: Callable[[Copy], bool]
    path: str


LISTS = (
    List("tag", "tag table", "tag-table", lambda c: bool(c.tables), "tags"),
    List("hardware", "hardware list", "module-list", lambda c: _listed(c.hardware), "hardware"),
    List("value", "value list", "value-list", lambda c: bool(c.values), "values"),
    List("force", "force list", "force-list", lambda c: bool(c.forces), "forces"),
)
_BY_AREA = {each.area: each for each in LISTS}


def _listed(hardware: Hardware) -> bool:
    return bool(hardware.devices or hardware.subnets)


def holds(copy: Copy, area: Area) -> bool:
    """Whether a copy holds a list of this area, if only an empty one."""
    one = _BY_AREA[area]
    return one.filled(copy) or any(source.format == one.format for source in copy.sources)


def comparable(area: Area, old: Copy, new: Copy) -> bool:
    """Whether both copies hold such a list, or neither."""
    return holds(old, area) == holds(new, area)


def lacking(area: Area, old: Copy, new: Copy, what: str, inner: Sequence[Edit] = ()) -> Edit:
    """That one of the copies holds no such list; ``what`` counts the other one (``12 modules``)."""
    kind, owner = ("removed", "new") if holds(old, area) else ("added", "old")
    return one_sided_edit("whole list", kind, _BY_AREA[area].name, of=what, owner=owner, inner=inner)


def one_sided_list(area: Area, old: Copy, new: Copy, what: str, lines: Sequence[str]) -> Change:
    """The one change for a list that only one copy holds."""
    kind, path = "removed" if holds(old, area) else "added", _BY_AREA[area].path
    edits = [lacking(area, old, new, what), *(edit("listed", new=line) for line in lines)]
    return one_sided_change(area, kind, Place(path, (path,)), "\n".join(lines), edits)


def counted(count: int, what: str) -> str:
    """``1 tag``, ``2 tags``."""
    return f"{count} {what}{'' if count == 1 else 's'}"


def is_one_sided(area: str, kind: str, effect: str, path: Sequence[str]) -> bool:
    """Whether a change (or a row made of it) is about a list that only one copy holds."""
    one = next((each for each in LISTS if each.area == area), None)
    return one is not None and kind != "changed" and effect == "undecided" and tuple(path) == (one.path,)


def under_names(edits: Sequence[Edit], old: str, new: str) -> tuple[Edit, ...]:
    """The edits where the copies are not called old and new but running, card or office."""
    names = {"old": old, "new": new}
    return tuple(replace(e, owner=names.get(e.owner, e.owner)) for e in edits)


def without_one_sided(old: Copy, new: Copy) -> tuple[Copy, Copy]:
    """Both copies without the hardware and the tags that only one of them lists."""
    if not comparable("hardware", old, new):
        old, new = (replace(copy, hardware=Hardware()) for copy in (old, new))
    if not comparable("tag", old, new):
        old, new = (replace(copy, tables=()) for copy in (old, new))
    return old, new


def limits(copies: Mapping[str, Copy]) -> tuple[str, ...]:
    """One sentence for each list that some of these copies hold and others do not.

    >>> from asfound.model.values import Force
    >>> limits({"old": Copy(), "new": Copy(forces=(Force("Float", "TRUE"),))})
    ('force list: the old copy holds none; that of the new copy is not compared',)
    """
    found = []
    for each in LISTS:
        having = [name for name, copy in copies.items() if holds(copy, each.area)]
        lacking = [name for name in copies if name not in having]
        if having and lacking:
            verb = "holds" if len(lacking) == 1 else "hold"
            told = "compared only with the values a program starts with" if each.area == "value" else "not compared"
            found.append(f"{each.name}: {_named(lacking)} {verb} none; that of {_named(having)} is {told}")
    return tuple(found)


def _named(names: Sequence[str]) -> str:
    if len(names) == 1:
        return f"the {names[0]} copy"
    return f"the {', '.join(names[:-1])} and {names[-1]} copies"
