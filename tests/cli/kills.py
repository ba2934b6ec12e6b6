"""Kill commands that write files, at random instants, and look at what they left: ``python tests/cli/kills.py 200``.

Each kill takes the whole process group of a real command, run as a person runs it, in a folder of its own. Whatever
stands under a final name afterwards must be whole; the same command run again must work without anybody's help and
give a right result; and nothing of ours that is hidden may be left then, neither there nor in the folder for what is
temporary. How long each command takes is measured first, so that the kills hit all of its work.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

FIRST = b"PROGRAM Main\nVAR\n  a : BOOL;\n  b : BOOL;\nEND_VAR\na := b;\nEND_PROGRAM\n"
TABLE = b"Tagname;Wo;Was;Bemerkung\nPump;%I0.0;BOOL;Pumpe\nValve;%Q0.1;BOOL;Ventil\nLevel;%IW4;INT;Stand\n"
ONE, BY = "../plant.git:booster-1", ("--by", "Ada Lind")
SIDES = ("../plant.git:booster-1@1:running", "../plant.git:booster-1@2:running")
NAME = "booster-1-2"
Look = Callable[[Path], None]


class Case(NamedTuple):
    """A command, what it may not leave half under a final name, and what is there once it has ended."""

    name: str
    words: tuple[str, ...]
    whole: Look
    right: Look
    code: int = 0
    answer: bytes = b""


def asfound(folder: Path, *words: str, answer: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    """Run a command to its end."""
    return subprocess.run(
        command(*words), cwd=folder, env=surroundings(folder), input=answer, capture_output=True, check=False
    )


def command(*words: str) -> list[str]:
    return [sys.executable, "-m", "asfound", *words]


def surroundings(folder: Path) -> dict[str, str]:
    """Whatever is temporary goes where it is looked for afterwards."""
    temporary = folder.parent / "temporary"
    temporary.mkdir(exist_ok=True)
    return {**os.environ, "TMPDIR": str(temporary), "ASFOUND_CACHE": "off"}


def succeeds(folder: Path, *words: str, code: int = 0) -> None:
    done = asfound(folder, *words)
    assert done.returncode == code, (words, done.stdout, done.stderr)


# --- what may stand there ---------------------------------------------------------------------------------------------


def page(folder: Path, name: str = "out.html") -> None:
    text = (folder / name).read_text(encoding="utf-8")
    assert text.startswith("<!DOCTYPE html>") and text.endswith("</html>\n"), text[-80:]


def pdf(folder: Path) -> None:
    data = (folder / "out.pdf").read_bytes()
    assert data.startswith(b"%PDF-") and data.rstrip().endswith(b"%%EOF")


def document(folder: Path) -> None:
    json.loads((folder / "out.json").read_bytes())


def markdown(folder: Path) -> None:
    assert "\nNormal forms: `" in (folder / "out.md").read_text(encoding="utf-8")


def profile(folder: Path) -> None:
    import tomllib

    assert tomllib.loads((folder / "tags.profile.toml").read_text(encoding="utf-8"))


def attested(folder: Path) -> None:
    succeeds(folder, "verify", f"{NAME}.json", "--unsigned")


def parts(folder: Path) -> None:
    """Of a statement any part may be missing, but none may be half; with its text it is complete."""
    from asfound.evidence import envelope, sshsig
    from asfound.evidence.statement_fields import read

    checks: dict[str, Callable[[bytes], object]] = {
        f"{NAME}.json": read,
        f"{NAME}.dsse.json": lambda data: read(envelope.opened(data)[0]),
        f"{NAME}.txt.sig": lambda data: sshsig.parse(data.decode()),
    }
    for name, check in checks.items():
        if (folder / name).exists():
            check((folder / name).read_bytes())
    if (folder / f"{NAME}.txt").exists():
        attested(folder)


def handed(folder: Path) -> None:
    succeeds(folder, "verify", "ho", "--unsigned")


def packed(folder: Path) -> None:
    with zipfile.ZipFile(folder / "ho.zip") as file, tempfile.TemporaryDirectory() as out:
        file.extractall(out)
        succeeds(folder, "verify", str(Path(out) / "ho"), "--unsigned")


def restored(folder: Path) -> None:
    """Each file that is there has the bytes that were stored."""
    for path in (folder / "out").rglob("*"):
        if path.is_file() and not any(part.startswith(".asfound-new-") for part in path.parts):
            assert (
                path.read_bytes() == (folder.parent / "new" / path.relative_to(folder / "out" / "running")).read_bytes()
            )


def all_restored(folder: Path) -> None:
    restored(folder)
    count = len(list((folder / "out" / "running").rglob("*.st")))
    assert count == len(list((folder.parent / "new").rglob("*.st"))), count


def halves(folder: Path) -> None:
    """Of a key the public half may be missing."""
    from asfound.evidence import keys

    if sys.platform != "win32":
        for path in folder.glob(".asfound-new-*/new0"):
            assert not path.stat().st_mode & 0o077
    if (folder / "mine").exists():
        assert not (folder / "mine").stat().st_mode & 0o077
        keys.public_of(folder / "mine")
        keys.load(folder / "mine", str)
    if (folder / "mine.pub").exists():
        assert keys.public_of(folder / "mine.pub") == keys.public_of(folder / "mine")


def both_halves(folder: Path) -> None:
    halves(folder)
    assert (folder / "mine").exists() and (folder / "mine.pub").exists()


def initialised(folder: Path) -> None:
    succeeds(folder, "check", "new.git")


def played(folder: Path) -> None:
    succeeds(folder, "check", "demo/plant.git")
    succeeds(folder, "verify", "demo/handover", "--unsigned")
    page(folder, "demo/report.html")
    from asfound.archive import remembered_exchanges

    places = remembered_exchanges.places((folder / "demo" / "plant.git").resolve())
    assert places and not any("asfound-new" in place.address for place in places)


def if_there(name: str, look: Look) -> Look:
    """Whole as soon as it has its name."""
    return lambda folder: look(folder) if os.path.lexists(folder / name) else None


def case(name: str, words: Sequence[str], file: str, right: Look, code: int = 0) -> Case:
    return Case(name, tuple(words), if_there(file, right), right, code)


CASES = (
    case("compare --html", ("compare", *SIDES, "--html", "out.html", "-q"), "out.html", page, 1),
    case("compare --pdf", ("compare", *SIDES, "--pdf", "out.pdf", "-q"), "out.pdf", pdf, 1),
    case("compare --json", ("compare", *SIDES, "--json", "out.json", "-q"), "out.json", document, 1),
    case("compare --sarif", ("compare", *SIDES, "--sarif", "out.json", "-q"), "out.json", document, 1),
    case("compare --markdown", ("compare", *SIDES, "--markdown", "out.md", "-q"), "out.md", markdown, 1),
    case("checklist", ("checklist", ONE, "--for", "reset", "--to", "out.html"), "out.html", page),
    case("ready --html", ("ready", ONE, "--for", "reset", "--html", "out.html", "-q"), "out.html", page, 1),
    Case("attest", ("attest", ONE, *BY), parts, attested),
    Case("attest --key", ("attest", ONE, *BY, "--key", "../id"), parts, attested),
    case("handover", ("handover", ONE, "--to", "ho", *BY, "--key", "../id"), "ho", handed),
    case("handover --zip", ("handover", ONE, "--to", "ho", "--zip", *BY), "ho.zip", packed),
    Case("restore", ("restore", f"{ONE}@2:running", "--to", "out"), restored, all_restored),
    Case("key new", ("key", "new", "mine", *BY), halves, both_halves, answer=b"\n\n"),
    case("profile", ("profile", "../tags.csv", "--to", "tags.profile.toml"), "tags.profile.toml", profile),
    case("init", ("init", "new.git"), "new.git", initialised),
    case("demo", ("demo", "--to", "demo", "-q"), "demo", played),
)  # fmt: skip


def plant(folder: Path) -> None:
    """What the commands are run on."""
    for name, words in (("old", b"a := b;"), ("new", b"a := NOT b;")):
        for at in range(60):
            path = folder / name / f"area {at % 7}" / f"part{at}.st"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(FIRST.replace(b"Main", b"Part%d" % at).replace(b"a := b;", words))
    (folder / "tags.csv").write_bytes(TABLE)
    work = folder / "work"
    work.mkdir()
    succeeds(work, "init", "../plant.git")
    for moment, name in (("as-left", "old"), ("as-found", "new")):
        succeeds(work, "store", "../plant.git", "booster-1", "--moment", moment, "--running", f"../{name}", *BY, "-q")
    done = asfound(work, "key", "new", "../id", *BY, answer=b"\n\n")
    assert done.returncode == 0, done.stderr
    shutil.rmtree(work)


def start(one: Case, folder: Path) -> subprocess.Popen[bytes]:
    """The command, in a process group of its own."""
    process = subprocess.Popen(
        command(*one.words), cwd=folder, env=surroundings(folder), stdin=subprocess.PIPE, stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL, start_new_session=True,
    )  # fmt: skip
    assert process.stdin is not None
    process.stdin.write(one.answer)
    process.stdin.close()
    return process


def wait_for_a_write(process: subprocess.Popen[bytes], folder: Path) -> None:
    """Until the first thing of the command is on the disk, or it has ended."""
    while process.poll() is None and not any(folder.iterdir()) and not any((folder.parent / "temporary").iterdir()):
        time.sleep(0.0005)


def kill(one: Case, folder: Path, delay: float, *, writing: bool) -> bool:
    """Start the command and kill it with all it started, ``delay`` seconds after its start or its first write.

    Whether it was still at work.
    """
    process = start(one, folder)
    if writing:
        wait_for_a_write(process, folder)
    time.sleep(delay)
    alive = process.poll() is None
    if alive:
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    return alive


def hidden(folder: Path) -> list[Path]:
    """What of ours is left that nobody asked for, below the folder and among what is temporary."""
    return [*folder.rglob(".asfound*"), *(folder.parent / "temporary").iterdir()]


def emptied(base: Path) -> Path:
    """The folder in which the next command is run."""
    folder = base / "work"
    shutil.rmtree(folder, ignore_errors=True)
    shutil.rmtree(base / "temporary", ignore_errors=True)
    folder.mkdir()
    return folder


def survive(one: Case, base: Path, delay: float, left: Counter[str], *, writing: bool) -> None:
    """One kill and all that must be true after it; an AssertionError when it is not."""
    folder = emptied(base)
    left["at work" if kill(one, folder, delay, writing=writing) else "done before"] += 1
    left["with something hidden"] += bool(hidden(folder))
    names = {path.name for path in folder.iterdir() if not path.name.startswith(".")}
    left["with something named"] += bool(names)
    one.whole(folder)
    if is_done(one, folder):
        left["done"] += 1  # it had its name already: the next run rightly says that it exists
        succeeds(folder, "compare", *SIDES, "--html", "other.html", "-q", code=1)
    else:
        done = asfound(folder, *one.words, answer=one.answer)
        assert done.returncode == one.code, (one.name, done.stdout, done.stderr)
    one.right(folder)
    assert hidden(folder) == [], (one.name, hidden(folder))


def is_done(one: Case, folder: Path) -> bool:
    """Whether everything of a command that replaces nothing is there."""
    last = {
        "profile": "tags.profile.toml",
        "init": "new.git",
        "demo": "demo",
        "attest": f"{NAME}.txt",
        "key": "mine.pub",
    }
    name = last.get(one.words[0], "ho.zip" if "--zip" in one.words else "ho")
    return (folder / name).exists()


def times(base: Path, cases: Sequence[Case]) -> dict[str, tuple[float, float]]:
    """Seconds on this machine that each command takes from its start, and from its first write, to its end."""
    found = {}
    for one in cases:
        folder = emptied(base)
        began = time.monotonic()
        process = start(one, folder)
        wait_for_a_write(process, folder)
        wrote = time.monotonic()
        assert process.wait() == one.code, one.name
        found[one.name] = time.monotonic() - began, time.monotonic() - wrote
        one.right(folder)
    return found


def main(count: int, seed: int | None, names: Sequence[str] = ()) -> Counter[str]:
    """Kill ``count`` commands, each kind in turn; what was left, all of them together.

    Half of the kills hit the whole run of a command, half of them what comes after its first write.
    """
    chance, left = random.Random(seed), Counter[str]()
    cases = [one for one in CASES if not names or one.name in names]
    with tempfile.TemporaryDirectory() as base:
        plant(Path(base))
        usual = times(Path(base), cases)
        for at in range(count):
            one, writing = cases[at % len(cases)], chance.random() < 0.5
            delay = chance.uniform(0, 1.05) * usual[one.name][writing]
            survive(one, Path(base), delay, left, writing=writing)
    return left


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=None)
    parser.add_argument("--only", action="append", default=[])
    given = parser.parse_args()
    found = main(given.count, given.seed, given.only)
    print(f"{given.count} kills: " + ", ".join(f"{number} {what}" for what, number in found.items()) + "; nothing half")
