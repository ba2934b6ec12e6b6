from __future__ import annotations

import json

import msgspec
from msgspec.structs import replace

from asfound.compare.result import Comparison, Reached
from asfound.reports import json as document

from .sample import comparison


def test_json_holds_the_whole_comparison_in_the_order_of_the_contract() -> None:
    text = document.write(comparison())
    assert text.startswith(
        '{\n  "schema": "asfound/comparison/2",\n  "old": {\n    "reference": "booster-1@as-left",\n'
    )
    assert text.endswith("\n}\n")
    assert list(json.loads(text)) == ["schema", "old", "new", "verdict", "limits", "counts", "changes"]
    first = json.loads(text)["changes"][0]
    assert list(first) == [
        "id", "area", "kind", "effect", "where", "path", "before", "after", "summary", "details", "subject", "edits",
        "names", "witness", "reach", "reached", "follows_from", "old_path",
    ]  # fmt: skip
    assert first["follows_from"] is None


def test_json_reads_back_as_the_same_comparison() -> None:
    made = comparison()
    read = msgspec.json.decode(document.write(made), type=Comparison)
    assert document.write(read) == document.write(made)
    assert (bool(made.changes[0].statements), bool(read.changes[0].statements)) == (True, False)


def test_json_tells_the_way_to_the_nearest_outputs_and_names_the_others_once() -> None:
    made = comparison()
    near, far = Reached("physical", "Near", "%QX0.0", ("a", "Near")), Reached("physical", "Far", "%QX0.1", ())
    change = replace(made.changes[0], reached=(near, far), reach=("Near (%QX0.0)", "Far (%QX0.1)"))
    told = json.loads(document.write(replace(made, changes=(change,))))["changes"][0]
    assert told["reach"] == ["Near (%QX0.0)", "Far (%QX0.1)"]
    assert told["reached"] == [{"kind": "physical", "name": "Near", "at": "%QX0.0", "way": ["a", "Near"]}]
