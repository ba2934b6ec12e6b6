"""Files that an export links to: found beside it when one file is named, and told where they are not there.

Nothing is followed but a path within the folder of the named file; no address, no absolute path, no link of the file
system that leads out of it. What is found is a file of the copy like any other, so it is stored with it, and a
file that is linked twice, or that links back, is read once.
"""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple, TypeAlias

import msgspec
from lxml import etree

from asfound.model.copy import Copy
from asfound.model.problem import Problem
from asfound.model.program import Setting
from asfound.model.tree import Walk
from asfound.readers import xml
from asfound.readers.automationml.logic_links import MENTION, Link
from asfound.readers.automationml.package import linking

Files: TypeAlias = Sequence[tuple[str, bytes]]
SHOWN = 120
"""Characters of an address that are shown."""
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


class _Objects(NamedTuple):
    """What a document says of the ids that links to it name."""

    mentioned: frozenset[str]
    """The ids that it holds in any attribute: in none of the formats all ids have one name."""
    names: Mapping[str, str]
    """Where an object with such an id stands: the names around it and its own, where no other object stands there."""


def followed(copy: Copy, files: Files) -> Copy:
    """The copy of these files, with a sentence for each link that leads nowhere and names instead of ids.

    An id at the end of a link may be made anew with each export, like the one that it means, so it is no difference.
    """
    there = {name.lower(): data for name, data in files}
    limits = set(copy.limits)
    names: dict[str, set[str]] = {}
    for name, data in files:
        found = linking(data, name)
        known = there if found.inside is None else found.inside
        objects = _linked(found.links, known)
        limits.update(_unmet(name, found.links, known, objects))
        for link in found.links:
            end = objects.get(link.target)
            said = end.names.get(link.id, "") if end else ""
            names.setdefault(link.uri, set()).add(f"{link.address}#{said}" if said else link.uri)
    only = {uri: text for uri, (text, *more) in names.items() if not more and text != uri}
    if only:
        copy = msgspec.structs.replace(copy, hardware=_renamed(copy.hardware, only))
    return msgspec.structs.replace(copy, limits=tuple(sorted(limits)))


def _unmet(
    name: str, links: Sequence[Link], known: Mapping[str, bytes], objects: Mapping[str, _Objects]
) -> Iterator[str]:
    """A sentence for each file, or object in one, that an export links to and that is not there."""
    missing: dict[str, list[str]] = {}
    for link in links:
        if not link.target:
            yield f"{name} links to '{link.address[:SHOWN]}', which leads out of its folder and is not followed"
        elif link.target.lower() not in known:
            yield f"{name} links to {link.target}, which is not there; the logic in it is missing"
        elif link.id and link.id not in objects[link.target].mentioned:
            missing.setdefault(link.target, []).append(link.id)
    for target, (first, *more) in missing.items():
        which = f"{len(more) + 1} objects of {target}, the first is '{first}'" if more else f"'{first}' of {target}"
        yield f"{name} links to {which}, which {'are' if more else 'is'} not there"


def _linked(links: Sequence[Link], known: Mapping[str, bytes]) -> dict[str, _Objects]:
    """Each file that is there and of which an object is linked."""
    ids: dict[str, set[str]] = {}
    for link in links:
        if link.id and link.target.lower() in known:
            ids.setdefault(link.target, set()).add(link.id)
    return {target: _objects(known[target.lower()], wanted) for target, wanted in ids.items()}


def _objects(data: bytes, wanted: set[str]) -> _Objects:
    """What a document says of these ids; of what is no XML one look has to tell whether it holds them."""
    mentioned: set[str] = set()
    placed: list[tuple[str, str]] = []
    path: list[str] = []
    try:
        xml.refuse_head(data, "")
        for event, element in etree.iterparse(io.BytesIO(data), events=("start", "end"), **xml.SAFE):
            if event == "start":
                path.append(str(element.get("name", "")))
                mentioned |= wanted.intersection(map(str, element.attrib.values()))
                if path[-1] and (id := str(element.get("globalId", ""))):
                    placed.append((id, "/".join(filter(None, path))))
            else:
                path.pop()
                element.clear()
    except (Problem, etree.XMLSyntaxError):
        wide = b"\0" in data[:200]
        return _Objects(frozenset(id for id in wanted if wide or id.encode("utf-8", "replace") in data), {})
    ids, places = Counter(id for id, _ in placed), Counter(place for _, place in placed)
    names = {id: place for id, place in placed if id in wanted and ids[id] == places[place] == 1}
    return _Objects(frozenset(mentioned), names)


def _renamed(node: object, names: Mapping[str, str]) -> object:
    if isinstance(node, Setting):
        new = names.get(node.value) if node.name.endswith(f"/{MENTION}") else None
        return msgspec.structs.replace(node, value=new) if new else node
    return _SETTINGS.rebuilt(node, lambda each: _renamed(each, names))
