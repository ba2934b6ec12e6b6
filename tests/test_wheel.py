"""The packages that are published: the source archive builds, its wheel is whole, and runs where nothing else lies."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

import asfound

ROOT = Path(__file__).parents[1]
NAME = f"asfound-{asfound.__version__}"


def built(kind: str, source: Path, to: Path) -> Path:
    command = [sys.executable, "-m", "hatchling", "build", "-t", kind, "-d", str(to)]
    done = subprocess.run(command, cwd=source, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    (made,) = to.iterdir()
    return made


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel that is built from the source archive, not from the checkout."""
    folder = tmp_path_factory.mktemp("built")
    with tarfile.open(built("sdist", ROOT, folder / "sdist")) as archive:
        archive.extractall(folder, filter="data")
    return built("wheel", folder / NAME, folder / "wheel")


def tracked(folder: str) -> set[str]:
    """Files of the checkout below a folder, without what Python leaves there."""
    files = (path for path in (ROOT / folder).rglob("*") if path.is_file() and "__pycache__" not in path.parts)
    return {path.relative_to(ROOT).as_posix() for path in files}


def test_the_wheel_holds_every_file_of_the_package_and_the_samples(wheel: Path) -> None:
    names = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    samples = {f"asfound/{name}" for name in tracked("sample_exports")}
    assert names == {name.removeprefix("src/") for name in tracked("src")} | samples
    assert {"asfound/py.typed", "asfound/reports/report.typ", "asfound/language/grammar.lark"} <= names
    assert "asfound/sample_exports/demo.toml" in samples


def test_the_demo_runs_from_the_wheel_alone(wheel: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    zipfile.ZipFile(wheel).extractall(tmp_path / "installed")
    surroundings = {**os.environ, "PYTHONPATH": str(tmp_path / "installed"), "PYTHONDONTWRITEBYTECODE": "1"}

    def run(*words: str) -> str:
        command = [sys.executable, *words]
        done = subprocess.run(command, cwd=tmp_path / "empty", env=surroundings, capture_output=True, check=False)
        assert (done.returncode, done.stderr) == (0, b"")
        return done.stdout.decode("utf-8")

    assert run("-c", "import asfound; print(asfound.__file__)").startswith(str(tmp_path / "installed"))
    shown = run("-m", "asfound", "demo")
    assert shown.startswith("Stored 6 records of booster-1 and screens-1 in ")
    assert "AI chamber and Counter both claim input bytes 76 to 79" in shown
    assert (tmp_path / "empty/asfound-demo/plant.git/HEAD").is_file()


def test_the_wheel_names_its_command_and_its_needs(wheel: Path) -> None:
    package = zipfile.ZipFile(wheel)
    assert package.read(f"{NAME}.dist-info/entry_points.txt") == b"[console_scripts]\nasfound = asfound.cli.main:run\n"
    metadata = package.read(f"{NAME}.dist-info/METADATA").decode("utf-8")
    assert "Requires-Python: >=3.11\n" in metadata
    assert "# asfound" in metadata
