"""The folder that is handed over: everything about one record, checkable without this program.

========================  =========================================================================================
``originals/``            the exact bytes of every export, a folder for each copy
``normal/``               the normal form of each copy
``attachments/``          files stored as they are, if there are any
``record.json``           what was stored, when and by whom; with ``station.toml`` as in the archive
``history.bundle``        the git history of this station, and of no other
``statement.*``           the statement (see :mod:`asfound.evidence.documents`)
``signers``               the key that signed, as OpenSSH reads it; only when something is signed
``SHA256SUMS``            the digest of every file but itself and its signature ``SHA256SUMS.sig``
========================  =========================================================================================

The pages (index, reports, instructions) are made elsewhere and come as documents. All names are safe on every file
system. The folder appears in one rename, complete or not at all.
"""

from __future__ import annotations

import hashlib
import tempfile
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from asfound.archive import disk
from asfound.archive.archive import Archive
from asfound.evidence import sshsig, sums
from asfound.evidence.keys import Signer
from asfound.model.problem import Problem
from asfound.model.record import Record

HISTORY, SIGNERS, SIGNATURE = "history.bundle", "signers", f"{sums.NAME}.sig"
STATEMENT = "statement"
"""What the files of the statement are called."""


def write(archive: Archive, record: Record, documents: Mapping[str, bytes], signer: Signer | None, to: Path) -> None:
    """Write the folder ``to``, which must not exist or be empty; whole, or not at all and a :class:`Problem`.

    ``documents`` are ``{file name: bytes}`` beside the originals, the history and the list of sums.
    """
    refuse_existing(to)
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".asfound-handover-", dir=to.absolute().parent) as beside:
            folder = Path(beside) / "folder"
            folder.mkdir()
            digests = dict(_written(folder, _contents(archive, record, documents, folder)))
            _sums(folder, digests, signer)
            if to.is_dir():
                to.rmdir()
            disk.patiently(lambda: folder.rename(to))
    except OSError as error:
        raise Problem(f"cannot be written ({error.strerror})", where=str(to), advice="choose another folder") from None


def refuse_existing(to: Path) -> None:
    """A :class:`Problem` when there is something already."""
    if to.exists() and (not to.is_dir() or any(to.iterdir())):
        raise Problem("exists and is not empty", where=str(to), advice="choose a new name")


def _contents(
    archive: Archive, record: Record, documents: Mapping[str, bytes], folder: Path
) -> Iterator[tuple[str, Iterable[bytes]]]:
    yield from archive.tree(record)
    archive.bundle(record.station, folder / HISTORY)
    yield HISTORY, ()
    for name, data in documents.items():
        yield name, (data,)


def _written(folder: Path, contents: Iterable[tuple[str, Iterable[bytes]]]) -> Iterator[tuple[str, str]]:
    """Write the files (those without content are there already) and give the digest of each."""
    for name, parts in contents:
        path = folder.joinpath(*name.split("/"))
        path.parent.mkdir(parents=True, exist_ok=True)
        if name == HISTORY:
            yield name, disk.digest(path)
            continue
        digest = hashlib.sha256()
        with path.open("xb") as file:
            for part in parts:
                file.write(part)
                digest.update(part)
        yield name, digest.hexdigest()


def _sums(folder: Path, digests: Mapping[str, str], signer: Signer | None) -> None:
    data = sums.text(digests).encode("utf-8")
    (folder / sums.NAME).write_bytes(data)
    if signer is not None:
        (folder / SIGNATURE).write_bytes(sshsig.sign(signer, sshsig.NAMESPACE, data).encode("ascii"))


def pack(folder: Path, to: Path) -> None:
    """Put a folder into a zip file: the same folder gives the same bytes. A :class:`Problem` when it cannot be."""
    if to.exists():
        raise Problem("exists", where=str(to), advice="choose a new name")
    try:
        with zipfile.ZipFile(to, "x", zipfile.ZIP_DEFLATED) as packed:
            for name in sums.files(folder):
                info = zipfile.ZipInfo(f"{to.stem}/{name}", (1980, 1, 1, 0, 0, 0))
                info.external_attr, info.compress_type = 0o644 << 16, zipfile.ZIP_DEFLATED
                with (folder / name).open("rb") as source, packed.open(info, "w", force_zip64=True) as target:
                    while part := source.read(2**20):
                        target.write(part)
    except OSError as error:
        raise Problem(f"cannot be written ({error.strerror})", where=str(to), advice="choose another file") from None
