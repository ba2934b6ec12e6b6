"""Resources, tasks, program instances, libraries and the heading of a program."""

from __future__ import annotations

from asfound.analysis.canonical import literal_key
from asfound.analysis.places import Place
from asfound.compare.changes import change, one_sided_change, one_sided_edit
from asfound.compare.context import Context
from asfound.compare.lines import differs, settings, told
from asfound.compare.pairing.by_name import by_name
from asfound.compare.pairing.pair import Pair
from asfound.compare.parts.extensions import compare_extensions
from asfound.compare.renames.tasks import with_renames
from asfound.compare.result import Change, Edit, Effect
from asfound.compare.wording.phrases import edit
from asfound.language import printer
from asfound.model.program import Heading, Instance, Library, Program, Resource, Task


def compare_resources(context: Context, pair: Pair[Program]) -> list[Change]:
    """Changes of everything that decides when a program runs."""
    old, new, written = pair.each(lambda p: p.resources)
    found = by_name(old, new, lambda r: r.name, written)
    changes = [change for each in found.pairs for change in _resource(context, each)]
    return changes + [_one_resource(context, kind, resource) for kind, resource in found.alone]


def _idle(context: Context, kind: str, task: Task) -> bool:
    """Does no program run in a task, where the export shows which one runs in which, and nothing refers to it?"""
    users = context.users_new if kind == "added" else context.users_old
    resources = users.symbols.copy.program.resources
    name, instances = task.name.lower(), [i for r in resources for i in r.instances]
    named = any(i.task.lower() == name for i in instances) or name in users.of_global
    unknown = task.extensions or task.settings or any(r.extensions for r in resources)
    return bool(instances) and not (named or unknown)


def _one_resource(context: Context, kind: str, resource: Resource) -> Change:
    tasks = [task for task in resource.tasks if not _idle(context, kind, task)]
    runs = tasks or resource.instances or resource.extensions
    edits = [one_sided_edit("resource", kind, resource.name, effect=None if runs else "documentation")]
    edits += [] if runs else [edit("nothing runs")]
    return one_sided_change("task", kind, _place(resource), printer.resource(resource), edits)


def _place(resource: Resource) -> Place:
    return Place(f"resource {resource.name}", (f"resource:{resource.name}",))


def _resource(context: Context, pair: Pair[Resource]) -> list[Change]:
    old, new, written = pair
    if old == new:
        return []
    at = _place(new)
    edits = differs("type", old.type, new.type, fold=True)
    edits += differs("configuration", old.scope, new.scope)
    edits += differs("task comment", old.comment, new.comment)
    edits += differs("spelling", old.name, new.name)
    changes = told("task", at, f"resource {new.name}", edits)
    old, renamed = with_renames(at, old, new)
    changes += renamed
    tasks = by_name(old.tasks, new.tasks, lambda t: t.name, written.tasks)
    for before, after, _ in tasks.pairs:
        changes += _task(at, before, after)
    changes += [_one_task(context, at, kind, task) for kind, task in tasks.alone]
    instances = by_name(old.instances, new.instances, lambda i: i.name, written.instances)
    for first, second, _ in instances.pairs:
        changes += _instance(at, first, second)
    changes += [_one_instance(at, kind, instance) for kind, instance in instances.alone]
    changes += compare_extensions(at, old.extensions, new.extensions)
    if not changes and old != new:
        same = [i.name for i in old.instances] == [i.name for i in new.instances]
        edits = [edit("order of tasks", effect="documentation" if same else "undecided")]
        changes.append(change("task", "moved", at, (printer.resource(written), printer.resource(new)), "", edits))
    return changes


