"""What the README tells to type, typed in the hand-over that the demo makes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from .kit import BASH, altered, files, needs_openssh, run, typed

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
HEADING = "## Checking a hand-over with git and OpenSSH"

pytestmark = [needs_openssh, pytest.mark.skipif(BASH is None, reason="no bash")]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The hand-over of the demo."""
    to = tmp_path_factory.mktemp("demo") / "asfound-demo"
    assert run("demo", "--quiet", "--to", to).exit_code == 0
    return to / "handover"


def script() -> str:
    return re.findall(r"```\n(.*?)```", README.partition(HEADING)[2], re.DOTALL)[0]


def test_the_commands_of_the_readme_pass(demo: Path) -> None:
    done = typed(demo, script())
    assert done.returncode == 0, done.stderr
    assert done.stdout.count('Good "asfound" signature for Bert-service') == 2
    assert 'Good "git" signature for Bert-service' in done.stderr


def test_they_are_those_of_the_instructions_in_the_folder(demo: Path) -> None:
    lines = (demo / "VERIFY.txt").read_text(encoding="utf-8").splitlines()
    assert "".join(f"{line[2:]}\n" for line in lines if line.startswith("$ ")) == script()


def test_they_find_a_changed_byte_in_every_file(demo: Path) -> None:
    for path in files(demo):
        with altered(path):
            assert typed(demo, script()).returncode != 0, path.name


def test_asfound_verify_agrees(demo: Path) -> None:
    assert run("verify", demo).exit_code == 0
