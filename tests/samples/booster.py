"""Station booster-1: as built in 2025, and what happened to it until this visit."""

from __future__ import annotations

from dataclasses import replace

from samples import booster_hardware, booster_process, booster_pumps, booster_tags
from samples.plant import Force, Pou, Rung, Station, Task, Value

TASKS = (
    Task("Fast", "T#20ms", 1, (("Pumps", "PumpControl"), ("Alarm_Handling", "Alarms")), "switching and lockouts"),
    Task("Slow", "T#200ms", 5,
         (("Analog", "Scaling"), ("Control", "Process"), ("Stages", "Staging"), ("Inlet", "InletValve"),
          ("Book", "Records")), "analog values, control and book-keeping"),
)  # fmt: skip


def _values() -> tuple[Value, ...]:
    return tuple(Value(name, initial, initial, unit, text) for name, _, initial, unit, text in booster_tags.SETTINGS)


def as_left_2025() -> Station:
    """All three copies agree."""
    return Station(
        name="booster-1",
        title="Hill Zone booster station",
        version="2025.2",
        tags=booster_tags.tags(),
        globals=(*booster_tags.settings(), *booster_process.globals_()),
        types=booster_process.types(),
        pous=(*booster_pumps.programs(), *booster_process.pous()),
        text_pous=(booster_process.CONVERSIONS,),
        tasks=TASKS,
        racks=booster_hardware.racks(),
        networks=booster_hardware.NETWORKS,
        library=("PumpBlocks", "1.4.0"),
        values=_values(),
    )


def spring_2026() -> Station:
    """The planned service of March 2026: changed in the office, downloaded, copied to the card."""
    station = rename(as_left_2025(), "P3_FlowSw", "P3_FlowOK")
    station = replace(station, version="2026.1")
    station = station.with_pou(
        "Alarms",
        lambda pou: (
            moved(pou, "sump", after="lamp_test")
            .with_rung(
                "common_fault",
                lambda r: replace(r, text="/P1_Fault /P2_Fault /P3_Fault /Tank_Low_Lock /Inlet_Fault -> /Common_Fault"),
            )
            .with_rung("tank", lambda r: replace(r, comment=r.comment + " (tested 2026-03-17)"))
            .with_rung("dose", lambda r: replace(r, comment="Chlorine dosing: needs flow, no leak, and no excess"))
        ),
    )
    station = station.with_pou("PumpControl", lambda pou: pou.with_rung("p3_run_lamp", stretched))
    return station.with_tag("Chlor_Leak_OK", comment="chlorine leak detector, calibrated each spring")


def found_2026() -> Station:
    """What runs in November 2026: the summer on site added changes that neither card nor office know."""
    station = spring_2026().with_pou(
        "PumpControl",
        lambda pou: pou.with_rung("p2_permit", bridged).with_rung("p1_delay", shortened),
    )
    station = swapped(station)
    station = with_night_mode(station)
    station = station.with_module("AI process", order="analog-in-8b", firmware="3.0")
    values = tuple(replace(v, actual="5.8") if v.name == "SP_Pressure" else v for v in station.values)
    forces = (Force("Tank_LowLow_OK", "%IX7.0", "TRUE", "float stuck"),)
    return replace(station, values=values, forces=forces)


def as_left_2026() -> Station:
    """Bridge and short delay taken back, force removed; what was right on site is now in all three copies.

    The door contact leaves the dead channel for a spare one: there it read open and kept the horn silent.
    """
    station = with_night_mode(swapped(spring_2026())).with_tag("Door_Closed", address="%IX3.2")
    station = station.with_module("AI process", order="analog-in-8b", firmware="3.0")
    station = station.with_module("DI pump 2", comment="channel 7 out of order, replace at the next shutdown")
    changed = tuple(replace(g, initial="5.8") if g.name == "SP_Pressure" else g for g in station.globals)
    values = tuple(replace(v, actual="5.8", initial="5.8") if v.name == "SP_Pressure" else v for v in station.values)
    return replace(station, version="2026.2", globals=changed, values=values)


def bridged(rung: Rung) -> Rung:
    """The suction lockout of pump 2 gets a parallel contact that is always closed."""
    return replace(rung, text=rung.text.replace("/P2_SuctLock", "( /P2_SuctLock | Test_On )"))


def shortened(rung: Rung) -> Rung:
    """Start delay 8 s to 3 s."""
    return replace(rung, text=rung.text.replace("T#8s", "T#3s"))


def stretched(rung: Rung) -> Rung:
    """Redrawn only."""
    return replace(rung, stretch=80)


def swapped(station: Station) -> Station:
    """Channel 7 of 'DI pump 2' is dead: the suction switch took the channel of the door contact."""
    suction = next(tag.address for tag in station.tags if tag.name == "P2_SuctOK")
    door = next(tag.address for tag in station.tags if tag.name == "Door_Closed")
    return station.with_tag("P2_SuctOK", address=door).with_tag("Door_Closed", address=suction)


def with_night_mode(station: Station) -> Station:
    """One more rung in Staging, ahead of the fire brigade demand."""
    return station.with_pou("Staging", lambda pou: inserted(pou, booster_pumps.NIGHT, after="stop"))


def inserted(pou: Pou, rung: Rung, after: str) -> Pou:
    """The POU with a rung added."""
    at = [r.key for r in pou.rungs].index(after) + 1
    return replace(pou, rungs=(*pou.rungs[:at], rung, *pou.rungs[at:]))


def moved(pou: Pou, key: str, after: str) -> Pou:
    """The POU with a rung moved; it shares nothing with the rungs it passes."""
    rung = next(r for r in pou.rungs if r.key == key)
    return inserted(replace(pou, rungs=tuple(r for r in pou.rungs if r.key != key)), rung, after)


def rename(station: Station, old: str, new: str) -> Station:
    """A tag renamed in its declaration, the table and every use."""
    pous = tuple(
        replace(pou, rungs=tuple(replace(r, text=r.text.replace(old, new)) for r in pou.rungs)) for pou in station.pous
    )
    return replace(station.with_tag(old, name=new), pous=pous)
