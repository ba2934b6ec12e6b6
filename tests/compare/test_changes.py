"""Changes as they are made: effect, paths, texts and names of each; their order, their numbers and their words."""

from __future__ import annotations

import pytest

from asfound.analysis.places import Place, top
from asfound.compare.changes import (
    Area,
    change,
    effect_of,
    numbered,
    one_sided_change,
    one_sided_edit,
    strongest,
    used,
)
from asfound.compare.lines import differs, pragmas, reordered, settings, told
from asfound.compare.result import Change, Edit, Effect
from asfound.compare.wording.phrases import edit
from asfound.model.program import Setting

AT = Place("P / rung 2", ("P", "network:2"), ("P", "network:1"))
TYPE, COMMENT = edit("type", "INT", "DINT"), edit("comment", "a", "b")


def test_what_a_change_holds() -> None:
    found = change("logic", "changed", AT, ("a\n", "b\n\n"), "y", (COMMENT, TYPE))
    assert (found.id, found.area, found.kind, found.effect) == (0, "logic", "changed", "behaviour")
    assert (found.where, found.path, found.old_path) == ("P / rung 2", ("P", "network:2"), ("P", "network:1"))
    assert (found.before, found.after, found.subject, found.edits) == ("a", "b", "y", (COMMENT, TYPE))
    assert (found.summary, found.details, found.names, found.witness) == ("", (), (), None)
    assert change("logic", "changed", AT, (None, None), "", (TYPE,), effect="equivalent").effect == "equivalent"
    assert change("logic", "changed", AT, (None, None), "", (), names=("x",)).names == ("x",)


@pytest.mark.parametrize(
    ("kind", "before", "after", "old_path"),
    [("added", None, "text", ()), ("removed", "text", None, ("P", "network:1"))],
)
def test_what_one_side_alone_has(kind: str, before: str | None, after: str | None, old_path: tuple[str, ...]) -> None:
    found = one_sided_change("logic", kind, AT, "text", (TYPE,), "y", effect="undecided")
    assert (found.kind, found.before, found.after, found.old_path) == (kind, before, after, old_path)
    assert (found.subject, found.effect, found.edits) == ("y", "undecided", (TYPE,))
    said = one_sided_edit(f"code {kind}", kind, "said", of="a", owner="b", inner=(TYPE,), effect="undecided")
    assert said == Edit(f"code {kind}", before and "said", after and "said", "a", "b", (TYPE,), "undecided")


NAMES: list[tuple[str, tuple[str, ...]]] = [
    ("Pump", ("pump",)),
    ("variable:Door", ("door",)),
    ("module:1:DI", ("di",)),
    ("module:Rack", ("rack",)),
    *((f"{step}:3", ()) for step in ("worksheet", "network", "statement", "branch", "arm", "channel")),
    ("globals:", ()),
]


@pytest.mark.parametrize(("step", "names"), NAMES)
def test_the_last_step_names_it_unless_it_counts(step: str, names: tuple[str, ...]) -> None:
    assert change("tag", "changed", Place("", ("P", step)), (None, None), "", ()).names == names


EFFECTS: list[tuple[list[Effect], Effect]] = [
    ([], "documentation"),
    (["documentation"], "documentation"),
    (["equivalent", "documentation"], "equivalent"),
    (["undecided", "equivalent"], "undecided"),
    (["undecided", "behaviour", "equivalent"], "behaviour"),
]


@pytest.mark.parametrize(("effects", "expected"), EFFECTS)
def test_the_strongest_effect_counts_and_notes_have_none(effects: list[Effect], expected: Effect) -> None:
    assert strongest(effects) == expected
    edits = [edit("used", new="x"), *(edit("type", effect=effect) for effect in effects)]
    assert effect_of(edits) == expected


def test_uses_are_listed_up_to_a_limit() -> None:
    assert used(()) == ()
    assert used(("a", "b"), "n", 2) == (edit("used", new="a", of="n"), edit("used", new="b", of="n"))
    assert used(("a", "b", "c", "d"), "n", 2) == (
        edit("used", new="a", of="n"), edit("used", new="b", of="n"), edit("used more", new="2", of="n"),
    )  # fmt: skip


def made(
    area: Area = "logic", step: str = "network:1", kind: str = "changed", subject: str = "", **more: str
) -> Change:
    texts = more.get("before"), more.get("after")
    field, of = more.get("field", "type"), more.get("of", "")
    edits = (edit(field, more.get("old"), more.get("new"), of=of, owner=more.get("owner", "")),)
    return change(area, kind, top("P").down("x", step), texts, subject, edits)  # type: ignore[arg-type]


