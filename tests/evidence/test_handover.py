"""`asfound handover`: complete, checkable with standard tools only, and any changed byte is found."""

from __future__ import annotations

import re
import subprocess
import zipfile
from pathlib import Path

import pytest

from asfound.archive import disk
from asfound.evidence import sums
from asfound.evidence.folder import Checking
from asfound.reports.statement import text

from .kit import BASH, altered, files, needs_openssh, run, sentence, typed


def faults(folder: Path) -> list[str]:
    return list(Checking(folder, None, text).run().faults)


def test_it_holds_what_a_client_needs(folder: Path) -> None:
    names = [path.relative_to(folder).as_posix() for path in files(folder)]
    assert [name for name in names if not name.startswith("normal/")] == [
        "SHA256SUMS",
        "SHA256SUMS.sig",
        "VERIFY.txt",
        "attachments/photo.jpg",
        "comparison.json",
        "copies.json",
        "history.bundle",
        "index.html",
        "inspection.json",
        "originals/card/main program.st",
        "originals/running/main program.st",
        "record.json",
        "report.html",
        "report.md",
        "report.pdf",
        "signers",
        "statement.dsse.json",
        "statement.json",
        "statement.txt",
        "statement.txt.sig",
        "station.toml",
    ]


def test_verify_says_what_is_proved_and_what_is_not(folder: Path) -> None:
    done = run("verify", "ho", "--signers", "signers", "--against", "plant.git")
    assert done.exit_code == 0, done.output
    key = re.findall(r"SHA256:\S+", done.stdout)[0]
    assert done.stdout.splitlines()[:-1] == [
        f"+ all {len(files(folder)) - 2} files are those of SHA256SUMS, and no others are there",
        f"+ SHA256SUMS is signed with the key {key}",
        "+ the statement fits, as text and as JSON, signed with the same key",
        "+ the 3 originals are those of the statement",
        "+ history.bundle is sound and holds this record, with the same files and commit",
        "+ the commit is signed with the same key",
        "+ plant.git holds this record, with the same digests and commit",
    ]
    assert sentence(done).startswith("Proved: ada@example.org stated record 3 (as-left) of booster-1, stored ")
    assert sentence(done).endswith(
        "Not proved: that the exports came from the controller and are complete, and the times (the word of Ada Lind)."
    )


def test_no_other_station_is_handed_over(folder: Path) -> None:
    listed = subprocess.run(
        ["git", "bundle", "list-heads", "history.bundle"], cwd=folder, capture_output=True, text=True, check=True
    )
    assert listed.stdout.split()[1:] == ["refs/heads/stations/booster-1"]
    clone = folder.parent / "clone.git"
    subprocess.run(["git", "clone", "-q", "--bare", str(folder / "history.bundle"), str(clone)], check=True)
    names = subprocess.run(
        ["git", "-C", str(clone), "log", "--all", "-p"], capture_output=True, text=True, check=True
    ).stdout
    assert "Main" in names and "zebra" not in names and "Eve" not in names


def test_every_changed_byte_of_every_file_is_found(folder: Path) -> None:
    assert faults(folder) == []
    for path in files(folder):
        data = path.read_bytes()
        for at in {0, len(data) // 2, len(data) - 1}:
            path.write_bytes(data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :])
            assert quick(folder), f"{path.name}, byte {at}"
        path.write_bytes(data)
    assert quick(folder) == []


def quick(folder: Path) -> list[str]:
    """The faults found without looking into the history, whose file is among the sums."""
    checking = Checking(folder, None, text)
    checking.held_together()
    return checking.faults


@pytest.mark.parametrize(
    "name", ["SHA256SUMS", "SHA256SUMS.sig", "statement.txt.sig", "statement.dsse.json", "signers"]
)
def test_all_bytes_of_what_holds_it_together(folder: Path, name: str) -> None:
    data = (folder / name).read_bytes()
    for at in range(0, len(data), 1 if len(data) < 400 else 37):
        (folder / name).write_bytes(data[:at] + bytes([data[at] ^ 0x20]) + data[at + 1 :])
        assert quick(folder), f"byte {at}"


def test_a_file_more_or_less_or_a_link_is_found(folder: Path) -> None:
    extra = folder / "normal" / "more.txt"
    extra.write_text("x")
    assert faults(folder) == [
        "normal/more.txt does not belong here: SHA256SUMS does not name it",
        "normal/more.txt is not in the history",
    ]
    extra.unlink()
    (folder / "VERIFY.txt").unlink()
    assert faults(folder) == ["VERIFY.txt is missing"]
    (folder / "VERIFY.txt").symlink_to("statement.txt")
    assert "VERIFY.txt is a link, not a file" in faults(folder)


def resummed(folder: Path) -> None:
    """New sums, as somebody makes them who wants to deceive and has no key."""

    names = [n for n in sums.files(folder) if not n.startswith(sums.NAME)]
    (folder / sums.NAME).write_text(sums.text({n: disk.digest(folder / n) for n in names}), newline="\n")


def test_new_sums_do_not_help_who_has_no_key(folder: Path) -> None:
    original = folder / "originals" / "running" / "main program.st"
    original.write_bytes(original.read_bytes().replace(b"NOT b", b"    b"))
    resummed(folder)
    assert "SHA256SUMS.sig: the signature does not fit; the text or the signature was altered." in faults(folder)
    for name in ("SHA256SUMS.sig", "signers", "statement.txt.sig", "statement.dsse.json"):
        (folder / name).unlink()
    resummed(folder)
    found = faults(folder)
    assert "originals/running/main program.st is not the file that was stated" in found
    assert "originals/running/main program.st is not the file of the history" in found


