"""Named settings that nobody interprets: what differs, by name.

A path in a name (``Filter/Time``) is one level of nesting each; nested settings are compared as trees by
deepdiff, which is loaded only when they differ. Cost: linear when equal.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from asfound.model.program import Setting


def differing_settings(old: Sequence[Setting], new: Sequence[Setting]) -> list[tuple[str, str | None, str | None]]:
    """Name, before and after of each; empty when every name holds the same values in the same order.

    Without a name and a value it is another form of the same settings. The order of different names says nothing.
    Values that share one name are told apart by their order only.
    """
    before, after = _grouped(old), _grouped(new)
    if before == after:
        return []
    from deepdiff import DeepDiff

    found = DeepDiff(_tree(old), _tree(new), view="tree", threshold_to_diff_deeper=0)
    rows: list[tuple[str, str | None, str | None]] = []
    for kind in sorted(found):
        for level in found[kind]:
            name = "/".join(str(key) for key in level.path(output_format="list") if key != "" and isinstance(key, str))
            rows.append((name, _shown(level.t1), _shown(level.t2)))
    turned = [name for name in before if name in after and before[name] != after[name]]
    rows = rows or [(name, ", ".join(before[name]), ", ".join(after[name])) for name in turned]
    return rows or [("", None, None)]


def _grouped(settings: Sequence[Setting]) -> dict[str, list[str]]:
    """Values by name, in order."""
    found: dict[str, list[str]] = {}
    for setting in settings:
        found.setdefault(setting.name, []).append(setting.value)
    return found


def _tree(settings: Sequence[Setting]) -> dict[str, Any]:
    root: dict[str, Any] = {}
    for setting in settings:
        *folders, leaf = setting.name.split("/")
        node = root
        for folder in folders:
            node = node.setdefault(folder, {})
        # The value of a name that is a folder as well stands beside the folder's content under the empty name.
        values = node.setdefault(leaf, {}).setdefault("", [])
        values.append(setting.value)
        values.sort()
    return root


def _shown(value: Any) -> str | None:
    if isinstance(value, dict):
        return ", ".join(f"{k + '/' if k else ''}{_shown(v)}" for k, v in sorted(value.items()))
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return value if isinstance(value, str) else None