IN_ORDER = [
    made(step="network:2", before="z"),
    made(step="network:10", kind="added"),
    made(step="network:10", kind="changed", subject="a"),
    made(step="network:10", kind="changed", subject="b", before="a"),
    made(step="network:10", kind="changed", subject="b", before="b", after="a"),
    made(step="network:10", kind="changed", subject="b", before="b", after="b", field="address"),
    made(step="network:10", kind="changed", subject="b", before="b", after="b", of="a"),
    made(step="network:10", kind="changed", subject="b", before="b", after="b", of="b", owner="a", old="z"),
    made(step="network:10", kind="changed", subject="b", before="b", after="b", of="b", owner="b", old="a"),
    made(step="network:10", kind="changed", subject="b", before="b", after="b", of="b", owner="b", old="b", new="a"),
    made(step="network:10", kind="changed", subject="b", before="b", after="b", of="b", owner="b", old="b", new="b"),
    *(made(area=area) for area in ("declaration", "datatype", "task", "tag", "hardware", "value", "force")),
    made(area="extension"),
    made(area="document"),
]  # fmt: skip


def test_the_order_is_that_of_areas_paths_kinds_and_what_is_said() -> None:
    found = numbered(IN_ORDER[::-1])
    assert [c.id for c in found] == list(range(1, len(IN_ORDER) + 1))
    assert [(c.area, c.path, c.kind, c.subject, c.before, c.after, c.edits) for c in found] == [
        (c.area, c.path, c.kind, c.subject, c.before, c.after, c.edits) for c in IN_ORDER
    ]


def test_a_number_comes_with_words() -> None:
    (found,) = numbered([change("declaration", "changed", top("P"), (None, None), "n", (TYPE, COMMENT))])
    assert found.summary == "n: type INT -> DINT (and 1 more)"
    assert found.details == ("type INT -> DINT", "comment: a -> b")


def test_edits_of_one_field() -> None:
    assert differs("type", "INT", "INT") == []
    assert differs("type", "INT", "") == [edit("type", "INT", None)]
    assert differs("type", "", "INT", effect="undecided") == [edit("type", None, "INT", effect="undecided")]
    assert differs("type", "INT", "int", fold=True) == [edit("type", "INT", "int", effect="documentation")]
    assert differs("type", "INT", "int") == [TYPE_CASE]
    assert differs("type", "INT", "DINT", fold=True) == [TYPE]
    assert pragmas(("a",), ("a",)) == []
    assert pragmas(("a", "b"), ()) == [edit("pragmas", "a, b", None)]
    assert pragmas((), ("b", "a")) == [edit("pragmas", None, "b, a")]


TYPE_CASE = edit("type", "INT", "int")


def test_names_in_another_order_are_those_that_both_sides_have() -> None:
    assert reordered("steps", ("a", "B", "c"), ("a", "b", "d", "c")) == []
    assert reordered("steps", ("a", "x", "b"), ("a", "b")) == []
    assert reordered("steps", ("a", "b"), ("b", "A")) == [edit("order of named", of="steps")]


def test_one_change_holds_all_edits_and_none_holds_nothing() -> None:
    assert told("tag", AT, "y", []) == []
    (found,) = told("tag", AT, "y", [TYPE], ("a", "b"), "moved")
    assert (found.area, found.kind, found.where, found.subject) == ("tag", "moved", "P / rung 2", "y")
    assert (found.before, found.after, found.edits) == ("a", "b", (TYPE,))
    assert told("tag", AT, "", [TYPE])[0].kind == "changed"


def test_settings_are_told_by_name_and_their_order_only_where_it_counts() -> None:
    one, two, more = (
        (Setting("b", "1"), Setting("a", "1")),
        (Setting("a", "2"), Setting("b", "3")),
        (Setting("c", "1"),),
    )
    assert settings("setting", one, one) == settings("setting", one, one[::-1]) == []
    assert settings("setting", one, one[::-1], ordered=True) == [edit("order of settings")]
    assert settings("setting", one, one, ordered=True) == []
    assert settings("setting", one, two) == [edit("setting", "1", "2", of="a"), edit("setting", "1", "3", of="b")]
    assert settings("setting", one, (*one, *more), ordered=True) == [edit("setting", None, "1", of="c")]
    assert settings("setting", (*one, *more), one) == [edit("setting", "1", None, of="c")]
