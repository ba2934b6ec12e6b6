"""Coverage-guided fuzzing of all readers by hand; see "Fuzzing" in DEVELOPERS.md.

``fuzz.py bytes CORPUS [options]`` hands mutated bytes to the readers, ``fuzz.py trees CORPUS [options]`` lets the bytes
choose documents in the words of the formats. A new folder CORPUS is filled with the small exports of tests/hostile
for ``bytes``, with choices for ``trees``. Options are those of libFuzzer (``-max_total_time=600 -timeout=20``). Any exception but a refusal, a copy
that differs from itself, or a normal form that is not its own is reported and leaves a ``crash-...`` file behind;
``fuzz.py TARGET FILE`` runs that file again.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2] / "src")]

import atheris  # noqa: E402

with atheris.instrument_imports(include=["asfound"]):
    from asfound.compare import comparison
    from asfound.language import normal
    from asfound.readers import registry
    from hostile.laws import hold
    from hostile.seeds import seeds
    from hostile.shapes import iec_text, table, tree

    LOADED = (comparison, normal, registry.readers())

SUFFIXES = (".xml", ".st", ".il", ".csv", ".aml", ".amlx", ".xlsx", ".ods", "")


def on_bytes(data: bytes) -> None:
    """The first byte chooses the suffix, the rest is the export."""
    if data:
        hold(data[1:], f"export{SUFFIXES[data[0] % len(SUFFIXES)]}")


def on_trees(data: bytes) -> None:
    """The bytes are the choices of a generator of documents."""
    given = atheris.FuzzedDataProvider(data)

    def pick(below: int) -> int:
        return int(given.ConsumeIntInRange(0, below - 1))

    make, name = ((tree, "export.xml"), (tree, "export.xml"), (iec_text, "export.st"), (table, "export.csv"))[pick(4)]
    hold(make(pick), name)


def fill(folder: Path, target: str) -> None:
    """The first corpus: every seed with its suffix in front; long rows of fixed choices for ``trees``."""
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        return
    if target == "trees":
        for seed in range(20):
            (folder / f"choices{seed}").write_bytes(random.Random(seed).randbytes(1500))
        return
    for name, data in seeds().items():
        suffix = Path(name).suffix
        (folder / name).write_bytes(bytes([SUFFIXES.index(suffix)]) + data)


if __name__ == "__main__":
    target = sys.argv.pop(1)
    if len(sys.argv) > 1 and not Path(sys.argv[1]).is_file():
        fill(Path(sys.argv[1]), target)
    atheris.Setup(sys.argv, {"bytes": on_bytes, "trees": on_trees}[target])
    atheris.Fuzz()
