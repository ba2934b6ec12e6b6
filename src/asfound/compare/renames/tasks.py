"""Renamed tasks and program instances of one resource.

A task is recognised by its attributes and by the programs it runs, a program instance by its type and its task; of two
that fit equally well none is taken (see :mod:`.candidates`). Cost: the product of what came and what went.
"""

from __future__ import annotations

from msgspec.structs import replace

from asfound.analysis.places import Place
from asfound.compare.changes import change
from asfound.compare.pairing.by_name import by_name
from asfound.compare.renames.candidates import Item, matched
from asfound.compare.renames.texts import Map
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit
from asfound.model.program import Instance, Resource, Task


def with_renames(place: Place, old: Resource, new: Resource) -> tuple[Resource, list[Change]]:
    """The old resource with the names of the new one, and one change for each rename."""
    tasks = _tasks(old, new)
    step = replace(
        old,
        tasks=tuple(replace(t, name=tasks.get(t.name.lower(), t.name)) for t in old.tasks),
        instances=tuple(replace(i, task=tasks.get(i.task.lower(), i.task)) for i in old.instances),
    )
    programs = _programs(step, new)
    renamed = tuple(replace(i, name=programs.get(i.name.lower(), i.name)) for i in step.instances)
    changes = [_change(place, "task", t.name, tasks) for t in old.tasks if t.name.lower() in tasks]
    changes += [_change(place, "program", i.name, programs) for i in old.instances if i.name.lower() in programs]
    return replace(step, instances=renamed), changes


def runs(resource: Resource) -> frozenset[tuple[str, ...]]:
    """What a resource is known by: its tasks, its programs, and what these run."""
    tasks = {("task", t.name.lower()) for t in resource.tasks} | {
        ("program", i.name.lower()) for i in resource.instances
    }
    return frozenset(tasks | {("runs", i.type.lower()) for i in resource.instances if i.type})


def _change(place: Place, what: str, name: str, names: Map) -> Change:
    new = names[name.lower()]
    at = place.down(f"{what} {new}", f"{'instance' if what == 'program' else what}:{new}")
    notes = (edit("paths and values"),) if what == "program" else ()
    return change("task", "renamed", at, (name, new), "", (edit("renamed", name, new, of=what), *notes))


def _tasks(old: Resource, new: Resource) -> Map:
    found = by_name(old.tasks, new.tasks, lambda t: t.name)
    return matched([_task(old, task) for task in found.gone], [_task(new, task) for task in found.come], {}, {})


def _task(resource: Resource, task: Task) -> Item:
    programs = (i.name.lower() for i in resource.instances if i.task.lower() == task.name.lower())
    attributes = (f"every {task.interval}", f"priority {task.priority}", f"on {task.single}", f"kind {task.kind}")
    settings = (f"{s.name}={s.value}" for s in task.settings)
    return Item(task.name, ("task",), content=(*attributes, *settings, *programs))


def _programs(old: Resource, new: Resource) -> Map:
    found = by_name(old.instances, new.instances, lambda i: i.name)
    return matched([_program(i) for i in found.gone], [_program(i) for i in found.come], {}, {})


def _program(instance: Instance) -> Item:
    return Item(instance.name, ("program", instance.type.lower()), content=(instance.task.lower(),))
