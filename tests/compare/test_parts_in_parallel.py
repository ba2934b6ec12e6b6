"""What votes decide between two parts of a program: half of the places are not enough, nor is a likeness of less."""

from __future__ import annotations

from collections import Counter

import pytest

from asfound.compare.renames.in_parallel import Part, Votes, _agreed, _in_order, _likeness, _voted, _votes, _Walk
from asfound.compare.renames.shapes import Own, Piece, Word


def name(word: str) -> Word:
    return "name", word


def own(*names: str, kind: str = "local") -> Own:
    return {each.lower(): (kind, each) for each in names}


@pytest.mark.parametrize(
    ("votes", "places", "others", "expected"),
    [
        (1, (1, 1), (0, 0), {"a": "B"}), (1, (2, 1), (0, 0), {}), (1, (1, 2), (0, 0), {}), (2, (3, 3), (0, 0), {"a": "B"}),
        (2, (4, 3), (0, 0), {}), (3, (4, 5), (0, 0), {"a": "B"}), (3, (3, 3), (1, 0), {}), (3, (3, 3), (0, 1), {}),
        (0, (1, 1), (0, 0), {}),
    ],
)  # fmt: skip
def test_a_name_is_another_where_more_than_half_of_its_places_say_so_and_no_side_has_both(
    votes: int, places: tuple[int, int], others: tuple[int, int], expected: dict[str, str]
) -> None:
    counted: Votes = Counter({(name("a"), name("b")): votes})
    ours = Counter({name("a"): places[0], name("b"): others[0]})
    theirs = Counter({name("b"): places[1], name("a"): others[1]})
    assert _agreed(own("A"), own("B"), counted, ours, theirs) == expected


def test_only_things_of_one_kind_that_the_scope_declares_are_one() -> None:
    counted: Votes = Counter({(name("a"), name("b")): 1, (("type", "a"), ("type", "b")): 1})
    once = Counter({name("a"): 1}), Counter({name("b"): 1})
    assert _agreed(own("A"), own("B", kind="step"), counted, *once) == {}
    assert _agreed(own(), own("B"), counted, *once) == _agreed(own("A"), own(), counted, *once) == {}


def part(path: str, *shapes: str, kind: str = "program", words: str = "", declares: bool = True) -> Part:
    return Part(path, path.upper(), kind, [Piece(s, tuple(map(name, words)), declares) for s in shapes], {})


def test_how_much_of_two_parts_is_alike() -> None:
    old = part("a", "one", "two", "three")
    found = _likeness(
        [old], [part("b", "one", "two", "three"), part("c", "one", "two", "four"), part("d", "one", "six")]
    )
    assert found == {("a", "b"): 1.0, ("a", "c"): pytest.approx(2 / 3)}
    assert _likeness([old], [part("b", "one", "two", "three", kind="function")]) == {}
    assert _likeness([part("a", "one")], [part("b", "one", "one")]) == {("a", "b"): 0.5}
    assert _likeness([part("a")], [part("b")]) == {}


def test_parts_of_one_shape_follow_the_order_of_the_file_where_there_are_as_many() -> None:
    large = [str(n) for n in range(20)]
    left = {each: part(each, *large) for each in ("a", "b")} | {"small": part("small", "one")}
    right = {each: part(each, *large) for each in ("y", "x")} | {"little": part("little", "one")}
    assert list(_in_order(left, right)) == [[("a", "y"), ("b", "x")]]
    assert list(_in_order(left, right | {"z": part("z", *large)})) == []


def test_pieces_of_one_shape_vote_for_the_names_in_them() -> None:
    for declares, number in ((False, 2), (True, 0)):
        old = part("p", "one", "two", "one", words="a", declares=declares)
        new = part("p", "one", "three", "one", words="b", declares=declares)
        assert _votes(old, new)[name("a"), name("b")] == number, "a declaration is known by its neighbours alone"
    assert _votes(part("p", "one", "two", words="a"), part("p", "one", "two", words="b")).total() == 2
    voted: Votes = Counter({(("type", "p"), ("type", "q")): 2, (name("p"), name("q")): 3, (name("a"), name("b")): 9})
    one, other = part("p", "one", "two", words="a"), part("q", "one", "two", words="b")
    assert _voted(voted, one, other) == 2 + 3 + 2
    assert _voted(voted, one, part("q", "one", words="b")) == 5
    assert _voted(voted, part("p", "one", words="c"), part("q", "one", words="b")) == 5


@pytest.mark.parametrize(("around", "charts"), [("p", {("p", "act"): {"one": "Two"}}), ("p.run", {})])
def test_steps_of_a_chart_that_is_the_body_of_an_action(around: str, charts: dict[object, object]) -> None:
    """Nothing applies renames of steps in an action of a method."""

    def whole(step: str) -> Part:
        piece = Piece("step", (name(step.lower()),), declares=False)
        inner = Part(f"{around}.act", "Act", "action", [piece], own(step, kind="step"))
        method = [inner] if around == "p" else [Part("p.run", "Run", "method", [], {}, [inner])]
        return Part("p", "P", "program", [], {}, method)

    found = _Walk()
    old, new = whole("One"), whole("Two")
    found.walk(old, new, found.outer)
    names = found.names([old], [new])
    assert (names.charts, names.locals, names.types, names.globals) == (charts, {}, {}, {})
