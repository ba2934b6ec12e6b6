"""``asfound demo``: a whole visit to an invented waterworks, out of the sample exports."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple

import typer

import asfound
from asfound.cli import streams
from asfound.cli.options import QuietOption, example
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from asfound.archive.archive import Archive
    from asfound.checks.findings import Inspection
    from asfound.checks.readiness.readiness import Readiness
    from asfound.compare.result import Change, Comparison, Origin
    from asfound.evidence.keys import Signer
    from asfound.model.copy import Copy
    from asfound.model.panel import Panel
    from asfound.model.record import Record

EXAMPLE = example("demo --to demo/")
FOLDER = "asfound-demo"
COUNT = 5
SIGNER = "Bert (service)"
"""Who signs what he stores, and the hand-over of the station."""
HANDED = "booster-1"
INSPECTED = "booster-1@2:running"
"""What the controller ran on arrival in the second year."""

REASONS = (
    ("booster-1@1:running", ("PumpControl", "network:25"), "pump 2 can run dry: its suction lockout is bridged"),
    ("booster-1@1:running", ("PumpControl", "network:12"), "the pumps start on every short dip of the pressure"),
    (
        "booster-1@1:running",
        ("globals:globals of Plant/booster_1", "variable:Door_Closed"),
        "two inputs changed places; every rung that reads them acts differently",
    ),
    ("booster-1@1:running", ("force:Tank_LowLow_OK",), "the float in the suction tank cannot stop the pumps"),
    ("booster-1@2:card", ("Staging", "network:10"), "after a start from the card the night mode is gone"),
)
"""(old side of the comparison, path of the change, why it matters)."""


class Compared(NamedTuple):
    """One comparison of the plan; the sides are kept for the report."""

    title: str
    comparison: Comparison
    old: Copy
    new: Copy


def demo(
    to: Annotated[Path, typer.Option("--to", metavar="FOLDER", help="A new or empty folder.")] = Path(FOLDER),
    quiet: QuietOption = False,
) -> None:
    """Play a visit through at an invented waterworks.

    Store its two stations, compare, inspect, judge, and write a report and a hand-over.
    """
    from asfound.archive import whole
    from asfound.checks.inspection import inspect as inspected

    _refuse_existing(to)
    samples = sample_exports()
    import tomllib

    plan = tomllib.loads((samples / "demo.toml").read_text(encoding="utf-8"))
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        with whole.among(to.parent) as beside:
            folder = beside.fresh()
            folder.mkdir()
            with _archive(folder / "plant.git") as archive:
                _archive(folder / "stick.git").close()
                records, judged = _store(archive, plan["record"], samples, folder, to, quiet)
                key = _hand_over(archive, folder / "handover")
                compared = _compare(archive, plan["compare"], quiet)
                inspection = inspected(_copy(archive, INSPECTED), INSPECTED)
            _write_report(compared[0], folder / "report.html")
            _readdress(folder, to)
            beside.put_folder(folder.name, to.name)
    except OSError as error:
        raise whole.refused(error, to, "name a new folder with --to") from None
    if not quiet:
        for line in _told(to, records, compared, inspection, judged, key):
            streams.say(line)


def _refuse_existing(to: Path) -> None:
    advice = "name a new folder with --to"
    if to.name in ("", ".."):
        raise Problem("is no name for a new folder", where=str(to), advice=advice)
    if to.is_symlink():
        raise Problem("is a link", where=str(to), advice=advice)
    if to.exists() and (not to.is_dir() or any(to.iterdir())):
        raise Problem("exists and is not empty", where=str(to), advice=advice)


def _readdress(folder: Path, to: Path) -> None:
    """Let the exchange with the stick be remembered by where both will be: they were made beside it."""
    from asfound.archive.remembered_exchanges import moved

    moved(folder.resolve(), to.resolve(), "plant.git")


def sample_exports() -> Path:
    """The folder of the sample exports: inside an installed package, or beside the sources."""
    package = Path(asfound.__file__).parent
    for folder in (package / "sample_exports", package.parents[1] / "sample_exports"):
        if (folder / "demo.toml").is_file():
            return folder
    raise Problem("the sample exports are not installed", advice="install asfound again")


def _archive(path: Path) -> Archive:
    from asfound.archive.archive import Archive

    return Archive.create(path)


def _store(
    archive: Archive, plan: Sequence[Mapping[str, Any]], samples: Path, made: Path, to: Path, quiet: bool
) -> tuple[list[Record], list[Readiness]]:
    """Store the records of the plan, each with the time and person it names; judge those where the plan asks for it."""
    from functools import partial

    from asfound.evidence import sshsig
    from asfound.model.copy import COPY_NAMES
    from asfound.readers.reading import gather

    records, judged, sign = [], [], partial(sshsig.sign, _signer(), sshsig.GIT)
    known: dict[str, bytes] = {}
    with streams.progress("Storing", len(plan), quiet=quiet) as watch:
        for entry in plan:
            folder = samples / entry["folder"]
            files = {name: gather(folder / name) for name in COPY_NAMES if (folder / name).is_dir()}
            about = {key: entry[key] for key in ("note", "person", "time")}
            about["settings"] = b"" if entry["station"] in known else _settings(samples, entry["station"])
            known.setdefault(entry["station"], about["settings"])
            about["panel"] = _panel(entry["panel"], known[entry["station"]]) if "panel" in entry else None
            about["sign"] = sign if entry["person"] == SIGNER else None
            records.append(archive.store(entry["station"], entry["moment"], files, **about))
            if "synced" in entry:
                archive.sync(str(made / "stick.git"), time=entry["synced"])
            if entry.get("judged"):
                judged.append(_judge(archive, records[-1], made, to))
            if watch:
                watch(entry["folder"])
    return records, judged


def _settings(samples: Path, station: str) -> bytes:
    """What is stated of a station, stored with its first record."""
    return (samples / station / "station.toml").read_bytes()


def _panel(words: Mapping[str, str], settings: bytes) -> Panel | None:
    """What was seen, in the words of `asfound note`."""
    from asfound.archive.stated import stated
    from asfound.cli import panel_words
    from asfound.model.panel import LIGHTS

    station = stated(settings, "station.toml").equipment
    lists: dict[str, str] = {how: words.get(how, "") for how in LIGHTS}
    given = {field: text for field, text in words.items() if field not in lists}
    return panel_words.panel(given, lists, (), station, station.indicators)


def _judge(archive: Archive, record: Record, made: Path, to: Path) -> Readiness:
    """Whether a memory reset could be made on the day of a record that was just stored."""
    from dataclasses import replace

    from asfound.checks.readiness.gathering import gather
    from asfound.checks.readiness.readiness import readiness
    from asfound.reports.words import CAUTIONS

    situation = gather(archive, record.station, "reset", record.time[:10])
    if situation.second is not None:
        address = situation.second.address.replace(str(made.resolve()), str(to.resolve()))
        situation = replace(situation, second=replace(situation.second, address=address))
    return readiness(situation, f"{record.station}@{record.number}", {}, CAUTIONS)


def _signer() -> Signer:
    """A key for the demonstration, the same for everybody: it proves nothing about anyone."""
    from hashlib import sha256

    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    from asfound.evidence.keys import FileSigner

    return FileSigner(Ed25519PrivateKey.from_private_bytes(sha256(b"asfound demo").digest()))


def _hand_over(archive: Archive, to: Path) -> str:
    """Hand the last record of a station over; the fingerprint of the key that signed."""
    from asfound.cli import handover
    from asfound.evidence import stating

    about, signer = stating.matter(archive, HANDED), _signer()
    stated = stating.state(archive, about, by=SIGNER, time=datetime.fromisoformat(about.record.time))
    handover.write(archive, stated, signer, to)
    return signer.public.fingerprint


def _compare(archive: Archive, plan: Sequence[Mapping[str, str]], quiet: bool) -> list[Compared]:
    from asfound.compare.comparison import compare
    from asfound.compare.origins import with_origins

    done = []
    copies: dict[str, Copy] = {}
    with streams.progress("Comparing", len(plan), quiet=quiet) as watch:
        for entry in plan:
            for side in (entry["old"], entry["new"]):
                copies[side] = copies.get(side) or _copy(archive, side)
            old, new = copies[entry["old"]], copies[entry["new"]]
            comparison = compare(old, new, old_reference=entry["old"], new_reference=entry["new"])
            comparison = with_origins(comparison, _origin(archive, entry["old"]), _origin(archive, entry["new"]))
            done.append(Compared(entry["title"], comparison, old, new))
            if watch:
                watch(entry["title"])
    return done


def _copy(archive: Archive, reference: str) -> Copy:
    _, record, copy = _chosen(archive, reference)
    return archive.copy(record, copy)


def _origin(archive: Archive, reference: str) -> Origin:
    from asfound.compare.origins import origin

    return origin(*_chosen(archive, reference))


def _chosen(archive: Archive, reference: str) -> tuple[str, Record, str]:
    """What a record is called, the record, and the copy."""
    station, _, rest = reference.partition("@")
    selector, _, copy = rest.partition(":")
    ((label, record),) = archive.admitted(station, selector)
    return label, record, copy


def _write_report(shown: Compared, path: Path) -> None:
    from asfound.reports import html

    streams.deliver(html.write(shown.comparison, shown.old, shown.new, title=shown.title), str(path))


def findings(compared: Sequence[Compared]) -> list[tuple[Change, str]]:
    """The changes of :data:`REASONS` with the reason; should one not be found, another change of behaviour instead."""
    found: list[tuple[Change, str]] = []
    for old, path, reason in REASONS:
        changes = [c for done in compared if done.comparison.old.reference == old for c in done.comparison.changes]
        found += [(change, reason) for change in changes if change.path == path][:1]
    others = (c for done in compared for c in done.comparison.changes if c.effect == "behaviour" and not c.follows_from)
    taken = {change.summary for change, _ in found}
    found += [(change, "") for change in others if change.summary not in taken][: COUNT - len(found)]
    return found


def _told(
    to: Path,
    records: Sequence[Record],
    compared: Sequence[Compared],
    inspection: Inspection,
    judged: Sequence[Readiness],
    key: str,
) -> Iterator[str]:
    from asfound.reports.readiness import lines

    stations = list(dict.fromkeys(record.station for record in records))
    yield f"Stored {len(records)} records of {' and '.join(stations)} in {to / 'plant.git'}"
    yield ""
    width = max(len(done.title) for done in compared)
    for done in compared:
        counts = done.comparison.counts
        numbers = ", ".join(
            f"{getattr(counts, f)} {f}" for f in reversed(counts.__struct_fields__) if getattr(counts, f)
        )
        yield f"{done.title.ljust(width)}  {numbers or 'nothing'}"
    yield ""
    yield "What matters:"
    for number, (change, reason) in enumerate(findings(compared), 1):
        yield f"{number}. {change.where}: {change.summary}"
        if reason:
            yield f"   {reason}"
    yield ""
    yield f"Inspection of {inspection.reference}:"
    for finding in inspection.findings:
        if finding.severity != "note":
            yield f"{finding.severity}: {finding.text}"
            yield f"   {finding.reason}"
    yield ""
    yield "Ready for a memory reset, on arrival and on leaving?"
    for found in judged:
        yield from lines(found, streams.PIPED_WIDTH, quiet=True)
    yield ""
    yield f"Report: {to / 'report.html'}"
    yield f"Hand-over of {HANDED} for the client: {to / 'handover' / 'index.html'}"
    yield f"   signed with the demonstration key {key}, which everybody has"
    yield "Next, try:"
    archive = f'"{to / "plant.git"}"' if " " in str(to) else str(to / "plant.git")
    yield f"  asfound history {archive}"
    yield f"  asfound compare {archive}:booster-1@1 {archive}:booster-1@2"
    yield f"  asfound inspect {archive}:booster-1@2"
    yield f"  asfound ready {archive} {judged[-1].station} --for reset --on {judged[-1].day}"
    yield f"  asfound show {archive}:booster-1:card"
    yield f"  asfound restore {archive}:booster-1@2:card --to {to / 'out'}"
    handed = f'"{to / "handover"}"' if " " in str(to) else str(to / "handover")
    yield f"  asfound verify {handed}"


command = demo
