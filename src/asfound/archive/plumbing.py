"""Git, as far as an archive needs it: objects in, one branch moved, objects out. Nothing here knows what a record is.

Only plumbing is used (no work tree, no index), in one write order: blobs, trees, commit, branch. The branch is moved
with a compare-and-swap, so that of two writers exactly one wins.

Git is told to sync what it writes (``core.fsync``), but it never syncs folders, and some of its commands write objects
without reading that setting (seen with ``mktree`` of 2.39). So :meth:`Plumbing.sync` does both before the branch is
moved, and :meth:`Plumbing.move` syncs the branch after it. Versions before 2.36 do not sync the file of a branch before
its rename: on a file system that does not keep renames in order behind the data (most do) a power cut in that instant
could leave an empty branch file, which ``asfound check`` finds, and mends from the log of the branch.
"""

from __future__ import annotations

import contextlib
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from asfound.archive import configuration, disk, premises
from asfound.archive.gitprogram import FILES, commit_id, environment, failed, git_module, options, program
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from git import Git

Piece = tuple[int, Iterable[bytes]]
"""Something to store: its size in bytes and its bytes, part by part."""
Sign = Callable[[bytes], str]
"""From the bytes of a commit to its signature, armoured, as git keeps it in the header ``gpgsig``."""
WHOLE = 2**20
"""Bytes up to which a file is read whole, by the process that stays open: to start one takes longer than to read it."""

LISTING = 200 * 2**20
"""Bytes that the names of all files of a record fill at most; those of 500,000 fill a fifth of it."""


MAX_FILE = 400_000_000
"""Bytes of an object that is held in memory: those of a file that readers take (readers.reading.MAX_FILE, which would
bring all readers along)."""


class Damaged(Exception):
    """An object is missing, or cannot be read."""


class TooLarge(Damaged):
    """An object is larger than anything that is held in memory."""


class Moved(Exception):
    """The branch is not where it was expected: somebody else has moved it, or is moving it now."""


