"""`asfound attest` and `asfound verify` of a statement."""

from __future__ import annotations

import json
import re
from pathlib import Path

import jsonschema
import msgspec
import pytest
from typer.testing import Result

from .kit import FIRST, keygen, needs_openssh, run, sentence


def attest(*more: str | Path) -> Result:
    done = run("attest", "plant.git:booster-1", "--by", "Ada Lind <ada@example.org>", *more)
    assert done.exit_code == 0, done.output
    return done


def test_an_unsigned_statement_says_so(plant: Path) -> None:
    assert attest().stdout.splitlines() == [
        f"stated booster-1 record 2 (as-found, {_today()}), compared with booster-1 record 1 (as-left, {_today()})",
        "  booster-1-2.json",
        "  booster-1-2.txt",
        "not signed: anybody could have written it; --key FILE signs it",
    ]
    done = run("verify", "booster-1-2.txt")
    assert done.exit_code == 1
    assert done.stdout.startswith(
        "! nobody signed it; --unsigned accepts that\n+ booster-1-2.json, booster-1-2.txt belong"
    )
    assert sentence(done).startswith(
        "Nobody vouches for booster-1-2.json, booster-1-2.txt: nobody signed this statement, so anybody could have "
        "written them. Proved: the files agree with each other about record 2 (as-found) of booster-1, "
    )
    unproved = "Not proved: who wrote them, for nobody signed (nor what they say of changes); that the exports came"
    assert unproved in sentence(done)
    accepted = run("verify", "booster-1-2.txt", "--unsigned")
    assert (accepted.exit_code, sentence(accepted)) == (0, sentence(done))
    held = run("verify", "booster-1-2.txt", "--against", "plant.git")
    assert held.exit_code == 0
    assert sentence(held).startswith("Proved: the files agree with each other about record 2 (as-found) of booster-1, ")
    refused = run("verify", "booster-1-2.txt", "--signers", "signers")
    assert refused.exit_code == 1
    assert refused.stdout.splitlines()[0] == "! nobody signed it, but a signature by one of the signers is asked for"


def _today() -> str:
    from datetime import datetime

    return datetime.now().astimezone().date().isoformat()


def test_the_text_says_what_was_stored_and_what_changed(plant: Path) -> None:
    attest()
    text = Path("booster-1-2.txt").read_text(encoding="utf-8")
    assert "\nRecord    2 (as-found)\n" in text
    assert re.search(rf"\n  [0-9a-f]{{64}}  originals/running/main program\.st, {len(FIRST) + 4} bytes\n", text)
    assert "\nThe machine may act differently: 1 change of behaviour.\n" in text
    assert "  1. [may act differently] Main" in text
    assert "is the word of the person who made them" in " ".join(text.split())


