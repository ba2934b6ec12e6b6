"""From a file or a folder to one copy: ask the readers, then put the parts together.

Order is by file name everywhere, so that the same folder gives the same copy on every machine. Nothing is left out
silently: a file that no reader knows stays as a source without a format and is named among the limits; a file that
a reader recognises but cannot read to its end stops everything.
"""

from __future__ import annotations

import errno
import os
import posixpath
import stat
from collections.abc import Iterator, Sequence
from pathlib import Path

import msgspec

from asfound.language.standard import block, declaring, function
from asfound.language.walk import every_pou
from asfound.model.copy import Copy
from asfound.model.problem import Problem, meant
from asfound.readers.linked_files import followed, inside, wanted
from asfound.readers.merging import merge
from asfound.readers.reader import Probe, Reader
from asfound.readers.single_files import Files, Parts, Watch, read_part
from asfound.readers.tables.headings import HEADING_WITHIN
from asfound.readers.tables.profiles import PROFILE, Profiles, looks_like_table

MAX_FILE = 400_000_000
"""Bytes of one file."""
# Opening a pipe must not wait for a writer; Windows has neither of the first two, and needs bytes asked for.
_READING = os.O_RDONLY | sum(getattr(os, name, 0) for name in ("O_NONBLOCK", "O_CLOEXEC", "O_BINARY"))
_RIGHT = "close the program that holds it, or ask for the right to read it"
LOOKED_AT = 5_000_000
"""Bytes of a file that nobody knows, up to which it is asked at once whether a profile could read it."""
MAX_FILES = 10_000
"""Files below one folder."""
MAX_TOTAL = 1_000_000_000
"""Bytes of all files below one folder: they are in memory together."""


def read(source: str | Path | bytes, name: str | None = None) -> Copy:
    """The copy in an export file, in all exports below a folder, or in the bytes of one export.

    ``name`` stands for the file name in messages and sources (only for a file or bytes); the format is recognised by
    content, and by the name only where the content fits several. The files of a folder are one copy, put together in
    the order of their names; hidden ones are left out, and those that no reader knows are named among the limits. One
    file brings along the logic beside it that it links to (bytes have nothing beside them).

    Raises :class:`Problem` when the path is not there or cannot be read, no reader knows the export, it is damaged or
    incomplete, or beyond a limit (:data:`MAX_FILE`, :data:`MAX_FILES`, :data:`MAX_TOTAL`): never half a copy.

    >>> copy = read(b"Name;Address;Type\\nLamp;%QX0.1;BOOL\\n", "tags.csv")
    >>> copy.sources[0].format, copy.tables[0].tags[0].address
    ('tag-table', '%QX0.1')
    >>> read(b"", "plc.xml")
    Traceback (most recent call last):
    asfound.model.problem.Problem: plc.xml: is empty; export it again.
    """
    if isinstance(source, bytes):
        return _read_one(name or "export", source)
    path = Path(source)
    if path.is_dir():
        return read_files(gather(path), where=str(source))
    ((own_name, data), *beside) = with_linked(path)
    name = name or own_name
    return read_files(
        [(name, data), *((posixpath.join(posixpath.dirname(name), other), more) for other, more in beside)]
    )


def gather(path: Path) -> list[tuple[str, bytes]]:
    """``(name, bytes)`` of a file, or of every file below a folder, sorted by name; names use ``/``.

    Hidden files and folders are left out. A link that stays inside the folder is left out too, for what it points at is
    there anyway. Raises :class:`Problem` for one that leads out of the folder or to nothing, for pipes, devices and
    sockets, for what cannot be read, and beyond the limits.
    """
    if path.is_dir():
        root = path.resolve()
        found = sorted((file.relative_to(path).as_posix(), file) for file in below(path, root))
    elif path.exists():
        found = [(path.name, path)]
    else:
        raise missing(path)
    if len(found) > MAX_FILES:
        raise Problem(f"holds more than {MAX_FILES} files", where=str(path), advice="name the folder of the export")
    if sum(map(_size, (file for _, file in found))) > MAX_TOTAL:
        what = f"holds more than {MAX_TOTAL // 1_000_000} MB"
        raise Problem(what, where=str(path), advice="name the folder of the export")
    return [(_checked(name), content(file)) for name, file in found]


