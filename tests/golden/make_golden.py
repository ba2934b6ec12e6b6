"""Make the golden archive of this version: ``python tests/golden/make_golden.py``, once per release, never again for it.

Two laptops, a station with two lines of records that were joined, a clock set back, an attachment, names that no disk
likes, and an export of every kind of text. ``archive-VERSION.zip`` is what every later version must read;
``archive-VERSION.txt`` says what is in it.
"""

from __future__ import annotations

import hashlib
import os
import sys
import tempfile
import zipfile
from datetime import datetime
from pathlib import Path

import asfound
from asfound.archive.archive import Archive
from asfound.model.record import Join, Record

HERE = Path(__file__).parent
PROGRAM = "PROGRAM Main\nVAR\n  a : BOOL; (* Förderband *)\n  b AT %IX0.0 : BOOL;\nEND_VAR\na := {0}b;\nEND_PROGRAM\n"
TAGS = "name,address,type,comment\nStart,%IX0.0,BOOL,Anlage ein\nStop,%IX0.1,BOOL,\n"
FORCES = "name,value\nStart,TRUE\n"
ODD = {"AUX.st": "TYPE\n  Speed : INT;\nEND_TYPE\n", "süd/Größe 😀.bin": "?", "süd/größe 😀.bin": "!"}


def store(archive: Archive, person: str, time: str, body: str, **more: list[Path]) -> None:
    """One record with all three copies."""
    files = {"main.st": PROGRAM.format(body), "tags.csv": TAGS, "forces.csv": FORCES, **ODD}
    pairs = [(name, text.encode()) for name, text in files.items()]
    copies = {"running": pairs, "card": pairs[:2], "office": pairs[:1]}
    archive.store(
        "Rechen Süd", "as-left", copies, note="Ölwechsel", person=person, time=datetime.fromisoformat(time), **more
    )


def told(archive: Archive) -> str:
    """Everything in the archive as text: what each record says, and the digest of every file."""
    lines = []
    for station in archive.stations():
        for label, found in archive.history(station):
            lines.append(f"{station}@{label} {found.time} {'joined' if isinstance(found, Join) else found.moment}")
            if isinstance(found, Record):
                lines += [f"  {found.person}: {found.note}", *([f"  {found.clock}"] if found.clock else [])]
                for copy in found.copies:
                    for name, data in archive.files(found, copy.name):
                        lines.append(f"  {copy.name} {hashlib.sha256(data).hexdigest()} {name}")
                lines += [f"  attached {source.sha256} {source.name}" for source in found.attachments]
    return "\n".join(lines) + "\n"


def make(folder: Path) -> Path:
    """The archive itself."""
    first, second = folder / "first.git", folder / "second.git"
    attached = folder / "maker.zip"
    attached.write_bytes(b"PK\x03\x04" + bytes(2000))
    with Archive.create(first) as one, Archive.create(second) as two:
        store(one, "Ada Lind <ada@example.org>", "2026-03-31T09:30:00+02:00", "")
        one.sync(str(second))
        store(one, "Ada Lind <ada@example.org>", "2026-05-01T10:00:00+02:00", "NOT ", attach=[attached])
        store(two, "Bo Ek", "2026-05-02T11:00:00+02:00", "b AND ")
        store(two, "Bo Ek", "2026-04-02T11:00:00+02:00", "b OR ")
        one.sync(str(second))
        store(one, "Ada Lind <ada@example.org>", "2026-06-01T10:00:00+02:00", "")
    return first


def main() -> None:
    """Write both files; refuse to replace them."""
    name = HERE / f"archive-{asfound.__version__}"
    if name.with_name(f"{name.name}.zip").exists() and "--again" not in sys.argv:
        sys.exit(f"{name.name}.zip exists; a golden archive is made once")
    os.environ |= {"GIT_COMMITTER_NAME": "asfound", "GIT_COMMITTER_EMAIL": ""}
    with tempfile.TemporaryDirectory() as folder:
        path = make(Path(folder))
        with Archive.open(path) as archive:
            name.with_name(f"{name.name}.txt").write_text(told(archive), encoding="utf-8", newline="\n")
        with zipfile.ZipFile(name.with_name(f"{name.name}.zip"), "w", zipfile.ZIP_DEFLATED) as packed:
            for file in sorted(file for file in path.rglob("*") if file.is_file()):
                packed.writestr(zipfile.ZipInfo(file.relative_to(path).as_posix()), file.read_bytes())


if __name__ == "__main__":
    main()
