"""Edits of real exports: one thing of a copy made otherwise, and where and how a comparison has to tell it.

That these are the edits people make is common practice. The files were written by others (see ../shared/corpus); what
is edited is the model that was read, so that an edit is possible in every format.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from random import Random
from typing import Any, NamedTuple

import msgspec
from msgspec.structs import replace

from asfound.language import standard
from asfound.language.walk import every_body, every_pou
from asfound.model import program as p
from asfound.model.copy import Copy
from asfound.model.logic import Assign, Expression, If, Invocation, Literal, Operation, Statement, Variable
from asfound.model.tree import CODE

ACTS = ("behaviour", "undecided", "equivalent")
READ = ("documentation",)
TAKEN = frozenset(
    "in out pt q et cu cd r s r1 s1 q1 pv cv qu qd ld clk load reset set en eno true false st il ld fbd sfc n l d p p0 p1 init x t y z a b c".split()
)
"""Words of the languages, of standard blocks and of the model: renaming them would rename more than one thing."""
KEPT = frozenset(("comment", "comments", "title", "node", "kind", "section", "language", "qualifier"))
"""Fields of the model that hold no name."""


class Made(NamedTuple):
    """The copy with the edit; the only cause that is told has one of these effects and stands below this place."""

    copy: Copy
    kind: str
    effects: tuple[str, ...]
    path: tuple[str, ...]


Maker = Callable[[Copy, Random], Made | None]


def _program(copy: Copy, **parts: Any) -> Copy:
    return replace(copy, program=replace(copy.program, **parts))


def _pou(copy: Copy, old: p.Pou, **parts: Any) -> Copy:
    return _program(copy, pous=tuple(replace(u, **parts) if u is old else u for u in copy.program.pous))


def _chosen(random: Random, of: Iterator[Any]) -> Any:
    found = list(of)
    return random.choice(found) if found else None


def _bodies(copy: Copy) -> Iterator[tuple[p.Pou, Callable[[p.Body], Copy], p.Body]]:
    """The bodies and actions of the POUs, each with how to put another in its place."""
    for pou in copy.program.pous:
        for body in pou.bodies:
            yield pou, lambda new, pou=pou, old=body: _pou(copy, pou, bodies=_with(pou.bodies, old, new)), body
        for action in pou.actions:
            yield (
                pou,
                lambda new, pou=pou, old=action: _pou(
                    copy, pou, actions=_with(pou.actions, old, replace(old, body=new))
                ),
                action.body,
            )


def _with(all: tuple[Any, ...], old: Any, new: Any) -> tuple[Any, ...]:
    """The same with one put in the place of another; with none, without it."""
    return tuple(e for each in all if (e := new if each is old else each) is not None)


def _statements(
    copy: Copy, *, drawn: bool = True
) -> Iterator[tuple[p.Pou, Callable[[Statement | None], Copy], Statement]]:
    for pou, put, body in _bodies(copy):
        for each in body.statements:
            yield (
                pou,
                lambda new, b=body, e=each, put=put: put(replace(b, statements=_with(b.statements, e, new))),
                each,
            )
        for net in body.networks if drawn else ():
            for each in net.statements:

                def placed(new: Statement | None, b=body, n=net, e=each, put=put) -> Copy:
                    network = replace(n, statements=_with(n.statements, e, new))
                    return put(replace(b, networks=_with(b.networks, n, network)))

                yield pou, placed, each


def _negated(e: Expression) -> Expression:
    return e.operands[0] if isinstance(e, Operation) and e.operator == "NOT" else Operation("NOT", (e,))


def _boolean(e: Expression) -> bool:
    return isinstance(e, Operation) and e.operator in ("AND", "OR", "NOT", "=", "<>", "<", ">")


def condition_negated(copy: Copy, random: Random) -> Made | None:
    found = _chosen(random, (s for s in _statements(copy) if isinstance(s[2], If) or _assigns(s[2])))
    if found is None:
        return None
    pou, put, old = found
    if isinstance(old, If):
        first = replace(old.branches[0], condition=_negated(old.branches[0].condition))
        return Made(put(replace(old, branches=(first, *old.branches[1:]))), "changed", ACTS, (pou.name,))
    return Made(put(replace(old, value=_negated(old.value))), "changed", ACTS, (pou.name,))


def _assigns(s: Statement) -> bool:
    return isinstance(s, Assign) and s.kind == "assign" and s.condition is None and _boolean(s.value)


def statement_removed(copy: Copy, random: Random) -> Made | None:
    found = _chosen(random, (s for s in _statements(copy, drawn=False) if isinstance(s[2], Assign)))
    if found is None:
        return None
    pou, put, _ = found
    return Made(put(None), "", ACTS, (pou.name,))


def constant_changed(copy: Copy, random: Random) -> Made | None:
    found = _chosen(
        random,
        (
            s
            for s in _statements(copy)
            if isinstance(s[2], Assign) and isinstance(s[2].value, Literal) and s[2].value.text.isdigit()
        ),
    )
    if found is None:
        return None
    pou, put, old = found
    value = Literal(str(int(old.value.text) + 7))
    return Made(put(replace(old, value=value)), "changed", ACTS, (pou.name,))


def _variables(copy: Copy) -> Iterator[tuple[p.Pou, p.VariableDeclaration]]:
    return ((pou, v) for pou in copy.program.pous for v in pou.variables)


def _declared(copy: Copy, of: Iterator[tuple[p.Pou, p.VariableDeclaration]], random: Random, **parts: Any) -> Any:
    found = _chosen(random, of)
    if found is None:
        return None
    pou, v = found
    return _pou(copy, pou, variables=_with(pou.variables, v, replace(v, **parts))), pou, v


def comment_of_a_variable(copy: Copy, random: Random) -> Made | None:
    found = _declared(copy, _variables(copy), random, comment="seen on site")
    return found and Made(found[0], "changed", READ, (found[1].name, f"variable:{found[2].name}"))


def initial_value(copy: Copy, random: Random) -> Made | None:
    plain = (
        pair
        for pair in _variables(copy)
        if pair[1].type == "BOOL" and not pair[1].initial and pair[1].section == "local"
    )
    found = _declared(copy, plain, random, initial="TRUE")
    return found and Made(found[0], "changed", (*ACTS, *READ), (found[1].name, f"variable:{found[2].name}"))


def address(copy: Copy, random: Random) -> Made | None:
    placed = (pair for pair in _variables(copy) if pair[1].address.upper().startswith(("%QX", "%IX")))
    found = _declared(copy, placed, random, address="%QX899.3")
    return found and Made(found[0], "readdressed", ("behaviour",), (found[1].name,))


def actions_in_another_order(copy: Copy, random: Random) -> Made | None:
    pou = _chosen(random, (u for u in copy.program.pous if len(u.actions) > 1))
    return pou and Made(_pou(copy, pou, actions=pou.actions[::-1]), "changed", READ, (pou.name,))


def empty_resource(copy: Copy, random: Random) -> Made | None:
    if not copy.program.resources:
        return None
    new = p.Resource("Spare_PLC", copy.program.resources[0].scope)
    return Made(_program(copy, resources=(*copy.program.resources, new)), "added", READ, ())


def idle_task(copy: Copy, random: Random) -> Made | None:
    resource = _chosen(random, iter(copy.program.resources))
    if resource is None:
        return None
    task = p.Task("Spare_Task", resource.tasks[0].scope if resource.tasks else "", interval="T#500ms", priority="9")
    return Made(
        _program(copy, resources=_with(copy.program.resources, resource, replace(resource, tasks=(*resource.tasks, task)))),
        "added", READ, (),
    )  # fmt: skip


def idle_type(copy: Copy, random: Random) -> Made | None:
    new = p.DataType("Spare_Type", "enum", values=(p.EnumValue("Spare_A"), p.EnumValue("Spare_B")))
    return Made(_program(copy, types=(*copy.program.types, new)), "added", ("equivalent", *READ), ())


def spelled_anew(copy: Copy, names: dict[str, str]) -> Copy:
    """Every use of these names, by folded name, with ``_new`` behind it, wherever a tool that renames would write it."""
    word = re.compile(rf"(?i)(?<!\w)(?:{'|'.join(sorted(map(re.escape, names), key=len, reverse=True))})(?!\w)")

    def anew(value: Any, key: str = "") -> Any:
        if key == "extensions" and isinstance(value, dict) and value.get("name"):  # data of a tool, which nobody reads
            return value
        if isinstance(value, dict):
            kept = KEPT if value.get("node") != "remark" else {*KEPT, "text"}
            return {k: v if k in kept else anew(v, k) for k, v in value.items()}
        if isinstance(value, (list, tuple)):
            return [anew(each, key) for each in value]
        return (
            word.sub(lambda m: f"{names[m[0].lower()]}_new", value)
            if isinstance(value, str) and value[:1] not in "'\""
            else value
        )

    return replace(copy, program=msgspec.convert(anew(msgspec.to_builtins(copy.program)), type=p.Program))


def names_in_files(copy: Copy) -> list[str]:
    """What a program declares and may be called otherwise: POUs, variables, steps, types and what is in them."""
    program = copy.program
    found = [t.name for t in program.types] + [e.name for t in program.types for e in (*t.members, *t.values)]
    for pou in every_pou(program.pous):
        found += [pou.name, *(e.name for e in (*pou.variables, *pou.actions, *pou.transitions))]
        found += [step.name for body in every_body(pou) if body.chart is not None for step in body.chart.steps]
    found += [v.name for block in program.globals for v in block.variables]
    known = {name.lower() for name in (*standard.FUNCTIONS, *standard.BLOCKS)}
    called = (e for pou in every_pou(program.pous) for body in every_body(pou) for e in CODE.all(body))
    pins = {a.name.lower() for e in called if isinstance(e, Invocation) and not _ours(copy, e) for a in e.inputs}
    return sorted({n for n in found if re.fullmatch(r"[^\W\d]\w{2,}", n) and n.lower() not in TAKEN | known | pins})


def _ours(copy: Copy, call: Invocation) -> bool:
    return isinstance(call.function, Variable) and call.function.name in {pou.name for pou in copy.program.pous}


def _renamed(copy: Copy, random: Random, of: Iterator[str]) -> Made | None:
    times = _declared_names(copy)
    name = _chosen(random, (n for n in of if n and n.lower() not in TAKEN and times[n.lower()] == 1))
    return name and Made(spelled_anew(copy, {name.lower(): name}), "renamed", ("equivalent", *READ), ())


def _declared_names(copy: Copy) -> Counter[str]:
    """How many things have each folded name."""
    found: list[str] = []

    def look(value: Any, key: str = "") -> None:
        if isinstance(value, dict):
            found.extend([value["name"].lower()] if "name" in value and "node" not in value else [])
            for k, v in value.items():
                look(v, k)
        elif isinstance(value, (list, tuple)) and key not in ("inputs", "outputs", "settings", "extensions"):
            for each in value:
                look(each, key)

    look(msgspec.to_builtins(copy.program))
    return Counter(found)


def pou_renamed(copy: Copy, random: Random) -> Made | None:
    return _renamed(copy, random, (u.name for u in copy.program.pous))


def local_renamed(copy: Copy, random: Random) -> Made | None:
    times = Counter(v.name.lower() for _, v in _variables(copy))
    return _renamed(copy, random, (v.name for _, v in _variables(copy) if times[v.name.lower()] == 1))


def action_renamed(copy: Copy, random: Random) -> Made | None:
    times = Counter(a.name.lower() for u in copy.program.pous for a in u.actions)
    return _renamed(copy, random, (a.name for u in copy.program.pous for a in u.actions if times[a.name.lower()] == 1))


def step_renamed(copy: Copy, random: Random) -> Made | None:
    steps = [s.name for _, _, body in _bodies(copy) if body.chart for s in body.chart.steps]
    return _renamed(copy, random, (n for n in steps if steps.count(n) == 1))


def type_renamed(copy: Copy, random: Random) -> Made | None:
    return _renamed(copy, random, (t.name for t in copy.program.types))


def member_renamed(copy: Copy, random: Random) -> Made | None:
    return _renamed(copy, random, (m.name for t in copy.program.types for m in t.members))


def enum_value_renamed(copy: Copy, random: Random) -> Made | None:
    return _renamed(copy, random, (v.name for t in copy.program.types for v in t.values))


def list_renamed(copy: Copy, random: Random) -> Made | None:
    return _renamed(copy, random, (g.name for g in copy.program.globals))


MAKERS: tuple[Maker, ...] = (
    condition_negated, statement_removed, constant_changed, comment_of_a_variable, initial_value, address,
    actions_in_another_order, empty_resource, idle_task, idle_type, pou_renamed, local_renamed, action_renamed, step_renamed,
    type_renamed, member_renamed, enum_value_renamed, list_renamed,
)  # fmt: skip
