"""Tasks and program instances that are called otherwise: what they are known by, and the changes that tell it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from asfound.analysis.places import Place
from asfound.compare.renames.tasks import runs, with_renames
from asfound.model.program import Instance, Resource, Setting, Task

AT = Place("resource Cpu", ("resource:Cpu",))
TASK = Task("Quick", "P", "1", "T#10ms", "door", "cyclic", (Setting("Watchdog", "1s"),))


def cpu(*tasks: Task, programs: tuple[Instance, ...] = (), name: str = "Cpu") -> Resource:
    return Resource(name, "P", tasks=tasks, instances=programs)


A = Instance("A", "X", "Quick")
RENAMED: dict[str, tuple[Resource, Resource, list[str]]] = {
    "a task": (cpu(TASK), cpu(replace(TASK, name="Rapid")), ["task Quick Rapid"]),
    "a task with all its settings and half of its attributes": (
        cpu(TASK), cpu(Task("Rapid", "P", "1", "T#10ms", "gate", "free", TASK.settings)), ["task Quick Rapid"],
    ),
    "a task with less in common": (
        cpu(TASK), cpu(Task("Rapid", "P", "1", "T#10ms", "gate", "free", (Setting("Watchdog", "2s"),))), [],
    ),
    "a task of other attributes with the same programs": (
        cpu(TASK, programs=tuple(Instance(n, "X", "quick") for n in "ABCDE")),
        cpu(Task("Rapid", "P", "2", "T#1s", "gate", "free", TASK.settings),
            programs=tuple(Instance(n, "X", "Rapid") for n in "ABCDE")),
        ["task Quick Rapid"],
    ),
    "a task of other attributes with other programs": (
        cpu(TASK, programs=tuple(Instance(n, "X", "Other") for n in "ABCDE")),
        cpu(Task("Rapid", "P", "2", "T#1s", "gate", "free", TASK.settings),
            programs=tuple(Instance(n, "X", "Other") for n in "ABCDE")),
        [],
    ),
    "a program": (cpu(TASK, programs=(A,)), cpu(TASK, programs=(replace(A, name="B"),)), ["program A B"]),
    "a program of a task that is called otherwise": (
        cpu(TASK, programs=(A,)), cpu(replace(TASK, name="Rapid"), programs=(Instance("B", "x", "Rapid"),)),
        ["task Quick Rapid", "program A B"],
    ),
    "a program in another task": (
        cpu(TASK, programs=(A,)), cpu(TASK, programs=(Instance("B", "X", "Slow"),)), [],
    ),
    "a program of another type": (cpu(TASK, programs=(A,)), cpu(TASK, programs=(Instance("B", "Y", "Quick"),)), []),
    "one that stayed": (cpu(TASK, programs=(A,)), cpu(TASK, programs=(A, replace(A, name="B"))), []),
    "two": (
        cpu(TASK, programs=(A, Instance("C", "Y", "Quick"))),
        cpu(TASK, programs=(Instance("D", "Y", "Quick"), Instance("B", "X", "Quick"))),
        ["program A B", "program C D"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", RENAMED)
def test_a_task_is_known_by_what_it_says_and_runs_and_a_program_by_its_type_and_task(name: str) -> None:
    old, new, expected = RENAMED[name]
    found, changes = with_renames(AT, old, new)
    assert [" ".join((c.edits[0].of, c.edits[0].old or "", c.edits[0].new or "")) for c in changes] == expected
    said = {(line.split()[0], line.split()[1]): line.split()[2] for line in expected}
    assert [t.name for t in found.tasks] == [said.get(("task", t.name), t.name) for t in old.tasks]
    assert [i.name for i in found.instances] == [said.get(("program", i.name), i.name) for i in old.instances]
    renamed = {was.lower(): now for (what, was), now in said.items() if what == "task"}
    assert [i.task for i in found.instances] == [renamed.get(i.task.lower(), i.task) for i in old.instances]
    assert replace(found, tasks=old.tasks, instances=old.instances) == old


def test_what_is_told_of_a_task_and_of_a_program() -> None:
    old, new = cpu(TASK, programs=(A,)), cpu(replace(TASK, name="Rapid"), programs=(Instance("B", "X", "Rapid"),))
    task, program = with_renames(AT, old, new)[1]
    assert (task.area, task.kind, task.effect, task.where, task.path) == (
        "task", "renamed", "equivalent", "resource Cpu / task Rapid", ("resource:Cpu", "task:Rapid"),
    )  # fmt: skip
    assert (program.where, program.path) == ("resource Cpu / program B", ("resource:Cpu", "instance:B"))
    assert [(c.before, c.after) for c in (task, program)] == [("Quick", "Rapid"), ("A", "B")]
    assert [[e.field for e in c.edits] for c in (task, program)] == [["renamed"], ["renamed", "paths and values"]]


def test_what_a_resource_runs() -> None:
    assert runs(cpu()) == frozenset()
    found = runs(cpu(TASK, programs=(A, Instance("Bare", ""))))
    assert found == {("task", "quick"), ("program", "a"), ("runs", "x"), ("program", "bare")}
