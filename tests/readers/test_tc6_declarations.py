"""Declarations, types, tasks: what no equation shows."""

from __future__ import annotations

import pytest
from drawing_kit import copy_of, first_pou, pou, project, rung, same, section, st, variable


@pytest.mark.parametrize(
    "changed",
    [
        section("localVars", variable("A", "INT", "6")),
        section("localVars", variable("A", "INT", "5"), constant=True),
        section("localVars", variable("A", "INT", "5"), retain=True),
        section("localVars", variable("A", "INT", "5"), nonretain=True),
        section("localVars", variable("A", "INT", "5"), persistent=True),
        section("localVars", variable("A", "INT", "5", address="%MW4")),
        section("localVars", variable("A", "UINT", "5")),
        section("externalVars", variable("A", "INT", "5")),
        section("localVars", variable("A", "INT")),
    ],
)
def test_what_a_declaration_says(changed: str) -> None:
    assert not same(pou(rung(), section("localVars", variable("A", "INT", "5"))), pou(rung(), changed))


def test_orders_that_have_a_meaning() -> None:
    def inputs(*names: str) -> str:
        return pou(st("F := a;"), section("inputVars", *(variable(n, "INT") for n in names)), name="F", kind="function")

    def enum(*names: str) -> bytes:
        values = "".join(f'<value name="{n}"/>' for n in names)
        return project(
            types=f'<dataType name="E"><baseType><enum><values>{values}</values></enum></baseType></dataType>'
        )

    def struct(*names: str) -> bytes:
        members = "".join(variable(n, "INT") for n in names)
        return project(types=f'<dataType name="S"><baseType><struct>{members}</struct></baseType></dataType>')

    for make in (inputs, enum, struct):
        assert not same(make("a", "b"), make("b", "a"))  # type: ignore[operator]


def test_bounds_of_an_array() -> None:
    def array(upper: str) -> str:
        kind = f'<array><dimension lower="0" upper="{upper}"/><baseType><INT/></baseType></array>'
        return pou(rung(), section("localVars", variable("L", kind)))

    assert first_pou(array("7")).variables[0].type == "ARRAY[0..7] OF INT"
    assert not same(array("7"), array("8"))


def test_addresses_that_are_bound_elsewhere_are_a_limit() -> None:
    found = copy_of(pou(rung(), section("localVars", variable("A", "BOOL", address="%I*"))))
    assert any("%I*" in limit for limit in found.limits)


def test_an_export_without_tasks_says_so() -> None:
    assert any("no export holds tasks" in limit for limit in copy_of(rung()).limits)


def test_what_runs_a_program() -> None:
    def scheduled(inside: str) -> bytes:
        return project(instances=f'<configuration name="C"><resource name="R">{inside}</resource></configuration>')

    run = '<pouInstance name="P1" typeName="Main"/>'
    base = scheduled(
        f'<task name="Fast" interval="T#10ms" priority="1">{run}</task><task name="Slow" interval="T#1s" priority="2"/>'
    )
    others = [
        scheduled(
            f'<task name="Fast" interval="T#10ms" priority="1"/><task name="Slow" interval="T#1s" priority="2">{run}</task>'
        ),
        scheduled(
            f'<task name="Fast" interval="T#10ms" priority="3">{run}</task><task name="Slow" interval="T#1s" priority="2"/>'
        ),
        scheduled(
            f'<task name="Fast" interval="T#20ms" priority="1">{run}</task><task name="Slow" interval="T#1s" priority="2"/>'
        ),
        scheduled(
            f'<task name="Fast" single="Go" priority="1">{run}</task><task name="Slow" interval="T#1s" priority="2"/>'
        ),
        scheduled(
            f'<task name="Fast" interval="T#10ms" priority="1"/><task name="Slow" interval="T#1s" priority="2"/>{run}'
        ),
    ]
    assert not any(same(base, other) for other in others)
    same_time = scheduled(
        f'<task name="Fast" interval="t#0.01s" priority="1">{run}</task><task name="Slow" interval="T#1000ms" priority="2"/>'
    )
    assert same(base, same_time)


def test_a_program_moved_to_another_task_with_equal_equations() -> None:
    def split(first: str, second: str) -> bytes:
        tasks = "".join(
            f'<task name="{n}" interval="{i}" priority="1"><pouInstance name="{p}" typeName="{p}"/></task>'
            for n, i, p in (("Fast", "T#10ms", first), ("Slow", "T#30ms", second))
        )
        return project(pou(rung(), name="P"), pou(rung(), name="R"),
                       instances=f'<configuration name="C"><resource name="X">{tasks}</resource></configuration>')  # fmt: skip

    assert not same(split("P", "R"), split("R", "P"))


@pytest.mark.parametrize(
    ("type", "first", "second"),
    [
        ("BOOL", "False", "0"),
        ("BOOL", "TRUE", "1"),
        ("BOOL", "true", "2#1"),
        ("TIME", "T#1s500ms", "TIME#1500ms"),
        ("TIME", "t#1.5s", "T# 1500ms"),
        ("INT", "007", "7"),
    ],
)
def test_spellings_of_one_value(type: str, first: str, second: str) -> None:
    old, new = (pou(rung(), section("localVars", variable("A", type, v))) for v in (first, second))
    assert same(old, new)


def test_string_without_quotes() -> None:
    old, new = (pou(rung(), section("localVars", variable("A", "<string/>", v))) for v in ("abc", "'abc'"))
    assert same(old, new)
    assert not same(old, pou(rung(), section("localVars", variable("A", "<string/>", "ABC"))))