def test_the_statement_is_an_in_toto_statement(plant: Path) -> None:
    attest()
    found = json.loads(Path("booster-1-2.json").read_text(encoding="utf-8"))
    # in-toto attestation framework, the specification of statements, version 1
    assert list(found) == ["_type", "subject", "predicateType", "predicate"]
    assert found["_type"] == "https://in-toto.io/Statement/v1"
    assert [list(subject["digest"]) for subject in found["subject"]] == [["sha256"], ["gitCommit"]]
    assert found["predicate"]["compared"]["verdict"] == "behaviour"
    schema = json.loads((Path(__file__).parents[2] / "schemas" / "statement.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(found)


@needs_openssh
def test_ssh_keygen_checks_what_was_signed(plant: Path) -> None:
    attest("--key", "id")
    command = ("-Y", "verify", "-f", "signers", "-I", "ada@example.org", "-n", "asfound", "-s", "booster-1-2.txt.sig")
    assert keygen(*command, data=Path("booster-1-2.txt").read_bytes()).returncode == 0


def test_a_signed_statement_names_who_signed(plant: Path) -> None:
    attest("--key", "id")
    done = run("verify", "booster-1-2.json", "--signers", "signers", "--against", "plant.git")
    assert done.exit_code == 0, done.output
    assert sentence(done).startswith("Proved: ada@example.org stated record 2 (as-found) of booster-1, stored ")
    assert "and the history holds that record unaltered. Not proved: that the exports came" in sentence(done)
    assert "whose key that is (compare the fingerprint" in sentence(run("verify", "booster-1-2.json"))


def test_a_statement_says_what_brings_the_program_back(plant: Path) -> None:
    attest("--to", "before")
    assert "Program   What brings it back: not known\n" in Path("before/booster-1-2.txt").read_text()
    assert run("note", "plant.git", "booster-1", "--brings-back", "reset=card", "--source", "manual").exit_code == 0
    attest("--to", "again")
    words = "after a memory reset the card; after power off and on not known; after a firmware update not known"
    assert words in " ".join(Path("again/booster-1-2.txt").read_text().split()), "as it is known when it is stated"
    assert run("verify", "again/booster-1-2.json", "--unsigned", "--against", "plant.git").exit_code == 0
    assert run("verify", "before/booster-1-2.json", "--unsigned", "--against", "plant.git").exit_code == 0
    run("store", "plant.git", "booster-1", "--moment", "as-left", "--running", "old", "--by", "Ada Lind")
    assert run("attest", "plant.git:booster-1@4", "--by", "Ada Lind").exit_code == 0
    said = " ".join(Path("booster-1-4.txt").read_text().split())
    assert words in said
    assert "(according to: manual)" in said
    assert run("verify", "booster-1-4.json", "--unsigned", "--against", "plant.git").exit_code == 0


def test_what_was_never_stated_in_the_archive_is_found_out(plant: Path) -> None:
    from asfound.evidence import statement_fields, verdict
    from asfound.model.station import BringsBack

    attest()
    said = statement_fields.read(Path("booster-1-2.json").read_bytes()).predicate
    assert not verdict.differences(said, Path("plant.git"))
    other = msgspec.structs.replace(said, brings_back=BringsBack("card"))
    (fault,) = verdict.differences(other, Path("plant.git"))
    assert fault == "plant.git never stated what is said here to bring the program back"
    earlier = msgspec.structs.replace(said, brings_back=msgspec.UNSET)
    assert not verdict.differences(earlier, Path("plant.git")), "an earlier version did not say it"


def test_settings_that_cannot_be_understood_are_not_told_as_nothing_stated(plant: Path) -> None:
    """A statement would be signed that something is not known, although somebody wrote it down."""
    from datetime import datetime

    from asfound.archive.archive import Archive

    attest("--to", "before")
    with Archive.open("plant.git") as archive:
        odd = archive.settings("booster-1") + b'[brings_back]\nreset = "tape"\n'
        time = datetime.fromisoformat("2026-11-17T08:35:00+01:00")
        archive.store("booster-1", "routine", {}, settings=odd, person="Ada", time=time)
    done = run("attest", "plant.git:booster-1@2", "--by", "Ada Lind")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith("station.toml of booster-1: cannot be understood (Invalid enum value 'tape'")
    assert not Path("booster-1-2.json").exists()
    assert run("verify", "before/booster-1-2.json", "--unsigned", "--against", "plant.git").exit_code == 0


def test_a_lone_envelope_needs_the_key(plant: Path) -> None:
    attest("--key", "id", "--to", "all")
    Path("alone").mkdir()
    envelope = Path("alone/booster-1-2.dsse.json")
    envelope.write_bytes(Path("all/booster-1-2.dsse.json").read_bytes())
    assert run("verify", envelope).exit_code == 1
    assert run("verify", envelope, "--signers", "signers").exit_code == 0


def test_another_key_is_none_of_the_signers(plant: Path) -> None:
    run("key", "new", "other", "--by", "Eve", input="\n\n")
    attest("--key", "other")
    done = run("verify", "booster-1-2.json", "--signers", "signers")
    assert done.exit_code == 1
    assert re.match(r"! signed with the key SHA256:\S{43}, which is none of the signers\n", done.stdout)


def test_every_changed_byte_is_seen(plant: Path) -> None:
    attest("--key", "id")
    from asfound.evidence import signers, statement_files
    from asfound.model.problem import Problem
    from asfound.reports.statement import text

    files = {name: Path(name).read_bytes() for name in map("booster-1-2".__add__, statement_files.SUFFIXES)}
    allowed = signers.parse(Path("signers").read_text())
    for name, data in files.items():
        for at in range(0, len(data), 3):
            broken = data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]
            with pytest.raises(Problem):
                statement_files.check("booster-1-2", {**files, name: broken}, allowed, text)


def test_an_archive_whose_history_was_replaced_is_found_out(plant: Path) -> None:
    attest("--key", "id")
    Path("plant.git").rename("old.git")
    run("init", "plant.git")
    run("store", "plant.git", "booster-1", "--moment", "as-found", "--running", "new", "--by", "Ada Lind")
    done = run("verify", "booster-1-2.txt", "--against", "plant.git")
    assert done.exit_code == 1
    assert "holds no record with the commit" in done.stdout
    assert sentence(done) == "Nothing is proved: what is marked with ! does not hold."


def test_nothing_is_replaced(plant: Path) -> None:
    attest()
    done = run("attest", "plant.git:booster-1", "--by", "Ada Lind")
    assert (done.exit_code, done.stderr) == (2, "booster-1-2.json: exists; choose another folder with --to.\n")


def test_a_first_record_is_compared_with_none(plant: Path) -> None:
    done = run("attest", "plant.git:booster-1@1", "--by", "Ada Lind")
    assert "compared with no earlier record" in done.stdout
    assert "This record was not compared with an earlier one." in Path("booster-1-1.txt").read_text()


def test_what_is_compared_with_must_be_earlier(plant: Path) -> None:
    done = run("attest", "plant.git:booster-1@1", "--since", "2", "--by", "Ada Lind")
    assert (done.exit_code, done.stderr) == (
        2,
        "station booster-1: record 2 is not before record 1; name an earlier one with --since; `asfound history` lists them.\n",
    )
    again = run("attest", "plant.git:booster-1@2", "--since", "1", "--by", "Ada Lind")
    assert "compared with booster-1 record 1" in again.stdout


def test_a_passphrase_is_asked_for(plant: Path) -> None:
    assert run("key", "new", "locked", "--by", "Ada", input="s3cret\ns3cret\n").exit_code == 0
    done = run("attest", "plant.git:booster-1", "--by", "Ada", "--key", "locked", input="s3cret\n")
    assert done.exit_code == 0, done.output
    wrong = run("attest", "plant.git:booster-1", "--by", "Ada", "--key", "locked", "--to", "x", input="wrong\n")
    assert wrong.exit_code == 2
    assert wrong.stderr.endswith("locked: the passphrase is wrong; try again.\n")
    differ = run("key", "new", "third", input="a\nb\n")
    assert differ.exit_code == 2
    assert not Path("third").exists()
