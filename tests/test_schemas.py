"""The schemas in the repository are those of the structs, and what we write is valid against them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import msgspec
import pytest

from asfound.language.listing import as_json
from asfound.model.copy import Source
from asfound.model.record import Record, StoredCopy
from asfound.reports import json as document
from asfound.reports import schemas
from reports import sample

FOLDER = Path(__file__).parents[1] / "schemas"


def _validator(name: str) -> jsonschema.Draft202012Validator:
    stored = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(stored)
    return jsonschema.Draft202012Validator(stored)


def _without_schema_field(instance: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in instance.items() if name != "schema"}


@pytest.mark.parametrize("name", schemas.DOCUMENTS)
def test_stored_schema_is_that_of_the_struct(name: str) -> None:
    stored = (FOLDER / f"{name}.json").read_text(encoding="utf-8")
    assert stored == schemas.text(name), "run: python -m asfound.reports.schemas --write"


def test_comparison_is_valid() -> None:
    instance = json.loads(document.write(sample.comparison()))
    _validator("comparison").validate(instance)
    instance["changes"][0]["effect"] = "harmless"
    assert not _validator("comparison").is_valid(instance)


def test_shown_copy_is_valid() -> None:
    instance = json.loads(msgspec.json.encode(as_json(sample.NEW)))
    _validator("copy").validate(instance)
    assert not _validator("copy").is_valid(_without_schema_field(instance))
    assert not _validator("copy").is_valid({**instance, "unknown": 1})


def test_record_is_valid() -> None:
    copies = (StoredCopy("running", (Source("a.xml", "0" * 64, 12, "tc6"),), "f" * 64),)
    record = Record("asfound/record/1", "booster-1", 3, "as-left", "2026-03-17T14:02:11+01:00", "N.N.", "0.1.0", copies)
    _validator("record").validate(json.loads(msgspec.json.encode(record)))


def test_stale_files_are_named_and_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert schemas.main([], tmp_path) == 1
    assert "record.json: differs from the structs" in capsys.readouterr().err
    assert schemas.main(["--write"], tmp_path) == 0
    assert schemas.main([], tmp_path) == 0
