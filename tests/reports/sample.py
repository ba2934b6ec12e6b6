"""A small pump station before and after a visit, and the comparison of the two, written by hand."""

from __future__ import annotations

from asfound.compare.result import SCHEMA, Change, Comparison, Counts, Reached, Side
from asfound.language.parser import parse_statements
from asfound.model.copy import Copy, Source
from asfound.model.program import Body, Network, Pou, Program, VariableDeclaration
from asfound.prove.witness import Witness

INTERLOCK = "PUMP_1 := (START_1 OR PUMP_1) AND NOT STOP_1 AND LOW_SUCTION_OK AND NOT PUMP_1_FAULT;"
BRIDGED = "PUMP_1 := (START_1 OR PUMP_1) AND NOT STOP_1 AND (LOW_SUCTION_OK OR BYPASS) AND NOT PUMP_1_FAULT;"
PRESET = "{call TON} START_DELAY(IN := DEMAND AND NOT PUMP_1_FAULT, PT := T#%s, Q => DELAY_DONE);"
BLOCK = "SPEED := LIMIT(MN := 20.0, IN := PRESSURE_SET + TRIM * %s, MX := 100.0);"
ALARM = "(* Discharge pressure *)\nHIGH_PRESSURE := PRESSURE > %s AND PUMP_1 AND NOT ALARM_OFF;"
LONG = (
    "STATION_READY := POWER_AVAILABLE AND NOT EMERGENCY_STOP_PRESSED AND SURGE_VESSEL_LEVEL_OK AND "
    "(VALVE_1_OPEN OR VALVE_2_OPEN_CONFIRMED%s) AND NOT FLOOD_SWITCH_PUMP_HALL AND COMMUNICATION_WITH_TOWER_OK AND "
    "OPERATOR_ENABLE;"
)
XOR = "NOT (VALVE_1_OPEN AND VALVE_2_OPEN)"

BOOLEANS = [
    "PUMP_1",
    "START_1",
    "STOP_1",
    "LOW_SUCTION_OK",
    "PUMP_1_FAULT",
    "BYPASS",
    "DEMAND",
    "DELAY_DONE",
    "HIGH_PRESSURE",
    "ALARM_OFF",
    "STATION_READY",
]
REALS = ["SPEED", "PRESSURE_SET", "TRIM", "PRESSURE"]


def copy(*networks: str, name: str = "station.xml") -> Copy:
    """A copy with one ladder program of the given networks."""
    variables = [VariableDeclaration(name, "BOOL") for name in BOOLEANS]
    variables += [VariableDeclaration(name, "REAL") for name in REALS]
    body = Body("LD", networks=tuple(Network(parse_statements(text, dialect=True)) for text in networks))
    pou = Pou("PumpControl", "program", variables=tuple(variables), bodies=(body,))
    digest = f"{sum(map(ord, ''.join(networks))):064x}"
    return Copy(sources=(Source(name, digest, 48213, "tc6"),), program=Program(pous=(pou,)))


OLD = copy(INTERLOCK, PRESET % "8s", BLOCK % "2.0", ALARM % "6.5", LONG % "")
NEW = copy(BRIDGED, PRESET % "3s", BLOCK % "2.5", ALARM % "6.5", LONG % " OR VALVE_3_OPEN")


PUMP = Reached("physical", "PUMP_1", "%QX0.0", ("PUMP_1",))
READY = Reached("physical", "STATION_READY", "%QX0.3", ("PUMP_1", "PUMP_RUNS", "STATION_READY"))
SPEED = Reached("physical", "SPEED", "%QW4", ("PumpControl.TRIMMED", "SPEED"))


def _reached(*outputs: Reached, blocks: tuple[str, ...] = ()) -> dict[str, object]:
    return {"reached": outputs, "reach": (*(f"{o.name} ({o.at})" for o in outputs), *blocks)}


def reaching(name: str) -> dict[str, object]:
    """What a change holds that reaches one output of this name."""
    return _reached(Reached("physical", name, name, (name, name)), blocks=(name,))


def _rung(number: int, before: str | None, after: str | None, summary: str, **more: object) -> dict[str, object]:
    kind = "added" if before is None else "removed" if after is None else "changed"
    return {
        "area": "logic",
        "kind": kind,
        "effect": "behaviour",
        "where": f"PumpControl / rung {number}",
        "path": ("PumpControl", f"network:{number}"),
        "before": before,
        "after": after,
        "summary": summary,
        **more,
    }


