"""Links in an AutomationML file: nothing outside of its folder or package is ever opened, and no end is missing."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

import asfound
from asfound.model.copy import Copy
from asfound.readers import reading
from asfound.readers.reading import with_linked
from hostile.laws import hidden, hold, outcome
from hostile.linked_plants import hardware, logic, package

SECRET = b"PROGRAM Secret END_PROGRAM"
OUT = (
    "../secret.st",
    "logic/../../secret.st",
    "%2e%2e/secret.st",
    "..%2fsecret.st",
    "..\\secret.st",
    "file:///etc/hostname",
    "file:secret.st",
    "http://127.0.0.1:9/secret.st",
    "C:\\secret.st",
    "C:secret.st",
    "//127.0.0.1/share/secret.st",
    "\\\\127.0.0.1\\share\\secret.st",
    "/etc/hostname",
    "/../../secret.st",
    ".secret/secret.st",
    "secret.st:stream",
    "a\u202e.st/../../secret.st",
    "%00secret.st",
    "..",
    "%",
    "x" * 5000,
    "a/" * 2000 + "b",
)


@pytest.mark.parametrize("uri", OUT)
def test_nothing_outside_is_opened(tmp_path: Path, uri: str, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "secret.st").write_bytes(SECRET)
    inside = tmp_path / "in"
    (inside / ".secret").mkdir(parents=True)
    (inside / ".secret" / "secret.st").write_bytes(SECRET)
    (inside / "plant.aml").write_bytes(hardware(uri))
    opened: list[Path] = []
    content = reading.content
    monkeypatch.setattr(reading, "content", lambda path: opened.append(path) or content(path))
    found = asfound.read(inside / "plant.aml")
    assert opened == [inside / "plant.aml"]
    for copy in (found, hold(package({"plant.aml": hardware(uri)}), "p.amlx")):
        assert isinstance(copy, Copy) and copy.program.pous == ()
        (told,) = [limit for limit in copy.limits if " links to " in limit]
        assert len(told) < 12_000
    assert not hidden(str(opened[0]))


@pytest.mark.skipif(sys.platform == "win32", reason="links need a right on Windows")
@pytest.mark.parametrize("target", ["file", "folder"])
def test_a_link_of_the_file_system_that_leads_out_is_refused(tmp_path: Path, target: str) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "main.xml").write_bytes(logic())
    inside = tmp_path / "in"
    inside.mkdir()
    if target == "file":
        (inside / "main.xml").symlink_to(tmp_path / "out" / "main.xml")
    else:
        (inside / "logic").symlink_to(tmp_path / "out")
    (inside / "plant.aml").write_bytes(hardware("main.xml" if target == "file" else "logic/main.xml"))
    with pytest.raises(asfound.Problem, match="is a link that leads out of its folder; copy the file itself"):
        asfound.read(inside / "plant.aml")


@pytest.mark.skipif(sys.platform == "win32", reason="links need a right on Windows")
def test_links_in_a_circle_pipes_and_folders_lead_nowhere(tmp_path: Path) -> None:
    import os

    (tmp_path / "a.xml").symlink_to(tmp_path / "b.xml")
    (tmp_path / "b.xml").symlink_to(tmp_path / "a.xml")
    os.mkfifo(tmp_path / "pipe.xml")
    (tmp_path / "folder.xml").mkdir()
    names = ("a.xml", "folder.xml", "pipe.xml")
    (tmp_path / "plant.aml").write_bytes(hardware(*names))
    said = [limit for limit in asfound.read(tmp_path / "plant.aml").limits if " links to " in limit]
    assert said == [f"plant.aml links to {name}, which is not there; the logic in it is missing" for name in names]


def test_limits_count_for_linked_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    names = [f"{n}.st" for n in range(5)]
    (tmp_path / "plant.aml").write_bytes(hardware(*names))
    for n, name in enumerate(names):
        (tmp_path / name).write_bytes(f"PROGRAM P{n} END_PROGRAM".encode())
    assert len(with_linked(tmp_path / "plant.aml")) == 6
    for limit, value in (("MAX_FILES", 4), ("MAX_TOTAL", len(hardware(*names)) + 50)):
        with monkeypatch.context() as patch:
            patch.setattr(reading, limit, value)
            with pytest.raises(asfound.Problem, match="links to more than"):
                with_linked(tmp_path / "plant.aml")
    with monkeypatch.context() as patch:
        patch.setattr(reading, "MAX_FILE", 40)
        with pytest.raises(asfound.Problem, match="is larger than"):
            with_linked(tmp_path / "plant.aml")


def test_packages_inside_each_other_are_not_opened() -> None:
    data = package({"plant.aml": hardware("inner.amlx"), "main.xml": logic()})
    for _ in range(3):
        data = package({"plant.aml": hardware("inner.amlx"), "inner.amlx": data})
    found = outcome(data, "p.amlx")
    assert isinstance(found, Copy) and found.program.pous == ()
    assert [e.path for e in found.hardware.extensions if e.path.startswith("part/")] == ["part/inner.amlx"]


def test_a_bomb_in_the_logic_is_refused_as_a_package() -> None:
    bomb = package({"plant.aml": hardware("main.xml"), "main.xml": b"<project>" + b" " * 30_000_000})
    assert outcome(bomb, "p.amlx") == (
        "p.amlx: unpacks to more than 200 times its size, which no export does; check where the file comes from."
    )


def test_a_document_type_in_the_logic_is_refused() -> None:
    evil = logic().replace(b"<project", b'<!DOCTYPE p [<!ENTITY a SYSTEM "file:///etc/hostname">]><project', 1)
    said = outcome(package({"plant.aml": hardware("main.xml"), "main.xml": evil}), "p.amlx")
    assert isinstance(said, str) and said.startswith("p.amlx/main.xml: has a document type declaration")
