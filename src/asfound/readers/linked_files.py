"""Files that an export links to: found beside it when one file is named, and told where they are not there.

Nothing is followed but a path within the folder of the named file; no address, no absolute path, no link of the file
system that leads out of it. What is found is a file of the copy like any other, so it is stored with it, and a
file that is linked twice, or that links back, is read once.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TypeAlias

import msgspec

from asfound.model.copy import Copy
from asfound.model.problem import Problem
from asfound.model.program import Setting
from asfound.model.tree import Walk
from asfound.readers.automationml.logic_links import MENTION, Link
from asfound.readers.automationml.package import linking

Files: TypeAlias = Sequence[tuple[str, bytes]]
SHOWN = 120
"""Characters of an address that are shown."""
_POUS = rb"(?:pou|Program|FunctionBlock|Function|Class|Interface)"
_TAGS = re.compile(
    rb"<(?:[\w.-]+:)?(?P<pou>%b)\s[^<>]*>|<[^<>]*\sglobalId\s*=[^<>]*>|</(?:[\w.-]+:)?%b\s*>" % (_POUS, _POUS)
)
_ID, _NAME = (re.compile(rb"\s%b\s*=\s*(?:\"([^\"]*)\"|'([^']*)')" % word) for word in (b"globalId", b"name"))
_SETTINGS = Walk[Setting](Setting)


def wanted(name: str, data: bytes) -> list[str]:
    """Files that an export links to, seen from where its name is seen from; a container links to its own parts."""
    found = linking(data, name)
    return list(dict.fromkeys(link.target for link in found.links if link.target and found.inside is None))


def inside(folder: Path, name: str) -> Path | None:
    """The file of that name below a folder; None when there is none. Raises Problem for one that lies elsewhere."""
    file = folder / name
    try:
        if not file.resolve(strict=True).is_relative_to(folder.resolve()):
            raise Problem("is a link that leads out of its folder", where=str(file), advice="copy the file itself")
        return file if file.is_file() else None
    except (OSError, RuntimeError, ValueError):  # no such file, links in a circle, a name that no system takes
        return None


def followed(copy: Copy, files: Files) -> Copy:
    """The copy of these files, with a sentence for each link that leads nowhere and names instead of ids.

    An id at the end of a link may be made anew with each export, like the one that it means, so it is no difference.
    """
    there = {name.lower(): data for name, data in files}
    limits = set(copy.limits)
    names: dict[str, str] = {}
    for name, data in files:
        found = linking(data, name)
        known = there if found.inside is None else found.inside
        limits.update(_unmet(name, found.links, known))
        names |= _named(found.links, known)
    if names:
        copy = msgspec.structs.replace(copy, hardware=_renamed(copy.hardware, names))
    return msgspec.structs.replace(copy, limits=tuple(sorted(limits)))


def _unmet(name: str, links: Sequence[Link], known: Mapping[str, bytes]) -> Iterator[str]:
    """A sentence for each file, or object in one, that an export links to and that is not there."""
    missing: dict[str, list[str]] = {}
    for link in links:
        other = known.get(link.target.lower())
        if not link.target:
            yield f"{name} links to '{link.address[:SHOWN]}', which leads out of its folder and is not followed"
        elif other is None:
            yield f"{name} links to {link.target}, which is not there; the logic in it is missing"
        elif link.id and not _mentions(other, link.id):
            missing.setdefault(link.target, []).append(link.id)
    for target, (first, *more) in missing.items():
        which = f"{len(more) + 1} objects of {target}, the first is '{first}'" if more else f"'{first}' of {target}"
        yield f"{name} links to {which}, which {'are' if more else 'is'} not there"


def _mentions(data: bytes, id: str) -> bool:
    """Whether a document holds an id, as far as one look tells: what is spelled with entities is believed."""
    return b"\0" in data[:200] or "&" in id or id.encode("utf-8", "replace") in data


def _named(links: Sequence[Link], known: Mapping[str, bytes]) -> dict[str, str]:
    """Links whose id is that of an object with a name, and how they read with the name instead."""
    ends = {link.target for link in links if link.id and link.target.lower() in known}
    names = {end: _names(known[end.lower()]) for end in ends}
    return {
        link.uri: f"{link.address}#{names[link.target][link.id]}"
        for link in links
        if link.id in names.get(link.target, {})
    }


def _names(data: bytes) -> dict[str, str]:
    """The name of each object that has an id, behind that of the POU it stands in."""
    found: dict[str, str] = {}
    owner = ""
    for tag in _TAGS.finditer(data):
        id, name = (_value(pattern, tag[0]) for pattern in (_ID, _NAME))
        if id and name:
            found[id] = f"{owner}/{name}" if owner and not tag["pou"] else name
        if tag["pou"] or tag[0].startswith(b"</"):
            owner = name
    return found


def _value(pattern: re.Pattern[bytes], tag: bytes) -> str:
    found = pattern.search(tag)
    return (found[1] or found[2] or b"").decode("utf-8", "replace") if found else ""


def _renamed(node: object, names: Mapping[str, str]) -> object:
    if isinstance(node, Setting):
        new = names.get(node.value) if node.name.endswith(f"/{MENTION}") else None
        return msgspec.structs.replace(node, value=new) if new else node
    return _SETTINGS.rebuilt(node, lambda each: _renamed(each, names))
