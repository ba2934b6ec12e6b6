"""Running, card and office side by side: which agree, what a reset would lose, bring back and replace."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from asfound.compare.side_by_side import Copies, Row, side_by_side
from asfound.model.copy import Copy, Source
from asfound.model.problem import Problem
from asfound.model.station import BringsBack, Keeper
from asfound.model.tags import Tag, TagTable
from asfound.model.values import Force
from asfound.reports.copies import lines, office, verdict

from . import building as b

BRIDGED = b.with_rung(1, b.rung(b.coil("PERMIT", "(LOW_SUCTION OR BYPASS) AND NOT FAULT"), title="Permit"))
THIRD = b.with_rung(1, b.rung(b.coil("PERMIT", "LOW_SUCTION"), title="Permit"))
EXTRA = b.with_rungs(*b.RUNGS, b.rung(b.coil("DRAIN", "TANK_FULL AND NOT DOOR")))


def three(running: Copy, card: Copy, office: Copy) -> Copies:
    return side_by_side(
        {"running": running, "card": card, "office": office}, "x", brings_back=BringsBack("card", source="manual")
    )


def only(found: Copies) -> Row:
    (row,) = found.rows
    return row


def test_all_three_hold_the_same() -> None:
    found = three(b.STATION, b.STATION, b.STATION)
    assert found.agreement == (("running", "card", "office"),)
    assert found.rows == ()
    assert "It would change nothing: running and card hold the same." in " ".join(lines(found, 200))


@pytest.mark.parametrize(
    ("copies", "fate", "held", "lacking", "words"),
    [
        (
            (BRIDGED, b.STATION, b.STATION),
            "replaced",
            (("running",), ("card", "office")),
            (),
            "The office copy holds it as card does.",
        ),
        (
            (BRIDGED, b.STATION, BRIDGED),
            "replaced",
            (("running", "office"), ("card",)),
            (),
            "The office copy holds it as running does.",
        ),
        (
            (BRIDGED, b.STATION, THIRD),
            "replaced",
            (("running",), ("card",), ("office",)),
            (),
            "The office copy holds a third version.",
        ),
        (
            (EXTRA, b.STATION, b.STATION),
            "lost",
            (("running",),),
            ("card", "office"),
            "The office copy does not hold it either.",
        ),
        (
            (EXTRA, b.STATION, EXTRA),
            "lost",
            (("running", "office"),),
            ("card",),
            "The office copy holds it as running does.",
        ),
        ((b.STATION, EXTRA, EXTRA), "brought back", (("card", "office"),), ("running",), "The office copy holds it as card does."),
        ((b.STATION, EXTRA, b.STATION), "brought back", (("card",),), ("running", "office"), "The office copy does not hold it."),
        ((b.STATION, b.STATION, BRIDGED), "office only", (("running", "card"), ("office",)), (), ""),
        ((b.STATION, b.STATION, EXTRA), "office only", (("office",),), ("running", "card"), ""),
        ((EXTRA, EXTRA, b.STATION), "office only", (("running", "card"),), ("office",), ""),
    ],
)  # fmt: skip
def test_every_way_in_which_one_piece_can_differ(
    copies: tuple[Copy, Copy, Copy], fate: str, held: tuple[object, ...], lacking: tuple[str, ...], words: str
) -> None:
    row = only(three(*copies))
    assert (row.fate, row.held, row.lacking, office(row)) == (fate, held, lacking, words)


def test_a_rung_in_a_block_that_the_office_copy_lacks_altogether() -> None:
    """Nothing about the rung itself differs from running to office; that its POU is gone must not be missed."""
    without = replace(
        b.STATION, program=replace(b.STATION.program, pous=tuple(p for p in b.STATION.program.pous if p != b.PUMP))
    )
    found = three(BRIDGED, b.STATION, without)
    row = next(r for r in found.rows if r.path == ("PumpControl", "network:1"))
    assert (row.held, row.lacking) == ((("running",), ("card",)), ("office",))


def test_forces_are_lost_where_the_card_lists_none_and_not_comparable_where_it_has_no_list() -> None:
    forced = replace(b.STATION, forces=(Force("DOOR", value="TRUE"),))
    row = only(three(forced, b.STATION, b.STATION))
    assert (row.fate, row.area, row.effect) == ("not comparable", "force", "undecided")
    listing = replace(b.STATION, sources=(Source("forces.csv", "0" * 64, 1, "force-list"),))
    row = only(three(forced, listing, listing))
    assert (row.fate, row.area, row.effect) == ("lost", "force", "behaviour")


def test_a_missing_card_is_said() -> None:
    found = side_by_side({"running": BRIDGED, "office": b.STATION})
    assert found.stored == ("running", "office")
    assert only(found).fate == "office only"
    assert found.limits[0] == "no card copy is stored: what a reset would bring back is not known"
    with pytest.raises(Problem, match="only the running copy is there"):
        side_by_side({"running": BRIDGED})


def told(found: Copies) -> list[str]:
    """Every row on a line: fate, effect, place and summary, who holds it, who does not, and the three texts."""

    def names(groups: object) -> str:
        return " ".join(map("+".join, groups)) or "-"  # type: ignore[call-overload]

    return [
        f"{r.fate}, {r.effect} {r.where}: {r.summary} | {names(r.held)} | {'+'.join(r.lacking) or '-'} | {r.running} | {r.card} | {r.office}"
        for r in found.rows
    ]


LAMP, HORN = (Copy(tables=(TagTable("T", (Tag("DOOR", address),)),)) for address in ("%QX0.0", "%QX0.1"))
GATE = Copy(tables=(TagTable("T", (Tag("GATE", "%QX0.1"),)),))
NONE = Copy(sources=(Source("tags.csv", "0" * 64, 1, "tag-table"),))
FIRST, SECOND = "DOOR AT %QX0.0 : ?;", "DOOR AT %QX0.1 : ?;"
ADDRESS = "behaviour tag DOOR: DOOR: address %QX0.0 -> %QX0.1"
GONE = "equivalent tag DOOR: tag DOOR removed (%QX0.0)"
COME = "equivalent tag DOOR: tag DOOR added (%QX0.0)"


@pytest.mark.parametrize(
    ("copies", "expected"),
    [
        ({"running": LAMP, "card": HORN, "office": HORN}, [f"replaced, {ADDRESS} | running card+office | - | {FIRST} | {SECOND} | {SECOND}"]),
        ({"running": LAMP, "card": HORN, "office": LAMP}, [f"replaced, {ADDRESS} | running+office card | - | {FIRST} | {SECOND} | {FIRST}"]),
        ({"running": LAMP, "card": HORN, "office": NONE}, ['replaced, behaviour tag DOOR: DOOR: address %QX0.0 -> %QX0.1 | running card | office | DOOR AT %QX0.0 : ?; | DOOR AT %QX0.1 : ?; | None']),
        ({"running": LAMP, "card": HORN, "office": GATE}, ['replaced, behaviour tag DOOR: DOOR: address %QX0.0 -> %QX0.1 | running card office | - | DOOR AT %QX0.0 : ?; | DOOR AT %QX0.1 : ?; | None', 'office only, equivalent tag GATE: tag GATE added (%QX0.1) | office | running+card | None | None | GATE AT %QX0.1 : ?;']),
        ({"running": LAMP, "card": HORN, "office": Copy()}, ['replaced, behaviour tag DOOR: DOOR: address %QX0.0 -> %QX0.1 | running card | office | DOOR AT %QX0.0 : ?; | DOOR AT %QX0.1 : ?; | None', 'office only, undecided tags: 1 tag cannot be compared: the office copy holds no tag table | running+card | office | DOOR AT %QX0.0 : ?; | DOOR AT %QX0.0 : ?; | None']),
        ({"running": LAMP, "card": LAMP, "office": HORN}, [f"office only, {ADDRESS} | running+card office | - | {FIRST} | {FIRST} | {SECOND}"]),
        ({"running": LAMP, "card": NONE, "office": LAMP}, [f"lost, {GONE} | running+office | card | {FIRST} | None | {FIRST}"]),
        ({"running": NONE, "card": LAMP, "office": NONE}, [f"brought back, {COME} | card | running+office | None | {FIRST} | None"]),
        ({"running": LAMP, "card": Copy(), "office": LAMP}, ['not comparable, undecided tags: 1 tag cannot be compared: the card copy holds no tag table | running+office | card | DOOR AT %QX0.0 : ?; | None | DOOR AT %QX0.0 : ?;']),
        ({"running": LAMP, "card": Copy(), "office": HORN}, ['not comparable, undecided tags: 1 tag cannot be compared: the card copy holds no tag table | running office | card | DOOR AT %QX0.0 : ?; | None | None', 'office only, behaviour tag DOOR: DOOR: address %QX0.0 -> %QX0.1 | running+card office | - | DOOR AT %QX0.0 : ?; | DOOR AT %QX0.0 : ?; | DOOR AT %QX0.1 : ?;']),
        ({"running": Copy(), "card": LAMP, "office": LAMP}, ['not comparable, undecided tags: 1 tag cannot be compared: the running copy holds no tag table | card+office | running | None | DOOR AT %QX0.0 : ?; | DOOR AT %QX0.0 : ?;']),
        ({"running": Copy(), "card": LAMP, "office": Copy()}, ['not comparable, undecided tags: 1 tag cannot be compared: the running copy holds no tag table | card | running+office | None | DOOR AT %QX0.0 : ?; | None']),
        ({"running": Copy(), "card": Copy(), "office": LAMP}, ['office only, undecided tags: 1 tag cannot be compared: the running copy holds no tag table | office | running+card | None | None | DOOR AT %QX0.0 : ?;']),
        ({"running": LAMP, "card": HORN}, [f"replaced, {ADDRESS} | running card | - | {FIRST} | {SECOND} | None"]),
        ({"running": LAMP, "office": NONE}, [f"office only, {GONE} | running | office | {FIRST} | None | None"]),
        ({"card": NONE, "office": LAMP}, [f"office only, {COME} | office | card | None | None | {FIRST}"]),
        ({"card": LAMP, "office": HORN}, [f"office only, {ADDRESS} | card office | - | None | {FIRST} | {SECOND}"]),
        ({"card": LAMP, "office": Copy()}, ['office only, undecided tags: 1 tag cannot be compared: the office copy holds no tag table | card | office | None | DOOR AT %QX0.0 : ?; | None']),
    ],
)  # fmt: skip
def test_a_tag_in_every_combination_of_copies(copies: dict[str, Copy], expected: list[str]) -> None:
    assert told(side_by_side(copies)) == expected


@pytest.mark.parametrize(
    ("place", "said", "head"),
    [
        ("card", "After a memory reset the card brings the program back. It would replace 1 piece.", "It would put the"),
        ("built-in", "built-in non-volatile memory brings the program back; no copy shows it. Running and card differ in 1 piece.", "The card holds another version: 1"),
        ("nothing", "nothing brings the program back: all that runs is lost until it is downloaded. Running and card differ in 1", "The card holds another"),
        ("", "is not stated for this station. If the card does, a reset would replace 1 piece.", "The card holds another version: 1"),
    ],
)  # fmt: skip
def test_it_is_never_assumed_what_a_reset_brings_back(place: Keeper, said: str, head: str) -> None:
    found = side_by_side({"running": BRIDGED, "card": b.STATION}, brings_back=BringsBack(place))
    report = " ".join(lines(found, 500))
    assert said in report and head in report
    assert verdict(side_by_side({"running": b.STATION, "card": b.STATION}, brings_back=BringsBack(place))).endswith(
        "It would change nothing: running and card hold the same."
        if place == "card"
        else "Running and card hold the same."
    )
    office = side_by_side({"running": BRIDGED, "office": b.STATION}, brings_back=BringsBack(place))
    assert bool(verdict(office)) == (place in ("built-in", "nothing")), "no copy of what would come back is needed"
    assert not verdict(side_by_side({"card": BRIDGED, "office": b.STATION}, brings_back=BringsBack(place)))


def test_what_acts_the_same_is_not_counted_as_lost() -> None:
    """Of a piece that a reset would replace by one proved to act the same nothing is lost."""
    quiet = replace(b.STATION, sources=(*b.STATION.sources, Source("tags.csv", "0" * 64, 1, "tag-table")))
    more = replace(quiet, tables=(*quiet.tables, TagTable("T", (Tag("SPARE", "%MX9.0"),))))
    found = side_by_side({"running": more, "card": quiet}, brings_back=BringsBack("card"))
    assert {row.effect for row in found.rows} <= {"equivalent", "documentation"}
    assert verdict(found).endswith(
        "back. It would change nothing that acts. 1 difference more in what people read, or proved to act the same."
    )


def test_the_report_reads_well() -> None:
    assert list(lines(three(BRIDGED, EXTRA, b.STATION), 100)) == [
        "running and card: 2 may act differently",
        "running and office: 1 may act differently",
        "card and office: 1 may act differently",
        "",
        "After a memory reset the card brings the program back (according to: manual). It would replace 1",
        "piece, bring back 1 piece.",
        "",
        "It would put the card's version in place of the running one: 1",
        "  ~ PumpControl / rung 1 [may act differently]",
        "    PERMIT: contact BYPASS removed from the parallel branches",
        "    The office copy holds it as card does.",
        "",
        "It would bring back, because only the card holds it: 1",
        "  + PumpControl / rung 7 [may act differently]",
        "    DRAIN := TANK_FULL AND NOT DOOR;",
        "    The office copy does not hold it.",
    ]
