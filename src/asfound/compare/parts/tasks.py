"""Resources, tasks, program instances, libraries and the heading of a program."""

from __future__ import annotations

from asfound.analysis.canonical import literal_key
from asfound.analysis.places import Place
from asfound.compare.changes import summed, worded, worded_one_sided
from asfound.compare.lines import Lines, differs, settings, told
from asfound.compare.pairing.by_name import by_name
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.parts.settings import differing_settings
from asfound.compare.renames.tasks import with_renames
from asfound.compare.result import Change, Effect
from asfound.language import printer
from asfound.model.program import Heading, Instance, Library, Program, Resource, Task


def compare_resources(old: Program, new: Program, original: Program) -> list[Change]:
    """Changes of everything that decides when a program runs."""
    found = by_name(old.resources, new.resources, lambda r: r.name)
    changes: list[Change] = []
    for before, after, index in found.pairs:
        changes += _resource(before, after, original.resources[index])
    changes += [_one_resource("removed", _place(r), original.resources[i]) for r, i in found.removed]
    return changes + [_one_resource("added", _place(resource), resource) for resource in found.added]


def _one_resource(kind: str, at: Place, resource: Resource) -> Change:
    said = f"resource {resource.name} {kind}"
    return worded_one_sided("task", kind, "behaviour", at, printer.resource(resource), said, (said,))


def _place(resource: Resource) -> Place:
    return Place(f"resource {resource.name}", (f"resource:{resource.name}",))


def _resource(old: Resource, new: Resource, original: Resource) -> list[Change]:
    if old == new:
        return []
    at = _place(new)
    lines: Lines = differs("type", old.type, new.type, "behaviour", fold=True)
    lines += differs("configuration", old.scope, new.scope, "documentation")
    lines += differs("comment", old.comment, new.comment, "documentation")
    lines += differs("spelling of the name:", old.name, new.name, "documentation")
    changes = told("task", at, f"resource {new.name}", lines)
    old, renamed = with_renames(at, old, new)
    changes += renamed
    tasks = by_name(old.tasks, new.tasks, lambda t: t.name)
    for before, after, _ in tasks.pairs:
        changes += _task(at, before, after)
    changes += [_one_task(at, "removed", original.tasks[i]) for _, i in tasks.removed]
    changes += [_one_task(at, "added", task) for task in tasks.added]
    instances = by_name(old.instances, new.instances, lambda i: i.name)
    for first, second, _ in instances.pairs:
        changes += _instance(at, first, second)
    changes += [_one_instance(at, "removed", original.instances[i]) for _, i in instances.removed]
    changes += [_one_instance(at, "added", instance) for instance in instances.added]
    changes += compare_extensions(at, old.extensions, new.extensions)
    if not changes and old != new:
        said = "tasks or programs listed in another order"
        effect: Effect = (
            "undecided" if [i.name for i in old.instances] != [i.name for i in new.instances] else "documentation"
        )
        texts = printer.resource(original), printer.resource(new)
        changes.append(worded("task", "moved", effect, at, *texts, said, (said,)))
    return changes


def _task(place: Place, old: Task, new: Task) -> list[Change]:
    if old == new:
        return []
    at = place.down(f"task {new.name}", f"task:{new.name}")
    same = old.interval and new.interval and literal_key(old.interval) == literal_key(new.interval)
    lines = differs("interval", old.interval, new.interval, "documentation" if same else "behaviour", fold=True)
    lines += differs("priority", old.priority, new.priority, "behaviour", fold=True)
    lines += differs("triggered by", old.single, new.single, "behaviour", fold=True)
    lines += differs("kind", old.kind, new.kind, "behaviour", fold=True)
    lines += differs("scope", old.scope, new.scope, "documentation")
    lines += settings(old.settings, new.settings, "setting", "behaviour")
    if old.settings != new.settings and not differing_settings(old.settings, new.settings):
        lines.append(("documentation", "settings listed in another order"))
    lines += differs("comment", old.comment, new.comment, "documentation")
    lines += differs("spelling of the name:", old.name, new.name, "documentation")
    return told("task", at, f"task {new.name}", lines) + compare_extensions(at, old.extensions, new.extensions)


