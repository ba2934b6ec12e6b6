"""Reports are written whole, and never unasked over a file that is none of ours."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
import typer
from stored_visit import FIRST, SECOND, Run

from asfound.cli import outputs, replacing
from asfound.cli.main import app

posix = pytest.mark.skipif(sys.platform == "win32", reason="pipes, links and terminals of POSIX")
PAGES = ("--html", "--pdf", "--json", "--markdown", "--sarif")
SAID = "holds something that asfound did not write; name another file, or remove it first."


@pytest.fixture
def sides(run: Run, tmp_path: Path) -> tuple[str, str]:
    for name, data in (("a.st", FIRST), ("b.st", SECOND)):
        (tmp_path / name).write_bytes(data)
    return "a.st", "b.st"


def names() -> list[str]:
    return sorted(path.name for path in Path().iterdir())


def test_every_option_that_names_a_file_to_write_is_looked_at_first() -> None:
    commands = typer.main.get_command(app).commands  # type: ignore[attr-defined]
    options = [(name, p) for name, command in commands.items() for p in command.params if p.metavar == "FILE"]
    written = {(name, p.name) for name, p in options if (getattr(p, "help", None) or "").startswith("Write")}
    assert {option for _, option in written} == set(outputs.OUTPUTS)
    assert {f"--{option}" for name, option in written if name == "compare"} == set(PAGES)


@pytest.mark.parametrize("option", PAGES)
def test_a_file_of_somebody_else_is_not_replaced(run: Run, sides: tuple[str, str], option: str) -> None:
    Path("program.xml").write_bytes(b"<project>six weeks of work</project>")
    before = names()
    done = run("compare", *sides, option, "program.xml")
    assert (done.exit_code, done.stdout, done.stderr) == (2, "", f"program.xml: {SAID}\n")
    assert Path("program.xml").read_bytes() == b"<project>six weeks of work</project>"
    assert names() == before


def test_no_report_is_written_when_one_of_them_may_not_be(run: Run, sides: tuple[str, str]) -> None:
    Path("mine.json").write_text('{"schema": "mine"}')
    assert run("compare", *sides, "--html", "r.html", "--json", "mine.json").exit_code == 2
    assert names() == ["a.st", "b.st", "mine.json"]


def test_each_kind_of_report_replaces_the_one_before(run: Run, sides: tuple[str, str]) -> None:
    words = [word for option in PAGES for word in (option, f"r{option}")]
    for _ in range(2):
        done = run("compare", *sides, *words, "--quiet")
        assert (done.exit_code, done.stderr) == (1, "")
    assert run("compare", sides[0], sides[0], *words, "--quiet").exit_code == 0
    assert json.loads(Path("r--json").read_text(encoding="utf-8"))["verdict"] == "identical"
    assert names() == ["a.st", "b.st", *sorted(f"r{option}" for option in PAGES)]


def test_every_other_document_of_ours_is_known_again(run: Run, plant: Path) -> None:
    one = "plant.git:booster-1"
    for words in (
        ("show", one, "--json", "show"), ("where", "a", one, "--json", "where"), ("inspect", one, "--json", "inspect"),
        ("compare", "--three", one, "--json", "three"), ("ready", one, "--for", "reset", "--json", "ready"),
        ("ready", one, "--for", "reset", "--html", "page"), ("checklist", one, "--for", "reset", "--to", "checklist"),
    ):  # fmt: skip
        for _ in range(2):
            done = run(*words)
            assert done.exit_code in (0, 1), done.output
        assert Path(words[-1]).stat().st_size > 100


def test_a_checklist_is_written_over_nothing_of_somebody_else(run: Run, plant: Path) -> None:
    Path("notes.html").write_text("<!DOCTYPE html>\n<html>my notes")
    done = run("checklist", "plant.git:booster-1", "--for", "reset", "--to", "notes.html")
    assert (done.exit_code, done.stderr) == (2, f"notes.html: {SAID}\n")


@pytest.mark.parametrize(
    "data",
    [
        b"<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>asfound</title>",
        b'<meta name="generator" content="asfound">',
        b'{"schema": "asfound/comparison/1"}',
        b'{\n  "schema": "asfound/record/1",\n',
        b'{\n  "schema": "asfoundling/comparison/1",\n',
        b'{\n  "$schema": "https://example.org/sarif-schema-2.1.0.json",\n  "version": "2.1.0",\n  "runs": []\n}',
        b"### The machine may act differently",
        b"%PDF-1.7\n/Keywords(asfound reports)/Creator(Typst 1.0)",
        b"\n",
    ],
)  # fmt: skip
def test_what_only_looks_like_ours_is_not_ours(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "x").write_bytes(data)
    with pytest.raises(Exception, match="did not write"):
        replacing.refuse(tmp_path / "x")


def test_an_empty_file_may_be_replaced(run: Run, sides: tuple[str, str]) -> None:
    Path("r.html").touch()
    assert run("compare", *sides, "--html", "r.html").exit_code == 1
    assert Path("r.html").read_bytes().startswith(b"<!DOCTYPE html>")


def test_a_page_of_a_hand_over_is_not_replaced(run: Run, plant: Path) -> None:
    assert run("handover", "plant.git:booster-1", "--to", "ho", "--by", "Ada").exit_code == 0
    before = Path("ho/report.html").read_bytes()
    done = run("compare", "old", "new", "--html", "ho/report.html")
    said = "ho/report.html: lies in a hand-over, which would be broken; write it somewhere else.\n"
    assert (done.exit_code, done.stderr) == (2, said)
    assert Path("ho/report.html").read_bytes() == before


@posix
@pytest.mark.parametrize(("make", "kind"), [(Path.mkdir, "folder"), (os.mkfifo, "pipe")])
def test_what_is_no_file_is_one_sentence(run: Run, sides: tuple[str, str], make: object, kind: str) -> None:
    make(Path("x"))  # type: ignore[operator]
    done = run("compare", *sides, "--json", "x")
    assert (done.exit_code, done.stdout, done.stderr) == (2, "", f"x: is a {kind}; name a file.\n")
    Path("link").symlink_to("x")
    assert run("compare", *sides, "--json", "link").stderr == f"link: is a {kind}; name a file.\n"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no such device")
def test_a_device_is_one_sentence(run: Run, sides: tuple[str, str]) -> None:
    assert run("compare", *sides, "--json", "/dev/full").stderr == "/dev/full: is a device; name a file.\n"


@posix
@pytest.mark.parametrize("there", [None, b""])
def test_a_link_is_replaced_and_what_it_leads_to_is_not(run: Run, sides: tuple[str, str], there: bytes | None) -> None:
    """Such as one that somebody else put into a folder of all."""
    if there is not None:
        Path("target").write_bytes(there)
    Path("r.html").symlink_to("target")
    assert run("compare", *sides, "--html", "r.html").exit_code == 1
    assert not Path("r.html").is_symlink()
    assert (Path("target").read_bytes() if Path("target").exists() else None) == there


@posix
def test_a_link_to_a_file_of_somebody_else_is_not_replaced(run: Run, sides: tuple[str, str]) -> None:
    Path("mine").write_bytes(b"mine")
    Path("r.html").symlink_to("mine")
    assert run("compare", *sides, "--html", "r.html").stderr == f"r.html: {SAID}\n"
    assert Path("r.html").is_symlink()


def test_a_file_that_appears_while_the_work_is_done_is_not_replaced(
    run: Run, sides: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from asfound.cli import loading

    real = loading.load_pair

    def load(*words: object, **more: object) -> object:
        Path("r.html").write_bytes(b"mine")
        return real(*words, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(loading, "load_pair", load)
    done = run("compare", *sides, "--html", "r.html")
    assert (done.exit_code, done.stderr) == (2, f"r.html: {SAID}\n")
    assert Path("r.html").read_bytes() == b"mine"


def asfound(*words: str, **more: object) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run([sys.executable, "-m", "asfound", *words], check=False, **more)  # type: ignore[call-overload]


@posix
@pytest.mark.parametrize("name", ["/dev/stdout", "/dev/fd/1", "/proc/self/fd/1"])
@pytest.mark.parametrize("into", ["pipe", "file"])
def test_what_is_open_already_is_written_into(run: Run, sides: tuple[str, str], name: str, into: str) -> None:
    if not Path(name).exists():
        pytest.skip("no such name here")
    words = ("compare", *sides, "--json", name, "--quiet")
    if into == "pipe":
        out = asfound(*words, stdout=subprocess.PIPE).stdout
    else:
        with Path("out").open("wb") as file:
            file.write(b"before\n")
            file.flush()
            asfound(*words, stdout=file)
        out = Path("out").read_bytes().removeprefix(b"before\n")
    start = out.index(b"{")
    document = json.JSONDecoder().raw_decode(out[start:].decode())[0]
    assert document["schema"] == "asfound/comparison/2"


@posix
def test_a_pipe_of_the_shell_is_written_into(run: Run, sides: tuple[str, str]) -> None:
    command = f'"{sys.executable}" -m asfound compare a.st b.st --json >(cat >copied; touch done) -q >/dev/null'
    subprocess.run(["bash", "-c", command], check=False)
    until = time.monotonic() + 20
    while not Path("done").exists() and time.monotonic() < until:
        time.sleep(0.02)
    assert json.loads(Path("copied").read_bytes())["verdict"] == "behaviour"


@posix
def test_the_null_device_is_written_into_and_stays(run: Run, sides: tuple[str, str]) -> None:
    assert run("compare", *sides, "--json", "/dev/null", "--html", "/dev/null").exit_code == 1
    assert not Path("/dev/null").is_file()


def at_a_terminal(answer: bytes, *words: str) -> tuple[int, str]:
    """Exit code, and what a person at a terminal saw who typed this answer."""
    import pty

    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "asfound", *words]
    process = subprocess.Popen(command, stdin=theirs, stderr=theirs, stdout=subprocess.DEVNULL)
    os.close(theirs)
    limit, seen = threading.Timer(60, process.kill), b""
    limit.start()
    try:
        while b"Replace it? [y/N]:" not in seen and process.poll() is None:
            seen += os.read(ours, 1000)
        os.write(ours, answer)
        while chunk := os.read(ours, 1000):
            seen += chunk
    except OSError:  # all is closed on the other side
        pass
    limit.cancel()
    os.close(ours)
    return process.wait(), seen.decode().replace("\r\n", "\n")


@posix
@pytest.mark.parametrize(("answer", "replaced"), [(b"y\n", True), (b"n\n", False), (b"\n", False)])
def test_a_person_at_a_terminal_is_asked_once(run: Run, sides: tuple[str, str], answer: bytes, replaced: bool) -> None:
    Path("r.html").write_bytes(b"mine")
    code, seen = at_a_terminal(answer, "compare", *sides, "--html", "r.html", "--quiet")
    assert seen.count("r.html holds something that asfound did not write. Replace it? [y/N]:") == 1
    assert (code, Path("r.html").read_bytes() != b"mine") == ((1, True) if replaced else (2, False))
    assert replaced or seen.endswith(f"r.html: {SAID}\n")


@posix
def test_what_was_agreed_to_is_that_very_file(run: Run, sides: tuple[str, str]) -> None:
    """Another one that takes its name before the report is written is not meant."""
    script = """
