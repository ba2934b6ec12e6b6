"""Made-up projects of any size: the POUs and globals of a sample export over and over, each time under other names.

``small`` changes one contact in one POU of the whole project; ``large`` takes every tenth repetition from the export
that was found a year later, in which rungs were added, removed, moved and changed.
"""

from __future__ import annotations

import re
import sys
from functools import lru_cache
from pathlib import Path

SAMPLES = Path(__file__).parents[2] / "sample_exports" / "booster-1"
BEFORE = SAMPLES / "1-as-left-2025" / "office" / "program.xml"
AFTER = SAMPLES / "2-as-found-2026" / "running" / "program.xml"
EDITIONS = ("old", "small", "large")


@lru_cache
def _pieces(path: Path) -> tuple[str, str, str]:
    """Everything before the POUs, the POUs, and everything after them."""
    text = re.sub(r"(</?)h:", r"\1xhtml:", path.read_text(encoding="utf-8"))
    head, _, rest = text.partition("<pous>\n")
    pous, _, tail = rest.partition("</pous>")
    return head, pous, tail


@lru_cache
def _renamed(path: Path) -> tuple[str, ...]:
    """The POUs, cut at every name of one of them: the names stand at the odd places."""
    pous = _pieces(path)[1]
    names = re.findall(r'<pou name="(\w+)"', _pieces(BEFORE)[1])
    return tuple(re.split(rf'(?<=")({"|".join(names)})(?=")', pous))


def _repetition(path: Path, number: int) -> str:
    cut = _renamed(path)
    return "".join(f"{piece}_{number:04}" if at % 2 else piece for at, piece in enumerate(cut))


def project(size: int, edition: str = "old") -> bytes:
    """An export of about ``size`` bytes, with as many repetitions as fit (at least one)."""
    head, pous, tail = _pieces(BEFORE)
    tail = re.sub(r"<pouInstance .*?(?:/>|</pouInstance>)\n?", "", tail, flags=re.S)
    count = max(1, round((size - len(head) - len(tail)) / len(pous)))
    parts = [head, "<pous>\n"]
    for number in range(count):
        path = AFTER if edition == "large" and number % 10 == 5 % count else BEFORE
        part = _repetition(path, number)
        if edition == "small" and number == count // 2:
            part = _one_contact(part)
        parts.append(part)
    return "".join((*parts, "</pous>", tail)).encode()


def _one_contact(part: str) -> str:
    """The first contact that is not negated becomes normally closed."""
    return re.sub(r"<contact (?![^>]*negated)", '<contact negated="true" ', part, count=1)


if __name__ == "__main__":
    megabytes, wanted, target = sys.argv[1:]
    Path(target).write_bytes(project(int(megabytes) * 1_000_000, wanted))