def with_linked(path: Path) -> list[tuple[str, bytes]]:
    """As :func:`gather`; of one file first itself, then what it links to beside it, and what that links to, each once.

    Raises :class:`Problem` for what is linked by a link of the file system that leads out of the folder.
    """
    files = gather(path)
    if path.is_dir():
        return files
    found = dict(files)
    waiting = [path.name]
    while waiting:
        name = waiting.pop()
        for target in wanted(name, found[name]):
            file = inside(path.parent, target)
            if file is None or any(
                _same(file, path.parent / other) for other in found if other.lower() == target.lower()
            ):
                continue
            found[target] = content(file)
            waiting.append(target)
            if len(found) > MAX_FILES or sum(map(len, found.values())) > MAX_TOTAL:
                what = f"links to more than {MAX_FILES} files or {MAX_TOTAL // 1_000_000} MB"
                raise Problem(what, where=str(path), advice="check where the file comes from")
    return [files[0], *sorted((name, data) for name, data in found.items() if name != path.name)]


def _same(file: Path, other: Path) -> bool:
    """Whether two spellings are one file, as where upper and lower case are not told apart."""
    return file == other or file.samefile(other)


def _size(file: Path) -> int:
    """Bytes of a file that can be read; whatever it is else is said when its turn comes."""
    try:
        size = file.stat().st_size
    except OSError:
        return 0
    return size if size <= MAX_FILE else 0


def missing(path: Path, what: str = "does not exist") -> Problem:
    """The :class:`Problem` of a path that is not there; the advice asks for one beside it that is called nearly so."""
    if path.is_symlink():
        return Problem("is a link to something that is not there", where=str(path), advice="mend or remove the link")
    try:
        near = meant(path.name, sorted(each.name for each in path.parent.iterdir()))
    except OSError:
        near = ""
    return Problem(what, where=str(path), advice=f"{near}check the name")


def below(folder: Path, root: Path) -> Iterator[Path]:
    """Every file below a folder that :func:`gather` takes, in no order; raises :class:`Problem` as it does."""
    waiting = [folder]
    while waiting:
        try:
            entries = sorted(waiting.pop().iterdir())
        except OSError as error:
            raise Problem(
                f"cannot be read ({error.strerror})", where=error.filename or str(folder), advice=_RIGHT
            ) from None
        for entry in entries:
            if entry.name.startswith("."):
                continue
            if entry.is_symlink():
                _refuse_link(entry, root)
            elif entry.is_dir():
                waiting.append(entry)
            else:
                yield entry


def _refuse_link(entry: Path, root: Path) -> None:
    try:
        target = entry.resolve(strict=True)
    except (OSError, RuntimeError):  # RuntimeError: links in a circle, before Python 3.13
        raise Problem("is a link to something that is not there", where=str(entry), advice="remove the link") from None
    if not target.is_relative_to(root):
        raise Problem("is a link that leads out of its folder", where=str(entry), advice="copy the file itself")


def _checked(name: str) -> str:
    try:
        name.encode("utf-8")
    except UnicodeEncodeError:
        shown = name.encode("utf-8", "backslashreplace").decode("ascii", "replace")
        raise Problem("has a name that is not valid Unicode", where=shown, advice="rename the file") from None
    return name


