"""Extension data with a known meaning that is a list of named values: tasks, libraries, the project tree."""

from __future__ import annotations

from asfound.language.literals import canonical
from asfound.model.program import Library, Setting
from asfound.readers.extra.attribute_pragmas import data_items, drop
from asfound.readers.residue import Residue
from asfound.readers.xml import Element, attribute, children, cut, is_empty, local


def settings_of(element: Element, prefix: str = "") -> tuple[Setting, ...]:
    """All attributes and texts below an element as settings, names joined with ``/``; they are taken.

    An element that has a name of its own is told apart by it, ``Parameter[MaxItems]/Value``.
    """
    found = [
        Setting(f"{prefix}{str(name).rpartition('}')[2]}", str(value)) for name, value in sorted(element.attrib.items())
    ]
    for name in list(element.attrib):
        del element.attrib[name]
    text = (element.text or "").strip()
    if text:
        found.append(Setting(prefix.rstrip("/") or local(element), text))
        element.text = None
    for child in list(element):
        found += settings_of(child, f"{prefix}{_label(child)}/")
        if is_empty(child):
            cut(child)
    return tuple(found)


def _label(element: Element) -> str:
    own = element.get("Name") or next((c.text for c in children(element, "Name") if not len(c)), None)
    return f"{local(element)}[{own.strip()}]" if own and own.strip() else local(element)


def task_settings(element: Element) -> tuple[str, tuple[Setting, ...]]:
    """Kind of a task and its settings from ``tasksettings``: the real cycle and the watchdog may stand only there."""
    kind, found = "", []
    for data in data_items(element, "tasksettings"):
        for holder in list(data):
            for setting in settings_of(holder):
                if setting.name == "KindOfTask":
                    kind = setting.value
                else:
                    found.append(Setting(setting.name, _duration(setting)))
            if is_empty(holder):
                cut(holder)
        drop(data)
    return kind, tuple(sorted(found, key=lambda s: s.name))


def _duration(setting: Setting) -> str:
    return canonical(setting.value, "TIME") if "#" in setting.value else setting.value


def libraries(element: Element, residue: Residue) -> list[Library]:
    """``Libraries`` extension data, consumed: name, version asked for, parameters."""
    found = []
    for each in [child for child in element if local(child) != residue.extra]:
        cut(each)
        name = attribute(each, "Name") or attribute(each, "name") or local(each)
        version = attribute(each, "DefaultResolution") or attribute(each, "Version") or attribute(each, "version")
        found.append(Library(name=name, version=version, settings=settings_of(each), extensions=residue.rest(each)))
    left = residue.rest(element)
    return [*found, Library(name="", extensions=left)] if left else found


def folders(element: Element, path: str = "") -> list[Setting]:
    """Where each object stands in the project tree (documentation), consumed; the ids stay for the noise table."""
    found = []
    for child in list(children(element, "Object", "Folder")):
        name = attribute(child, "Name")
        here = f"{path}/{name}" if path else name
        if local(child) == "Object":
            found.append(Setting(name="folder", value=here))
        found += folders(child, here)
        attribute(child, "ObjectId")
        if is_empty(child):
            cut(child)
    return found
