"""Small readers and a small normal form; the real ones have tests of their own."""

from __future__ import annotations

import hashlib
import sys
from datetime import datetime
from pathlib import Path
from types import ModuleType

import pytest

from asfound.language import earlier_notation
from asfound.language.normal import digest
from asfound.model.copy import Copy
from asfound.model.problem import Problem
from asfound.model.program import Pou, Program
from asfound.readers import single_files
from asfound.readers.reader import Probe, Reader

TIME = datetime.fromisoformat("2026-03-31T09:30:00+02:00")


def read_pou(data: bytes, name: str) -> Copy:
    """``POU <name>`` and anything after it; damaged when it holds the word ``half``."""
    if b"half" in data:
        raise Problem("ends too early", where=name)
    return Copy(program=Program(pous=(Pou(name=data.decode("utf-8").split()[1], kind="program"),)))


def recognise(probe: Probe) -> bool:
    return probe.text.startswith("POU ")


def normal_form(copy: Copy) -> dict[str, str]:
    return {f"program/{pou.name}.txt": f"PROGRAM {pou.name}\n" for pou in copy.program.pous}


def normal_sha256(copy: Copy) -> str:
    return digest(normal_form(copy))


def install(patch: pytest.MonkeyPatch) -> None:
    """Put the small reader and the small normal form in the place of the real ones."""
    reader = Reader("pou", "POU text", "none", (".pou",), "a POU", recognise, read_pou)
    patch.setattr(single_files, "registered", lambda: (reader,))
    module = ModuleType("asfound.language.normal")
    module.normal_form, module.normal_sha256, module.digest = normal_form, normal_sha256, digest  # type: ignore[attr-defined]
    patch.setitem(sys.modules, "asfound.language.normal", module)
    patch.setattr(earlier_notation, "means_the_same", lambda files, others: files == others)


def snapshot(folder: Path) -> dict[str, str]:
    """Digest of each file below a folder."""
    files = (path for path in folder.rglob("*") if path.is_file())
    return {str(p.relative_to(folder)): hashlib.sha256(p.read_bytes()).hexdigest() for p in sorted(files)}