def content(path: Path) -> bytes:
    """The bytes of one file. Raises :class:`Problem` for what is no file, is too large or changes while it is read."""
    try:
        opened = os.open(path, _READING)
        try:
            about = os.fstat(opened)  # of what is open: nothing can be put in its place any more
            if stat.S_ISDIR(about.st_mode):
                raise Problem("is a folder", where=str(path), advice="name one file")
            if not stat.S_ISREG(about.st_mode):
                raise Problem("is a pipe, a device or a socket", where=str(path), advice="give a file")
            if about.st_size > MAX_FILE:
                what = f"is larger than {MAX_FILE // 1_000_000} MB"
                raise Problem(what, where=str(path), advice="move it away if it is no export")
            with os.fdopen(opened, "rb", closefd=False) as file:
                data = file.read(about.st_size + 1)
            if len(data) != about.st_size or os.fstat(opened).st_mtime_ns != about.st_mtime_ns:
                raise Problem("is being written", where=str(path), advice="wait until it is whole, then try again")
            return data
        finally:
            os.close(opened)
    except OSError as error:
        if error.errno in (errno.ENXIO, errno.EOPNOTSUPP):  # what opening a socket says
            raise Problem("is a pipe, a device or a socket", where=str(path), advice="give a file") from None
        raise Problem(f"cannot be read ({error.strerror})", where=str(path), advice=_RIGHT) from None


def read_files(
    files: Files,
    *,
    where: str = "",
    readers: Sequence[Reader] | None = None,
    watch: Watch | None = None,
    parts: Parts | None = None,
) -> Copy:
    """One copy out of ``(name, bytes)`` pairs. At least one must be an export that a reader knows.

    ``where`` is how messages call the whole; ``readers`` replaces the registered ones; ``parts`` has what was read
    from single files before.
    """
    known = parts or Parts(readers=readers)
    profiles = Profiles(files)
    found = []
    for name, data in sorted(files):
        found.append(profiles.part(name, data) or known.part(name, data))
        if watch:
            watch(name)
    if not any(part.source.format not in ("", PROFILE) for part in found):
        _refuse_all(files, where, known.readers)
    merged = merge(found)
    own = [p.name for p in every_pou(merged.program.pous) if function(p.name) or block(p.name)]
    if own:  # what a body says depends on them, in whichever file they are declared
        with declaring(own):
            merged = merge(
                [profiles.part(name, data) or read_part(name, data, known.readers) for name, data in sorted(files)]
            )
    findings = (*merged.findings, *profiles.findings())
    return followed(msgspec.structs.replace(merged, findings=findings), files)


def _read_one(name: str, data: bytes) -> Copy:
    return read_files([(name, data)])


def _refuse_all(files: Files, where: str, readers: Sequence[Reader]) -> None:
    """Say why nothing could be read: about the one file there is, or about the folder."""
    if not files:
        raise Problem(
            "holds no files", where=where, advice="export into it first; `asfound formats` lists what is read"
        )
    if len(files) > 1:
        raise Problem(
            f"holds no export that is understood ({len(files)} files looked at)",
            where=where,
            advice="`asfound formats` lists what is read",
        )
    ((name, data),) = files
    shown = f"{where.rstrip('/')}/{name}" if where else name
    if not data:
        raise Problem("is empty", where=shown, advice="export it again")
    _refuse_damaged_xml(shown, data)
    listed = "`asfound formats` lists what is read"
    if looks_like_table(data, name):
        _refuse_table(name, shown, data, f"{listed} ({', '.join(reader.title for reader in readers)})")
    tried = ", ".join(reader.title for reader in readers)
    what = f"has the root element <{root[1]}>, which" if (root := Probe(data, name).root) else "is in a format that"
    raise Problem(f"{what} no reader knows (tried: {tried})", where=shown, advice=listed)


def _refuse_table(name: str, shown: str, data: bytes, listed: str) -> None:
    """A table whose heading is not known: a profile may be proposed for it, or it is said at once why none can be."""
    from asfound.readers.tables.profile_proposal import propose

    unknown = f"is in a format that no reader knows: none of its first {HEADING_WITHIN} lines names known columns"
    try:
        if len(data) <= LOOKED_AT:
            propose(data, name)
    except Problem as why:
        at = why.where.removeprefix(name)
        raise Problem(
            f"{unknown}, and as a table it {why.what}", where=shown + at, advice=f"{why.advice}; {listed}"
        ) from None
    advice = f"if it is a table, `asfound profile {shown}` proposes how to read it; {listed}"
    raise Problem(unknown, where=shown, advice=advice)


def _refuse_damaged_xml(name: str, data: bytes) -> None:
    if data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<"):
        from asfound.readers.xml import parse

        parse(data, name)