CHANGES: tuple[dict[str, object], ...] = (
    _rung(
        1,
        INTERLOCK,
        BRIDGED,
        "Contact BYPASS added in parallel to LOW_SUCTION_OK in the rung of PUMP_1.",
        details=("The interlock LOW_SUCTION_OK no longer stops PUMP_1 while BYPASS is TRUE.",),
        witness=Witness(
            {"BYPASS": "TRUE", "LOW_SUCTION_OK": "FALSE", "START_1": "TRUE", "STOP_1": "FALSE"},
            {"PUMP_1": "FALSE"},
            {"PUMP_1": "TRUE"},
        ),
        **_reached(PUMP, READY),
    ),
    _rung(
        2,
        PRESET % "8s",
        PRESET % "3s",
        "Preset of START_DELAY shortened from T#8s to T#3s.",
        **_reached(PUMP),
    ),
    _rung(3, BLOCK % "2.0", BLOCK % "2.5", "Operand 2.0 replaced by 2.5 in the block MUL of SPEED.", **_reached(SPEED)),
    _rung(
        5,
        LONG % "",
        LONG % " OR VALVE_3_OPEN",
        "Contact VALVE_3_OPEN added in parallel to VALVE_2_OPEN_CONFIRMED.",
        **_reached(READY),
    ),
    _rung(6, None, f"VALVE_ALARM := {XOR} AND (VALVE_1_OPEN XOR DEMAND);", "Rung of VALVE_ALARM added."),
    _rung(
        7,
        "HORN S= R_TRIG(HIGH_PRESSURE) AND NOT MUTE;",
        "HORN := HIGH_PRESSURE AND NOT MUTE;",
        "Set coil HORN became a plain coil.",
        effect="undecided",
    ),
    {
        "area": "tag",
        "kind": "readdressed",
        "effect": "behaviour",
        "where": "Inputs / LOW_SUCTION_OK",
        "path": ("Inputs", "LOW_SUCTION_OK"),
        "before": "LOW_SUCTION_OK AT %IX0.4 : BOOL;",
        "after": "LOW_SUCTION_OK AT %IX1.6 : BOOL;",
        "summary": "LOW_SUCTION_OK moved from %IX0.4 to %IX1.6.",
        "details": ("%IX1.6 was SPARE_14 before.",),
        **_reached(PUMP),
    },
    _rung(
        4,
        ALARM % "6.5",
        ALARM % "6.5",
        "Reads LOW_SUCTION_OK, which has another address now.",
        follows_from=7,
        kind="changed",
    ),
    {
        "area": "declaration",
        "kind": "renamed",
        "effect": "equivalent",
        "where": "PumpControl / DEMAND",
        "path": ("PumpControl", "DEMAND"),
        "before": "WANTED : BOOL;",
        "after": "DEMAND : BOOL;",
        "summary": "WANTED renamed to DEMAND in 14 places.",
    },
    {
        "area": "hardware",
        "kind": "changed",
        "effect": "undecided",
        "where": "Rack 0 / slot 4",
        "path": ("Rack 0", "slot:4"),
        "before": "firmware: V2.1",
        "after": "firmware: V3.0",
        "summary": "Module DI16 replaced by one with firmware V3.0 (was V2.1).",
    },
    {
        "area": "value",
        "kind": "changed",
        "effect": "behaviour",
        "where": "PRESSURE_SET",
        "path": ("PRESSURE_SET",),
        "before": "PRESSURE_SET = 5.2 bar",
        "after": "PRESSURE_SET = 5.8 bar",
        "summary": "Set-point PRESSURE_SET tuned from 5.2 bar to 5.8 bar in the running copy.",
    },
    {
        "area": "document",
        "kind": "changed",
        "effect": "documentation",
        "where": "PumpControl / comment",
        "path": ("PumpControl", "comment"),
        "before": "Three pumps\nrotation by hours\nlockout on low suction\nsee O+M manual",
        "after": "Three pumps\nrotation by hours and faults\nlockout on low suction\nsee O+M manual",
        "summary": "Comment of PumpControl changed.",
    },
)
LIMITS = (
    "The library Util is linked as newest: its code is not part of the export.",
    "The export has no tasks: how often PumpControl runs is not known.",
)


def _statements(text: object) -> object:
    return parse_statements(text, dialect=True) if isinstance(text, str) else None


def comparison(changes: tuple[dict[str, object], ...] = CHANGES, verdict: str = "behaviour") -> Comparison:
    """The comparison of :data:`OLD` and :data:`NEW`, or of other changes."""
    made = tuple(
        Change(id=number, **change, statements=tuple(_statements(change[side]) for side in ("before", "after")))  # type: ignore[arg-type]
        for number, change in enumerate(changes, 1)
    )
    effects = [change.effect for change in made]
    counts = Counts(
        **{effect: effects.count(effect) for effect in ("documentation", "equivalent", "undecided", "behaviour")}
    )
    old = Side("booster-1@as-left", OLD.sources, "a" * 64)
    new = Side("booster-1", NEW.sources, "b" * 64)
    return Comparison(SCHEMA, old, new, verdict, LIMITS if made else (), counts, made)  # type: ignore[arg-type]