class Plumbing:
    """One open bare repository. Close it in the end: a helper process of git stays open for reading.

    ``objects`` is another folder for new objects, where nobody finds them. A folder that does not keep the
    :mod:`.premises` is refused; ``damaged`` takes it all the same, for those who run no git on it before it is mended,
    or who open one again that has been looked at.
    """

    def __init__(self, folder: Path, objects: Path | None = None, *, damaged: bool = False) -> None:
        self.folder = folder.resolve()
        if (self.folder / ".git").exists() and not (self.folder / "objects").exists():
            raise Problem(
                "is a git repository with a work tree, not an archive",
                where=str(folder),
                advice="name a bare one; `asfound init` with a new name makes one",
            )
        if not damaged:
            if not (self.folder / "objects").exists():
                advice = "check the name; `asfound init` with a new name makes one"
                raise Problem("is not an archive", where=str(folder), advice=advice)
            premises.refuse(self.folder, str(folder))
        module = git_module()
        self._failure: type[Exception] = module.GitCommandError
        self._git: Git = module.Git(str(self.folder))
        self._version = tuple(module.Git().version_info)  # not yet in that folder
        self._git.update_environment(**environment(self.folder, self._version))
        if objects:
            self._git.update_environment(GIT_OBJECT_DIRECTORY=str(objects))

    def close(self) -> None:
        """End the helper process."""
        self._git.clear_cache()

    # --- in ---------------------------------------------------------------------------------------------------

    def blobs(self, contents: Iterable[bytes]) -> list[str]:
        """Store the bytes, each as one blob, in one go; their ids in the same order."""
        return self._imported([(len(data), (data,)) for data in contents], "fastimport.unpackLimit=100")

    def big_blobs(self, pieces: Iterable[Piece]) -> list[str]:
        """Store each as one blob without ever holding one whole; their ids in the same order. They are synced."""
        ids = self._imported(pieces, "fastimport.unpackLimit=0", "pack.compression=1")  # mostly packed already
        disk.sync_files((self.folder / "objects" / "pack").iterdir())
        return ids

    def _imported(self, pieces: Iterable[Piece], *settings: str) -> list[str]:
        options = [word for setting in ("core.bigFileThreshold=16m", *settings) for word in ("-c", setting)]
        command = [program(), *options, "fast-import", "--quiet", "--done"]
        start = time.time()
        running = self._git.execute(command, istream=subprocess.PIPE, as_process=True)  # ends with this name
        process: Any = running.proc
        ids: list[str] = []
        try:
            for mark, (size, parts) in enumerate(pieces, 1):
                process.stdin.write(b"blob\nmark :%d\ndata %d\n" % (mark, size))
                for part in parts:
                    process.stdin.write(part)
                process.stdin.write(b"\nget-mark :%d\n" % mark)
                process.stdin.flush()
                ids.append(process.stdout.readline().decode("ascii").strip())
            _, said = process.communicate(b"done\n")
        except BrokenPipeError:
            said = process.stderr.read()
        except BaseException:
            process.kill()
            process.wait()
            self._tidy(process.pid, start)
            raise
        if process.wait() or not all(ids):
            self._tidy(process.pid, start)
            raise failed("fast-import", said.decode("utf-8", "replace"), self.folder)
        return ids

    def _tidy(self, process: int, since: float) -> None:
        """Remove what an import that failed has left, so that it does not keep a full disk full."""
        objects = self.folder / "objects"
        left = [self.folder / f"fast_import_crash_{process}", *objects.glob("??/tmp_*"), *objects.glob("pack/tmp_*")]
        for path in left:
            with contextlib.suppress(OSError):
                if path.stat().st_mtime >= since - 1:
                    path.unlink()

    def trees(self, files: Mapping[str, str]) -> list[str]:
        """Store the trees for ``{path: blob id}``; their ids, the deepest first, the topmost last."""
        levels: dict[int, dict[str, dict[str, str]]] = {0: {"": {}}}
        for path, blob in files.items():
            self._enter(levels, path, f"100644 blob {blob}")
        ids = []
        for depth in sorted(levels, reverse=True):
            folders = levels[depth]
            for folder, tree in zip(folders, self._make_trees(folders.values()), strict=True):
                if depth:
                    self._enter(levels, folder, f"040000 tree {tree}")
                ids.append(tree)
        return ids

    @staticmethod
    def _enter(levels: dict[int, dict[str, dict[str, str]]], path: str, what: str) -> None:
        folder, _, name = path.rpartition("/")
        depth = folder.count("/") + 1 if folder else 0
        for above in range(depth):  # a folder that holds only folders must exist on its level as well
            levels.setdefault(above, {}).setdefault("/".join(folder.split("/")[:above]), {})
        levels.setdefault(depth, {}).setdefault(folder, {})[name] = what

    def _make_trees(self, folders: Iterable[Mapping[str, str]]) -> list[str]:
        text = "".join(
            "".join(f"{what}\t{name}\0" for name, what in sorted(entries.items())) + "\0" for entries in folders
        )
        return self._fed(text.encode("utf-8"), "mktree", "--batch", "-z").split()

    def tree(self, entries: Mapping[str, str]) -> str:
        """Store one folder of ``{name: mode type id}``; its id."""
        (tree,) = self._make_trees([entries])
        return tree

    def _fed(self, data: bytes, command: str, *arguments: str) -> str:
        process = getattr(self._git, command)(*arguments, istream=subprocess.PIPE, as_process=True)
        out, error = process.communicate(data)
        if process.returncode:
            raise failed(command, error.decode("utf-8", "replace"), self.folder)
        return str(out.decode("utf-8"))

    def commit(
        self,
        tree: str,
        parents: Iterable[str],
        message: str,
        person: str,
        email: str,
        seconds: str,
        sign: Sign | None = None,
    ) -> str:
        """Store a commit; ``seconds`` is a git date, ``1767225600 +0100``, ``sign`` makes its signature. The id."""
        who = {
            f"GIT_{role}_{key}": value
            for role in ("AUTHOR", "COMMITTER")
            for key, value in (("NAME", person), ("EMAIL", email), ("DATE", seconds))
        }
        options = [option for parent in parents for option in ("-p", parent)]
        with self._git.custom_environment(**who):
            if sign is None:
                return self._fed(message.encode("utf-8"), "commit_tree", *options, tree).strip()
            names = [f"{word} {self._run('var', f'GIT_{word.upper()}_IDENT')}" for word in ("author", "committer")]
        head = "\n".join([f"tree {tree}", *(f"parent {id}" for id in options[1::2]), *names])
        armour = sign(f"{head}\n\n{message}".encode()).strip().replace("\n", "\n ")
        signed = f"{head}\ngpgsig {armour}\n\n{message}"
        return self._fed(signed.encode("utf-8"), "hash_object", "-t", "commit", "-w", "--stdin").strip()

    def bundle(self, branch: str, to: Path) -> None:
        """Write a file that holds one branch with its whole history and nothing else; ``git clone`` reads it."""
        self._run("bundle", "create", "--quiet", str(to.absolute()), f"refs/heads/{branch}")

    def unbundle(self, file: Path, prefix: str) -> None:
        """Take the branches below ``prefix`` out of such a file."""
        heads = f"refs/heads/{prefix}*"
        with self._git.custom_environment(GIT_ALLOW_PROTOCOL=FILES):
            self._run("fetch", "--quiet", "--no-tags", "--no-auto-gc", str(file.absolute()), f"{heads}:{heads}")

    def move(self, branch: str, new: str, old: str, reason: str, held: int | None = None) -> None:
        """Let the branch go from ``old`` (empty: no such branch yet) to ``new``, or raise :class:`Moved`.

        ``held`` is the handle of a lock that git shall keep held for as long as it lives, even without us.
        """
        words = ("update-ref", "-m", reason, f"refs/heads/{branch}", new, old or "0" * len(new))
        inherited: Any = {"pass_fds": (held,)} if held is not None and sys.platform != "win32" else {}
        try:
            self._git.execute([program(), *words], **inherited)
        except self._failure as error:
            said = str(getattr(error, "stderr", error))
            if any(sign in said for sign in ("No space left", "Read-only file", "quota")):
                raise failed("update-ref", said, self.folder) from None
            raise Moved(said) from None
        place = self.folder / "refs" / "heads" / branch
        if self._version < (2, 36):
            disk.sync_files([place])
        disk.sync_folders([place.parent, place.parent.parent])

    def name(self, names: Mapping[str, str], reason: str) -> None:
        """Give commits names, ``{refs/...: commit}``, all or none."""
        lines = "".join(f"update {reference} {commit}\n" for reference, commit in names.items())
        self._fed(lines.encode("utf-8", "surrogateescape"), "update_ref", "-m", reason, "--stdin")
        disk.sync_folders([(self.folder / reference).parent for reference in names])

    def rename(self, old: str, new: str, tip: str) -> None:
        """Give what the reference ``old`` points to the name ``new``, both or neither; git ends the log of ``old``."""
        lines = f"update {new} {tip}\ndelete {old} {tip}\n"
        self._fed(lines.encode("utf-8", "surrogateescape"), "update_ref", "-m", "set aside", "--stdin")
        disk.sync_folders([(self.folder / name).parent for name in (old, new)])

    def sync(self, ids: Iterable[str]) -> None:
        """Make these new objects survive a power cut: the files of loose ones, and the folders of all."""
        objects = self.folder / "objects"
        files = [objects / name[:2] / name[2:] for name in ids]
        disk.sync_files(files)
        disk.sync_folders([objects, objects / "pack", *(file.parent for file in files)])

    def lock(self, branch: str) -> Path:
        """The file that exists while somebody moves the branch, or after such a process was killed."""
        return self.folder / "refs" / "heads" / f"{branch}.lock"

    def setting(self, key: str) -> str:
        """A setting of the repository's own configuration, or empty."""
        return dict(configuration.settings_of(self.folder / configuration.FILE) or ()).get(key, "")

    # --- out --------------------------------------------------------------------------------------------------

    def branches(self, prefix: str) -> dict[str, str]:
        """``{branch: commit id}`` of all branches below ``prefix``, sorted by name.

        One that only names another is none: what is stored in it would go to that one.
        """
        form = "--format=%(if)%(symref)%(then)%(else)%(objectname) %(refname)%(end)"
        pairs = (
            line.split(" ", 1) for line in self._run("for_each_ref", form, f"refs/heads/{prefix}").split("\n") if line
        )
        return dict(sorted((name.removeprefix("refs/heads/"), commit_id(commit)) for commit, name in pairs))

    def tip(self, branch: str) -> str:
        """The commit that the branch points to, or empty."""
        return self.branches(branch).get(branch, "")

    def history(self, commit: str) -> list[list[str]]:
        """The commit and all before it, each with its parents; parents first, and else the earlier time first."""
        lines = self._run("rev_list", "--date-order", "--reverse", "--parents", commit).splitlines()
        return [line.split() for line in lines]

    def parents(self, commit: str) -> list[str]:
        """The commits that a commit was made on top of."""
        return self._run("rev_parse", f"{commit}^@").split()

    def entries(self, commit: str) -> dict[str, str]:
        """``{name: mode type id}`` of the topmost folder of a commit."""
        listing = str(self._run("ls_tree", "-z", "--full-tree", commit))
        pairs = (entry.partition("\t") for entry in listing.split("\0") if entry)
        return {name: what for what, _, name in pairs}

    def beyond(self, commit: str, other: str) -> list[list[str]]:
        """Commits up to one that another (or nothing, when empty) does not have, each with its parents."""
        if not commit:
            return []
        words = ("--parents", commit, *([f"^{other}"] if other else []))
        return [line.split() for line in self._run("rev_list", *words).splitlines()]

    def between(self, commit: str, other: str) -> list[str]:
        """Ids of all objects up to a commit that another (or nothing, when empty) does not have."""
        words = ("--objects", "--no-object-names", commit, *([f"^{other}"] if other else []))
        return self._run("rev_list", *words).split()

    def file(self, commit: str, path: str) -> bytes:
        """Bytes of one file of a commit; a :class:`Problem` when it is missing or damaged."""
        return self._bytes(f"{commit}:{path}", path)

    def files(self, commit: str, folder: str) -> Iterator[tuple[str, bytes]]:
        """``(path below the folder, bytes)`` of every file in it, sorted by path; nothing when it does not exist."""
        for path, blob in sorted(self._listing(commit, folder)):
            yield path.removeprefix(f"{folder}/"), self._bytes(blob, path)

    def listing(self, commit: str) -> dict[str, str]:
        """``{path: blob id}`` of all files of a commit, sorted by path."""
        return dict(sorted(self._listing(commit)))

    def _listing(self, commit: str, *folders: str) -> list[tuple[str, str]]:
        """``(path, blob id)`` of all files; a :class:`Problem` when that fills more than :data:`LISTING` bytes."""
        words = ("-r", "-t", "-z", "--full-tree", commit, *folders)  # -t: folders of nothing but folders count too
        running = self._git.ls_tree(*words, as_process=True)
        process: Any = running.proc
        listing = bytearray()
        while len(listing) <= LISTING and (part := process.stdout.read(2**20)):
            listing += part
        if len(listing) > LISTING:
            process.kill()
            process.communicate()
            advice = "it was not stored by asfound; `asfound check` names all such records"
            raise Problem(f"{commit[:12]} holds more files than a record can", where=str(self.folder), advice=advice)
        if process.wait():
            raise failed("ls-tree", process.stderr.read().decode("utf-8", "replace"), self.folder)
        entries = (entry.partition("\t") for entry in listing.decode("utf-8", "surrogateescape").split("\0") if entry)
        return [(path, what.split()[2]) for what, _, path in entries if what.split()[1] != "tree"]

    def _run(self, command: str, *arguments: str) -> str:
        try:
            return str(getattr(self._git, command)(*arguments))
        except self._failure as error:
            raise failed(command, str(getattr(error, "stderr", error)), self.folder) from None

    def _bytes(self, blob: str, path: str) -> bytes:
        """Content of an object; git is asked again from the start after it met a damaged one."""
        try:
            return self.object(blob)[1]
        except TooLarge:
            advice = "it was not stored by asfound; `asfound check` names all such files"
            raise Problem(f"{path} holds more than {MAX_FILE:,} bytes", where=str(self.folder), advice=advice) from None
        except Damaged:
            raise self._missing(path, blob) from None

    def _missing(self, path: str, name: str) -> Problem:
        return Problem(
            f"{path} is missing or damaged (git object {name})",
            where=str(self.folder),
            advice="`asfound check --from OTHER` mends it from another copy of the archive",
        )

    def object(self, name: str) -> tuple[str, bytes]:
        """Type and content of an object by its id or any other name, or :class:`Damaged`.

        A damaged object ends the running git, sometimes only when it is asked for the next one; so everybody gets a
        second chance with a fresh one. One that says it is too large to be held is not read at all.
        """
        for _ in (1, 2):
            with contextlib.suppress(ValueError, IndexError, OSError):
                if int(self._git.get_object_header(name)[2]) > MAX_FILE:
                    raise TooLarge
                found: Any = self._git.get_object_data(name)  # the type is bytes, whatever its annotation says
                if len(found[3]) == found[2]:
                    return found[1].decode("ascii"), bytes(found[3])
            self._git.clear_cache()
        raise Damaged

    def size(self, name: str) -> int:
        """Number of bytes of an object, or :class:`Damaged`."""
        try:
            return int(self._git.get_object_header(name)[2])
        except (ValueError, IndexError, OSError):
            self._git.clear_cache()
            raise Damaged from None

    def stream(self, blob: str) -> Iterator[bytes]:
        """The bytes of a file part by part, or :class:`Damaged` in the middle of it."""
        running = self._git.cat_file("blob", blob, as_process=True)
        process: Any = running.proc
        while part := process.stdout.read(2**20):
            yield part
        if process.wait():
            raise Damaged

    def streamed(self, name: str, path: str) -> Iterator[bytes]:
        """The same, with a :class:`Problem` that names the file."""
        try:
            yield from self.stream(name)
        except Damaged:
            raise self._missing(path, name) from None

    def parts(self, blob: str, path: str) -> Iterator[bytes]:
        """The bytes of a file part by part; only one beyond :data:`WHOLE` takes a process of its own."""
        try:
            big = self.size(blob) > WHOLE
        except Damaged:
            raise self._missing(path, blob) from None
        if big:
            yield from self.streamed(blob, path)
        else:
            yield self._bytes(blob, path)

    def inspect(self) -> list[str]:
        """What ``git fsck --full --strict`` complains about, line by line."""
        faster = options({"core.commitGraph": "true", "core.multiPackIndex": "true"})  # looked at, though not used
        words = [program(), *faster, "fsck", "--full", "--strict", "--no-dangling", "--no-progress"]
        running: Any = self._git.execute(words, as_process=True)
        process: Any = running.proc
        out, error = process.communicate()
        said = (out + error).decode("utf-8", "replace").splitlines()
        return sorted(set(filter(None, said))) if process.returncode else []

    def unreachable(self) -> dict[str, str]:
        """The kind of each object that no reference and no log leads to, by its id."""
        running = self._git.fsck("--unreachable", "--no-progress", "--connectivity-only", as_process=True)
        process: Any = running.proc
        out, _ = process.communicate()
        lines = (line.split() for line in out.decode("utf-8", "replace").split("\n"))
        found = (words for words in lines if len(words) == 3 and words[0] in ("unreachable", "dangling"))
        return {name: kind for _, kind, name in found}

    def damaged_packs(self) -> list[Path]:
        """Indexes of the packs that git finds fault with."""
        return [index for index in sorted((self.folder / "objects" / "pack").glob("*.idx")) if not self.verifies(index)]

    def verifies(self, index: Path) -> bool:
        """Whether a pack and its index are whole."""
        try:
            self._git.verify_pack(str(index))
        except self._failure:
            return False
        return True

    def index_pack(self, pack: Path, to: Path) -> bool:
        """Write the index of a pack, each of whose objects is looked at; whether the pack is sound."""
        try:
            self._git.index_pack("-o", str(to), str(pack))
        except self._failure:
            return False
        return True

    def repack(self) -> None:
        """Bring all objects that branches reach into one pack of this archive, those that another lends too."""
        self._run("repack", "-a", "-d", "-q")

    def listed(self, index: Path) -> list[str]:
        """Ids of the objects in a pack, or nothing when its index cannot be read."""
        running = self._git.show_index(istream=subprocess.PIPE, as_process=True)
        process: Any = running.proc
        out, _ = process.communicate(index.read_bytes())
        return [] if process.returncode else [line.split()[1] for line in out.decode("ascii").splitlines()]
