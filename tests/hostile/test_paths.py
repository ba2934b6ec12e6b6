"""Every command that takes a path, with everything that a path may be: one sentence, exit 2, at once, in little memory."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import NamedTuple

import pytest

import asfound
from asfound.model.problem import Problem
from asfound.readers import reading

if sys.platform == "win32":
    pytest.skip("Windows has none of these", allow_module_level=True)

ST = b"PROGRAM p\nVAR a : BOOL; b AT %QX0.0 : BOOL; END_VAR\nb := a;\nEND_PROGRAM\n"
UNDECODABLE = os.fsdecode(b"\xff.st")
HUGE = 2_000_000_000
REPORTS = ("--html", "o.html", "--pdf", "o.pdf", "--markdown", "o.md", "--sarif", "o.sarif", "--json", "o.json")
COMMANDS: dict[str, tuple[str, ...]] = {
    "show": ("show", "X"),
    "show --json": ("show", "X", "--json", "-"),
    "where": ("where", "a", "X"),
    "inspect": ("inspect", "X", "--json", "-"),
    "compare old": ("compare", "X", "good", *REPORTS),
    "compare new": ("compare", "good", "X", *REPORTS),
    "compare --three": ("compare", "--three", "X"),
    "profile": ("profile", "X"),
    "--profile": ("show", "good", "--profile", "X"),
    "store": ("store", "plant.git", "t", "--moment", "routine", "--by", "Ada", "--running", "X"),
    "store --profile": ("store", "plant.git", "t", "--moment", "routine", "--by", "Ada", "--running", "good", "--profile", "X"),
    "--settings": ("note", "plant.git", "s", "--by", "Ada", "--settings", "X"),
    "--new": ("ready", "plant.git", "s", "--for", "download", "--new", "X"),
    "git-driver text": ("git-driver", "text", "X"),
    "git-driver diff": ("git-driver", "diff", "X", "good/m.st", "name"),
}  # fmt: skip
KINDS = (
    "pipe", "socket", "device", "folder with a pipe", "long path", "long name", "name of bytes", "folder of bytes",
    "name of bytes in a folder", "links in a circle", "link to nothing", "huge", "folder with a huge file", "below a file",
    "empty folder", "crowded folder",
)  # fmt: skip


class Done(NamedTuple):
    """What a real command said; ``seconds`` are those of its processor, ``memory`` the most it had, in kilobytes."""

    code: int
    out: bytes
    err: bytes
    seconds: float
    memory: int


def typed(at: Path, *words: str) -> Done:
    """Run the real command line in a process of its own."""
    environment = {**os.environ, "ASFOUND_CACHE": "off", "NO_COLOR": "1"}
    environment.pop("ASFOUND_ARCHIVE", None)
    script = (
        "import re, resource, sys\nfrom pathlib import Path\nfrom asfound.cli.main import run\n"
        "def memory():\n    about = Path('/proc/self/status')  # getrusage counts what the parent had before\n"
        "    return re.search(r'VmHWM:\\s+(\\d+)', about.read_text())[1] if about.exists() else 0\n"
        "try:\n    run()\n"
        "finally:\n    used = resource.getrusage(resource.RUSAGE_SELF)\n"
        "    sys.stderr.write(f'\\0{used.ru_utime + used.ru_stime} {memory()}')"
    )
    command = [sys.executable, "-c", script, *words]
    done = subprocess.run(
        command, cwd=at, env=environment, stdin=subprocess.DEVNULL, capture_output=True, check=False, timeout=300
    )
    err, _, used = done.stderr.rpartition(b"\0")
    seconds, memory = used.split()
    return Done(done.returncode, done.stdout, err, float(seconds), int(memory))


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a good export, an archive with a station, and one of each kind."""
    at = tmp_path_factory.mktemp("paths")
    for folder in ("good", "pipes", "bytes", "huge", "nothing", "crowd", os.fsdecode(b"d\xff")):
        (at / folder).mkdir()
    for file in ("good/m.st", UNDECODABLE, f"bytes/{UNDECODABLE}", os.fsdecode(b"d\xff/m.st")):
        (at / file).write_bytes(ST)
    os.mkfifo(at / "pipe")
    os.mkfifo(at / "pipes" / "pipe.st")
    here = Path.cwd()
    os.chdir(at)  # the path of a socket may have 100 bytes
    with socket.socket(socket.AF_UNIX) as made:
        made.bind("socket")
    os.chdir(here)
    (at / "one").symlink_to("two")
    (at / "two").symlink_to("one")
    (at / "dangling").symlink_to("nowhere")
    for file in ("huge.xml", "huge/huge.st"):
        with (at / file).open("wb") as sparse:
            sparse.truncate(HUGE)
    for number in range(reading.MAX_FILES + 1):
        os.mknod(at / "crowd" / str(number))
    assert typed(at, "init", "plant.git").code == 0
    stored = typed(at, "store", "plant.git", "s", "--moment", "routine", "--running", "good", "--by", "Ada")
    assert stored.code == 0, stored.err
    return at


