"""What a record consists of, as files of a git tree; and the words of its commit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import NamedTuple

import msgspec

import asfound
from asfound.archive.safe_names import stored_paths
from asfound.archive.validity import objections
from asfound.model.copy import COPY_NAMES, MOMENTS, Copy, Source
from asfound.model.panel import Panel
from asfound.model.problem import Problem
from asfound.model.record import Join, Record, StoredCopy
from asfound.readers.reading import read_files
from asfound.readers.single_files import Files, Parts, Watch

SCHEMA = "asfound/record/1"
DEEPEST = 100
"""Folders inside each other in a copy; what comes from elsewhere may go a few deeper, for long names are split."""
JOIN_SCHEMA = "asfound/join/1"
STATION_SCHEMA = "asfound/station/1"


class Content(NamedTuple):
    """A copy ready to be stored: what is read from its files, their bytes, its normal form and the digest of that."""

    name: str
    copy: Copy
    files: Mapping[str, bytes]
    normal: Mapping[str, str]
    normal_sha256: str


def prepare(name: str, files: Files, watch: Watch | None = None, parts: Parts | None = None) -> Content:
    """Read one copy; a :class:`Problem` when it cannot be read whole."""
    from asfound.language.normal import normal_form, normal_sha256

    if name not in COPY_NAMES:
        raise Problem(f"'{name}' is no copy", advice=f"a copy is one of {', '.join(COPY_NAMES)}")
    by_name = dict(files)
    if len(by_name) != len(files):
        raise Problem("holds two files of one name", where=f"copy {name}", advice="name each file once")
    if deep := next((path for path in by_name if path.count("/") >= DEEPEST), ""):
        what = f"lies more than {DEEPEST} folders deep"
        raise Problem(what, where=f"copy {name}/{deep}", advice="move it up, or pack the folder into one file")
    copy = read_files(files, where=f"copy {name}", watch=watch, parts=parts)
    return Content(name, copy, by_name, normal_form(copy), normal_sha256(copy))


def checked_moment(moment: str) -> str:
    """The moment, or a :class:`Problem` that lists the ones there are."""
    if moment not in MOMENTS:
        raise Problem(f"'{moment}' is no moment", advice=f"write one of {', '.join(MOMENTS)}")
    return moment


def record_of(
    station: str,
    moment: str,
    contents: Sequence[Content],
    attachments: Sequence[Source] = (),
    *,
    panel: Panel | None = None,
    note: str,
    person: str,
    time: datetime,
) -> Record:
    """The record that describes these copies, as the first one of its station."""
    fields = {
        "schema": SCHEMA,
        "station": station,
        "number": 1,
        "moment": moment,
        "time": time.isoformat(timespec="seconds"),
        "person": person,
        "tool_version": asfound.__version__,
        "copies": [StoredCopy(content.name, content.copy.sources, content.normal_sha256) for content in contents],
        "note": note,
        "attachments": tuple(attachments),
    }
    return msgspec.structs.replace(msgspec.convert(fields, Record), panel=panel)


def on_top_of(record: Record, last: Record | Join, latest: str) -> Record:
    """The record as the next one after ``last``; ``latest`` is the latest time so far, to notice a clock set back."""
    back = datetime.fromisoformat(record.time) < datetime.fromisoformat(latest)
    return msgspec.structs.replace(
        record,
        station=last.station,
        number=last.number + 1,
        clock=f"the clock was behind: an earlier record has the time {latest}" if back else "",
    )


def bodies_of(contents: Sequence[Content]) -> dict[str, bytes]:
    """``{path: bytes}`` of what is in the tree of a record whatever its number: originals and normal forms."""
    files = {}
    for content in contents:
        for name, path in stored_paths(content.files).items():
            files[f"originals/{content.name}/{path}"] = content.files[name]
        for name, text in content.normal.items():
            files[f"normal/{content.name}/{name}"] = text.encode("utf-8", "surrogatepass")
    return files


def attached_paths(sources: Sequence[Source]) -> list[str]:
    """Where in the tree of a record its attachments are."""
    paths = stored_paths(source.name for source in sources)
    return [f"attachments/{paths[source.name]}" for source in sources]


def renewed(record: Record, name: str, copy: Copy) -> Copy:
    """A copy of a record of another version, with a limit that says what became of its normal form."""
    from asfound.language.normal import normal_sha256

    stored = next(stored.normal_sha256 for stored in record.copies if stored.name == name)
    same = "the same" if normal_sha256(copy) == stored else "another one"
    said = (
        f"record {record.number} was stored by asfound {record.tool_version} and is read anew by {asfound.__version__}"
    )
    limits = (*copy.limits, f"{said}: the normal form is {same}")
    return msgspec.structs.replace(copy, limits=limits)


def heads_of(record: Record | Join, settings: bytes = b"") -> dict[str, bytes]:
    """``{path: bytes}`` of the rest of the tree: which record this is, and the ``settings`` of its station."""
    return {
        "station.toml": settings or station_toml(record.station),
        "record.json": msgspec.json.format(msgspec.json.encode(record), indent=2) + b"\n",
    }


def station_toml(station: str) -> bytes:
    """What a station without settings has. Quoted like JSON, which for a checked name is the same in TOML."""
    quoted = msgspec.json.encode(station).decode("utf-8")
    return f'schema = "{STATION_SCHEMA}"\nname = {quoted}\n'.encode()


def message_of(record: Record) -> str:
    """The commit message: one line to find it by, then everything a person asks about a record.

    Files stand there under the names they have in the tree.
    """
    lines = [
        f"{record.station} {record.number}: {record.moment} {record.time[:10]}",
        "",
        *([record.note, ""] if record.note else []),
        f"Station: {record.station}",
        f"Record: {record.number}",
        f"Moment: {record.moment}",
        f"Time: {record.time}",
        f"Person: {record.person}",
        *([f"Clock: {record.clock}"] if record.clock else []),
        "",
    ]
    for copy in record.copies:
        sizes = {source.name: source.size for source in copy.sources}
        lines += [f"{copy.name}:", *(f"  {path} ({sizes[name]} bytes)" for name, path in stored_paths(sizes).items())]
    if record.panel:
        lines += ["panel:", *(f"  {line}" for line in record.panel.lines())]
    if record.attachments:
        paths = zip(attached_paths(record.attachments), record.attachments, strict=True)
        lines += ["attachments:", *(f"  {path.partition('/')[2]} ({source.size} bytes)" for path, source in paths)]
    return "\n".join(lines) + "\n"


def record_from(data: bytes, where: str) -> Record | Join:
    """``record.json`` of an archive, checked against the model and field by field (:mod:`.validity`)."""
    advice = "`asfound check` finds damage; for a newer version update asfound"
    try:
        schema = msgspec.json.decode(data, type=_Any).schema
        if schema not in (SCHEMA, JOIN_SCHEMA):
            raise Problem(f"record.json has the schema {schema!r}", where=where, advice="update asfound")
        record = msgspec.json.decode(data, type=Record) if schema == SCHEMA else msgspec.json.decode(data, type=Join)
    except (msgspec.DecodeError, RecursionError) as error:
        raise Problem(f"record.json is damaged or of a newer version ({error})", where=where, advice=advice) from None
    if wrong := next(objections(record), ""):
        raise Problem(f"record.json is damaged or of a newer version ({wrong} cannot be)", where=where, advice=advice)
    return record


class _Any(msgspec.Struct):
    schema: str
