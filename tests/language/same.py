"""Compare two model values and name the first place where they differ (a full text diff of them takes minutes)."""

from __future__ import annotations


def first_difference(a, b, path=""):
    if type(a) is not type(b):
        return f"{path}: {str(a)[:200]!r} is not {str(b)[:200]!r}"
    if isinstance(a, dict):
        return first_difference(tuple(a.items()), tuple(b.items()), path)
    if isinstance(a, tuple | list):
        pairs = (first_difference(x, y, f"{path}[{i}]") for i, (x, y) in enumerate(zip(a, b, strict=False)))
        found = next((text for text in pairs if text), "")
        return found or (f"{path}: {len(a)} is not {len(b)}: {a!r:.300} {b!r:.300}" if len(a) != len(b) else "")
    if hasattr(a, "__struct_fields__"):
        pairs = (first_difference(getattr(a, f), getattr(b, f), f"{path}.{f}") for f in a.__struct_fields__)
        return next((text for text in pairs if text), "")
    return "" if a == b else f"{path}: {a!r:.300} is not {b!r:.300}"


def same(a, b, text=""):
    found = first_difference(a, b)
    if found:
        raise AssertionError(f"{found}\n{text}")
