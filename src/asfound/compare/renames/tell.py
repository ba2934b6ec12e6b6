"""The changes that tell renames."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from asfound.analysis.places import Place, list_name, rows, tag_place, tag_text, top
from asfound.analysis.symbols import Symbols
from asfound.analysis.where_used import Users
from asfound.compare.changes import Area, change, used
from asfound.compare.parts.declarations import SEEN_OUTSIDE
from asfound.compare.parts.types import type_place
from asfound.compare.renames.texts import Map
from asfound.compare.result import Change, Edit
from asfound.compare.wording.phrases import edit
from asfound.language import printer
from asfound.model.copy import Copy
from asfound.model.program import Body, DataType, Pou

OUTSIDE = edit("seen outside")


def _change(
    area: Area, place: Place, what: str, names: tuple[str, str], texts: tuple[str, str], notes: Sequence[Edit]
) -> Change:
    return change(area, "renamed", place, texts, "", (edit("renamed", *names, of=what), *notes))


def types(old: Copy, new: Copy, names: Map) -> list[Change]:
    """Renamed POUs and data types."""
    symbols_old, symbols_new = Symbols(old), Symbols(new)
    uses = Users(symbols_new)
    changes = []
    for key, name in sorted(names.items()):
        notes = used(uses.of_type(name))
        if key in symbols_old.pous:
            before, after = symbols_old.pous[key], symbols_new.pous[name.lower()]
            what = after.kind.replace("_", " ")
            changes.append(_change("logic", top(name), what, (before.name, name), (before.name, name), notes))
        else:
            was = symbols_old.types[key]
            pair = was.name, name
            changes.append(_change("datatype", type_place(name), "type", pair, pair, notes))
    return changes


def globals(old: Copy, new: Copy, names: Map) -> list[Change]:
    """Renamed global variables and tags; one change for a tag that is declared in the program as well."""
    uses = Users(Symbols(new))
    tags_old = {tag.name.lower(): (table, tag) for table, tag in rows(old.tables)}
    tags_new = {tag.name.lower(): (table, tag) for table, tag in rows(new.tables)}
    variables_old, variables_new = Symbols(old).globals, Symbols(new).globals
    changes = []
    for key, name in sorted(names.items()):
        notes = [OUTSIDE]
        if key in tags_old and name.lower() in tags_new:
            table, tag = tags_new[name.lower()]
            before = tags_old[key][1]
            notes += used(uses.of_global.get(name.lower(), ()))
            texts = tag_text(before), tag_text(tag)
            changes.append(_change("tag", tag_place(table, name), "tag", (before.name, name), texts, notes))
        elif key in variables_old and name.lower() in variables_new:
            was, now = variables_old[key], variables_new[name.lower()]
            notes += used(uses.of_global.get(name.lower(), ()))
            at = Place(name, (f"globals:{_list_of(new, name)}", f"variable:{name}"))
            texts = printer.variable(was), printer.variable(now)
            changes.append(_change("declaration", at, "global variable", (was.name, name), texts, notes))
    return changes


def _list_of(copy: Copy, name: str) -> str:
    for block in copy.program.globals:
        if any(v.name.lower() == name.lower() for v in block.variables):
            return list_name(block)
    return ""


def _written(names: Map, spelled: Iterable[str]) -> list[tuple[str, str]]:
    """Old names as they are written, with the new ones."""
    spelling = {name.lower(): name for name in spelled}
    return [(spelling.get(key, key), new) for key, new in sorted(names.items())]


def scopes(old: Copy, names: Map) -> list[Change]:
    """Renamed resources and configurations."""
    resources = {r.name.lower(): r.name for r in old.program.resources}
    spelled = (part for r in old.program.resources for part in (r.scope, r.name))
    changes = []
    for was, new in _written(names, spelled):
        word = "resource" if was.lower() in resources else "configuration"
        at = Place(f"{word} {new}", (f"{word}:{new}",))
        changes.append(_change("task", at, word, (was, new), (was, new), ()))
    return changes


def lists(old: Copy, names: Map, scopes: Map) -> list[Change]:
    """Renamed lists of global variables; that of a renamed configuration goes by its name."""
    return [
        _change("declaration", Place(new, (f"globals:{new}",)), "global list", (was, new), (was, new), (OUTSIDE,))
        for was, new in _written(names, (b.name for b in old.program.globals))
        if scopes.get(was.lower(), "").lower() != new.lower()
    ]


def members(old: DataType, new: DataType, names: Map) -> list[Change]:
    """Renamed members and values of one type."""
    what, word = ("value", "value") if old.values else ("member", "variable")
    changes = []
    for was, now in _written(names, [*(m.name for m in old.members), *(v.name for v in old.values)]):
        at = type_place(new.name).down(now, f"{word}:{now}")
        changes.append(_change("datatype", at, what, (was, now), (was, now), ()))
    return changes


def inside(old: Copy, new: Copy, names: Mapping[str, Map], charts: Mapping[tuple[str, str], Map]) -> Iterator[Change]:
    """Whatever is renamed inside of POUs and types, of which each is called alike on both sides."""
    pous, kinds = Symbols(new).pous, Symbols(new).types
    for pou in old.program.pous:
        if pou.name.lower() in pous:
            yield from _inside(top(pous[pou.name.lower()].name), pou, pous[pou.name.lower()], "", names, charts)
    for type in old.program.types:
        if type.name.lower() in kinds:
            yield from members(type, kinds[type.name.lower()], names.get(type.name.lower(), {}))


def _inside(
    at: Place, old: Pou, new: Pou, around: str, names: Mapping[str, Map], charts: Mapping[tuple[str, str], Map]
) -> Iterator[Change]:
    path = around + old.name.lower()
    own = names.get(path, {})
    yield from locals(at, old, new, own)
    for action in old.actions:
        name = own.get(action.name.lower(), action.name)
        chart = charts.get((path, action.name.lower()), {})
        yield from steps(at.down(f"action {name}", f"action:{name}"), dict(_written(chart, _steps(action.body))))
    partners = {(m.kind, m.name.lower()): m for m in new.members}
    for member in old.members:
        partner = partners.get((member.kind, own.get(member.name.lower(), member.name).lower()))
        if partner is not None:
            inside = at.down(f"{partner.kind} {partner.name}", f"{partner.kind}:{partner.name}")
            yield from _inside(inside, member, partner, f"{path}.", names, charts)


def locals(at: Place, old: Pou, new: Pou, names: Map) -> list[Change]:
    """Renamed variables, actions, steps and members of one POU."""
    variables = {v.name.lower(): v for v in old.variables}
    partner = {v.name.lower(): v for v in new.variables}
    others = {a.name.lower(): ("action", a.name) for a in old.actions}
    others |= {t.name.lower(): ("transition", t.name) for t in old.transitions}
    others |= {m.name.lower(): (m.kind, m.name) for m in old.members}
    uses = Users(Symbols(Copy()))
    changes = []
    for key, name in sorted(names.items()):
        notes = used(uses.of_local(new, name, at))
        if key in variables:
            was, now = variables[key], partner[name.lower()]
            inside = at.down(name, f"variable:{name}")
            outside = (OUTSIDE,) if was.section in SEEN_OUTSIDE else ()
            kept = (edit("retained value"),) if was.retain == "retain" or was.persistent else ()
            unseen = (edit("unseen global"),) if was.section == "external" else ()
            texts = printer.variable(was), printer.variable(now)
            changes.append(
                _change("declaration", inside, "variable", (was.name, name), texts, (*outside, *kept, *unseen, *notes))
            )
        elif key in others:
            word, was_called = others[key]
            inside = at.down(f"{word} {name}", f"{word}:{name}")
            changes.append(_change("logic", inside, word, (was_called, name), (was_called, name), notes))
        else:
            changes += steps(at, {_step(old, key): name}, notes)
    return changes


def _step(pou: Pou, key: str) -> str:
    return next((name for body in pou.bodies for name in _steps(body) if name.lower() == key), key)


def _steps(body: Body) -> list[str]:
    return [step.name for step in body.chart.steps] if body.chart is not None else []


def steps(place: Place, names: Map, notes: Sequence[Edit] = ()) -> list[Change]:
    """Renamed steps of one chart."""
    return [
        _change("logic", place.down(f"step {new}", f"step:{new}"), "step", (old, new), (old, new), notes)
        for old, new in sorted(names.items())
    ]