def test_a_history_that_was_replaced_is_found(folder: Path) -> None:
    run("init", "fake.git")
    run("store", "fake.git", "booster-1", "--moment", "as-left", "--running", "old", "--by", "Ada Lind")
    bundle = ["git", "-C", "fake.git", "bundle", "create", "-q", str(folder / "history.bundle"), "--branches"]
    subprocess.run(bundle, check=True)
    resummed(folder)
    assert any("holds no record with the commit" in fault for fault in faults(folder))


def test_an_unsigned_hand_over_says_so(plant: Path) -> None:
    done = run("handover", "plant.git:booster-1", "--to", "ho", "--by", "Ada Lind")
    assert "not signed: anybody could have written it" in done.stdout
    checked = run("verify", "ho")
    assert checked.exit_code == 1, checked.output
    assert checked.stdout.startswith("! nobody signed it; --unsigned accepts that\n+ all ")
    assert sentence(checked).startswith(
        "Nobody vouches for VERIFY.txt, comparison.json, index.html, inspection.json, report.html, report.md, "
        "report.pdf: nobody signed this hand-over, so anybody could have written them. Proved: the files agree "
    )
    accepted = run("verify", "ho", "--unsigned")
    assert (accepted.exit_code, sentence(accepted)) == (0, sentence(checked))
    assert run("verify", "ho", "--against", "plant.git").exit_code == 1
    assert "Not proved: who wrote them, for nobody signed" in sentence(checked)
    assert "Nobody signed this folder." in Path("ho/VERIFY.txt").read_text(encoding="utf-8")
    assert "Nobody signed this folder." in Path("ho/index.html").read_text(encoding="utf-8")
    assert "asfound verify FOLDER --unsigned" in Path("ho/VERIFY.txt").read_text(encoding="utf-8")
    assert run("verify", "ho", "--signers", "signers").exit_code == 1
    both = run("verify", "ho", "--signers", "signers", "--unsigned")
    assert (both.exit_code, both.stderr) == (
        2,
        "--unsigned and --signers contradict each other; leave one of them out.\n",
    )


def test_a_first_record_is_handed_over_without_a_comparison(plant: Path) -> None:
    assert run("handover", "plant.git:booster-1@1", "--to", "ho", "--by", "Ada Lind").exit_code == 0
    assert not Path("ho/report.html").exists()
    assert "This record was not compared with an earlier one." in Path("ho/index.html").read_text(encoding="utf-8")
    assert run("verify", "ho", "--unsigned").exit_code == 0


def test_packed_it_is_the_same(plant: Path) -> None:
    done = run("handover", "plant.git:booster-1", "--to", "ho", "--zip", "--by", "Ada Lind")
    assert done.exit_code == 0, done.output
    assert not Path("ho").exists()
    with zipfile.ZipFile("ho.zip") as packed:
        packed.extractall("out")
    assert run("verify", "out/ho", "--unsigned").exit_code == 0
    assert run("verify", "ho.zip").stderr == "ho.zip: is packed; unpack it and name the folder.\n"


def test_nothing_is_replaced(plant: Path) -> None:
    Path("ho").mkdir()
    Path("ho/mine").write_text("x")
    done = run("handover", "plant.git:booster-1", "--to", "ho", "--by", "Ada Lind")
    assert (done.exit_code, done.stderr) == (2, "ho: exists and is not empty; choose a new name.\n")
    assert [path.name for path in Path("ho").iterdir()] == ["mine"]


# --- with standard tools only ------------------------------------------------------------------------------------


def commands(folder: Path) -> str:
    """What VERIFY.txt tells to type, as one script that ends at the first command that fails."""
    lines = (folder / "VERIFY.txt").read_text(encoding="utf-8").splitlines()
    return "\n".join(line.removeprefix("$ ") for line in lines if line.startswith("$ "))


@needs_openssh
@pytest.mark.skipif(BASH is None, reason="no bash")
def test_the_commands_of_its_instructions_pass_and_find_a_changed_byte_in_every_file(folder: Path) -> None:
    script = commands(folder)
    done = typed(folder, script)
    assert done.returncode == 0, done.stderr
    assert done.stdout.count('Good "asfound" signature for ada@example.org') == 2
    assert 'Good "git" signature for ada@example.org' in done.stderr
    for path in files(folder):
        with altered(path):
            assert typed(folder, script).returncode != 0, path.name


@needs_openssh
@pytest.mark.skipif(BASH is None, reason="no bash")
def test_the_commands_find_a_history_without_the_stated_record(folder: Path) -> None:
    script = commands(folder)
    subprocess.run(["git", "init", "-q", "--bare", "fake.git"], cwd=folder.parent, check=True)
    tree = "4b825dc642cb6eb9a060e54bf8d69288fbee4904"
    commit = ["git", "-C", str(folder.parent / "fake.git"), "-c", "user.name=E", "-c", "user.email=e@example.org"]
    subprocess.run([*commit, "hash-object", "-t", "tree", "-w", "--stdin"], input=b"", check=True, capture_output=True)
    made = subprocess.run([*commit, "commit-tree", "-m", "x", tree], capture_output=True, text=True, check=True)
    subprocess.run([*commit, "branch", "stations/booster-1", made.stdout.strip()], check=True)
    subprocess.run([*commit, "bundle", "create", "-q", str(folder / "history.bundle"), "--branches"], check=True)
    lines = [line for line in script.split("\n") if "sha256sum" not in line and "SHA256SUMS" not in line]
    assert typed(folder, "\n".join(lines)).returncode != 0
