"""The folder that is handed over: everything about one record, checkable without this program.

========================  =========================================================================================
``originals/``            the exact bytes of every export, a folder for each copy
``normal/``               the normal form of each copy
``attachments/``          files stored as they are, if there are any
``record.json``           what was stored, when and by whom; with ``station.toml`` as in the archive
``history.bundle``        the git history of this station, and of no other
``statement.*``           the statement (see :mod:`asfound.evidence.statement_files`)
``signers``               the key that signed, as OpenSSH reads it; only when something is signed
``SHA256SUMS``            the digest of every file but itself and its signature ``SHA256SUMS.sig``
========================  =========================================================================================

The pages (index, reports, instructions) are made elsewhere and come as documents. All names are safe on every file
system. The folder appears in one rename, complete and checked or not at all, and so does the one file it is packed in.
"""

from __future__ import annotations

import hashlib
import os
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from asfound.archive import disk, whole
from asfound.archive.archive import Archive
from asfound.evidence import sshsig, sums
from asfound.evidence.folder import HISTORY, SIGNATURE, Checking
from asfound.evidence.keys import Signer
from asfound.evidence.statement_files import Text
from asfound.model.problem import Problem, command
from asfound.model.record import Record


def write(
    archive: Archive,
    record: Record,
    documents: Mapping[str, bytes],
    signer: Signer | None,
    to: Path,
    text: Text,
    *,
    packed: bool = False,
) -> Path:
    """Write the folder ``to``, which must not exist or be empty, or the file ``to.zip``; what was written.

    ``documents`` are ``{file name: bytes}`` beside the originals, the history and the list of sums; ``text`` writes the
    words of a statement. Whole, checked as whoever gets it will check it, or not at all and a :class:`Problem`.
    """
    target = refuse_existing(to, packed=packed)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with whole.among(target.parent) as beside:
            folder = beside.fresh()
            folder.mkdir()
            digests = dict(_written(folder, _contents(archive, record, documents, folder)))
            _sums(folder, digests, signer)
            _verify(folder, text, archive, record)
            if packed:
                file = beside.fresh()
                _pack(folder, file, to.name)
                beside.put(file.name, target.name)
            else:
                beside.put_folder(folder.name, target.name)
    except FileExistsError:
        raise _exists(target) from None
    except OSError as error:
        raise whole.refused(error, target, "choose another folder") from None
    return target


def refuse_existing(to: Path, *, packed: bool = False) -> Path:
    """Where a hand-over goes; a :class:`Problem` when there is something already."""
    if to.name in ("", ".."):
        raise Problem("is no name for a hand-over", where=str(to), advice="choose a new name")
    target = to.with_name(f"{to.name}.zip") if packed else to
    try:
        if packed and os.path.lexists(target):
            raise Problem("exists", where=str(target), advice="choose a new name")
        if target.is_symlink():
            raise Problem("is a link", where=str(target), advice="choose a new name")
        if target.exists() and (not target.is_dir() or any(target.iterdir())):
            raise _exists(target)
    except OSError as error:
        raise Problem(f"cannot be read ({error.strerror})", where=str(target), advice="choose a new name") from None
    return target


def _exists(target: Path) -> Problem:
    return Problem("exists and is not empty", where=str(target), advice="choose a new name")


def _verify(folder: Path, text: Text, archive: Archive, record: Record) -> None:
    """A :class:`Problem` when the check of a hand-over finds a fault: then the archive itself may be damaged."""
    faults = Checking(folder, None, text).run().faults
    if faults:
        more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
        what = f"a hand-over of record {record.number} of {record.station} would not verify: {faults[0]}{more}"
        raise Problem(what, where=str(archive.path), advice=f"{command('check', archive.path)} tells what is damaged")


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


def _pack(folder: Path, to: Path, name: str) -> None:
    """Put a folder into a zip file, as ``name``, and sync it: the same folder gives the same bytes."""
    with to.open("xb") as file:
        with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as packed:
            for each in sums.files(folder):
                info = zipfile.ZipInfo(f"{name}/{each}", (1980, 1, 1, 0, 0, 0))
                info.external_attr, info.compress_type = 0o644 << 16, zipfile.ZIP_DEFLATED
                with (folder / each).open("rb") as source, packed.open(info, "w", force_zip64=True) as target:
                    while part := source.read(2**20):
                        target.write(part)
        file.flush()
        disk.sync_handle(file.fileno())