def _one_task(place: Place, kind: str, task: Task) -> Change:
    at = place.down(f"task {task.name}", f"task:{task.name}")
    when = f"every {task.interval}" if task.interval else f"on {task.single}" if task.single else "freewheeling"
    said = f"task {task.name} {kind} ({when}, priority {task.priority or 'none'})"
    text = f"{task.name} {task.interval} {task.priority} {task.single}".strip()
    return worded_one_sided("task", kind, "behaviour", at, text, said, (said,))


def _instance(place: Place, old: Instance, new: Instance) -> list[Change]:
    if old == new:
        return []
    at = place.down(f"program {new.name}", f"instance:{new.name}")
    lines = differs("task", old.task, new.task, "behaviour", fold=True)
    lines += differs("type", old.type, new.type, "behaviour", fold=True)
    lines += differs("comment", old.comment, new.comment, "documentation")
    lines += differs("spelling of the name:", old.name, new.name, "documentation")
    return told("task", at, f"program {new.name}", lines) + compare_extensions(at, old.extensions, new.extensions)


def _one_instance(place: Place, kind: str, instance: Instance) -> Change:
    at = place.down(f"program {instance.name}", f"instance:{instance.name}")
    task = f"in task {instance.task}" if instance.task else "without a task"
    said = f"program {instance.name} : {instance.type or 'unknown type'} {kind} ({task})"
    text = f"{instance.name} : {instance.type} {instance.task}".strip()
    return worded_one_sided("task", kind, "behaviour", at, text, said, (said,))


def compare_libraries(old: Program, new: Program) -> list[Change]:
    """Changes of linked libraries; their code is in no export, so what they do cannot be decided."""
    found = by_name(old.libraries, new.libraries, lambda item: item.name)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _library(before, after)
    for library, kind in (*((x, "removed") for x, _ in found.removed), *((x, "added") for x in found.added)):
        at = Place(f"library {library.name}", (f"library:{library.name}",))
        said = f"library {library.name} {library.version} {kind}"
        details = ("the code of a library is not part of an export",)
        text = f"{library.name} {library.version}".strip()
        changes.append(worded_one_sided("declaration", kind, "undecided", at, text, said, details))
    return changes


def _library(old: Library, new: Library) -> list[Change]:
    if old == new:
        return []
    at = Place(f"library {new.name}", (f"library:{new.name}",))
    lines = [f"version {old.version or 'none'} -> {new.version or 'none'}"] if old.version != new.version else []
    lines += [f"setting {line}" for line in differing_settings(old.settings, new.settings)]
    changes: list[Change] = []
    if lines:
        said = f"library {new.name}: {summed(lines)}"
        lines.append("the code of a library is not part of an export, so what it does differently is unknown")
        changes.append(worded("declaration", "changed", "undecided", at, old.version, new.version, said, lines))
    elif old.name != new.name or old.settings != new.settings:
        said = f"library {new.name}: written in another way"
        changes.append(worded("declaration", "changed", "documentation", at, old.name, new.name, said, (said,)))
    return changes + compare_extensions(at, old.extensions, new.extensions)


def compare_heading(old: Heading, new: Heading) -> list[Change]:
    """What the title block says: documentation; the tool version is shown because it is evidence."""
    if old == new:
        return []
    lines: Lines = []
    for what in ("name", "version", "author", "organization", "language", "comment", "tool"):
        lines += differs(what, getattr(old, what), getattr(new, what), "documentation")
    lines += settings(old.settings, new.settings, "setting", "documentation")
    if not lines:
        lines = [("documentation", "settings listed in another order")]
    return told("document", Place("project", ("project",)), "project", lines)