import sys
from pathlib import Path
from asfound.cli import loading, main
real = loading.load_pair
def load(*words, **more):
    Path("r.html").unlink()
    Path("r.html").write_bytes(b"another one")
    return real(*words, **more)
loading.load_pair = load
main.run()
"""
    Path("r.html").write_bytes(b"mine")
    import pty

    ours, theirs = pty.openpty()
    words = [sys.executable, "-c", script, "compare", *sides, "--html", "r.html"]
    process = subprocess.Popen(words, stdin=theirs, stderr=theirs, stdout=subprocess.DEVNULL)
    os.close(theirs)
    os.write(ours, b"y\n")
    assert process.wait(60) == 2
    os.close(ours)
    assert Path("r.html").read_bytes() == b"another one"


def test_a_full_disk_leaves_the_report_before(run: Run, sides: tuple[str, str], tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(stick)]
    if sys.platform != "linux" or subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("a file system of its own may not be mounted here")
    try:
        page = stick / "r.html"
        assert run("compare", *sides, "--html", page).exit_code == 1
        before = page.read_bytes()
        (stick / "ballast").write_bytes(bytes(60_000 - len(before) // 4096 * 4096 - 4096))
        done = run("compare", *sides, "--html", page)
        assert (done.exit_code, done.stderr) == (2, f"{page}: the disk is full; make room on it and try again.\n")
        assert page.read_bytes() == before
        assert sorted(path.name for path in stick.iterdir()) == ["ballast", "r.html"]
    finally:
        subprocess.run(["umount", "-l", str(stick)], check=False)