def path_of(kind: str) -> str:
    """What is typed for it."""
    return {
        "pipe": "pipe", "socket": "socket", "device": "/dev/zero", "folder with a pipe": "pipes", "long path": "x/" * 2500 + "y.st",
        "long name": "n" * 300, "name of bytes": UNDECODABLE, "folder of bytes": os.fsdecode(b"d\xff"),
        "name of bytes in a folder": "bytes", "links in a circle": "one", "link to nothing": "dangling", "huge": "huge.xml",
        "folder with a huge file": "huge", "below a file": "good/m.st/x", "empty folder": "nothing", "crowded folder": "crowd",
    }[kind]  # fmt: skip


READ = {("store", "folder of bytes"), ("git-driver text", "name of bytes"), ("git-driver diff", "name of bytes")}
"""What is read all the same: only the names of files are stored or shown, and git has to have an answer."""


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("kind", KINDS)
def test_it_is_read_or_refused_in_one_sentence(place: Path, kind: str, command: str) -> None:
    done = typed(place, *(path_of(kind) if word == "X" else word for word in COMMANDS[command]))
    out, err = done.out.decode("utf-8"), done.err.decode("utf-8")
    assert "bug" not in err and "Traceback" not in err
    assert "\\udc" not in out and "\udcff" not in out
    assert done.seconds < 30 and done.memory < 250_000, done
    if (command, kind) == ("git-driver text", "huge"):
        assert (done.code, err) == (0, "") and out.startswith("(* not read by asfound, sha256 "), out
    elif (command, kind) in READ:
        assert done.code in (0, 1), err
    else:
        assert (done.code, out) == (2, ""), err
        told = [line for line in err.splitlines() if not line.startswith("limit: ")]
        assert len(told) == 1 and told[0].endswith("."), err
        assert "; " in told[0]


SAID = {
    "pipe": "pipe: is a pipe, a device or a socket; give a file.",
    "socket": "socket: is a pipe, a device or a socket; give a file.",
    "device": "/dev/zero: is a pipe, a device or a socket; give a file.",
    "folder with a pipe": "pipes/pipe.st: is a pipe, a device or a socket; give a file.",
    "name of bytes": "\\xff.st: is not valid Unicode; write it in the letters of this terminal, or rename it.",
    "folder of bytes": "d\\xff: is not valid Unicode; write it in the letters of this terminal, or rename it.",
    "name of bytes in a folder": "\\udcff.st: has a name that is not valid Unicode; rename the file.",
    "links in a circle": "one: is a link to something that is not there; mend or remove the link.",
    "link to nothing": "dangling: is a link to something that is not there; mend or remove the link.",
    "huge": "huge.xml: is larger than 400 MB; move it away if it is no export.",
    "folder with a huge file": "huge/huge.st: is larger than 400 MB; move it away if it is no export.",
    "long name": "n" * 100 + ": cannot be looked at (File name too long); check the name.",
    "empty folder": "nothing: holds no files; export into it first; `asfound formats` lists what is read.",
    "crowded folder": "crowd: holds more than 10000 files; name the folder of the export.",
}  # fmt: skip


@pytest.mark.parametrize("kind", SAID)
def test_the_sentence(place: Path, kind: str) -> None:
    assert typed(place, "show", path_of(kind)).err.decode("utf-8") == SAID[kind] + "\n"


def test_a_name_with_a_nul_is_refused() -> None:
    with pytest.raises((Problem, ValueError)) as caught:
        asfound.read("a\0b.st")
    assert isinstance(caught.value, Problem), caught.value


def test_texts_with_bytes_that_are_no_letters_are_refused_before_anything_is_stored(place: Path) -> None:
    before = typed(place, "history", "plant.git").out
    for option in ("--note", "--by"):
        words = ("store", "plant.git", "s", "--moment", "routine", "--running", "good", option, UNDECODABLE)
        done = typed(place, *words)
        assert (done.code, done.err) == (2, f"{SAID['name of bytes']}\n".encode())
    assert typed(place, "history", "plant.git").out == before


@pytest.mark.parametrize("suffix", ["xlsx", "ods", "amlx"])
@pytest.mark.parametrize(
    "member", ["xl/worksheets/sheet1.xml", "content.xml", "mimetype", "_rels/.rels", "[Content_Types].xml", "other.bin"]
)
def test_two_gigabytes_of_zeros_in_a_package_are_never_unpacked(tmp_path: Path, suffix: str, member: str) -> None:
    with (
        zipfile.ZipFile(tmp_path / f"p.{suffix}", "w", zipfile.ZIP_DEFLATED, compresslevel=1) as packed,
        packed.open(member, "w", force_zip64=True) as part,
    ):
        for _ in range(HUGE // 50_000_000):
            part.write(bytes(50_000_000))
    done = typed(tmp_path, "show", f"p.{suffix}")
    assert done.code == 2 and done.err.count(b"\n") == 1 and b"bug" not in done.err
    assert done.memory < 250_000 and done.seconds < 30