def _task(place: Place, old: Task, new: Task) -> list[Change]:
    if old == new:
        return []
    at = place.down(f"task {new.name}", f"task:{new.name}")
    same = old.interval and new.interval and literal_key(old.interval) == literal_key(new.interval)
    effect: Effect = "documentation" if same else "behaviour"
    edits = differs("interval", old.interval, new.interval, fold=True, effect=effect)
    edits += differs("priority", old.priority, new.priority, fold=True)
    edits += differs("trigger", old.single, new.single, fold=True)
    edits += differs("kind", old.kind, new.kind, fold=True)
    edits += differs("task scope", old.scope, new.scope)
    edits += settings("setting", old.settings, new.settings, ordered=True)
    edits += differs("task comment", old.comment, new.comment)
    edits += differs("spelling", old.name, new.name)
    return told("task", at, f"task {new.name}", edits) + compare_extensions(at, old.extensions, new.extensions)


def _one_task(context: Context, place: Place, kind: str, task: Task) -> Change:
    at = place.down(f"task {task.name}", f"task:{task.name}")
    when = "every" if task.interval else "on" if task.single else "whenever"
    inner = edit(when, new=task.interval or task.single), edit("with priority", new=task.priority)
    text = f"{task.name} {task.interval} {task.priority} {task.single}".strip()
    idle = _idle(context, kind, task)
    whole = one_sided_edit("whole task", kind, task.name, inner=inner, effect="documentation" if idle else None)
    return one_sided_change("task", kind, at, text, [whole, *([edit("no program")] if idle else [])])


def _instance(place: Place, old: Instance, new: Instance) -> list[Change]:
    if old == new:
        return []
    at = place.down(f"program {new.name}", f"instance:{new.name}")
    edits = differs("task", old.task, new.task, fold=True)
    edits += differs("type", old.type, new.type, fold=True)
    edits += differs("task comment", old.comment, new.comment)
    edits += differs("spelling", old.name, new.name)
    return told("task", at, f"program {new.name}", edits) + compare_extensions(at, old.extensions, new.extensions)


def _one_instance(place: Place, kind: str, instance: Instance) -> Change:
    at = place.down(f"program {instance.name}", f"instance:{instance.name}")
    inner = [edit("in task", new=instance.task) if instance.task else edit("without a task")]
    edits = [one_sided_edit("instance", kind, instance.name, of=instance.type or "unknown type", inner=inner)]
    text = f"{instance.name} : {instance.type} {instance.task}".strip()
    return one_sided_change("task", kind, at, text, edits)


def compare_libraries(old: Program, new: Program) -> list[Change]:
    """Changes of linked libraries; their code is in no export, so what they do cannot be decided."""
    found = by_name(old.libraries, new.libraries, lambda item: item.name)
    changes: list[Change] = []
    for before, after, _ in found.pairs:
        changes += _library(before, after)
    for kind, library in found.alone:
        at = Place(f"library {library.name}", (f"library:{library.name}",))
        edits = [one_sided_edit("library", kind, library.name, of=library.version), edit("library not shown")]
        changes.append(one_sided_change("declaration", kind, at, f"{library.name} {library.version}".strip(), edits))
    return changes


def _library(old: Library, new: Library) -> list[Change]:
    if old == new:
        return []
    at = Place(f"library {new.name}", (f"library:{new.name}",))
    edits = differs("library version", old.version, new.version)
    edits += settings("library setting", old.settings, new.settings)
    texts = old.version, new.version
    if edits:
        edits.append(edit("library unknown"))
    elif old.name != new.name or old.settings != new.settings:
        edits, texts = [edit("library written")], (old.name, new.name)
    changes = told("declaration", at, f"library {new.name}", edits, texts)
    return changes + compare_extensions(at, old.extensions, new.extensions)


def compare_heading(old: Heading, new: Heading) -> list[Change]:
    """What the title block says: documentation; the tool version is shown because it is evidence."""
    if old == new:
        return []
    edits: list[Edit] = []
    for what in ("name", "version", "author", "organization", "language", "comment", "tool"):
        edits += differs(f"project {what}", getattr(old, what), getattr(new, what))
    edits += settings("project setting", old.settings, new.settings)
    return told("document", Place("project", ("project",)), "project", edits or [edit("order of settings")])
