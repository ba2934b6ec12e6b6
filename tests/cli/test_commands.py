"""The commands of a visit, each as a person runs it."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

from stored_visit import FIRST, SECOND, Run


def test_history_lists_the_latest_first_and_which_copies_agree(run: Run, plant: Path) -> None:
    done = run("history", "plant.git")
    lines = re.sub(r"\d{4}-\d\d-\d\d \d\d:\d\d", "YYYY-MM-DD HH:MM", done.stdout).splitlines()
    assert lines == [
        "booster-1",
        "  @2  YYYY-MM-DD HH:MM  as-found  Bo Ek     running, office",
        "  @1  YYYY-MM-DD HH:MM  as-left   Ada Lind  running = card",
        "      first visit",
    ]
    assert (
        run("history", "plant.git", "BOOSTER-1").stdout == run("history", "plant.git:booster-1").stdout == done.stdout
    )


def test_the_archive_may_come_from_the_option_or_the_environment(run: Run, plant: Path) -> None:
    expected = run("history", "plant.git").stdout
    assert run("history", "--archive", "plant.git").stdout == expected
    assert run("history", env={"ASFOUND_ARCHIVE": "plant.git"}).stdout == expected
    assert run("history", "booster-1", env={"ASFOUND_ARCHIVE": "plant.git"}).stdout == expected
    done = run(
        "store", "booster-1", "--moment", "routine", "--card", "old/main.st", "--archive", "plant.git", "--by", "A"
    )
    assert re.fullmatch(r"stored booster-1 record 3 \(routine, [0-9-]{10}\): card\n", done.stdout)


def test_a_new_station_that_is_called_nearly_like_another_is_told(run: Run, plant: Path) -> None:
    """A slip of the keyboard must not start a second line of records without a word."""
    given = ("--moment", "routine", "--card", "old/main.st", "--by", "A")
    said = "boster-1 is a new station in this archive; it also has booster-1\n"
    assert run("store", "plant.git", "boster-1", *given).stderr == said
    assert run("store", "plant.git", "boster-1", *given).stderr == ""
    assert run("store", "plant.git", "mixer", *given).stderr == ""


def test_an_empty_archive_has_no_history(run: Run) -> None:
    run("init", "new.git")
    assert (
        run("history", "new.git").stdout
        == "new.git holds no records yet; `asfound store new.git STATION` ... makes the first\n"
    )


def test_show_prints_what_was_understood_and_says_which_copy(run: Run, plant: Path) -> None:
    done = run("show", "plant.git:booster-1")
    assert done.exit_code == 0
    assert "a := NOT b;" in done.stdout
    assert done.stdout.startswith("(* ==== program/pous/")
    assert re.match(r"booster-1 record 2 \(as-found, [0-9-]{10}\), copy running\n", done.stderr)
    assert run("show", "new/main.st", "--quiet").stdout == done.stdout
    assert "a := b;" in run("show", "plant.git:booster-1@1:card").stdout


def test_show_as_json_is_the_whole_model(run: Run, plant: Path) -> None:
    document = json.loads(run("show", "plant.git:booster-1@as-left", "--json", "-", "--quiet").stdout)
    assert document["schema"] == "asfound/copy/1"
    assert [source["name"] for source in document["sources"]] == ["main.st"]
    assert [pou["name"] for pou in document["program"]["pous"]] == ["Main"]
    run("show", "old", "--json", "model.json")
    assert json.loads(Path("model.json").read_text(encoding="utf-8"))["program"] == document["program"]


def test_restore_gives_the_bytes_back(run: Run, plant: Path) -> None:
    done = run("restore", "plant.git:booster-1@2", "--to", "out")
    assert re.fullmatch(
        r"restored 2 files of booster-1 record 2 \(as-found, [0-9-]{10}\) to out, checked\n", done.stdout
    )
    assert Path("out/running/main.st").read_bytes() == SECOND
    assert Path("out/office/main.st").read_bytes() == FIRST
    run("restore", "plant.git:booster-1@1:card", "--to", "one")
    assert [path.as_posix() for path in Path("one").rglob("*.st")] == ["one/card/main.st"]


def test_compare_tells_by_its_exit_code(run: Run, plant: Path) -> None:
    assert run("compare", "plant.git:booster-1@1", "plant.git:booster-1@2").exit_code == 1
    assert run("compare", "plant.git:booster-1@1:card", "old/main.st").exit_code == 0
    assert run("compare", "old", "new").exit_code == 1
    assert run("compare", "old", "new", "--fail-on", "behaviour").exit_code == 1
    Path("remark.st").write_bytes(FIRST.replace(b"a := b;", b"(* why *) a := b;"))
    assert run("compare", "old", "remark.st").exit_code == 1
    assert run("compare", "old", "remark.st", "--fail-on", "undecided").exit_code == 0
    Path("noise.st").write_bytes(FIRST.replace(b"\n", b"\r\n  "))
    assert run("compare", "old/main.st", "noise.st").exit_code == 0


def test_compare_writes_json_and_html(run: Run, plant: Path) -> None:
    done = run("compare", "plant.git:booster-1@1", "new", "--json", "-", "--html", "report.html")
    document = json.loads(done.stdout)
    assert document["verdict"] == "behaviour"
    assert (document["old"]["reference"], document["new"]["reference"]) == ("plant.git:booster-1@1", "new")
    assert done.stderr == ""
    assert Path("report.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    run("compare", "old", "old", "--json", "same.json")
    assert json.loads(Path("same.json").read_text(encoding="utf-8"))["verdict"] == "identical"


def test_formats_lists_every_reader_and_its_noise(run: Run) -> None:
    from asfound.readers.registry import readers

    plain, noisy = run("formats").stdout, run("formats", "--noise").stdout
    for reader in readers():
        assert f"{reader.name}: {reader.title}\n" in plain
        for entry in reader.noise:
            assert f"  noise     {entry.reason}\n" in noisy
            assert "()" not in entry.reason and "*/" not in entry.reason
    assert "  noise  " not in plain


def test_a_file_that_is_not_understood_is_said_to_be(run: Run, plant: Path) -> None:
    Path("new/manual.pdf").write_bytes(b"%PDF-1.4 \x00\x01")
    done = run("store", "plant.git", "booster-1", "--moment", "routine", "--running", "new", "--by", "A")
    assert done.stderr == "running/manual.pdf: not understood, stored as it is\n"


def test_compare_writes_pdf_and_markdown(run: Run, plant: Path) -> None:
    sides = ("plant.git:booster-1@1:running", "plant.git:booster-1@2:running")
    done = run("compare", *sides, "--pdf", "a.pdf", "--paper", "letter", "--markdown", "a.md", "--quiet")
    assert done.exit_code == 1, done.output
    assert Path("a.pdf").read_bytes().startswith(b"%PDF-1.7")
    piped = run("compare", *sides, "--markdown", "-").stdout
    assert piped == Path("a.md").read_text(encoding="utf-8")
    assert piped.startswith(
        "<!-- asfound: a comparison -->\n### The machine may act differently: 1 change of behaviour.\n"
    )


def test_paper_is_for_the_pdf(run: Run, plant: Path) -> None:
    sides = ("old", "new")
    odd = run("compare", *sides, "--pdf", "a.pdf", "--paper", "a3")
    assert (odd.exit_code, odd.stderr) == (2, "'a3' is no paper; write a4 or letter.\n")
    alone = run("compare", *sides, "--paper", "letter")
    assert (alone.exit_code, alone.stderr) == (2, "--paper is for the PDF only; name a file with --pdf.\n")
    three = run("compare", "plant.git:booster-1@2", "--three", "--markdown", "-")
    assert three.stderr == "-: --three writes no page; compare two of its copies with --html.\n"


def test_where_lists_declarations_and_uses(run: Run, plant: Path) -> None:
    done = run("where", "a", "plant.git:booster-1")
    assert done.exit_code == 0
    assert done.stdout.splitlines() == [
        "a: 1 declaration, 1 write",
        "",
        "Declared",
        "  declared  Main / a            a : BOOL;",
        "",
        "Used",
        "  written   Main / statement 1  a := NOT b;",
    ]
    document = json.loads(run("where", "a", "old", "--json", "-").stdout)
    assert document["schema"] == "asfound/cross-reference/1"
    assert [use["access"] for use in document["uses"]] == ["declared", "written"]
    nothing = run("where", "zz", "old")
    assert (nothing.exit_code, nothing.stdout) == (2, "")
    assert nothing.stderr.startswith("nothing is called 'zz', and no statement uses it; ")


def test_compare_three_says_what_a_reset_would_do(run: Run, plant: Path) -> None:
    done = run("compare", "--three", "plant.git:booster-1")
    assert done.exit_code == 1
    assert re.match(r"booster-1 record 2 \(as-found, [0-9-]{10}\): running and office\.\n", done.stdout)
    assert "\nrunning and office: 1 may act differently\n" in done.stdout
    assert "no card copy is stored: what a reset would bring back is not known" in done.stdout
    same = run("compare", "--three", "plant.git:booster-1@1")
    assert same.exit_code == 0
    said = " ".join(same.stdout.split())
    assert "What brings the program back after a memory reset is not stated for this station." in said
    assert "Running and card hold the same." in said
    assert run("note", "plant.git", "booster-1", "--brings-back", "reset=card").exit_code == 0
    same = run("compare", "--three", "plant.git:booster-1@1")
    assert "It would change nothing: running and card hold the same." in " ".join(same.stdout.split())
    document = json.loads(run("compare", "--three", "plant.git:booster-1", "--json", "-").stdout)
    assert (document["schema"], document["agreement"]) == ("asfound/copies/1", [["running"], ["office"]])


def test_compare_three_takes_a_folder_of_copies_and_refuses_what_it_cannot_use(run: Run, plant: Path) -> None:
    Path("visit/running").mkdir(parents=True)
    Path("visit/card").mkdir()
    Path("visit/running/main.st").write_bytes(SECOND)
    Path("visit/card/main.st").write_bytes(FIRST)
    said = " ".join(run("compare", "--three", "visit").stdout.split())
    assert "If the card does, a reset would replace 1 piece." in said
    for words, said in (
        (("compare", "--three", "old"), "old holds no copies; name a record"),
        (("compare", "--three", "plant.git:booster-1:card"), "plant.git:booster-1:card names the one copy 'card'; "),
        (("compare", "--three", "visit", "old"), "old --three takes one reference; "),
        (("compare", "--three", "visit", "--html", "a.html"), "a.html --three writes no page; "),
        (("compare", "visit"), "visit there is nothing to compare with; "),
    ):
        done = run(*words)
        assert (done.exit_code, done.stdout) == (2, "")
        assert done.stderr.replace(": ", " ").startswith(said), done.stderr


def test_check_tells_by_its_exit_code_and_mends_from_a_copy(run: Run, plant: Path) -> None:
    shutil.copytree(plant, "copy.git")
    done = run("check", "plant.git")
    assert (done.exit_code, done.stderr) == (0, "")
    assert re.fullmatch(r"1 station, 2 records, \d+ files, [\d,]+ bytes: all as stored\n", done.stdout)
    assert run("check", env={"ASFOUND_ARCHIVE": "plant.git"}).stdout == done.stdout
    assert (run("check", "plant.git", "--quiet").stdout, run("check").exit_code) == ("", 2)
    where = ["git", "-C", str(plant), "rev-parse", "stations/booster-1~1:originals/card/main.st"]
    blob = subprocess.run(where, capture_output=True, text=True, check=True).stdout.strip()
    (plant / "objects" / blob[:2] / blob[2:]).unlink()
    done = run("check", "plant.git", "--quiet")
    assert (done.exit_code, done.stdout.splitlines()) == (
        1,
        [
            "booster-1@1: originals/card/main.st: is missing or cannot be read",
            "booster-1@1: originals/running/main.st: is missing or cannot be read",
            "booster-1@2: originals/office/main.st: is missing or cannot be read",
        ],
    )
    done = run("check", "plant.git", "--from", "copy.git")
    assert done.exit_code == 0
    assert done.stdout.startswith("mended 1 piece from copy.git\n1 station, 2 records, ")


def test_sync_says_what_moved_and_history_shows_both_lines(run: Run, plant: Path) -> None:
    shutil.copytree(plant, "copy.git")
    for archive, person in (("plant.git", "Ada"), ("copy.git", "Bo")):
        run("store", archive, "booster-1", "--moment", "as-left", "--running", "old", "--by", person)
    would = run("sync", "plant.git", "copy.git", "--dry-run")
    assert would.stdout == "booster-1: would be: 1 fetched, 1 sent, two lines of records joined\n"
    done = run("sync", "plant.git", "copy.git")
    assert (done.exit_code, done.stdout) == (0, "booster-1: 1 fetched, 1 sent, two lines of records joined\n")
    assert run("sync", "copy.git", "--archive", "plant.git").stdout == "plant.git and copy.git hold the same already\n"
    shown = run("history", "plant.git").stdout
    assert shown == run("history", "copy.git").stdout
    columns = [re.sub(r"\d{4}-\d\d-\d\d \d\d:\d\d", "TIME", line).split() for line in shown.splitlines()]
    assert columns[1][:4] == ["TIME", "joined", "Ada", "and"] or columns[1][:4] == ["TIME", "joined", "Bo", "and"]
    names = [line[0] for line in columns[2:4]]
    assert all(re.fullmatch(r"@3\.[0-9a-f]{6}", name) for name in names)
    assert run("show", f"plant.git:booster-1{names[0]}").exit_code == 0
    done = run("show", "plant.git:booster-1@3")
    assert done.exit_code == 2
    assert done.stderr.startswith("station booster-1: there are 2 records '3'; write @3.")
    assert run("sync").stderr == "two archives are needed; write ARCHIVE OTHER, or set ASFOUND_ARCHIVE.\n"


def test_settings_that_a_join_gave_up_are_named_by_sync_and_history(run: Run, plant: Path) -> None:
    shutil.copytree(plant, "copy.git")
    for archive, switch in (("plant.git", "off"), ("copy.git", "mandatory")):
        head = 'schema = "asfound/station/1"\nname = "booster-1"\n[ready.reset]\n'
        Path("station.toml").write_text(f'{head}switch = "{switch}"\n', encoding="utf-8")
        done = run("note", archive, "booster-1", "--settings", "station.toml", "--by", "Ada")
        assert done.exit_code == 0, done.stderr
    would = run("sync", "plant.git", "copy.git", "--dry-run").stderr
    done = run("sync", "plant.git", "copy.git", "--quiet")
    said = re.fullmatch(
        r"warning: booster-1: the settings \(station\.toml\) of record @(3\.[0-9a-f]{6}) are not in force, those of the "
        r"later line are; `(git -C plant\.git show [0-9a-f]{12}:station\.toml)` shows them\n",
        done.stderr,
    )
    assert said and done.stdout == "", done.stderr
    settings = f"warning: booster-1: the settings (station.toml) of record @{said[1]}"
    assert would == f"{settings} would not be in force, those of the later line would\n"
    shown = run("history", "copy.git", "booster-1").stdout
    assert f"  the settings (station.toml) of @{said[1]} were not kept, those of the later line were\n" in shown
    text = subprocess.run(said[2].split(), capture_output=True, text=True, check=True).stdout
    now = subprocess.run(
        ["git", "-C", "plant.git", "show", "stations/booster-1:station.toml"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert "switch" in text and "switch" in now and text != now


def test_store_attaches_files_and_warns_of_passwords(run: Run, plant: Path) -> None:
    Path("new/login.txt").write_bytes(b"password = hunter2\n")
    Path("native.zip").write_bytes(b"PK\x03\x04")
    done = run("store", "plant.git", "booster-1", "--moment", "routine", "--running", "new", "--attach", "native.zip")
    assert done.stderr.splitlines()[0] == (
        "warning: running/login.txt looks as if it held a password in line 1; whoever has the archive can read it"
    )
    assert "native.zip attached" in run("history", "plant.git").stdout
    run("restore", "plant.git:booster-1@3", "--to", "out")
    assert Path("out/attachments/native.zip").read_bytes() == b"PK\x03\x04"
