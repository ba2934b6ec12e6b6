"""What has moved between scopes and what has not; which resources, lists and tags are called otherwise."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.compare.renames.find import renaming
from asfound.compare.scopes.find import named_by, numbered, scope_moves
from asfound.model.copy import Copy
from asfound.model.program import GlobalList, Instance, Program, Resource, Task, VariableDeclaration
from asfound.model.tags import Tag, TagTable

G = "VAR_GLOBAL {} END_VAR "
EXTERNAL = "END_VAR VAR_EXTERNAL n : INT; END_VAR VAR"


def copy(text: str, tags: tuple[Tag, ...] = ()) -> Copy:
    return replace(asfound.read(text.encode(), "p.st"), tables=(TagTable("T", tags),) if tags else ())


def p(variables: str, code: str = "n := n + 1;", name: str = "P") -> str:
    return f"PROGRAM {name} VAR z : INT; {variables} END_VAR {code} END_PROGRAM "


Told = list[tuple[str, str, bool, str, str | None, str | None]]
LOCAL, USED = p("n : INT;"), p("")
MOVED: Told = [("p", "n", True, "n", None, "n")]
"""POU, name, outward, then the names of the local, the external and the shared declaration."""
MOVES: dict[str, tuple[Copy, Copy, Told]] = {
    "used without a declaration": (copy(LOCAL), copy(G.format("n : INT;") + USED), MOVED),
    "a temporary": (copy(p("END_VAR VAR_TEMP n : INT;")), copy(G.format("n : INT;") + USED), MOVED),
    "external": (copy(LOCAL), copy(G.format("n : INT;") + p(EXTERNAL)), [("p", "n", True, "n", "n", "n")]),
    "external, and not used": (
        copy(p("n : INT;", "z := 1;")), copy(G.format("n : INT;") + p(EXTERNAL, "z := 1;")),
        [("p", "n", True, "n", "n", "n")],
    ),
    "neither external nor used": (copy(p("n : INT;", "z := 1;")), copy(G.format("n : INT;") + p("", "z := 1;")), []),
    "external, and in no export": (copy(LOCAL), copy(p(EXTERNAL)), [("p", "n", True, "n", "n", None)]),
    "external, and a tag": (copy(LOCAL), copy(p(EXTERNAL), (Tag("N", "%MW2", "INT"),)), []),
    "used, and in no export": (copy(LOCAL), copy(USED), []),
    "in other letters": (copy(p("N : INT;", "N := N + 1;")), copy(G.format("n : INT;") + USED),
                         [("p", "n", True, "N", None, "n")]),
    "still local": (copy(LOCAL), copy(G.format("n : INT;") + p("n : INT;", "n := n + 2;")), []),
    "an input": (copy(p("END_VAR VAR_INPUT n : INT;")), copy(G.format("n : INT;") + USED), []),
    "an input now": (copy(LOCAL), copy(G.format("n : INT;") + p("END_VAR VAR_INPUT n : INT;")), []),
    "two global ones of a name": (copy(LOCAL), copy(G.format("n : INT;") + G.format("n : INT;") + USED), []),
    "two programs of a name": (copy(LOCAL + LOCAL), copy(G.format("n : INT;") + USED), []),
    "two programs of a name now": (copy(LOCAL), copy(G.format("n : INT;") + USED + USED), []),
    "a program that went": (copy(LOCAL + p("n : INT;", name="Q")), copy(G.format("n : INT;") + USED), MOVED),
    "some move and some stay": (
        copy(p("n, k : INT; m : INT;", "n := k + m;")), copy(G.format("n, k : INT;") + p("m : INT;", "n := k + m;")),
        [("p", "n", True, "n", None, "n"), ("p", "k", True, "k", None, "k")],
    ),
    "one moves and one is gone": (
        copy(p("k : INT; n : INT;")), copy(G.format("n : INT;") + USED), MOVED,
    ),
    "of two programs": (
        copy(p("n : INT;", name="Q") + LOCAL), copy(G.format("n : INT;") + p("", name="Q") + USED),
        [("p", "n", True, "n", None, "n"), ("q", "n", True, "n", None, "n")],
    ),
    "one of each way": (
        copy(G.format("k : INT;") + p("n : INT;", "n := k;")), copy(G.format("n : INT;") + p("k : INT;", "n := k;")),
        [("p", "n", True, "n", None, "n"), ("p", "k", False, "k", None, "k")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", MOVES)
def test_a_variable_moves_when_the_other_side_uses_the_global_one(name: str) -> None:
    old, new, expected = MOVES[name]

    def called(v: VariableDeclaration | None) -> str | None:
        return None if v is None else v.name

    def found(before: Copy, after: Copy) -> Told:
        moves = scope_moves(before, after)
        return [(m.pou, m.name, m.outward, m.local.name, called(m.external), called(m.shared)) for m in moves]

    assert found(old, new) == expected
    back = [(pou, name, not outward, *rest) for pou, name, outward, *rest in expected]
    assert sorted(map(str, found(new, old))) == sorted(map(str, back))


def test_a_move_knows_the_list_it_leads_to() -> None:
    new = copy(
        "CONFIGURATION Plant VAR_GLOBAL k : INT; END_VAR VAR_GLOBAL CONSTANT n : INT; END_VAR END_CONFIGURATION " + USED
    )
    (move,) = scope_moves(copy(LOCAL), new)
    number = numbered(new.program.globals)[move.home]
    assert "n" in [v.name for v in new.program.globals[number].variables]
    assert (move.home[0], move.written_home) == ("plant", "Plant")
    (unseen,) = scope_moves(copy(LOCAL), copy(p(EXTERNAL)))
    assert (unseen.home, unseen.written_home) == (("", 0), "")


def test_lists_of_one_name_are_counted() -> None:
    blocks = [GlobalList(name, "", ()) for name in ("A", "B", "a", "A")]
    assert numbered(blocks) == {("a", 0): 0, ("b", 0): 1, ("a", 1): 2, ("a", 2): 3}


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("Plant.n := 1;", "Plant"),
        ("plant.N := plant.N + 1;", "plant"),
        ("Plant.n := n;", None),
        ("n := 1;", None),
        ("z := Plant.k;", None),
        ("z := Other.n;", None),
        ("z := s[1].n;", None),
    ],
)
def test_a_list_names_a_variable_only_where_it_does_so_everywhere(code: str, expected: str | None) -> None:
    (pou,) = copy(p("", code)).program.pous
    assert named_by(pou, "n", frozenset(("plant",))) == expected


def told(old: Copy, new: Copy) -> list[str]:
    return [f"{c.edits[0].of} {c.edits[0].old} {c.edits[0].new}" for c in renaming(old, new).changes]


def resource(name: str, scope: str = "", *, task: str = "", program: str = "", type: str = "") -> Resource:
    tasks = (Task(task, scope),) if task else ()
    return Resource(name, scope, tasks=tasks, instances=(Instance(program, type, task),) if program else ())


def plant(*resources: Resource) -> Copy:
    return Copy(program=Program(resources=resources))


RESOURCES: dict[str, tuple[Copy, Copy, list[str]]] = {
    "with a task in common": (
        plant(resource("A", task="T")), plant(resource("B", task="t")), ["resource A B"],
    ),
    "with a program in common": (
        plant(resource("A", task="T", program="I", type="X")), plant(resource("B", task="U", program="i", type="Y")),
        ["resource A B"],
    ),
    "with the type of a program in common": (
        plant(resource("A", task="T", program="I", type="X")), plant(resource("B", task="U", program="J", type="x")),
        ["resource A B"],
    ),
    "with nothing in common": (plant(resource("A", task="T")), plant(resource("B", task="U")), []),
    "one of them is empty": (plant(resource("A", task="T")), plant(resource("B")), []),
    "both are empty": (plant(resource("A")), plant(resource("B")), ["resource A B"]),
    "one of two": (
        plant(resource("A", task="T"), resource("K", task="S")), plant(resource("K", task="S"), resource("B", task="T")),
        ["resource A B"],
    ),
    "two went": (plant(resource("A", task="T"), resource("K", task="T")), plant(resource("B", task="T")), []),
    "two came": (plant(resource("A", task="T")), plant(resource("B", task="T"), resource("K", task="T")), []),
    "its configuration": (plant(resource("A", "C")), plant(resource("A", "D")), ["configuration C D"]),
    "its configuration, and it": (
        plant(resource("A", "C", task="T")), plant(resource("B", "D", task="T")), ["resource A B", "configuration C D"],
    ),
    "its configuration, and another resource": (plant(resource("A", "C", task="T")), plant(resource("B", "D")), []),
    "its configuration, beside two others": (
        plant(resource("A", "C"), resource("K", "C", task="T"), resource("L", "C", task="T")),
        plant(resource("A", "D"), resource("M", "D", task="T")), ["configuration C D"],
    ),
    "two configurations": (
        plant(resource("A", "C"), resource("B", "E")), plant(resource("A", "D"), resource("B", "F")), [],
    ),
    "one of two configurations": (
        plant(resource("A", "C"), resource("B", "E")), plant(resource("A", "D"), resource("B", "E")),
        ["configuration C D"],
    ),
    "no configuration any more": (plant(resource("A", "C")), plant(resource("A")), []),
}  # fmt: skip


@pytest.mark.parametrize("name", RESOURCES)
def test_a_single_resource_and_a_single_configuration_are_known_by_what_they_share(name: str) -> None:
    old, new, expected = RESOURCES[name]
    assert told(old, new) == expected
    back = [" ".join((word, now, was)) for word, was, now in map(str.split, expected)]
    assert told(new, old) == back


def tagged(*tags: Tag) -> Copy:
    return Copy(tables=(TagTable("T", tags),))


TAGS: dict[str, tuple[Copy, Copy, list[str]]] = {
    "of one address": (tagged(Tag("a", "%ix0.0", "BOOL")), tagged(Tag("b", "%IX0.0", "bool")), ["tag a b"]),
    "of another address": (tagged(Tag("a", "%IX0.0", "BOOL")), tagged(Tag("b", "%IX0.1", "BOOL")), []),
    "of another type": (tagged(Tag("a", "%IW0", "INT")), tagged(Tag("b", "%IW0", "WORD")), []),
    "of one comment": (tagged(Tag("a", "", "BOOL", "door")), tagged(Tag("b", "", "BOOL", "door")), ["tag a b"]),
    "of another comment": (tagged(Tag("a", "", "BOOL", "door")), tagged(Tag("b", "", "BOOL", "gate")), []),
    "without anything": (tagged(Tag("a", "", "BOOL")), tagged(Tag("b", "", "BOOL")), []),
}


@pytest.mark.parametrize("name", TAGS)
def test_a_tag_is_known_by_its_address_and_its_comment(name: str) -> None:
    old, new, expected = TAGS[name]
    assert told(old, new) == expected


def test_a_list_is_called_otherwise_with_half_of_its_variables() -> None:
    def lists(name: str, *variables: str) -> Copy:
        declared = tuple(VariableDeclaration(v, "INT", section="global") for v in variables)
        return Copy(program=Program(globals=(GlobalList(name, "", declared),)))

    def listed(old: Copy, new: Copy) -> list[str]:
        return [line for line in told(old, new) if line.startswith("global list")]

    assert listed(lists("A", "a", "b"), lists("B", "a", "c", "d", "e")) == []
    assert listed(lists("A", "a", "b", "f", "g"), lists("B", "a", "b", "c", "d")) == ["global list A B"]
    assert listed(lists("", "a", "b"), lists("B", "a", "b")) == []
